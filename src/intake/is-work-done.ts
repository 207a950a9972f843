// Whether a verb of work tells of something done, or of a plan, advice, a need or a question. read-work.ts asks for each verb.
import type { ReaderInput } from './reader.ts';
import type { Token } from './tokens.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';
import type { Part, Verb } from './work-parts.ts';
import { adjectives, notDone, notFitted } from './work-words.ts';

/** Past forms that do not end in "ed"; any other form tells of no work done by itself. */
const irregularPast = new Set(
  (
    'put set reset did done has have had been was were got took taken blew blown stuck threw thrown fit rebuilt went gone cut ' +
    'broke swapt gave given ran re-set gutted ohmed new on carried made'
  ).split(' '),
);
/** Forms that are past and infinitive alike: behind "to" they tell of a plan. */
const unchanged = new Set(['put', 'set', 'reset', 're-set', 'fit', 'cut']);
const plans = stemSet(
  'thinking think consider considering before without trying recommend suggested suggest recommended mind worth help avoid start plan planning keep for of instead stop from advise',
);
const having = stemSet(
  'have got get put fitted fit with got all are is replaced installed both run running after since were was brand completely and ,',
);
const wanting = stemSet('need buy want order price cost quote looking deserve require to');
/** What takes and pulls parts without being a mechanic. */
const noMechanic = stemSet('fire mouse mice rodent rats thief thieves burglar accident crash');
/** How far before the verb a word is looked for that says it was not done [words]. */
const reach = 8;

/** Whether a verb tells of something done, by its own form and by what stands before it. */
export function isWorkDone(
  input: ReaderInput,
  words: readonly Word[],
  verb: Verb,
  begin: number,
  parts: readonly Part[],
): boolean {
  const { tokens } = input;
  const clause = input.clauses.clauseAt(verb.first);
  const { mood, source, isTrial } = clause.context;
  if (source === 'helper' || mood === 'question') return false;
  // "Checked for leaks" supposes leaks and not the check; what follows a trial ("I unplugged it and ...") was done.
  if (mood === 'supposed' && !isTrial && verb.action !== 'tested') return false;
  const form = tokens[verb.first]!.text;
  const from = Math.max(begin, clause.first, verb.first - reach);
  // "What has been done: ...", "done so far: ..." are headings.
  if (words[verb.last - 1]?.raw === 'done' && [0, 1, 2].some((step) => words[verb.last + step]?.key === ':'))
    return false;
  if (isAdjective(words, verb)) return isFittedNew(input.tokens, words, verb, from);
  if (nouns.has(form)) {
    if (form === 'job' || form === 'replacement' || parts.some((part) => part.last === verb.first))
      return isDoneNoun(words, verb, from, parts);
  }
  if (form === 'serviced' && !listMarks.has(words[verb.last]?.key ?? '')) return false;
  if (noMechanic.has(words[verb.first - 1]?.key ?? '')) return false;
  if (form.endsWith('ing')) return isDoneGerund(words, verb, from, clause.first);
  if (wrongly.has(words[verb.last]?.raw ?? '')) return false;
  if (verb.action === 'repaired' && /^(?:is|are)$/.test(words[verb.first - 1]?.raw ?? '')) return false;
  if (!isPast(tokens, verb)) return isHadDone(words, verb, from);
  return !isLeftUndone(words, verb, from);
}

/** "New plugs", "a rebuilt engine". */
export function isAdjective(words: readonly Word[], verb: Verb): boolean {
  const { key, raw } = words[verb.first]!;
  return adjectives.has(key) || (raw === 'rebuilt' && /^(?:a|an|with)$/.test(words[verb.first - 1]?.raw ?? ''));
}

/** Work told as a thing: "after the plug change", "did a head gasket job". */
const nouns = new Set(['change', 'replacement', 'job', 'swap', 'clean']);
const nounLeads = new Set('after since did had got with following done despite another gave'.split(' '));
const listMarks = new Set([':', '(', '-']);

function isDoneNoun(words: readonly Word[], verb: Verb, from: number, parts: readonly Part[]): boolean {
  const part = parts.find((item) => item.last === verb.first);
  if (!part) return false;
  for (let index = part.first - 1; index >= Math.max(from, part.first - 4); index -= 1) {
    const { key, raw, barrier } = words[index]!;
    if (barrier || key === ',' || notDone.has(key)) return false;
    if (nounLeads.has(raw)) return true;
  }
  return false;
}

/** "The sensors were plugged in backwards" tells of a fault and no repair. */
const wrongly = new Set(['backwards', 'backward', 'wrong', 'wrongly', 'reversed', 'crossed', 'incorrectly']);
const guesses = new Set(['perhaps', 'maybe', 'possibly', 'probably']);

/** "Replaced", "put in", "checks out"; not "replace", "measures", "seals". */
function isPast(tokens: readonly Token[], verb: Verb): boolean {
  const { text } = tokens[verb.first]!;
  if (unchanged.has(text) && tokens[verb.first - 1]?.text === 'to') return false;
  if (text.endsWith('ed') || irregularPast.has(text)) return true;
  // "It got plugs and coils".
  if (tokens[verb.last - 1]!.text === 'got') return true;
  return verb.action === 'tested' && verb.last - verb.first > 1 && text === 'checks';
}

/** A modal verb, a negation, a need or a wish before the verb, in its own statement. */
function isLeftUndone(words: readonly Word[], verb: Verb, from: number): boolean {
  for (let index = verb.first - 1; index >= from; index -= 1) {
    const { key, raw, barrier } = words[index]!;
    if (barrier || key === ',') return false;
    // "I bought a new one and fitted it": the second verb stands by itself.
    if (key === 'and' && index >= verb.first - 3) return false;
    const next = words[index + 1]?.raw ?? '';
    if (key === 'to') {
      if (next === 'be' || next === 'have' || next === 'get') return true;
      continue;
    }
    if (key === 'due' && next === 'to') continue;
    if (key === 'not' && next === 'only') continue;
    if (raw === 'be' || (verb.action === 'tested' && guesses.has(raw))) return true;
    if (raw === 'getting' || (raw === 'get' && words[index - 1]?.raw !== 'did')) return true;
    if (notDone.has(key)) return true;
  }
  return false;
}

/** "After replacing the plugs", "since changing it"; not "before replacing", "thinking of cleaning". */
function isDoneGerund(words: readonly Word[], verb: Verb, from: number, clauseStart: number): boolean {
  for (let index = verb.first - 1; index >= from; index -= 1) {
    const { key, raw, barrier } = words[index]!;
    if (barrier) break;
    if (raw === 'tried' || raw === 'finished') return true;
    if (raw === 'up' && /^(?:ended|wound|end)$/.test(words[index - 1]?.raw ?? '')) return true;
    if (key === 'after' || key === 'sinc' || key === 'despit' || key === 'by') return true;
    if (plans.has(key) || notDone.has(key) || raw === 'try' || key === 'when' || key === 'whil') return false;
  }
  return verb.first === clauseStart || (words[verb.first - 1]?.barrier ?? true);
}

const causers = stemSet('have make let help ask get');

/** "I did change it", "I had to change it", "I had the garage check it", "managed to clean it". */
function isHadDone(words: readonly Word[], verb: Verb, from: number): boolean {
  const opener = words[verb.first - 1]?.raw ?? '';
  if (opener === 'did' || opener === 'and') {
    if (opener === 'did') return true;
  }
  const before = words[verb.first - 2]?.raw ?? '';
  if (opener === 'to' && (before === 'had' || before === 'managed')) return words[verb.first - 3]?.raw !== 'not';
  for (let index = verb.first - 2; index >= Math.max(from, verb.first - 5); index -= 1) {
    const { key, raw, barrier } = words[index]!;
    if (barrier || key === ',' || notDone.has(key) || key === 'and') return false;
    if ((raw === 'had' || raw === 'got' || raw === 'made') && causers.has(key))
      return /^(?:the|my|a|him|them|her|someone|somebody|another|our|his)$/.test(words[index + 1]?.raw ?? '');
  }
  return false;
}

const notYetHere = stemSet('bought order coming arrive wait cost quote way tomorrow sitting shelf need');

/** "got new plugs", "new cats went in", "all new": fitted; "needs a new cat", "a new one costs", "new plugs bought": not. */
function isFittedNew(tokens: readonly Token[], words: readonly Word[], verb: Verb, from: number): boolean {
  for (let index = verb.first - 1; index >= from; index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier) break;
    if (wanting.has(key) || ((notDone.has(key) || notFitted.has(key)) && tokens[index]!.text !== 'got')) return false;
  }
  const previous = words[verb.first - 1]?.key ?? '';
  let isEffective = false;
  for (let index = verb.last; index < Math.min(words.length, verb.last + 10); index += 1) {
    if (words[index]!.barrier) break;
    if (notYetHere.has(words[index]!.key)) return false;
    if (tookEffect.has(words[index]!.key)) isEffective = true;
  }
  if (isEffective || having.has(previous)) return true;
  if ((previous === 'a' || previous === 'some') && having.has(words[verb.first - 2]?.key ?? '')) return true;
  let opening = from;
  while (opening < verb.first && opens.has(words[opening]!.key)) opening += 1;
  return verb.first === opening && (words[verb.first]!.key === 'new' || words[verb.first]!.key === 'brand');
}

/** Marks of a list's item. */
const opens = new Set(['-', '*', '\u2022', '\n', '+', '>', ':', ',', 'and', 'also', 'then']);
const tookEffect = stemSet('went did made cured fixed fitted installed in helped solved');
