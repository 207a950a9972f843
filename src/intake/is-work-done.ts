// Whether a verb of work tells of something done, or of a plan, advice, a need or a question. read-work.ts asks for each verb.
import type { ReaderInput } from './reader.ts';
import type { Token } from './tokens.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';
import type { Verb } from './work-parts.ts';
import { adjectives, notDone } from './work-words.ts';

const bareForms = new Set([
  'replace',
  'renew',
  'change',
  'clean',
  'test',
  'check',
  'clear',
  'swap',
  'install',
  'measure',
  'inspect',
  'renews',
  'erase',
  'wipe',
  'wash',
  'scrub',
  'repair',
  'fix',
  'mend',
  'weld',
  'seal',
  'patch',
  'unplug',
  'disconnect',
  'remove',
  'tighten',
  'adjust',
  'delete',
  'pull',
  'take',
  'replaces',
  'upgrade',
  'changes',
  'checks',
  'tests',
  'fits',
  'swaps',
]);
const gerund = /ing$/;
const plans = stemSet(
  'thinking think consider considering about before without try trying recommend suggested suggest recommended mind worth help avoid start plan planning keep for of instead stop from',
);
const having = stemSet(
  'have got get put fitted fit with got all are is replaced installed both run running after since were was brand completely and ,',
);
const wanting = stemSet('need buy want order price cost quote looking deserve require to');

/** Whether a verb tells of something done, by its own form and by what stands before it. */
export function isWorkDone(input: ReaderInput, words: readonly Word[], verb: Verb, begin: number): boolean {
  const { tokens } = input;
  const { mood, source } = input.clauses.clauseAt(verb.first).context;
  if (mood === 'question' || mood === 'supposed' || source === 'helper') return false;
  const form = tokens[verb.first]!.text;
  const clause = input.clauses.clauseAt(verb.first);
  const from = Math.max(begin, clause.first, verb.first - 8);
  // "What has been done: ..." is a heading.
  if (words[verb.last]?.key === ':' && words[verb.last - 1]?.raw === 'done') return false;
  if (adjectives.has(words[verb.first]!.key)) return isFittedNew(input.tokens, words, verb, from);
  for (let index = verb.first - 1; index >= from; index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier || key === ',') break;
    if (notDone.has(key) && !(key === 'can' || key === 'think')) return false;
  }
  if (bareForms.has(form)) return isHadDone(words, verb);
  if (gerund.test(form)) {
    for (let index = verb.first - 1; index >= from; index -= 1)
      if (plans.has(words[index]!.key)) return words[index]!.key === 'after';
    const opener = words[verb.first - 1]?.key ?? '';
    return (
      opener === 'after' || opener === 'by' || verb.first === clause.first || opener === 'sinc' || opener === 'despit'
    );
  }
  return true;
}

/** "Did you change": no; "I reset", "put", "swap" in past tense look like their base form. */
function isHadDone(words: readonly Word[], verb: Verb): boolean {
  const opener = words[verb.first - 1]?.key ?? '';
  return opener === 'did';
}

/** "got new plugs", "new cats went in", "all new": fitted; "needs a new cat", "a new one costs": not. */
function isFittedNew(tokens: readonly Token[], words: readonly Word[], verb: Verb, from: number): boolean {
  for (let index = verb.first - 1; index >= from; index -= 1) {
    const { key, barrier } = words[index]!;
    if (barrier) break;
    if (wanting.has(key) || (notDone.has(key) && tokens[index]!.text !== 'got')) return false;
  }
  const previous = words[verb.first - 1]?.key ?? '';
  if (having.has(previous)) return true;
  if ((previous === 'a' || previous === 'some') && having.has(words[verb.first - 2]?.key ?? '')) return true;
  for (let index = verb.last; index < Math.min(words.length, verb.last + 10); index += 1) {
    if (words[index]!.barrier) break;
    if (tookEffect.has(words[index]!.key)) return true;
  }
  return verb.first === from && words[verb.first]!.key === 'new';
}

const tookEffect = stemSet('went did made cured fixed fitted installed in helped solved');
