// Where a bank and sensor are, in words, with the viewpoint, how sure that is and how to prove it. locate.ts calls it.
import type { Where } from '../vocabulary/answer-document.ts';
import type { EngineMatch } from './match-engine.ts';
import { bayOfEngine } from './pictures/bay-of-engine.ts';
import { picturePath } from './pictures/picture.ts';
import {
  accessWords,
  capital,
  carName,
  exhaustWords,
  lower,
  noteSentence,
  noteWords,
  pipeWords,
  sayFamilies,
  sensorWords,
  sideOfBank,
} from './say-engine.ts';

/** Below this the owner is told how to prove it before buying a part. */
const sureEnough = 0.9;
/** Below this the side is not named as a fact at all. */
const tooUnsure = 0.6;

const proof =
  'To prove it before you buy: engine off and cold, unplug the front sensor that is easiest to reach, key on, and see which bank and sensor goes dead in the readings; plug it back.';
const rule = 'Bank 1 is the bank that holds cylinder 1';

/** What the US register adds to an engine's description. */
export interface RegisterWords {
  /** How a gap was filled; null when none was. */
  readonly says: string | null;
  /** What the car came with, where that is more than one kind. */
  readonly choices: string | null;
}

/**
 * One bank, or one sensor of one bank (`sensor` null for the bank as such).
 *
 * @param withProof whether to say how an owner proves it; once in an answer is enough
 * @param register  what the register knows of the car
 */
export function describeSensor(
  item: string,
  bank: number,
  sensor: number | null,
  engine: EngineMatch,
  withProof = true,
  register: RegisterWords = { says: null, choices: null },
): Where {
  const { text, certainty } = sayBankAndSensor(bank, sensor, engine, withProof ? ` ${proof}` : '', register);
  const bay = bayOfEngine(engine, bank, sensor);
  const picture = bay ? picturePath({ kind: 'bay', bay }) : null;
  return { item, text: tidy(text), certainty, picture, source: engine.source };
}

function sayBankAndSensor(
  bank: number,
  sensor: number | null,
  engine: EngineMatch,
  howToProve: string,
  register: RegisterWords,
): Pick<Where, 'text' | 'certainty'> {
  const name = capital(nameOf(bank, sensor));
  const car = carName(engine);
  const choices = register.choices === null ? '' : `In the US register it came with ${register.choices}.`;
  const says = register.says ?? '';
  if (engine.by === 'none') {
    const ask =
      register.choices === null
        ? 'tell me make, model, year, engine size and number of cylinders.'
        : `${choices.replace(/\.$/, '')}: which is yours?`;
    return {
      text: `${name}: ${rule}. ${sensorWords(sensor, engine)} Which side that is depends on the engine: ${ask}${howToProve}`,
      certainty: 'ask',
    };
  }
  if (engine.by === 'several') {
    return {
      text: `${name}: ${rule}. This car came with engines that differ: ${sayFamilies(engine.families, bank)}. ${choices} Which one is yours (size and number of cylinders)? ${sensorWords(sensor, engine)}`,
      certainty: 'ask',
    };
  }
  if (bank > (engine.banks ?? 2)) {
    const count = engine.banks === 1 ? 'only one bank' : `only ${engine.banks} banks`;
    return {
      text: `${capital(car)} has ${count}, so there is no ${nameOf(bank, sensor)} on it. ${choices} Please check the exact number of the code and tell me engine size and number of cylinders.`,
      certainty: 'ask',
    };
  }
  if (engine.banks === 1) {
    return {
      text: `${name}: ${car} has a single bank, so everything on it is bank 1. ${says} ${sensorWords(sensor, engine)} ${pipeWords(bank, sensor, engine)} ${exhaustWords(engine)} ${accessWords(sensor, engine)}`,
      certainty: engine.confidence >= sureEnough || engine.by === 'family' ? 'certain' : 'likely',
    };
  }
  const sides = sideOfBank[engine.bankOne];
  if (!sides || bank > 2 || engine.confidence < tooUnsure) {
    const side =
      engine.by === 'family'
        ? `for ${car} I have no reliable source for the side${noteWords(engine)}`
        : `on ${car} it is ${engine.layout?.bankOne ?? 'different by maker'}. Make, model, year and engine would tell`;
    const finding = engine.layout ? `Cylinder 1 is ${lower(engine.layout.cylinderOne)}.` : '';
    return {
      text: `${name}: ${rule}; ${side}. ${finding} ${sensorWords(sensor, engine)}${howToProve}`,
      certainty: 'ask',
    };
  }
  const counted = new Set(engine.families.map((family) => family.bankOneCylinders));
  const numbers = bank === 1 && counted.size === 1 ? [...counted][0] : null;
  const fromMemory = engine.by === 'family' && engine.source === 'from memory';
  const unsure = engine.confidence < sureEnough || fromMemory || sensor === 1;
  return {
    text: `${name}: bank ${bank} on ${car} is ${sides[bank - 1]}${numbers ? ` (cylinders ${numbers})` : ''}. ${says} ${sensorWords(sensor, engine)} ${pipeWords(bank, sensor, engine)} ${accessWords(sensor, engine)} ${noteSentence(engine)} ${fromMemory ? 'This is from memory: check the service information.' : ''}${unsure ? howToProve : ''}`,
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
      : `${sensor === 1 ? 'The front (upstream) sensor' : 'The rear (downstream) sensor'}: ${sensorWords(sensor, engine)} ${engine.banks === 1 ? pipeWords(1, sensor, engine) : ''} ${banks} ${accessWords(sensor, engine)}`;
  // On an engine of one bank the row is that bank's, so it can be drawn.
  const bay = engine.banks === 1 ? bayOfEngine(engine, 1, sensor ?? 1) : null;
  return {
    item,
    text: tidy(text),
    certainty: engine.by === 'none' ? 'ask' : 'likely',
    picture: bay ? picturePath({ kind: 'bay', bay }) : null,
    source: engine.source,
  };
}

function nameOf(bank: number, sensor: number | null): string {
  return sensor === null ? `bank ${bank}` : `bank ${bank} sensor ${sensor}`;
}

function tidy(text: string): string {
  return text.replace(/ {2,9}/g, ' ').trim();
}
