// From a car's name and model year to what the US register knows of it: engines, drives, certified consumption. Advice, derivation and
// check-car.ts call it. United States only, model years 1984 to 2015.
import type { Knowledge } from '../knowledge/knowledge.ts';
import {
  baseName,
  enginesOf,
  type RegisteredEngine,
  type RegisteredModel,
  registeredModels,
} from './registered-models.ts';

export interface RegisteredCar {
  /** Maker and model as the register spells them. */
  readonly name: string;
  readonly year: number;
  /** Each engine once, smallest first. */
  readonly engines: readonly RegisteredEngine[];
  /** True when the name was taken for a slip of the pen. */
  readonly isRespelled: boolean;
}

/** A longer name than this is no car's. */
const longestName = 80;

/**
 * @param vehicle maker and model as intake writes them ("Toyota Camry", "Ford F-150 XLT")
 * @param year    model year
 * @returns null when the register has no such car in that year; one slip of the pen is tolerated in names of five letters or more, two in
 *          names of seven or more, where only one model of the maker comes that near
 */
export function findCar(vehicle: string | null, year: number | null, knowledge: Knowledge): RegisteredCar | null {
  if (vehicle === null || year === null || vehicle.length > longestName) return null;
  const maker = makerOf(vehicle, knowledge);
  if (!maker) return null;
  const typed = baseName(maker.rest);
  if (typed === '') return null;
  const models = modelsNamed(registeredModels(maker.id, knowledge), typed, year);
  if (!models) return null;
  const { found, isRespelled } = models;
  const base = found[0]!.bases[0]!;
  return {
    name: `${maker.name} ${isRespelled ? capital(base) : maker.rest.trim()}`,
    year,
    engines: joinEngines(found.flatMap((model) => enginesOf(model, year))),
    isRespelled,
  };
}

/** The maker whose name or word begins the vehicle's name, longest first; "Mazda3" has its model glued to it. */
function makerOf(vehicle: string, knowledge: Knowledge): { id: string; name: string; rest: string } | null {
  const text = vehicle.toLowerCase();
  let best: { id: string; name: string; length: number } | null = null;
  for (const make of knowledge.makes)
    for (const word of [make.name.toLowerCase(), ...make.words]) {
      const next = text[word.length] ?? '';
      if (text.startsWith(word) && /^[\s\d]/.test(next) && word.length > (best?.length ?? 0))
        best = { id: make.id, name: make.name, length: word.length };
    }
  return best && { id: best.id, name: best.name, rest: vehicle.slice(best.length) };
}

/** Models sold in that year under the name, under the name without its last words (a trim, a class), or under a name that is a slip away. */
function modelsNamed(
  models: readonly RegisteredModel[],
  typed: string,
  year: number,
): { found: RegisteredModel[]; isRespelled: boolean } | null {
  const soldIn = (list: RegisteredModel[]) => list.filter((model) => enginesOf(model, year).length > 0);
  const words = typed.split(' ');
  for (let count = words.length; count >= Math.max(1, words.length - 2); count -= 1) {
    const found = soldIn(byName(models, words.slice(0, count).join(' '), year));
    if (found.length > 0) return { found, isRespelled: false };
  }
  const found = soldIn(bySlip(models, typed));
  return found.length > 0 ? { found, isRespelled: true } : null;
}

/** The name itself; else the longest model that it begins with ("accord ex"); else the models that begin with it ("silverado"). */
function byName(models: readonly RegisteredModel[], typed: string, year: number): RegisteredModel[] {
  const tight = typed.replaceAll(' ', '');
  const same = models.filter((model) => model.bases.some((base) => base.replaceAll(' ', '') === tight));
  if (same.some((model) => enginesOf(model, year).length > 0)) return same;
  const longest = models
    .flatMap((model) => model.bases)
    .filter((base) => typed.startsWith(`${base} `))
    .reduce((long, base) => (base.length > long.length ? base : long), '');
  if (longest !== '') return models.filter((model) => model.bases.includes(longest));
  return tight.length < 3
    ? []
    : models.filter((model) => !isOther(model) && model.bases.some((base) => base.startsWith(`${typed} `)));
}

/** Hybrids and the like are another car unless they are named. */
function isOther(model: RegisteredModel): boolean {
  return /hybrid|plug-in|electric|classic/i.test(model.name);
}

function bySlip(models: readonly RegisteredModel[], typed: string): RegisteredModel[] {
  const allowed = typed.length >= 7 ? 2 : typed.length >= 5 ? 1 : 0;
  if (allowed === 0 || /^\D{0,2}\d/.test(typed)) return [];
  const bases = [...new Set(models.filter((model) => !isOther(model)).flatMap((model) => model.bases))];
  const near = bases.filter((base) => base[0] === typed[0] && slips(base, typed, allowed) <= allowed);
  return near.length === 1 ? models.filter((model) => model.bases.includes(near[0]!)) : [];
}

/** Letters left out, put in, changed or turned round between two names; more than `most` counts as one more than that. */
function slips(a: string, b: string, most: number): number {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) least = Math.min(least, before[j - 2]! + 1);
      row.push(least);
    }
    if (Math.min(...row) > most) return most + 1;
    before = last;
    last = row;
  }
  return last[b.length]!;
}

/** One entry for each size, count of cylinders and kind of fuel. */
function joinEngines(engines: readonly RegisteredEngine[]): RegisteredEngine[] {
  const joined = new Map<string, RegisteredEngine>();
  for (const engine of engines) {
    const key = `${engine.cylinders} ${engine.displacement} ${engine.fuel}`;
    const before = joined.get(key);
    joined.set(
      key,
      before
        ? {
            ...before,
            drives: [...new Set(before.drives + engine.drives)].join(''),
            consumption: [
              Math.min(before.consumption[0], engine.consumption[0]),
              Math.max(before.consumption[1], engine.consumption[1]),
            ],
          }
        : engine,
    );
  }
  return [...joined.values()].sort((a, b) => a.displacement - b.displacement || a.cylinders - b.cylinders);
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
