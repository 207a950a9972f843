// The consumption reported now against what the car was certified at when new, where nobody said what was usual before. derive.ts calls it.
// The rating comes from the US register: advice, not evidence of a fault, for drivers and roads differ more than that.
import { consumptionLoss } from '../calculators/consumption-loss.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import { enginesOffered } from '../register/engines-offered.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import { assumed, inputOf, settle } from './draft.ts';
import { figure } from './plain.ts';
import { latest, type View } from './view.ts';

/** Litres per 100 km at one mile per US gallon. Source: nist-sp-811 (mile and gallon). */
const oneMpg = (100 * 3.785411784) / 1.609344;
/**
 * How much more than its combined rating a car takes in town alone [%]: the middle of the register's petrol cars, nine of ten lie between 8
 * and 18. Source: us-epa-fuel-economy, city against combined figures.
 */
const townAlone = 14;

/** Nothing without a make, a model and a year that the register knows, or when the writer's own earlier figure is there. */
export function deriveRating(now: View, before: View, knowledge: Knowledge): Derived[] {
  const present = latest(now, 'fuel-consumption');
  if (!present || latest(before, 'fuel-consumption')) return [];
  const offered = enginesOffered(now.engine, knowledge);
  if (!offered || offered.fitting.length === 0) return [];
  const [low, high] = [
    Math.min(...offered.fitting.map(({ consumption }) => consumption[0])),
    Math.max(...offered.fitting.map(({ consumption }) => consumption[1])),
  ];
  // Engines that differ this much are no baseline: the engine must be known first.
  if (high / low > 1.35) return [];
  const rated = (low + high) / 2;
  const span = (a: number, b: number, decimals: number) =>
    figure(a, decimals) === figure(b, decimals)
      ? figure(a, decimals)
      : `${figure(a, decimals)} to ${figure(b, decimals)}`;
  const { car } = offered;
  return [
    settle(
      consumptionLoss(rated, present.value),
      {
        calculator: 'consumption-rating',
        unit: '%',
        source: 'us-epa-fuel-economy',
        inputs: [assumed('certified combined consumption, US', rated, 'L/100 km'), inputOf(present)],
      },
      ({ value }) => ({
        value,
        says: `${car.isRespelled ? 'Taken for' : 'New,'} a ${car.year} ${car.name} was rated ${span(low, high, 1)} L/100 km in the United States (${span(oneMpg / high, oneMpg / low, 0)} mpg); you report ${figure(present.value, 1)}, ${sayAgainst(value)}.`,
        steps: [
          `${figure(present.value, 1)} / ${figure(rated, 1)} L/100 km - 1 = ${figure(value, 0)} %`,
          `town driving alone takes about ${townAlone} % more than the combined rating, cold and short trips more still`,
          'the rating is the US agency’s of that model year, town and road together, over the gearboxes offered',
        ],
      }),
    ),
  ];
}

function sayAgainst(value: number): string {
  if (value < -5) return `${figure(-value, 0)} % less`;
  if (value <= 5) return 'about as much';
  const more = `${figure(value, 0)} % more`;
  return value <= townAlone + 4
    ? `${more}, which town driving alone can explain`
    : `${more}; town driving alone would explain about ${townAlone}`;
}
