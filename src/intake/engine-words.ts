// Words by which posts describe an engine: layout and cylinders, mounting, fuel, air metering, charging. read-engine.ts puts them together.
import type { EngineFinding } from '../vocabulary/findings.ts';
import { buildPhraseTable, matchPhrase } from './phrase-table.ts';
import type { Token } from './tokens.ts';

export type EngineFields = Partial<
  Pick<
    EngineFinding,
    'layout' | 'cylinders' | 'displacement' | 'mounting' | 'fuel' | 'vehicle' | 'year' | 'airMetering' | 'induction'
  >
>;

export interface EngineMark {
  readonly first: number;
  readonly last: number;
  readonly fields: EngineFields;
}

const counts: ReadonlyArray<readonly [number, readonly string[]]> = [
  [2, ['2', 'two', 'twin']],
  [3, ['3', 'three', 'triple']],
  [4, ['4', 'four']],
  [5, ['5', 'five']],
  [6, ['6', 'six']],
  [8, ['8', 'eight']],
  [10, ['10', 'ten']],
  [12, ['12', 'twelve']],
];

function phrases(): Array<readonly [string, EngineFields]> {
  const list: Array<readonly [string, EngineFields]> = [];
  for (const [cylinders, words] of counts) {
    for (const word of words) {
      if (word === 'twin' || word === 'triple') continue;
      for (const form of [
        `${word} cylinder`,
        `${word} cyl`,
        `${word}cyl`,
        `${word} cylinders`,
        `${word} cylinder engine`,
        `${word} banger`,
        `${word}banger`,
        `${word} cly`,
        `${word} clyinder`,
        `${word} cylender`,
        `${word} cilinder`,
      ])
        list.push([form, { cylinders }]);
      if (cylinders <= 8)
        for (const form of [
          `inline ${word}`,
          `in line ${word}`,
          `straight ${word}`,
          `inline ${word} cylinder`,
          `inline ${word} cyl`,
          `inline${word}`,
          `slant ${word}`,
          `${word} cylinder inline`,
          `${word} in line`,
        ])
          list.push([form, { layout: 'inline', cylinders }]);
      for (const form of [
        `flat ${word}`,
        `boxer ${word}`,
        `flat${word}`,
        `${word} cylinder boxer`,
        `opposed ${word}`,
        `h ${word}`,
      ])
        if (cylinders !== 3 && cylinders !== 5 && form[0] !== 'h') list.push([form, { layout: 'flat', cylinders }]);
      if (cylinders >= 4 && word.length <= 2)
        for (const form of [`v${word}`, `v ${word}`]) list.push([form, { layout: 'v', cylinders }]);
      if (cylinders >= 4)
        for (const form of [`v ${word}`, `vee ${word}`]) list.push([form, { layout: 'v', cylinders }]);
      if ((cylinders === 8 || cylinders === 12) && word.length <= 2)
        list.push([`w${word}`, { layout: 'w', cylinders }]);
    }
  }
  for (const cylinders of [3, 4, 5, 6]) {
    list.push([`i${cylinders}`, { layout: 'inline', cylinders }], [`l${cylinders}`, { layout: 'inline', cylinders }]);
  }
  list.push(
    ['boxer', { layout: 'flat' }],
    ['boxer engine', { layout: 'flat' }],
    ['horizontally opposed', { layout: 'flat' }],
    ['h4', { layout: 'flat', cylinders: 4 }],
    ['h6', { layout: 'flat', cylinders: 6 }],
    ['vr6', { layout: 'v', cylinders: 6 }],
    ['vr5', { layout: 'v', cylinders: 5 }],
    ['rotary', { layout: 'rotary' }],
    ['rotary engine', { layout: 'rotary' }],
    ['wankel', { layout: 'rotary' }],
    ['inline engine', { layout: 'inline' }],
    ['hemi', { layout: 'v', cylinders: 8 }],
    ['four banger', { cylinders: 4 }],
    ['with the six', { cylinders: 6 }],
    ['with a six', { cylinders: 6 }],
    ['with the four', { cylinders: 4 }],
    ['with a four', { cylinders: 4 }],
    ['the 454', { layout: 'v', cylinders: 8 }],
    ['the 460', { layout: 'v', cylinders: 8 }],
    ['350 v8', { layout: 'v', cylinders: 8 }],
    ['transverse', { mounting: 'transverse' }],
    ['transversely', { mounting: 'transverse' }],
    ['east west', { mounting: 'transverse' }],
    ['sideways engine', { mounting: 'transverse' }],
    ['longitudinal', { mounting: 'longitudinal' }],
    ['longitudinally', { mounting: 'longitudinal' }],
    ['north south', { mounting: 'longitudinal' }],
    ['diesel', { fuel: 'diesel' }],
    ['tdi', { fuel: 'diesel' }],
    ['turbodiesel', { fuel: 'diesel', induction: 'boosted' }],
    ['turbo diesel', { fuel: 'diesel', induction: 'boosted' }],
    ['petrol engine', { fuel: 'petrol' }],
    ['petrol car', { fuel: 'petrol' }],
    ['petrol', { fuel: 'petrol' }],
    ['gasoline', { fuel: 'petrol' }],
    ['gas engine', { fuel: 'petrol' }],
    ['gasoline engine', { fuel: 'petrol' }],
    ['its petrol', { fuel: 'petrol' }],
    ['on petrol', { fuel: 'petrol' }],
    ['e85', { fuel: 'e85' }],
    ['flex fuel', { fuel: 'e85' }],
    ['flexfuel', { fuel: 'e85' }],
    ['ffv', { fuel: 'e85' }],
    ['lpg', { fuel: 'lpg' }],
    ['autogas', { fuel: 'lpg' }],
    ['propane conversion', { fuel: 'lpg' }],
    ['runs on propane', { fuel: 'lpg' }],
    ['cng', { fuel: 'cng' }],
    ['natural gas', { fuel: 'cng' }],
    ['hybrid', { fuel: 'hybrid' }],
    ['turbo', { induction: 'boosted' }],
    ['turbocharged', { induction: 'boosted' }],
    ['turbo charged', { induction: 'boosted' }],
    ['twin turbo', { induction: 'boosted' }],
    ['biturbo', { induction: 'boosted' }],
    ['supercharged', { induction: 'boosted' }],
    ['super charged', { induction: 'boosted' }],
    ['supercharger', { induction: 'boosted' }],
    ['kompressor', { induction: 'boosted' }],
    ['tfsi', { induction: 'boosted' }],
    ['tsi', { induction: 'boosted' }],
    ['ecoboost', { induction: 'boosted' }],
    ['not turbo', { induction: 'natural' }],
    ['non turbo', { induction: 'natural' }],
    ['no turbo', { induction: 'natural' }],
    ['not a turbo', { induction: 'natural' }],
    ['not the turbo', { induction: 'natural' }],
    ['without turbo', { induction: 'natural' }],
    ['naturally aspirated', { induction: 'natural' }],
    ['normally aspirated', { induction: 'natural' }],
    ['speed density', { airMetering: 'manifold-pressure' }],
    ['no maf', { airMetering: 'manifold-pressure' }],
    ["doesn't have a maf", { airMetering: 'manifold-pressure' }],
    ["doesn't have maf", { airMetering: 'manifold-pressure' }],
    ['has no maf', { airMetering: 'manifold-pressure' }],
    ['no air flow meter', { airMetering: 'manifold-pressure' }],
    ['no air meter', { airMetering: 'manifold-pressure' }],
    ['no mass air flow', { airMetering: 'manifold-pressure' }],
    ['no airflow meter', { airMetering: 'manifold-pressure' }],
    ['uses a map sensor', { airMetering: 'manifold-pressure' }],
    ['map based', { airMetering: 'manifold-pressure' }],
    ['maf', { airMetering: 'air-meter' }],
    ['maf sensor', { airMetering: 'air-meter' }],
    ['mass air flow', { airMetering: 'air-meter' }],
    ['mass air flow sensor', { airMetering: 'air-meter' }],
    ['mass airflow', { airMetering: 'air-meter' }],
    ['air flow meter', { airMetering: 'air-meter' }],
    ['airflow meter', { airMetering: 'air-meter' }],
    ['air mass meter', { airMetering: 'air-meter' }],
    ['afm', { airMetering: 'air-meter' }],
  );
  return list;
}

const table = buildPhraseTable<EngineFields>(phrases());

/** Engine words in order of place; of overlapping ones the longest. */
export function findEngineWords(tokens: readonly Token[]): EngineMark[] {
  const marks: EngineMark[] = [];
  for (let index = 0; index < tokens.length; ) {
    const found = matchPhrase(table, tokens, index);
    if (!found) {
      index += 1;
      continue;
    }
    if (isWhole(tokens, index, found.last) && !isElse(tokens, index, found.last, found.value))
      marks.push({ first: index, last: found.last, fields: found.value });
    index = found.last;
  }
  return marks;
}

/** Whether the phrase is no part of a longer chunk ("v6er", "cyl456"). */
function isWhole(tokens: readonly Token[], first: number, last: number): boolean {
  const before = tokens[first - 1];
  const after = tokens[last];
  // "3.5v6" and "2.0l4": a number may be glued in front.
  if (before && !tokens[first]!.spaced && before.kind === 'word') return false;
  return !(
    after &&
    !after.spaced &&
    (after.kind === 'word' || after.kind === 'number') &&
    tokens[last - 1]!.kind === 'number'
  );
}

/** The same words with another meaning: "cylinder 4", "turbo seals", "diesel smell", "6 cylinders misfire". */
function isElse(tokens: readonly Token[], first: number, last: number, fields: EngineFields): boolean {
  const before = tokens[first - 1]?.text ?? '';
  const after = tokens[last]?.text ?? '';
  if (fields.cylinders && !fields.layout)
    return (
      (/^(all|of|on|number|cylinder|other|last|only|the)$/.test(before) &&
        !/^(engine|car|motor|version|,|with)$/.test(after) &&
        /s$/.test(tokens[last - 1]!.text)) ||
      (/^(and|misfire|misfires|misfiring)$/.test(after) && /^(on|in)$/.test(before))
    );
  if (fields.induction === 'boosted')
    return (
      /^(timer|lag|seal|seals|oil|blanket|like)$/.test(after) ||
      (/^(a|fit|fitting|add|adding|want)$/.test(before) && /^(kit|conversion)$/.test(after))
    );
  if (fields.fuel === 'diesel')
    return (
      /^(like|smells?|smelling|mechanic|rattle|sounding|clatter|sound|knock|additive|oil|exhaust|fumes|powered|fuel)$/.test(
        after,
      ) ||
      /^(not|no|smell|smells|of|than|non|like)$/.test(before) ||
      (/^(a|like|some)$/.test(before) && tokens[first - 2]?.text === 'like')
    );
  // "Petrol, not a turbo" and "1.6 petrol" describe the car; a smell or a tank of petrol does not.
  if (fields.fuel === 'petrol' && last === first + 1)
    return !(
      /^[,.]$|^(manual|auto|automatic|estate|hatchback|saloon|version|model)$|^$/.test(after) &&
      (tokens[first - 1] === undefined ||
        tokens[first - 1]!.kind !== 'word' ||
        /^(l|litre|liter|v|i|its|is|valve|turbo)$/.test(before))
    );
  if (fields.layout === 'flat' && fields.cylinders === undefined) return /^(shorts|van|crate)$/.test(after);
  return false;
}
