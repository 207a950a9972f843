// Reads symptoms, said and denied. What is only asked, feared, advised or told of a cause is left alone: a symptom that nobody
// noticed must not move a ranking, and a denial must never turn into its opposite.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { ClauseContext } from './clauses.ts';
import { polarityOf } from './denial.ts';
import { findingBase } from './finding-base.ts';
import type { ReaderInput, ReaderResult } from './reader.ts';
import { sentenceBounds } from './sentence-bounds.ts';
import { type Said, settleSymptoms } from './settle-symptoms.ts';
import { findSymptoms, type SymptomMatch } from './symptom-matches.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';

/** Reads every symptom of a post: once for each way in which it is stated. Linear. */
export function readSymptoms(input: ReaderInput, knowledge: Knowledge): ReaderResult {
  const { words, matches } = findSymptoms(input.tokens, knowledge);
  const bounds = sentenceBounds(input.clauses, input.tokens.length);
  const raw = input.tokens.map((token) => token.text);
  const said: Said[] = [];
  for (const match of matches) {
    const one = judge(input, words, raw, bounds, match);
    if (one) said.push(one);
  }
  const kept = settleSymptoms(said, words, bounds);
  return {
    findings: kept.map((item) => ({ ...item.finding, id: input.nextId() })),
    conflicts: [],
    used: kept.map((item) => item.place),
  };
}

function judge(
  input: ReaderInput,
  words: readonly Word[],
  raw: readonly string[],
  bounds: (token: number) => readonly [number, number],
  match: SymptomMatch,
): Said | null {
  const context = input.clauses.clauseAt(match.first).context;
  if (context.source === 'helper') return null;
  const [begin, end] = bounds(match.first);
  const denial = polarityOf(words, raw, match.first, match.last, begin, end);
  const negatedInside = match.gap[1] > match.gap[0] && hasNegation(words, match.gap);
  let polarity = denial.polarity;
  if (match.role === 'absent') {
    // "doesn't idle fine", "should run smooth", "runs fine until warm": no denial, and no finding either.
    if (polarity !== 'present' || isQualified(words, match, begin, end) || negatedInside) return null;
    polarity = 'denied';
  } else if (negatedInside) {
    polarity = polarity === 'denied' ? 'silent' : 'denied';
  }
  // "The cat may glow": of what can be, not of what is.
  if (polarity === 'silent' || (match.role === 'says' && hasModal(words, match.gap))) return null;
  const isListed = denial.cue >= match.last && listMarks.has(words[match.last]?.key ?? '');
  if (match.role === 'when-denied' && (polarity !== 'denied' || (denial.cue >= match.last && !isListed))) return null;

  const isDefinite = definiteBefore(words, match.first, begin);
  if ((context.mood === 'question' || context.mood === 'supposed') && !isListed) {
    const given =
      !context.isTrial &&
      (isDefinite || includes(words, match, 'want')) &&
      polarity === 'present' &&
      !isCaused(words, match.first, begin) &&
      !opensWithIf(input, words, match.first) &&
      !match.symptom.startsWith('check-engine');
    if (!given) return null;
  }
  if (context.source === 'hearsay' && polarity === 'present' && !isDefinite && namesCause(words, match.first, begin))
    return null;
  const stated = polarity === 'present' && context.mood === 'doubted' && !isDefinite ? 'unsure' : polarity;
  const first = polarity === 'denied' && denial.cue >= 0 && denial.cue < match.first ? denial.cue : match.first;
  const last = polarity === 'denied' && denial.cue >= match.last ? denial.cue + 1 : match.last;
  const start = input.tokens[first]!.start;
  const stop = input.tokens[last - 1]!.end;
  const base = findingBase({ ...input, nextId: () => 'f0' }, start, stop, match.first, stated);
  const source = isDefinite && base.source === 'hearsay' ? 'owner' : base.source;
  return {
    finding: {
      ...base,
      time:
        comparesWithEarlier(words, match) || (polarity === 'denied' && denial.cue >= match.last) ? 'now' : base.time,
      source,
      kind: 'symptom',
      symptom: match.symptom,
      when: whenOf(match.symptom, context),
    },
    isGeneral: match.role === 'absent' || match.role === 'when-denied',
    place: [start, stop],
    at: match.first,
  };
}

/** "Used to get 30 mpg, now 22" tells of now. */
function comparesWithEarlier(words: readonly Word[], match: SymptomMatch): boolean {
  return (
    match.symptom === 'poor-fuel-economy' && words.slice(match.first, match.last).some((word) => word.raw === 'used')
  );
}

/** "Doesn't want to start" says it and wishes nothing. */
function includes(words: readonly Word[], match: SymptomMatch, key: string): boolean {
  for (let index = match.first; index < match.last; index += 1) if (words[index]!.key === key) return true;
  return false;
}

/** "Smoke: none", "black smoke? no": a list of what was looked at. */
const listMarks = new Set([':', '?', '-', '=']);

const idleSymptoms = new Set(['rough-idle', 'high-idle']);

function whenOf(symptom: string, context: ClauseContext): ClauseContext['when'] {
  return context.when === 'idle' && idleSymptoms.has(symptom) ? null : context.when;
}

const negations = stemSet(
  "no not never none nor hardly barely zero without isn't doesn't hasn't wasn't didn't don't haven't aren't won't can't",
);
/** Negations that stand in a gap: "light has never come on", "uses no oil". */
function hasNegation(words: readonly Word[], gap: readonly [number, number]): boolean {
  for (let index = gap[0]; index < gap[1]; index += 1) if (negations.has(words[index]!.key)) return true;
  return false;
}

const modals = stemSet('may might would could can should');

function hasModal(words: readonly Word[], gap: readonly [number, number]): boolean {
  for (let index = gap[0]; index < gap[1]; index += 1) if (modals.has(words[index]!.key)) return true;
  return false;
}

/** "Would it make the engine stall?": nothing that happens. */
function isCaused(words: readonly Word[], first: number, begin: number): boolean {
  for (let index = first - 1; index >= Math.max(begin, first - 3); index -= 1)
    if (words[index]!.key === 'mak' || words[index]!.key === 'let') return true;
  return false;
}

const turnsRound = stemSet(
  'until till except unless otherwise apart besides excluding most mostly sometimes for then long once',
);
/** Symptoms of which "fine when cold" says nothing about the rest of the time. */
const comesAndGoes = new Set(['rough-idle', 'misfire', 'hesitation', 'low-power', 'hard-start', 'stall']);
const limits = stemSet('when if at in on only with cold warm');
const wishes = stemSet(
  'to make made should would want supposed must getting expect could ensure if before then sometimes once',
);

/** Whether "runs fine" is taken back, wished for or limited. */
function isQualified(words: readonly Word[], match: SymptomMatch, begin: number, end: number): boolean {
  for (let index = match.first - 1; index >= Math.max(begin, match.first - 4); index -= 1) {
    if (words[index]!.key === ',' || words[index]!.barrier) break;
    if (wishes.has(words[index]!.key)) return true;
  }
  for (let index = match.last; index < Math.min(end, match.last + 5); index += 1) {
    if (turnsRound.has(words[index]!.key)) return true;
    if (comesAndGoes.has(match.symptom) && index <= match.last + 1 && isLimit(words, index)) return true;
    if (words[index]!.barrier) break;
  }
  return false;
}

/** "Fine when cold", "fine as long as"; not "smooth as silk", "fine at 750". */
function isLimit(words: readonly Word[], index: number): boolean {
  const { key } = words[index]!;
  const next = words[index + 1]?.key ?? '';
  if (key === 'as') return next === 'long' || next === 'soon';
  if (key === 'at' && /^\d/.test(next)) return false;
  return limits.has(key);
}

const definiteWords = stemSet('the my this that these those our its');

function definiteBefore(words: readonly Word[], first: number, begin: number): boolean {
  for (let index = first - 1; index >= Math.max(begin, first - 3); index -= 1) {
    const word = words[index]!;
    if (definiteWords.has(word.key)) return true;
    if (!word.filler) return false;
  }
  return false;
}

const causeLeads = stemSet("it's its is be was by of from to as that's");

/** "says it's a misfire", "caused by a stall", "points to": somebody's cause, not something noticed. */
function namesCause(words: readonly Word[], first: number, begin: number): boolean {
  let sawArticle = false;
  for (let index = first - 1; index >= Math.max(begin, first - 4); index -= 1) {
    const { key, filler, barrier } = words[index]!;
    if (barrier || key === ',') return false;
    if (key === 'a' || key === 'an' || key === 'some') sawArticle = true;
    else if (causeLeads.has(key)) return sawArticle || key === 'by' || key === 'of' || key === 'from' || key === 'to';
    else if (!filler) return false;
  }
  return false;
}

function opensWithIf(input: ReaderInput, words: readonly Word[], token: number): boolean {
  const clause = input.clauses.clauseAt(token);
  for (let index = clause.first; index < Math.min(clause.last, clause.first + 3); index += 1) {
    const { key } = words[index]!;
    if (key === 'if' || key === 'unles' || key === 'whether') return true;
  }
  return false;
}
