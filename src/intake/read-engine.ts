// Reads which engine and car a post is about: "'96 Impreza", "3.5 V6", "1.8 20v turbo", "flat four", "transverse", LPG, MAF or speed
// density. read-post.ts calls it last of the readers of figures.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { EngineFinding, Finding, ReadingFinding } from '../vocabulary/findings.ts';
import { type EngineFields, type EngineMark, findEngineWords } from './engine-words.ts';
import { contextAt, findingBase } from './finding-base.ts';
import { readNumber } from './numbers.ts';
import { quoteOf } from './readable-text.ts';
import { isTaken, type ReaderInput, type ReaderResult } from './reader.ts';
import type { Token } from './tokens.ts';
import { readUnit, unitConversions } from './units.ts';
import { findVehicles, type VehicleName } from './vehicle-names.ts';

interface Size extends EngineMark {
  /** A unit was typed, so that the size is a reading too. */
  readonly typedUnit: string | null;
}

/** Engine findings of a post, one for each sentence that says something of it; sizes with a unit also become readings. */
export function readEngine(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const { tokens } = input;
  const vehicles = findVehicles(input.text, tokens, knowledge);
  const words = findEngineWords(tokens);
  const sizes = findSizes(tokens, vehicles, words);
  const named = vehicles.map((vehicle) => withYear(tokens, vehicle));
  const inNames = new Uint8Array(tokens.length);
  for (const vehicle of vehicles) inNames.fill(1, vehicle.first, vehicle.last);
  const inVehicle = ({ first, fields }: EngineMark) =>
    inNames[first] === 1 && fields.layout === undefined && fields.fuel === undefined && fields.induction === undefined;
  const marks = [...named, ...words.filter((mark) => !inVehicle(mark)), ...sizes, ...findDrive(tokens, words)]
    .filter((mark) => !isTaken(input.taken, tokens[mark.first]!.start, tokens[mark.last - 1]!.end))
    .sort((a, b) => a.first - b.first);
  const findings: Finding[] = [];
  let group: EngineMark[] = [];
  let said: EngineFields = {};
  const close = () => {
    if (group.length > 0) findings.push(...makeFindings(input, group));
    group = [];
    said = {};
  };
  for (const mark of marks) {
    if (group.length > 0 && !joins(input, group.at(-1)!, said, mark)) close();
    group.push(mark);
    said = { ...said, ...mark.fields };
  }
  close();
  for (const size of sizes) {
    if (!isTaken(input.taken, tokens[size.first]!.start, tokens[size.last - 1]!.end))
      findings.push(makeSizeReading(input, size));
  }
  return {
    findings,
    conflicts: [],
    // "MAF 3.4" says that there is an air meter and names a figure as well: the name stays free for the readings.
    used: marks
      .filter(({ fields }) => Object.keys(fields).some((key) => key !== 'airMetering'))
      .map((mark) => [tokens[mark.first]!.start, tokens[mark.last - 1]!.end] as const),
  };
}

/** Marks of one sentence about one car make one finding, unless they say different things of the same field. */
function joins(input: ReaderInput, last: EngineMark, said: EngineFields, mark: EngineMark): boolean {
  if (mark.first - last.last > 25) return false;
  const [from, to] = [input.clauses.clauseAt(last.first), input.clauses.clauseAt(mark.first)];
  if (from.context.car !== to.context.car) return false;
  for (let at = last.last; at < mark.first; at += 1) {
    const token = input.tokens[at]!;
    if (
      token.kind === 'newline' ||
      /^[?!;]$/.test(token.text) ||
      (token.text === '.' && input.tokens[at + 1]?.spaced !== false)
    ) {
      // A heading line of a few words ("2004 Corolla" / "1.8 manual") still is one description.
      if (mark.first - last.last > 3 || at - last.last > 1) return false;
    }
  }
  for (const key of Object.keys(mark.fields) as Array<keyof EngineFields>) {
    if (said[key] !== undefined && said[key] !== mark.fields[key]) return false;
  }
  return true;
}

function makeFindings(input: ReaderInput, group: readonly EngineMark[]): EngineFinding[] {
  const fields: EngineFields = Object.assign({}, ...group.map((mark) => mark.fields));
  const [first, last] = [group[0]!, group.at(-1)!];
  const context = contextAt(input, first.first);
  // A meter or turbo that is only asked about says nothing of what the car has.
  if (
    Object.keys(fields).every((key) => key === 'airMetering' || key === 'induction') &&
    (context.mood === 'question' || context.mood === 'supposed')
  )
    return [];
  return [
    {
      ...findingBase(input, input.tokens[first.first]!.start, input.tokens[last.last - 1]!.end, first.first),
      kind: 'engine',
      layout: fields.layout ?? null,
      cylinders: fields.cylinders ?? null,
      displacement: fields.displacement ?? null,
      mounting: fields.mounting ?? null,
      fuel: fields.fuel ?? null,
      vehicle: fields.vehicle ?? null,
      year: fields.year ?? null,
      airMetering: fields.airMetering ?? null,
      induction: fields.induction ?? null,
    },
  ];
}

function makeSizeReading(input: ReaderInput, size: Size): ReadingFinding {
  const number = readNumber(input.tokens, size.first);
  const start = input.tokens[size.first]!.start;
  const end = input.tokens[size.last - 1]!.end;
  return {
    ...findingBase(input, start, end, size.first),
    kind: 'reading',
    quantity: 'displacement',
    value: size.fields.displacement!,
    bank: null,
    sensor: null,
    when: null,
    range: null,
    limit: null,
    unitAssumed: size.typedUnit === null,
    original: {
      value: quoteOf(input.text, start, input.tokens[(number?.last ?? size.first + 1) - 1]!.end).slice(0, 80),
      unit: size.typedUnit ?? '',
    },
  };
}

/** A vehicle with the model year beside it: "'96 Impreza", "Audi TT from 2001", "RX8, 2007", "(2004)", "53 plate". */
function withYear(tokens: readonly Token[], vehicle: VehicleName): EngineMark {
  const plain = { first: vehicle.first, last: vehicle.last, fields: { vehicle: vehicle.vehicle } };
  for (let back = 1; back <= 3; back += 1) {
    const at = vehicle.first - back;
    const token = tokens[at];
    if (!token || token.kind === 'newline') break;
    const year = token.kind === 'number' ? yearOf(tokens, at, back <= 2) : null;
    if (year !== null) {
      const first = tokens[at - 1]?.text === "'" ? at - 1 : at;
      return { first, last: vehicle.last, fields: { vehicle: vehicle.vehicle, year } };
    }
    if (token.kind === 'punctuation' && !/^[-,(')]$/.test(token.text)) break;
  }
  for (let ahead = 0; ahead <= 9; ahead += 1) {
    const at = vehicle.last + ahead;
    const token = tokens[at];
    if (!token || (token.kind === 'newline' && ahead > 0) || /^[.;?!]$/.test(token.text)) break;
    if (ahead > 4 && tokens[at - 1]?.text !== 'year') continue;
    const year =
      token.kind === 'number' && /^(19[5-9]\d|20[0-3]\d)$/.test(token.text)
        ? yearOf(tokens, at, false)
        : tokens[at - 1]?.text === "'"
          ? yearOf(tokens, at, true)
          : null;
    if (year !== null) return { first: vehicle.first, last: at + 1, fields: { vehicle: vehicle.vehicle, year } };
    if (
      ahead > 1 &&
      ahead <= 4 &&
      token.kind === 'word' &&
      !/^(from|of|year|model|my|reg|circa|a|the|is|it|an|with|straight|six|inline|v6|auto|manual)$/.test(token.text)
    ) {
      break;
    }
  }
  return plain;
}

/** A model year at a number token: four digits, or two where `short` allows it; a UK plate number of 51 to 79 stands for 2001 to 2029. */
function yearOf(tokens: readonly Token[], at: number, short: boolean): number | null {
  const token = tokens[at]!;
  const after = tokens[at + 1];
  const before = tokens[at - 1];
  if (
    !token.spaced &&
    before &&
    (before.kind === 'number' || before.kind === 'word' || /^[.,$\u00a3/]$/.test(before.text)) &&
    before.text !== "'"
  )
    return null;
  if (
    after &&
    !after.spaced &&
    (after.kind === 'word' ||
      (/^[.,/%:]$/.test(after.text) && tokens[at + 2]?.kind === 'number' && !tokens[at + 2]!.spaced))
  )
    return null;
  if (/^(19[5-9]\d|20[0-3]\d)$/.test(token.text))
    return after && /^(miles|mile|km|kms|rpm|cc)$/.test(after.text) ? null : Number(token.text);
  if (!short || !/^\d\d$/.test(token.text)) return null;
  const two = Number(token.text);
  const plate = after && /^(reg|plate)$/.test(after.text);
  if (plate && two >= 51 && two <= 79) return 1950 + two;
  if (two >= 60) return 1900 + two;
  return two <= 35 ? 2000 + two : null;
}

/** Engine sizes: with a unit, or a bare "1.8" beside a car, a layout, valves or a charger. */
function findSizes(tokens: readonly Token[], vehicles: readonly VehicleName[], words: readonly EngineMark[]): Size[] {
  const near: Neighbours = {
    layoutAt: new Set(
      words
        .filter(({ fields }) => fields.layout !== undefined || fields.cylinders !== undefined)
        .map((mark) => mark.first),
    ),
    carAt: new Map(vehicles.map((vehicle) => [vehicle.first, vehicle])),
    carEnding: new Map(vehicles.map((vehicle) => [vehicle.last, vehicle])),
  };
  const sizes: Size[] = [];
  for (let index = 0; index < tokens.length; index += 1) {
    const token = tokens[index]!;
    if (token.kind !== 'number') continue;
    if (tokens[index - 1]?.text === '.' && !token.spaced) continue;
    const number = readNumber(tokens, index);
    if (!number || number.signed || number.inWords) continue;
    let unitAt = number.last;
    if (tokens[unitAt]?.text === '-' && tokens[unitAt]?.spaced === false) unitAt += 1;
    const unit = readUnit(tokens, unitAt);
    const toLitres = unit && unitConversions[unit.unit].displacement;
    const litres = toLitres ? toLitres(number.value) : null;
    if (unit && litres !== null) {
      const isOil =
        /^(of|oil|coolant|tank|per|a|and|bottle|jug|can|water)$/.test(tokens[unit.last]?.text ?? '') ||
        (unit.unit === 'litre' && (tokens[unit.last]?.text === '/' || number.value < 0.6));
      if (litres >= 0.5 && litres <= 9 && !isOil) {
        sizes.push({
          first: index,
          last: unit.last,
          fields: { displacement: Number(litres.toPrecision(6)) },
          typedUnit: tokens
            .slice(unitAt, unit.last)
            .map((part) => part.text)
            .join(''),
        });
        index = unit.last - 1;
      }
      continue;
    }
    if (number.decimals !== 1 || number.value < 0.6 || number.value > 8.4 || unit) continue;
    if (isEngineSize(tokens, index, number.last, near)) {
      sizes.push({ first: index, last: number.last, fields: { displacement: number.value }, typedUnit: null });
    }
    index = number.last - 1;
  }
  return sizes;
}

/** Cars and layouts by the tokens that they begin and end at. */
interface Neighbours {
  readonly layoutAt: ReadonlySet<number>;
  readonly carAt: ReadonlyMap<number, VehicleName>;
  readonly carEnding: ReadonlyMap<number, VehicleName>;
}

function isEngineSize(tokens: readonly Token[], first: number, last: number, near: Neighbours): boolean {
  const after = tokens[last];
  const before = tokens[first - 1];
  if (
    after &&
    /^(i|t|tdi|tsi|fsi|tfsi|hdi|tdci|dci|gdi|vvti|vvt|mpi|se|td|d|s|si|ti|e|zetec|ecotec|vtec|hemi|vortec|duratec|petrol|diesel|turbo|engine|motor|auto|manual|valve|lt|ltr|litre|twin|dohc|sohc|v|vti|kompressor|supercharged|four|six|eight|boxer)$/.test(
      after.text,
    )
  ) {
    if (after.text === 'v') return tokens[last + 1]?.kind === 'number' && !tokens[last + 1]!.spaced;
    return after.spaced || after.text.length <= 4 || /^(petrol|diesel|turbo)$/.test(after.text);
  }
  if (after && after.kind === 'number' && tokens[last + 1]?.text === 'v' && !tokens[last + 1]!.spaced) return true;
  if (near.layoutAt.has(last) || near.layoutAt.has(last + 1)) return true;
  const car =
    near.carEnding.get(first) ??
    near.carEnding.get(first - 1) ??
    near.carEnding.get(first - 2) ??
    near.carAt.get(last) ??
    near.carAt.get(last + 1);
  if (car) {
    // "Accord 1.8 auto", "2.0 Mondeo"; not "Golf 1.2 V on the sensor" (a unit was ruled out) nor "Focus, 0.45".
    if (car.last <= first)
      for (let at = car.last; at < first; at += 1)
        if (!/^(,|\(|-|with|the|a|gl|[a-z]{1,3}|\d{4})$/.test(tokens[at]!.text)) return false;
    return !/^(at|is|reads|lambda|was)$/.test(before?.text ?? '');
  }
  if (
    before?.text === 'my' &&
    (after === undefined || after.kind !== 'word' || !/^(volts?|v|percent|amps?|ohms?|x|star|out)$/.test(after.text))
  )
    return true;
  return (
    /^(the|my|a)$/.test(before?.text ?? '') &&
    /^(of|version|first|early|engine|with|on|for|in|from)$/.test(tokens[first - 2]?.text ?? '') &&
    (after === undefined || /^[.,)]$/.test(after.text) || /^(engine|with|in|and|that|which|so|is)$/.test(after.text))
  );
}

/** Front-wheel drive tells the mounting of a V6 or V8: across the car. Judgement: true but for a few German and Swedish cars, which name themselves. */
function findDrive(tokens: readonly Token[], words: readonly EngineMark[]): EngineMark[] {
  const isV = words.some((mark) => mark.fields.layout === 'v');
  if (
    !isV ||
    words.some((mark) => mark.fields.mounting !== undefined) ||
    tokens.some((token) => /^(audi|saab|quattro|subaru)$/.test(token.text))
  )
    return [];
  const marks: EngineMark[] = [];
  for (let index = 0; index < tokens.length; index += 1) {
    const text = tokens[index]!.text;
    const last =
      text === 'fwd'
        ? index + 1
        : text === 'front' &&
            tokens[index + 1]?.text === 'wheel' &&
            /^(drive|driven|drives)$/.test(tokens[index + 2]?.text ?? '')
          ? index + 3
          : text === 'front' && tokens[index + 1]?.text === '-' && tokens[index + 2]?.text === 'wheel'
            ? tokens[index + 3]?.text === '-'
              ? index + 5
              : index + 4
            : null;
    if (last !== null && last <= tokens.length) {
      marks.push({ first: index, last, fields: { mounting: 'transverse' } });
      break;
    }
  }
  return marks;
}
