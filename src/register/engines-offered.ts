// The register's engines that fit what was said of a car: for what the writer did not type, and for what it should have used when new.
// derivation/ and advice/ call it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { EngineFinding } from '../vocabulary/findings.ts';
import { findCar, type RegisteredCar } from './find-car.ts';
import type { RegisteredEngine } from './registered-models.ts';

export type CarSaid = Pick<EngineFinding, 'vehicle' | 'year' | 'displacement' | 'cylinders' | 'fuel'>;

export interface EnginesOffered {
  readonly car: RegisteredCar;
  /** Those that fit the size, count of cylinders and fuel said; empty when none does. */
  readonly fitting: readonly RegisteredEngine[];
}

/** Badges and registers round engine sizes to a tenth of a litre, each in its own way. */
const sizeSlack = 0.11;

/** Null when the register does not have the car. */
export function enginesOffered(said: CarSaid, knowledge: Knowledge): EnginesOffered | null {
  const car = findCar(said.vehicle, said.year, knowledge);
  return car && { car, fitting: car.engines.filter((engine) => fits(engine, said)) };
}

export function fits(engine: RegisteredEngine, { displacement, cylinders, fuel }: CarSaid): boolean {
  return (
    (displacement === null || Math.abs(engine.displacement - displacement) <= sizeSlack) &&
    (cylinders === null || engine.cylinders === cylinders) &&
    (engine.fuel === 'diesel') === /diesel/i.test(fuel ?? '')
  );
}

/** "a 2.4 with four cylinders, or a 3.0 or 3.3 with six": petrol engines of a car, sizes gathered by count of cylinders. */
export function sayEngines(engines: readonly RegisteredEngine[]): string {
  const petrol = engines.filter((engine) => engine.fuel === 'petrol');
  const counts = [...new Set(petrol.map((engine) => engine.cylinders))].sort((a, b) => a - b);
  const groups = counts.map((count) => {
    const sizes = petrol
      .filter((engine) => engine.cylinders === count)
      .map(({ displacement }) => displacement.toFixed(1));
    return `a ${list(sizes)} with ${countWords[count] ?? count}${groupWord(counts, count)}`;
  });
  return list(groups, ', or ');
}

const countWords: Readonly<Record<number, string>> = {
  2: 'two',
  3: 'three',
  4: 'four',
  5: 'five',
  6: 'six',
  8: 'eight',
  10: 'ten',
  12: 'twelve',
};

function groupWord(counts: readonly number[], count: number): string {
  return count === counts[0] ? ' cylinders' : '';
}

function list(words: readonly string[], joiner = ' or '): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')}${joiner}${words.at(-1)}`;
}
