// Whether the words at a place are denied: "no hiss, smoke or smell", "doesn't stall", "smoke: none". Works on words, not on
// clauses alone, because a denial runs over the commas of a list but not over "but". read-symptoms.ts asks for each match.
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';

/** `silent`: the words may be denied or not; nothing is read rather than the wrong thing. */
export type Polarity = 'present' | 'denied' | 'unsure' | 'silent';

const nominal = stemSet(
  'no without zero none neither nor nil lack absence minus not never nothing free nope cannot nobody cease quit stop',
);
/** How far back a negating word is looked for [words]. */
const reach = 22;

/** Words that begin another statement: a denial before them does not reach past them. */
const statementBreaks = stemSet(
  'but however although though because cause cuz since while until till yet except unless then instead whereas which thus therefore hence when whenever if once after so plus only otherwise',
);
/** A subject or a finite verb of its own ends the list that a denial runs over. */
const finite = stemSet(
  "it it's i i'm i've i'd we you he she they there there's that that's is are was were have do will would can has get run start come go keep feel need seem sound say tell see now",
);
/** Between the negation and the symptom: the negation is about something else, and the symptom is taken as given. */
const turnsAway = stemSet(
  'why because reason cause fix cure solve help eliminate change resolve rid improve improvement better best idea clue doubt wonder matter luck difference explain account worse long far yet enough address diagnose repair pinpoint figure find work understand answer explanation solution result effect affect normal good happy like unusual surprise source track trace reproduce duplicate replicate determine identify locate isolate like love enjoy',
);
const searching = stemSet('find locate identify track trace');
/** Directly after "not": "not only stalls", "not just smoke", "no longer than". */
const notOnly = stemSet('only just merely simply alone');
const habitual = stemSet('always every everytime each constantly continuously often usually all necessarily');
const someWords = stemSet('sure certain positive convinced clear');

export interface Denial {
  readonly polarity: Polarity;
  /** Index of the negating word; -1 when there is none. */
  readonly cue: number;
}

const isNegator = (key: string) => nominal.has(key) || key.endsWith("n't");

/**
 * Polarity of the words [first, last), whose own words may hold a negation ("won't start"): that one is part of them.
 *
 * @param raw   the tokens' own words, for their inflection
 * @param limit first word of the sentence
 * @param end   word after the sentence's last
 */
export function polarityOf(
  words: readonly Word[],
  raw: readonly string[],
  first: number,
  last: number,
  limit: number,
  end: number,
): Denial {
  const after = deniedAfter(words, last, end);
  const before = deniedBefore(words, raw, first, limit, end, last);
  if (before.polarity === 'denied' && isExcepted(words, last, end)) return { polarity: 'present', cue: before.cue };
  if (before.polarity !== 'present') return before;
  if (after >= 0) return { polarity: returns(words, after, end) ? 'present' : 'denied', cue: after };
  return before;
}

function deniedBefore(
  words: readonly Word[],
  raw: readonly string[],
  first: number,
  limit: number,
  end: number,
  last: number,
): Denial {
  const present: Denial = { polarity: 'present', cue: -1 };
  let commas = 0;
  let ands = 0;
  let ors = 0;
  let segmentIsFinite = false;
  let listBroken = false;
  const passed: string[] = [];
  for (let index = first - 1; index >= Math.max(limit, first - reach); index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === '\n') return present;
    if (insteadOf(words, index)) return first - index <= 4 ? { polarity: 'silent', cue: index } : present;
    if (key === ',') {
      commas += 1;
      if (segmentIsFinite) listBroken = true;
      segmentIsFinite = false;
      continue;
    }
    if (
      isNegator(key) &&
      !(key === 'stop' && !stopsSomething(words, index, first)) &&
      !(key === 'fre' && words[index + 1]?.key !== 'of')
    )
      return judge(index);
    if (statementBreaks.has(key) && !notOnlyAt(index) && !belongsToNegation(index)) return present;
    if (key === 'and') {
      ands += 1;
      if (segmentIsFinite) listBroken = true;
      segmentIsFinite = false;
    } else if (key === 'or') ors += 1;
    else {
      if (finite.has(key) && commas + ands > 0) listBroken = true;
      if (finite.has(key)) segmentIsFinite = true;
      passed.push(key);
    }
  }
  return present;

  function notOnlyAt(index: number): boolean {
    return notOnly.has(words[index]!.key) && isNegator(words[index - 1]?.key ?? '');
  }

  /** "Not yet", "never once". */
  function belongsToNegation(index: number): boolean {
    const { key } = words[index]!;
    return (key === 'yet' || key === 'onc') && isNegator(words[index - 1]?.key ?? '');
  }

  function judge(cue: number): Denial {
    const key = words[cue]!.key;
    if (key === 'nor' || key === 'neither') return listBroken && commas > 0 ? present : { polarity: 'denied', cue };
    if (commas > 0) {
      // Over a comma only inside a list closed by "or" or "nor", each item without a subject or verb of its own.
      if (listBroken || (segmentIsFinite && !verbal(key)) || !(ors > 0 || orFollows(words, last, end))) return present;
    }
    if (passed.some((word) => notOnly.has(word)) && notOnly.has(words[cue + 1]?.key ?? '')) return present;
    if (passed.some((word) => isNegator(word))) return present;
    if (passed.some((word) => someWords.has(word)))
      return { polarity: passed.includes('why') ? 'present' : 'unsure', cue };
    // "No trace of black smoke" denies it.
    const isTrace = words[cue + 1]?.key === 'trac' && words[cue + 2]?.key === 'of';
    const turned = passed.filter((word) => turnsAway.has(word) && !(isTrace && word === 'trac'));
    // "Couldn't find any leak" denies it; "couldn't find the leak", "any reason for the leak" do not.
    const isSearch = turned.length > 0 && turned.every((word) => searching.has(word)) && passed.includes('any');
    if (turned.length > 0 && !isSearch) return present;
    if (passed.some((word) => habitual.has(word)) && key !== 'never') return present;
    if (passed.some((word) => mild.has(word)) || (key !== 'no' && words[cue + 1]?.key === 'too'))
      return { polarity: 'unsure', cue };
    if (key === 'nothing' || key === 'nobodi') return passed.length > 3 ? present : { polarity: 'silent', cue };
    if (verbal(key) && isDefinite(first) && !perceives(passed)) return present;
    if (precededBy(cue, ['if', 'why', 'whether', 'can', 'could', 'would']) && key !== 'no')
      return { polarity: 'silent', cue };
    if (words[cue - 1]?.key === 'without' || isNegatorBefore(cue)) return present;
    if (ands > 0) return listBroken ? present : andJudged(key, cue);
    if (passed.length > 9) return { polarity: 'silent', cue };
    return { polarity: 'denied', cue };
  }

  /** "can't idle without stalling", "nothing I do stops the rough idle": two negations. */
  function isNegatorBefore(cue: number): boolean {
    if (words[cue]!.key !== 'without' && words[cue]!.key !== 'stop') return false;
    for (let index = cue - 1; index >= Math.max(limit, cue - 6); index -= 1) {
      const { key, barrier } = words[index]!;
      if (barrier || key === ',') return false;
      if (isNegator(key)) return true;
    }
    return false;
  }

  function precededBy(cue: number, keys: readonly string[]): boolean {
    return cue > limit && keys.includes(words[cue - 1]!.key);
  }

  /** "no X and Y": a list when the verb forms agree, else another statement; silent where it cannot be told. */
  function andJudged(key: string, cue: number): Denial {
    const form = raw[first] ?? '';
    const inflected = /(?:s|ed)$/.test(form) && !/(?:ss|us)$/.test(form);
    if (verbal(key) && inflected) return { polarity: 'present', cue: -1 };
    return { polarity: 'silent', cue };
  }

  function isDefinite(place: number): boolean {
    for (let index = place - 1; index >= Math.max(limit, place - 3); index -= 1) {
      const key = words[index]!.key;
      if (key === 'the' || key === 'my' || key === 'this' || key === 'that' || key === 'thes') return true;
      if (!words[index]!.filler) return false;
    }
    return false;
  }

  function perceives(list: readonly string[]): boolean {
    return list.some((word) => perceiving.has(word));
  }
}

/** "rather than stalling", "instead of black smoke". */
function insteadOf(words: readonly Word[], index: number): boolean {
  const { key } = words[index]!;
  const previous = words[index - 1]?.key;
  return (key === 'than' && previous === 'rather') || (key === 'of' && previous === 'instead');
}

const perceiving = stemSet('have get see notice show any smell hear feel');
const mild = stemSet('much bad terrible lots heavy severe excessive');
const plainNo = stemSet('none no nope nil never zero negative nada off');
/** Between "never" and "on": "never came on". */
const appearing = stemSet('come appear turn been show go');
const present = stemSet('there present visible anymore more all longer anywhere on lit illuminated');
const follows = stemSet('now after since when and with once but by completely');
const back = stemSet('back again return until till while temporarily');
const between = stemSet('have completely all seem now there');

const verbal = (key: string) => key.endsWith("n't") || key === 'not' || key === 'never' || key === 'cannot';

/** "stopped stalling", "stopped the smoke": a stop of the symptom, not a car that stopped. */
function stopsSomething(words: readonly Word[], index: number, first: number): boolean {
  for (let place = index + 1; place < first; place += 1) if (!words[place]!.filler) return false;
  return (
    first > index &&
    !isNegator(words[index - 1]?.key ?? '') &&
    !(words[index - 1]?.key === 'to' || words[index - 1]?.key === 'i')
  );
}

/** Whether an "or" or "nor" follows before the sentence ends or a verb breaks the list. */
function orFollows(words: readonly Word[], last: number, end: number): boolean {
  for (let index = last; index < Math.min(end, last + 12); index += 1) {
    const { key, barrier } = words[index]!;
    if (key === 'or' || key === 'nor') return true;
    if (barrier || statementBreaks.has(key) || finite.has(key)) return false;
  }
  return false;
}

const exceptions = stemSet('except unless until till apart other excluding besides save');

/** "no smoke except on a cold start": it is there after all. */
function isExcepted(words: readonly Word[], last: number, end: number): boolean {
  for (let index = last; index < Math.min(end, last + 8); index += 1) {
    const { key, barrier } = words[index]!;
    if (exceptions.has(key)) return true;
    if (barrier && key !== ')') return false;
  }
  return false;
}

const goneWords = stemSet(
  'gone go absent nil negligible cease disappear vanish stop cure fix resolve none never nope no clear zero nada',
);

/** Index of a denial that follows: ": none", "has gone", "isn't there any more"; -1 when there is none. */
function deniedAfter(words: readonly Word[], last: number, end: number): number {
  let place = last;
  let passed = 0;
  let mark = '';
  while (place < Math.min(end + 3, words.length) && passed <= 3) {
    const { key } = words[place]!;
    if ((key === ':' || key === '?' || key === '-' || key === '=') && mark === '') {
      mark = key;
      place += 1;
      continue;
    }
    if (mark !== '') {
      if (!plainNo.has(key)) return -1;
      const next = words[place + 1];
      return next === undefined ||
        next.barrier ||
        next.key === ',' ||
        next.key === '\n' ||
        next.key === '-' ||
        key === 'none~' ||
        key === 'nop'
        ? place
        : -1;
    }
    if (key === ',' && isNoMore(words, place + 1)) return place + 1;
    if (words[place]!.barrier || key === ',' || key === '\n' || statementBreaks.has(key)) return -1;
    if (key === 'go') return words[place + 1]?.key === 'awai' ? place : -1;
    if (goneWords.has(key) && key !== 'no' && key !== 'never' && key !== 'clear' && key !== 'zero')
      return isLastOfStatement(words, place + 1) || key === 'nil' || key === 'none~' || key === 'disappear'
        ? place
        : -1;
    if (isNegator(key)) return absence(words, place) ? place : -1;
    if (!(words[place]!.filler || between.has(key))) return -1;
    if (!words[place]!.filler) passed += 1;
    place += 1;
  }
  return -1;
}

/** ", not any more", ", but not now", ", no longer". */
function isNoMore(words: readonly Word[], from: number): boolean {
  const start = words[from]?.key === 'but' ? from + 1 : from;
  const cue = words[start]?.raw ?? '';
  const next = words[start + 1]?.raw ?? '';
  if (cue === 'no') return next === 'longer' || next === 'more';
  if (cue !== 'not') return false;
  return (
    next === 'anymore' || next === 'now' || (next === 'any' && /^(?:more|longer)$/.test(words[start + 2]?.raw ?? ''))
  );
}

/** After a negation behind the symptom: "not there", "not any more", "not visible", "not at all". */
function absence(words: readonly Word[], cue: number): boolean {
  for (let place = cue + 1; place < Math.min(words.length, cue + 4); place += 1) {
    const { key, barrier } = words[place]!;
    if (present.has(key)) return true;
    if (appearing.has(key)) continue;
    if (barrier || key === ',')
      return place === cue + 1 && (words[cue]!.key === 'none~' || words[cue]!.key.endsWith("n't"));
    if (!words[place]!.filler) return false;
  }
  return false;
}

function isLastOfStatement(words: readonly Word[], place: number): boolean {
  const word = words[place];
  return word === undefined || word.barrier || word.key === ',' || word.key === '\n' || follows.has(word.key);
}

/** "went away but came back", "gone for a week, then again": it has returned. */
function returns(words: readonly Word[], from: number, end: number): boolean {
  for (let index = from; index < Math.min(end + 12, words.length, from + 25); index += 1) {
    const { key } = words[index]!;
    if (back.has(key)) return true;
  }
  return false;
}
