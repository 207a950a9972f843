// Whether a post has to do with a car at all, whatever its trouble: brakes and airbags are cars, taxes and recipes are not.
// read-post.ts asks where no reader found anything.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { buildPatterns, matchPatterns, type WordPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';

const carWords = stemSet(
  'car cars truck van suv vehicle engine motor gearbox transmission clutch brake brakes airbag steering suspension tyre tire wheel wheels ' +
    'exhaust petrol gasoline diesel fuel mileage mpg mot smog dashboard bonnet hood windscreen windshield wiper headlight battery alternator ' +
    'starter radiator coolant thermostat driving drive driver mechanic garage dealer obd ecu sensor lambda catalyst catalytic turbo carburettor ' +
    'carburetor ignition spark plug coil injector throttle idle rpm revs misfire stall cylinder camshaft crankshaft gasket bumper automatic manual',
);
/** One of these words alone may stand in any text. */
const alsoElsewhere = stemSet(
  'drive driver driving manual automatic garage hood dealer spark plug battery motor fuel steering sensor',
);

/** Things of a house that leak, stall, smoke and overheat as cars do. */
const household = stemSet(
  'dishwasher washer dryer fridge refrigerator freezer boiler oven cooker microwave kettle toilet sink shower laptop printer television dehumidifier',
);

/** True when the post names a thing of the house as what is wrong; with no word of a car its symptoms are that thing's. Linear. */
export function isAboutHousehold(words: readonly Word[]): boolean {
  return words.some(
    ({ key }, index) => household.has(key) || (/^wash/.test(key) && /^machin/.test(words[index + 1]?.key ?? '')),
  );
}

const tables = new WeakMap<Knowledge, WordPatterns<true>>();

/** True when the post names a car, a part of one, or something that is done with one. Linear. */
export function isAboutCar(words: readonly Word[], knowledge: Knowledge): boolean {
  const made =
    tables.get(knowledge) ??
    buildPatterns(
      knowledge.parts.flatMap((part) =>
        part.words.filter((word) => word.includes(' ')).map((word): [string, true] => [word, true]),
      ),
    );
  tables.set(knowledge, made);
  let hints = 0;
  for (let index = 0; index < words.length; index += 1) {
    const { key } = words[index]!;
    if (matchPatterns(made, words, index).length > 0) return true;
    if (!carWords.has(key)) continue;
    if (!alsoElsewhere.has(key)) return true;
    hints += 1;
    if (hints >= 2) return true;
  }
  return false;
}
