// Where a bank and sensor are, in words, with the viewpoint, how sure that is and how to prove it. locate.ts calls it.
import type { EngineFamily } from '../knowledge/schema/engine-family.ts';
import type { Where } from '../vocabulary/answer-document.ts';
import type { BankOneSide, EngineMatch } from './match-engine.ts';
import { bayOfEngine } from './pictures/bay-of-engine.ts';
import { picturePath } from './pictures/picture.ts';

/** Below this the owner is told how to prove it before buying a part. */
const sureEnough = 0.9;
/** Below this the side is not named as a fact at all. */
const tooUnsure = 0.6;

const proof =
  'To prove it before you buy: engine off and cold, unplug the front sensor that is easiest to reach, key on, and see which bank and sensor goes dead in the readings; plug it back.';
const viewpoint = 'as seen from the driver’s seat facing forward';
const rule = 'Bank 1 is the bank that holds cylinder 1';

const sideOfBank: Readonly<Record<BankOneSide, readonly [string, string] | null>> = {
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

/**
 * One bank, or one sensor of one bank (`sensor` null for the bank as such).
 *
 * @param withProof whether to say how an owner proves it; once in an answer is enough
 */
export function describeSensor(
  item: string,
  bank: number,
  sensor: number | null,
  engine: EngineMatch,
  withProof = true,
): Where {
  const { text, certainty } = sayBankAndSensor(bank, sensor, engine, withProof ? ` ${proof}` : '');
  const bay = bayOfEngine(engine, bank, sensor);
  const picture = bay ? picturePath({ kind: 'bay', bay }) : null;
  return { item, text: tidy(text), certainty, picture, source: engine.source };
}

function sayBankAndSensor(
  bank: number,
  sensor: number | null,
  engine: EngineMatch,
  howToProve: string,
): Pick<Where, 'text' | 'certainty'> {
  const name = capital(nameOf(bank, sensor));
  const car = carName(engine);
  if (engine.by === 'none') {
    return {
      text: `${name}: ${rule}. ${sensorWords(sensor, engine)} Which side that is depends on the engine: tell me make, model, year, engine size and number of cylinders.${howToProve}`,
      certainty: 'ask',
    };
  }
  if (engine.by === 'several') {
    return {
      text: `${name}: ${rule}. This car came with engines that differ: ${sayFamilies(engine.families, bank)}. Which one is yours (size and number of cylinders)? ${sensorWords(sensor, engine)}`,
      certainty: 'ask',
    };
  }
  if (bank > (engine.banks ?? 2)) {
    const count = engine.banks === 1 ? 'only one bank' : `only ${engine.banks} banks`;
    return {
      text: `${capital(car)} has ${count}, so there is no ${nameOf(bank, sensor)} on it. Please check the exact number of the code and tell me engine size and number of cylinders.`,
      certainty: 'ask',
    };
  }
  if (engine.banks === 1) {
    return {
      text: `${name}: ${car} has a single bank, so everything on it is bank 1. ${sensorWords(sensor, engine)} ${exhaustWords(engine)} ${accessWords(sensor, engine)}`,
      certainty: engine.confidence >= sureEnough || engine.by === 'family' ? 'certain' : 'likely',
    };
  }
  const sides = sideOfBank[engine.bankOne];
  if (!sides || bank > 2 || engine.confidence < tooUnsure) {
    const side =
      engine.by === 'family'
        ? `for ${car} I have no reliable source for the side${noteWords(engine)}`
        : `on ${car} it is ${engine.layout?.bankOne ?? 'different by maker'}. Make, model, year and engine would tell`;
    return { text: `${name}: ${rule}; ${side}. ${sensorWords(sensor, engine)}${howToProve}`, certainty: 'ask' };
  }
  const numbers = bank === 1 ? engine.families[0]?.bankOneCylinders : null;
  const fromMemory = engine.by === 'family' && engine.source === 'from memory';
  const unsure = engine.confidence < sureEnough || fromMemory || sensor === 1;
  return {
    text: `${name}: bank ${bank} on ${car} is ${sides[bank - 1]}${numbers ? ` (cylinders ${numbers})` : ''}. ${sensorWords(sensor, engine)} ${accessWords(sensor, engine)} ${noteSentence(engine)} ${fromMemory ? 'This is from memory: check the service information.' : ''}${unsure ? howToProve : ''}`,
    certainty: engine.confidence >= 0.95 && engine.by === 'family' && !fromMemory ? 'certain' : 'likely',
  };
}

/** A sensor whose bank was not named, or the sensors in general (`sensor` null). */
export function describeSensorRow(item: string, sensor: number | null, engine: EngineMatch): Where {
  const banks =
    engine.banks === 1 ? exhaustWords(engine) : `An engine with two banks has a set on each; ${lower(rule)}.`;
  const text =
    sensor === null
      ? `Oxygen sensors: sensor 1 sits in the exhaust close to the engine, often in the manifold, ahead of the catalyst; sensor 2 sits behind the first catalyst or in the middle of it, farther from the engine. ${banks}`
      : `${sensor === 1 ? 'The front (upstream) sensor' : 'The rear (downstream) sensor'}: ${sensorWords(sensor, engine)} ${banks} ${accessWords(sensor, engine)}`;
  return {
    item,
    text: tidy(text),
    certainty: engine.by === 'none' ? 'ask' : 'likely',
    picture: null,
    source: engine.source,
  };
}

function nameOf(bank: number, sensor: number | null): string {
  return sensor === null ? `bank ${bank}` : `bank ${bank} sensor ${sensor}`;
}

/** Sensor numbers run along the exhaust: 1 ahead of the catalyst, 2 behind it. */
function sensorWords(sensor: number | null, engine: EngineMatch): string {
  if (sensor === null) return '';
  const { layout } = engine;
  if (sensor === 1) return `Sensor 1 is ${layout?.upstream ?? 'ahead of the catalyst, the one closest to the engine'}.`;
  if (sensor === 2)
    return `Sensor 2 is ${layout?.downstream ?? 'behind the first catalyst or in the middle of it, farther from the engine'}.`;
  return `Sensor ${sensor} is farther back still, behind a second catalyst; few cars have one.`;
}

function exhaustWords(engine: EngineMatch): string {
  const [side, ...others] = new Set(engine.families.map((family) => family.exhaustSide));
  if (!side || side === 'unknown' || others.length > 0) return '';
  const words = {
    firewall: 'on the cabin side of the engine',
    radiator: 'on the radiator side of the engine',
    right: `on the right of the engine ${viewpoint}`,
    left: `on the left of the engine ${viewpoint}`,
  }[side];
  return `The exhaust of this engine leaves ${words}.`;
}

function accessWords(sensor: number | null, engine: EngineMatch): string {
  if (sensor === null) return '';
  return sensor >= 2 ? 'It is usually reached from below, on stands.' : (engine.layout?.access ?? '');
}

function noteWords(engine: EngineMatch): string {
  const note = engine.families[0]?.note;
  return note ? ` (${note})` : '';
}

function noteSentence(engine: EngineMatch): string {
  const note = engine.families.length === 1 ? engine.families[0]?.note : undefined;
  return note ? `${capital(note)}.` : '';
}

function sayFamilies(families: readonly EngineFamily[], bank: number): string {
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
function carName(engine: EngineMatch): string {
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

function tidy(text: string): string {
  return text.replace(/ {2,9}/g, ' ').trim();
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}
