// Words for an engine and its parts that the descriptions of places share: its name, its sides, its exhaust. describe-sensor.ts and
// describe-cylinder-one.ts call it.
import type { EngineFamily } from '../knowledge/schema/engine-family.ts';
import type { BankOneSide, EngineMatch } from './match-engine.ts';

export const viewpoint = 'as seen from the driver’s seat facing forward';

export const sideOfBank: Readonly<Record<BankOneSide, readonly [string, string] | null>> = {
  firewall: ['the one at the firewall, next to the cabin', 'the one at the front, behind the radiator'],
  radiator: ['the one at the front, behind the radiator', 'the one at the firewall, next to the cabin'],
  right: [`the right one ${viewpoint}`, `the left one ${viewpoint}`],
  left: [`the left one ${viewpoint}`, `the right one ${viewpoint}`],
  'front-cylinders': [
    'the first half of the cylinders, counted from the belt or chain end',
    'the second half of the cylinders, nearer the gearbox',
  ],
  only: null,
  unknown: null,
};

/** Sensor numbers run along the exhaust: 1 ahead of the catalyst, 2 behind it. */
export function sensorWords(sensor: number | null, engine: EngineMatch): string {
  if (sensor === null) return '';
  const { layout } = engine;
  if (sensor === 1) return `Sensor 1 is ${layout?.upstream ?? 'ahead of the catalyst, the one closest to the engine'}.`;
  if (sensor === 2)
    return `Sensor 2 is ${layout?.downstream ?? 'behind the first catalyst or in the middle of it, farther from the engine'}.`;
  return `Sensor ${sensor} is farther back still, behind a second catalyst; few cars have one.`;
}

/** How the catalysts and pipes of the family change where sensors sit; empty where it is not known. */
export function pipeWords(bank: number, sensor: number | null, engine: EngineMatch): string {
  const [family] = engine.families;
  if (sensor === null || !family || engine.by !== 'family') return '';
  const words: string[] = [];
  if (family.catalyst === 'close')
    words.push(
      `On most of these (from memory) the catalyst sits right at the head or in the manifold, so both sensors are a hand or two apart: ${sensor === 1 ? 'the one nearer the head is sensor 1' : 'the one farther from the head is sensor 2'}.`,
    );
  if (family.catalyst === 'pre')
    words.push(
      `On most of these (from memory) a small first catalyst sits close to the engine and the main one under the floor; ${sensor === 1 ? 'sensor 1 is ahead of the small one' : 'sensor 2 is behind the small one'}.`,
    );
  if (engine.banks === 2) words.push(joinedWords(bank, sensor, family));
  return words.filter((word) => word !== '').join(' ');
}

function joinedWords(bank: number, sensor: number, family: EngineFamily): string {
  const fewest = family.sensors?.[0] ?? 4;
  if (family.pipes === 'crossover')
    return bank === 2
      ? 'On most of these both banks join ahead of a single front sensor, which counts as bank 1; check that the code is of this car.'
      : 'On most of these both banks join ahead of it: a single front sensor and a single rear one, both counted as bank 1.';
  if (family.pipes === 'y-pipe' && sensor === 2)
    return bank === 2
      ? 'Both banks join ahead of one catalyst here: the only rear sensor counts as bank 1.'
      : 'Both banks join ahead of one catalyst, so it is the only rear sensor.';
  if (family.pipes !== 'unknown' && family.pipes !== 'separate') return '';
  if (sensor === 2 && fewest < 4) return 'Some of these have a single rear sensor for both banks; it counts as bank 1.';
  return sensor === 1 && fewest < 3
    ? 'Some of these have a single front sensor for both banks; it counts as bank 1.'
    : '';
}

export function exhaustWords(engine: EngineMatch): string {
  const [side, ...others] = new Set(engine.families.map((family) => family.exhaustSide));
  if (!side || side === 'unknown' || others.length > 0) return '';
  const words = {
    firewall: 'on the cabin side of the engine',
    radiator: 'on the radiator side of the engine',
    right: `on the right of the engine ${viewpoint}`,
    left: `on the left of the engine ${viewpoint}`,
  }[side];
  const memory = engine.source === 'from memory' ? ' (from memory: look before you buy)' : '';
  return `The exhaust of this engine leaves ${words}${memory}.`;
}

export function accessWords(sensor: number | null, engine: EngineMatch): string {
  if (sensor === null) return '';
  return sensor >= 2 ? 'It is usually reached from below, on stands.' : (engine.layout?.access ?? '');
}

export function noteWords(engine: EngineMatch): string {
  const note = engine.families[0]?.note;
  return note ? ` (${note})` : '';
}

export function noteSentence(engine: EngineMatch): string {
  const note = engine.families.length === 1 ? engine.families[0]?.note : undefined;
  return note ? `${capital(note)}.` : '';
}

export function sayFamilies(families: readonly EngineFamily[], bank: number): string {
  return families
    .slice(0, 3)
    .map((family) => `${familyName(family)}: ${sayFamilyBank(family, bank)}`)
    .join('; ');
}

function sayFamilyBank(family: EngineFamily, bank: number): string {
  if (family.banks === 1) return bank === 1 ? 'one bank, all of it bank 1' : 'one bank, so no bank 2';
  const sides = sideOfBank[family.bankOne];
  return sides ? `bank ${bank} is ${sides[bank === 1 ? 0 : 1]}` : 'the side must be looked up';
}

/** "the Toyota 1MZ V6", the car itself when several of its engines agree, or the layout in words. */
export function carName(engine: EngineMatch): string {
  const [family, ...others] = engine.families;
  if (!family) return engine.layout?.name ?? 'this engine';
  if (others.length === 0) return `the ${familyName(family)}`;
  return engine.vehicle ? `the ${engine.vehicle}` : `this ${family.maker}`;
}

/** The family's own name says what it is when it holds a count or a layout; else the layout is added. */
function familyName(family: EngineFamily): string {
  const name = `${family.maker} ${family.family}`;
  if (/\b(v\d|v-?6|vr6|four|five|six|flat|rotary)\b/i.test(name)) return name;
  const count = family.cylinders ?? '';
  const kind = { inline: `in-line ${count}`, v: `V${count}`, flat: `flat ${count}`, w: `W${count}`, rotary: 'rotary' };
  return `${name} (${kind[family.layout].trim()} engine)`;
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

export function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}
