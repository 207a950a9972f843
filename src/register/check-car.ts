// Holds the engine that was typed against what the US register and the engine families know of that car and model year. answer.ts calls it
// when a post has said something of the car: a wrong year or size sends everybody to the wrong engine.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Conflict } from '../vocabulary/answer-document.ts';
import type { EngineFinding, Finding } from '../vocabulary/findings.ts';
import { type CarSaid, enginesOffered, sayEngines } from './engines-offered.ts';

/** Units that writers in the United States do not use: elsewhere the same name came with other engines. */
const metricUnits = /^(l\/100 ?km|km\/l|km\/h|kph|kmh|km|kms|kilomet)/i;

/**
 * @param findings the case's findings
 * @param post     index of the post that is being answered: a clash is put to the writer once, in the turn that brings it
 * @returns at most one conflict. None when the car is not in the register, when a family sold elsewhere has such an engine, when the year
 *          before or after has it (a model year is not a year of first registration), or when the writer plainly is not in the United States
 */
export function checkCar(findings: readonly Finding[], post: number, knowledge: Knowledge): Conflict[] {
  const said = findings.filter(
    (finding): finding is EngineFinding =>
      finding.kind === 'engine' &&
      finding.car === 0 &&
      finding.time === 'now' &&
      finding.stated === 'present' &&
      finding.source !== 'hearsay',
  );
  const vehicle = said.findLast((finding) => finding.vehicle !== null);
  const year = said.findLast((finding) => finding.year !== null);
  const size = said.findLast((finding) => finding.displacement !== null);
  const count = said.findLast((finding) => finding.cylinders !== null);
  const fuel = said.findLast((finding) => finding.fuel !== null)?.fuel ?? null;
  const involved = [...new Set([vehicle, year, size, count].flatMap((finding) => finding ?? []))];
  if (!vehicle || !year || (!size && !count) || !involved.some((finding) => finding.post === post)) return [];
  if (/diesel|electric|lpg|gas|cng/i.test(fuel ?? '') || isElsewhere(findings)) return [];
  const car = {
    vehicle: vehicle.vehicle,
    year: year.year,
    displacement: size?.displacement ?? null,
    cylinders: count?.cylinders ?? null,
    fuel,
  };
  const offered = enginesOffered(car, knowledge);
  if (!offered || offered.car.isRespelled || offered.fitting.length > 0) return [];
  if (isKnownElsewhere(car, knowledge) && !isSoldInNearYears(car, knowledge)) return [];
  const near = [-1, 1].some((step) => {
    const other = enginesOffered({ ...car, year: car.year! + step }, knowledge);
    return other !== null && other.fitting.length > 0;
  });
  if (near) return [];
  const typed = [
    car.displacement === null ? null : `a ${car.displacement.toFixed(1)} litre`,
    car.cylinders === null ? null : `${car.cylinders} cylinders`,
  ].filter((word) => word !== null);
  const choices = sayEngines(offered.car.engines);
  if (choices === '') return [];
  return [
    {
      findings: involved.map((finding) => finding.id),
      quote: (size ?? count)!.quote.slice(0, 400),
      says: `By the US register the ${car.year} ${offered.car.name} came with ${choices}, not with ${typed.join(' and ')}`,
      question: 'Which engine and model year is it, or was the car sold outside the United States?',
    },
  ];
}

function isElsewhere(findings: readonly Finding[]): boolean {
  return findings.some((finding) => finding.kind === 'reading' && metricUnits.test(finding.original.unit));
}

/** A model's next generation has other engines; beyond so many years a size of the same name says nothing (judgement). */
const generation = 8;

/** Then the size is one of this market, and the year is what does not fit. */
function isSoldInNearYears(car: CarSaid, knowledge: Knowledge): boolean {
  for (let step = -generation; step <= generation; step += 1) {
    const offered = enginesOffered({ ...car, year: (car.year ?? 0) + step }, knowledge);
    if (offered && offered.fitting.length > 0) return true;
  }
  return false;
}

/** Engine families hold engines of other markets too. */
function isKnownElsewhere(
  car: { vehicle: string | null; displacement: number | null; cylinders: number | null },
  knowledge: Knowledge,
): boolean {
  const name = ` ${(car.vehicle ?? '')
    .toLowerCase()
    .replace(/[^a-z0-9.]+/g, ' ')
    .trim()} `;
  return knowledge.engines.some(
    (family) =>
      family.cars.some((model) => name.includes(` ${model} `)) &&
      (car.displacement === null || family.displacements.some((size) => Math.abs(size - car.displacement!) <= 0.11)) &&
      (car.cylinders === null || family.cylinders === null || family.cylinders === car.cylinders),
  );
}
