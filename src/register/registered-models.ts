// The lines of knowledge/register as models with their engines, read once per make and kept. find-car.ts looks among them.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { RegisterEntry } from '../knowledge/schema/register.ts';

/** One engine of a model in one model year. */
export interface RegisteredEngine {
  readonly cylinders: number;
  /** Litres. */
  readonly displacement: number;
  readonly fuel: 'petrol' | 'diesel';
  /** F front, R rear, A all wheels; over all years. */
  readonly drives: string;
  /** Certified combined consumption, lowest and highest over gearboxes [L/100 km]. */
  readonly consumption: readonly [number, number];
}

export interface RegisteredModel {
  /** As the register writes it. */
  readonly name: string;
  /** Without drive, body and gearbox, in lower case without hyphens; several for "318i/318is". */
  readonly bases: readonly string[];
  /** The line's engines as text: only those of a model that is asked for are read. */
  readonly engines: readonly string[];
}

const known = new WeakMap<RegisterEntry, readonly RegisteredModel[]>();

/** Models of a make, by its id of knowledge/makes; empty when it is not in the register. */
export function registeredModels(make: string, knowledge: Knowledge): readonly RegisteredModel[] {
  const entry = knowledge.register.byId.get(make);
  if (!entry) return [];
  const before = known.get(entry);
  if (before) return before;
  const models = entry.cars.split('\n').map(readLine);
  known.set(entry, models);
  return models;
}

/** The model's engines of one model year. */
export function enginesOf(model: RegisteredModel, year: number): RegisteredEngine[] {
  return model.engines.flatMap((text): RegisteredEngine[] => {
    const [head = '', ...years] = text.split(' ');
    const span = years.map((item) => spanIn(item, year)).find((item) => item !== null);
    if (!span) return [];
    const [cylinders, displacement, drives = '', fuel] = head.split('/');
    return [
      {
        cylinders: Number(cylinders),
        displacement: Number(displacement),
        fuel: fuel === 'd' ? 'diesel' : 'petrol',
        drives,
        consumption: span,
      },
    ];
  });
}

/** Lowest and highest consumption of `98-00=93-97` [L/100 km]; null when the year is another. */
function spanIn(text: string, year: number): readonly [number, number] | null {
  const [years = '', span = ''] = text.split('=');
  const [first = 0, last = first] = years
    .split('-')
    .map((short) => Number(short) + (Number(short) >= 50 ? 1900 : 2000));
  if (year < first || year > last) return null;
  const [low = 0, high = low] = span.split('-').map((tenths) => Number(tenths) / 10);
  return [low, high];
}

function readLine(line: string): RegisteredModel {
  const [name = '', ...engines] = line.split(' | ');
  return { name, bases: basesOf(name), engines };
}

/** Words that name a drive, a body, a use or a gearbox, not another car. */
const plainWords = new Set(
  (
    '2wd 4wd awd fwd rwd 4x4 4x2 ffv cng pickup truck wagon station sport-wagon sports sedan coupe convertible cabriolet hatchback hardtop ' +
    'cargo van minivan passenger conversion cab chassis police limo inc utility body quattro avant xdrive sdrive 4matic 4motion syncro ' +
    '2-door 4-door 5-door 3-door manual automatic auto estate all-trac mdpv lwb swb cvt'
  ).split(' '),
);

/** A name as it is compared: lower case, "F-150" and "CR-V" in one word, without brackets and plain words. */
export function baseName(name: string): string {
  return name
    .toLowerCase()
    .replace(/\([^)]{0,40}\)/g, ' ')
    .split(/[\s,]+/)
    .filter((word) => word !== '' && !plainWords.has(word))
    .map((word) => word.replace(/[-'.](?=\D)|(?<=\D)[-'.]/g, ''))
    .join(' ');
}

/** "Caprice/Impala" is either; in "318i/318is" too. */
function basesOf(name: string): string[] {
  return [...new Set(name.split('/').map(baseName))].filter((base) => base !== '');
}
