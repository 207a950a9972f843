// What the writer did not type of the engine, from the US register: one count of cylinders or one size where the car of that year came with
// no other, or where a code of bank 2 leaves no other. For the advice alone: it is no finding. locate.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { enginesOffered, sayEngines } from '../register/engines-offered.ts';
import type { RegisteredEngine } from '../register/registered-models.ts';
import type { EngineProfile } from './known-engine.ts';

export interface FilledProfile {
  readonly profile: EngineProfile;
  /** How the gap was filled, as a sentence; null when nothing was. */
  readonly says: string | null;
  /** What the car came with where that is more than one kind: "a 2.4 with four cylinders, or a 3.0 with six". */
  readonly choices: string | null;
  /** The petrol engines that it may be; empty when the register does not have the car. */
  readonly offered: readonly RegisteredEngine[];
}

/** Fewest cylinders of a petrol engine with two banks that a car of this register has, but for flat fours, which are one bank on most. */
const fewestOfTwoBanks = 5;

/** Front-wheel drive with the engine along the car: these makers' fours, in these years of the register. From memory. */
const alongTheCar = /^(?:audi|subaru|saab|renault|eagle|volkswagen passat)\b/i;
const since = 1990;

/** A four that drives the front wheels lies across the car, but for a few makers'; nothing is told of other engines. From memory. */
function mountingOf(
  { name, year }: { readonly name: string; readonly year: number },
  engines: readonly RegisteredEngine[],
): EngineProfile['mounting'] {
  const isAcross = engines.every(
    (engine) => engine.cylinders === 4 && /^F/.test(engine.drives) && !engine.drives.includes('R'),
  );
  return isAcross && year >= since && !alongTheCar.test(name) ? 'transverse' : null;
}

/** @param hasTwoBanks whether a code names bank 2 */
export function fillFromRegister(profile: EngineProfile, hasTwoBanks: boolean, knowledge: Knowledge): FilledProfile {
  const unchanged = { profile, says: null, choices: null, offered: [] };
  const offered = enginesOffered(profile, knowledge);
  if (!offered) return unchanged;
  const petrol = offered.fitting.filter((engine) => engine.fuel === 'petrol');
  const large = petrol.filter((engine) => engine.cylinders >= fewestOfTwoBanks);
  const isNarrowed = hasTwoBanks && large.length > 0 && large.length < petrol.length;
  const fitting = isNarrowed ? large : petrol;
  if (fitting.length === 0) return unchanged;
  const counts = new Set(fitting.map((engine) => engine.cylinders));
  const sizes = new Set(fitting.map((engine) => engine.displacement));
  const filled: EngineProfile = {
    ...profile,
    cylinders: profile.cylinders ?? (counts.size === 1 ? fitting[0]!.cylinders : null),
    displacement: profile.displacement ?? (sizes.size === 1 ? fitting[0]!.displacement : null),
    mounting: profile.mounting ?? mountingOf(offered.car, fitting),
  };
  const isFilled = filled.cylinders !== profile.cylinders;
  const why = isNarrowed ? ', the only one with a bank 2' : '';
  return {
    profile: filled,
    says: isFilled
      ? `By the US register the ${offered.car.year} ${offered.car.name} came with ${sayEngines(fitting)}${why}; a car from elsewhere may differ.`
      : null,
    choices: counts.size > 1 ? sayEngines(fitting) : null,
    offered: fitting,
  };
}
