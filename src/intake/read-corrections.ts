// Reads a correction that names only what was wrong: "sorry, that was bank 2", "I meant 0.45 not 4.5", "make that 12". The earlier
// finding is said again with the one thing changed; find-corrections.ts then lets it replace the old one.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { CodeFinding, Finding, ReadingFinding } from '../vocabulary/findings.ts';
import { quantities } from '../vocabulary/quantities.ts';
import { splitChunks } from './chunks.ts';
import { correctionWords } from './find-corrections.ts';
import { findingBase } from './finding-base.ts';
import { readNumber } from './numbers.ts';
import { findPlaces } from './places.ts';
import { isTaken, nothingRead, type ReaderInput, type ReaderResult } from './reader.ts';

/** A longer post tells its figures anew. */
const longestCorrection = 60;

interface Figure {
  readonly value: number;
  readonly first: number;
  readonly last: number;
}

/** The corrected findings; nothing where it is not plain which earlier findings are meant. */
export function readCorrections(input: ReaderInput, _knowledge: Knowledge): ReaderResult {
  const { tokens, previous } = input;
  if (previous.findings.length === 0 || tokens.length === 0 || tokens.length > longestCorrection) return nothingRead;
  if (!correctionWords.test(input.text.folded)) return nothingRead;
  const figures = findFigures(input);
  const inTurn = correctedInTurn(input, figures);
  if (inTurn.length > 0) return { findings: inTurn, conflicts: [], used: [] };
  const finding = (figures.length > 0 ? correctedValue(input, figures) : null) ?? correctedPlace(input);
  return finding ? { findings: [finding], conflicts: [], used: [] } : nothingRead;
}

/** Numbers that no reader has taken, and that name no bank or sensor. */
function findFigures(input: ReaderInput): Figure[] {
  const { tokens } = input;
  const figures: Figure[] = [];
  for (let index = 0; index < tokens.length; ) {
    const number = readNumber(tokens, index);
    if (!number) {
      index += 1;
      continue;
    }
    const start = tokens[index]!.start;
    const end = tokens[number.last - 1]!.end;
    const names = /^(?:bank|sensor|cylinder|cyl|b|s|p)$/.test(tokens[index - 1]?.text ?? '');
    if (!names && !isTaken(input.taken, start, end))
      figures.push({ value: number.value, first: index, last: number.last });
    index = Math.max(number.last, index + 1);
  }
  return figures;
}

/** "X not Y", "not Y but X", "X instead of Y": the reading that was Y is X; with one number, the only reading of the last post. */
function correctedValue(input: ReaderInput, figures: readonly Figure[]): ReadingFinding | null {
  const readings = input.previous.findings.filter((finding): finding is ReadingFinding => finding.kind === 'reading');
  if (figures.length === 1) {
    const lastPost = Math.max(...readings.map((reading) => reading.post));
    const latest = readings.filter((reading) => reading.post === lastPost);
    return latest.length === 1 ? withValue(input, latest[0]!, figures[0]!) : null;
  }
  if (figures.length !== 2) return null;
  for (const [right, wrong] of [figures, [...figures].reverse()] as ReadonlyArray<readonly Figure[]>) {
    const meant = readings.filter((reading) => typedValue(reading) === wrong!.value);
    if (meant.length === 1) return withValue(input, meant[0]!, right!);
  }
  return null;
}

/** "It's minus 25 and minus 24" after two figures of one quantity: each new figure stands for the old one in its turn. */
function correctedInTurn(input: ReaderInput, figures: readonly Figure[]): ReadingFinding[] {
  if (figures.length < 2 || /\bnot\b|\binstead\b/.test(input.text.folded)) return [];
  const readings = input.previous.findings.filter(
    (finding): finding is ReadingFinding => finding.kind === 'reading' && isOfBank(finding),
  );
  const lastPost = Math.max(...readings.map((reading) => reading.post));
  const latest = readings.filter((reading) => reading.post === lastPost && reading.quantity === readings[0]!.quantity);
  if (latest.length !== figures.length) return [];
  const renewed = latest.map((old, index) => withValue(input, old, figures[index]!));
  return renewed.some((finding) => finding === null) ? [] : renewed.filter((finding) => finding !== null);
}

function typedValue(reading: ReadingFinding): number {
  return Number.parseFloat(reading.original.value.replace(',', '.').replace(/^\+/, ''));
}

function withValue(input: ReaderInput, old: ReadingFinding, figure: Figure): ReadingFinding | null {
  const typed = typedValue(old);
  // The same unit as before, so the same factor; Fahrenheit and the like have an offset and are left to a fresh reading.
  if (!Number.isFinite(typed) || typed === 0 || !/^[-+]?[\d.,]{1,20}$/.test(old.original.value)) return null;
  if (/f$/i.test(old.original.unit) && old.quantity.endsWith('temperature')) return null;
  if (old.original.unit !== '' && Math.abs(old.value / typed - 1) > 1e-9 && /mpg|mile/i.test(old.original.unit))
    return null;
  const value = (old.value / typed) * figure.value;
  const [low, high] = quantities[old.quantity].possible;
  if (value < low || value > high) return null;
  const start = input.tokens[figure.first]!.start;
  const end = input.tokens[figure.last - 1]!.end;
  return {
    ...old,
    ...findingBase(input, start, end, figure.first, 'present'),
    time: old.time,
    car: old.car,
    value,
    range: null,
    limit: null,
    original: { value: input.text.folded.slice(start, end), unit: old.original.unit },
  };
}

/** "That was bank 2": what the last post said of another bank or sensor. */
function correctedPlace(input: ReaderInput): ReadingFinding | CodeFinding | null {
  const places = findPlaces(input.tokens, splitChunks(input.tokens)).filter((place) => !place.bothBanks);
  const place = places[0];
  if (!place || (place.bank === null && place.sensor === null)) return null;
  const placed = input.previous.findings.filter(
    (finding): finding is ReadingFinding | CodeFinding =>
      finding.kind === 'reading' && (finding.bank !== null || finding.sensor !== null || isOfBank(finding)),
  );
  const lastPost = Math.max(...placed.map((finding: Finding) => finding.post));
  const latest = placed.filter((finding) => finding.post === lastPost && differs(finding, place));
  if (latest.length !== 1) return null;
  const old = latest[0]!;
  return {
    ...old,
    ...findingBase(input, input.tokens[place.first]!.start, input.tokens[place.last - 1]!.end, place.first, 'present'),
    time: old.time,
    car: old.car,
    bank: place.bank ?? old.bank,
    sensor: place.sensor ?? old.sensor,
  };
}

function isOfBank(finding: ReadingFinding): boolean {
  return /trim|sensor-voltage|pump-current|lambda|heater/.test(finding.quantity);
}

function differs(
  finding: ReadingFinding | CodeFinding,
  place: { readonly bank: number | null; readonly sensor: number | null },
): boolean {
  return (
    (place.bank !== null && finding.bank !== place.bank) || (place.sensor !== null && finding.sensor !== place.sensor)
  );
}
