// Where a bank and sensor are, in words, with the viewpoint, how sure that is and how to prove it. locate.ts calls it.
import type { EngineFamily } from '../knowledge/schema/engine-family.ts';
import type { Where } from '../vocabulary/answer-document.ts';
import type { BankOneSide, EngineMatch } from './match-engine.ts';

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

/** One bank, or one sensor of one bank (`sensor` null for the bank as such). */
export function describeSensor(item: string, bank: number, sensor: number | null, engine: EngineMatch): Where {
  const where = (text: string, certainty: Where['certainty']): Where => ({
    item,
    text,
    certainty,
    picture: null,
    source: engine.source,
  });
  const name = capital(nameOf(bank, sensor));
  const car = carName(engine);
  if (engine.by === 'none') {
    return where(
      `${name}: ${lower(rule)}; ${sensorWords(sensor, null)}Which side that is depends on the engine: tell me make, model, year, engine size and number of cylinders. ${proof}`,
      'ask',
    );
  }
  if (engine.by === 'several') {
    return where(
      `${name}: ${lower(rule)}. This car came with engines that differ: ${sayFamilies(engine.families, bank)}. Which one is yours (size and number of cylinders)? ${sensorWords(sensor, engine)}`.trim(),
      'ask',
    );
  }
  if (engine.banks === 1) {
    if (bank > 1) {
      return where(
        `${car} has only one bank, so there is no ${nameOf(bank, sensor)} on it: please check the code’s exact number and the number of cylinders. If the code stands, the part or the control unit may be a different one than expected.`,
        'ask',
      );
    }
    const only =
      engine.bankOne === 'front-cylinders' ? '' : `${name}: ${car} has a single bank, so everything on it is bank 1; `;
    return where(
      `${only}${sensorWords(sensor, engine)}${exhaustWords(engine)}${accessWords(sensor, engine)}`.trim(),
      'certain',
    );
  }
  if (bank > (engine.banks ?? 2)) {
    return where(
      `${car} has ${engine.banks} banks, so there is no ${nameOf(bank, sensor)}: please check the code’s exact number.`,
      'ask',
    );
  }
  const sides = sideOfBank[engine.bankOne];
  if (!sides || bank > 2 || engine.confidence < tooUnsure) {
    return where(
      `${name}: ${lower(rule)}; for ${car} I have no reliable source for the side${noteWords(engine)}. ${sensorWords(sensor, engine)}${proof}`,
      'ask',
    );
  }
  const cylinders =
    bank === 1 && engine.families[0]?.bankOneCylinders ? ` (cylinders ${engine.families[0].bankOneCylinders})` : '';
  const memory =
    engine.by === 'family' && engine.source === 'from memory' ? ' From memory: check the service information.' : '';
  const unsure = engine.confidence < sureEnough || sensor === 1;
  return where(
    `${name}: bank ${bank} on ${car} is ${sides[bank - 1]}${cylinders}; ${sensorWords(sensor, engine)}${accessWords(sensor, engine)}${noteWords(engine, true)}${memory} ${unsure ? proof : ''}`
      .replace(/ {2,}/g, ' ')
      .trim(),
    engine.confidence >= 0.95 && memory === '' && engine.by === 'family' ? 'certain' : 'likely',
  );
}

/** A sensor whose bank was not named, or the sensors in general. */
export function describeSensorRow(item: string, sensor: number | null, engine: EngineMatch): Where {
  const one = engine.banks === 1;
  const banks = one ? '' : ' An engine with two banks has a set on each; bank 1 is the one that holds cylinder 1.';
  const text =
    sensor === null
      ? `Oxygen sensors: sensor 1 sits in the exhaust close to the engine, often in the manifold, ahead of the catalyst; sensor 2 sits behind the first catalyst or in the middle of it, farther from the engine.${banks}`
      : `${sensor === 1 ? 'The front sensor' : 'The rear sensor'}: ${sensorWords(sensor, engine)}${banks}`;
  return {
    item,
    text: `${text.trim()} ${one ? exhaustWords(engine) : ''}${accessWords(sensor ?? 1, engine)}`.trim(),
    certainty: engine.by === 'none' ? 'ask' : 'likely',
    picture: null,
    source: engine.source,
  };
}

function nameOf(bank: number, sensor: number | null): string {
  return sensor === null ? `bank ${bank}` : `bank ${bank} sensor ${sensor}`;
}

/** Sensor numbers run along the exhaust: 1 ahead of the catalyst, 2 behind it. */
function sensorWords(sensor: number | null, engine: EngineMatch | null): string {
  if (sensor === null) return '';
  const layout = engine?.layout;
  if (sensor === 1)
    return `sensor 1 is ${layout?.upstream ?? 'ahead of the catalyst, the one closest to the engine'}. `;
  if (sensor === 2)
    return `sensor 2 is ${layout?.downstream ?? 'behind the first catalyst or in the middle of it, farther from the engine'}. `;
  return `sensor ${sensor} is farther back still, behind a second catalyst; few cars have one. `;
}

function exhaustWords(engine: EngineMatch): string {
  const sides = new Set(engine.families.map((family) => family.exhaustSide));
  const [side] = sides;
  if (sides.size !== 1 || !side || side === 'unknown') return '';
  const words = {
    firewall: 'on the cabin side of the engine',
    radiator: 'on the radiator side of the engine',
    right: `on the right of the engine ${viewpoint}`,
    left: `on the left of the engine ${viewpoint}`,
  }[side];
  return `The exhaust of this engine leaves ${words}. `;
}

function accessWords(sensor: number | null, engine: EngineMatch): string {
  if (sensor === null || !engine.layout?.access) return '';
  return sensor >= 2 ? 'It is usually reached from below, on stands. ' : `${engine.layout.access} `;
}

function noteWords(engine: EngineMatch, asSentence = false): string {
  const note = engine.families[0]?.note;
  if (!note) return '';
  return asSentence ? ` ${capital(note)}.` : ` (${note})`;
}

function sayFamilies(families: readonly EngineFamily[], bank: number): string {
  return families
    .slice(0, 3)
    .map((family) => {
      const sides = sideOfBank[family.bankOne];
      const where =
        family.banks === 1
          ? bank === 1
            ? 'one bank, all of it bank 1'
            : 'one bank, so no bank 2'
          : sides
            ? `bank ${bank} is ${sides[bank === 1 ? 0 : 1]}`
            : 'the side must be looked up';
      return `${familyName(family)}: ${where}`;
    })
    .join('; ');
}

/** "the Toyota 1MZ (V6)", or "an engine of this layout" in the layout's own words. */
function carName(engine: EngineMatch): string {
  const family = engine.families[0];
  if (family && engine.families.length === 1) return `the ${familyName(family)}`;
  if (family)
    return `these engines (${[...new Set(engine.families.map((item) => item.maker))].slice(0, 2).join(', ')})`;
  return engine.layout ? engine.layout.name : 'this engine';
}

function familyName(family: EngineFamily): string {
  const kind = { inline: 'in-line', v: 'V', flat: 'flat', w: 'W', rotary: 'rotary' }[family.layout];
  const count =
    family.cylinders === null
      ? ''
      : family.layout === 'v' || family.layout === 'w'
        ? `${family.cylinders}`
        : ` ${family.cylinders}`;
  return `${family.maker} ${family.family} (${kind}${count})`;
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}
