// Gives every clause its context from the cues that stand in it and in its neighbours of the same sentence.

import type { Condition } from '../vocabulary/quantities.ts';
import { type Clause, type ClauseContext, type ClauseSpan, plainContext } from './clauses.ts';
import { type Cue, conditionPatterns, contrasts, cuePatterns, questionWords, subjectWords } from './cues.ts';
import { matchPatterns } from './word-patterns.ts';
import { stemSet } from './word-stem.ts';
import type { Word } from './words.ts';
import type { Writers } from './writers.ts';

interface PlacedCue {
  readonly cue: Cue;
  readonly first: number;
}

interface Draft {
  readonly span: ClauseSpan;
  readonly cues: readonly PlacedCue[];
  readonly conditions: ReadonlyArray<{ readonly condition: Condition; readonly first: number }>;
  /** First word that is not a mark or "and", "so", "then". */
  readonly head: string;
  time: ClauseContext['time'];
  source: ClauseContext['source'];
  car: number;
  mood: ClauseContext['mood'];
  isTrial: boolean;
}

/** Contexts of all clauses, in order. Linear: each clause looks at its own words and at its neighbours only. */
export function placeContexts(spans: readonly ClauseSpan[], words: readonly Word[], isOther: Writers): Clause[] {
  const drafts = spans.map((span) => draftOf(span, words));
  const lastOwn = drafts.findLastIndex((draft) => draft.cues.some(({ cue }) => cue === 'own-car'));
  let ofOther = false;
  for (let begin = 0; begin < drafts.length; ) {
    let end = begin + 1;
    while (end < drafts.length && drafts[end]!.span.sentence === drafts[begin]!.span.sentence) end += 1;
    const sentence = drafts.slice(begin, end);
    // "A mate's Astra smoked. It used oil. Mine doesn't.": the sentence between goes on about the other car.
    const goesOn = ofOther && lastOwn >= end && goingOn.has(sentence[0]!.head);
    ofOther = placeSentence(sentence, words, lastOwn >= begin, goesOn);
    begin = end;
  }
  placeDates(drafts);
  return drafts.map((draft, index) => ({
    ...draft.span,
    context: {
      ...plainContext,
      time: draft.time,
      source: isOther(draft.span.first) ? 'helper' : draft.source,
      car: draft.car,
      mood: draft.mood,
      when: conditionOf(drafts, index),
      isTrial: draft.isTrial,
    },
  }));
}

/** How many clauses after a past date the present day is looked for. */
const dateReach = 8;

/** "It overheated in 2019. Now it stalls": what is dated in the past was so earlier where the present follows. */
function placeDates(drafts: readonly Draft[]): void {
  let present = Number.POSITIVE_INFINITY;
  for (let index = drafts.length - 1; index >= 0; index -= 1) {
    const draft = drafts[index]!;
    const has = (cue: Cue) => draft.cues.some((placed) => placed.cue === cue);
    if (has('present-day')) present = index;
    else if (has('dated') && present - index <= dateReach) {
      draft.time = 'before';
    }
  }
}

const leading = new Set([
  ...stemSet('and so then or but now also ok well anyway plus hi hello'),
  ',',
  ';',
  '(',
  ')',
  '-',
  '"',
  "'",
  '*',
  '\n',
  ':',
  '.',
]);

function draftOf(span: ClauseSpan, words: readonly Word[]): Draft {
  const cues: PlacedCue[] = [];
  const conditions: Array<{ condition: Condition; first: number }> = [];
  for (let index = span.first; index < span.last; index += 1) {
    for (const match of matchPatterns(cuePatterns, words, index)) {
      if (match.value === 'before' && !isUsedTo(words, index) && isNegated(words, index, span.first)) continue;
      if (match.value === 'before' && isCompared(words, index)) continue;
      cues.push({ cue: match.value, first: index });
    }
    const condition = matchPatterns(conditionPatterns, words, index)[0];
    if (condition && condition.last <= span.last + 2 && !isQualityOfIdle(words, index, condition))
      conditions.push({ condition: condition.value, first: index });
  }
  let place = span.first;
  while (place < span.last - 1 && leading.has(words[place]!.key)) place += 1;
  return {
    span,
    cues,
    conditions,
    head: words[place]?.key ?? '',
    time: 'now',
    source: 'owner',
    car: 0,
    mood: 'stated',
    isTrial: false,
  };
}

const ofIdle = stemSet(
  'rough lumpy uneven poor bad high low fast slow unstable erratic surging hunting smooth steady fine well fluctuate hunt drop shake great good perfect terrible wrong up shudder rise jump lope stumble',
);

/** "Rough idle and stalls": the idle is what is told of, and no condition for the rest. */
function isQualityOfIdle(
  words: readonly Word[],
  index: number,
  match: { value: Condition; first: number; last: number },
): boolean {
  if (match.value !== 'idle' || match.last - match.first > 1) return false;
  for (let step = 1; step <= 3; step += 1) {
    const next = words[index + step];
    if (!next || next.barrier) break;
    if (ofIdle.has(next.key)) return true;
    if (!next.filler) break;
  }
  return ofIdle.has(words[index - 1]?.key ?? '');
}

/** "Never used to stall" is of an earlier time all the same. */
function isUsedTo(words: readonly Word[], index: number): boolean {
  return words[index]!.raw === 'used';
}

const comparing = new Set(['than', 'like', 'as', 'what', 'how']);

/** "Louder than it used to be", "doesn't pull like it used to": the statement itself is of now. */
function isCompared(words: readonly Word[], index: number): boolean {
  return isUsedTo(words, index) && [1, 2, 3].some((step) => comparing.has(words[index - step]?.raw ?? ''));
}

/** "Didn't fix the misfire", "not had it stall": nothing that was so earlier. */
function isNegated(words: readonly Word[], index: number, first: number): boolean {
  for (let place = index - 1; place >= Math.max(first, index - 3); place -= 1) {
    const { key } = words[place]!;
    if (key === 'not' || key === 'never' || key === 'nothing' || key === 'nobodi' || key.endsWith("n't")) return true;
  }
  return false;
}

const goingOn = stemSet("it it's that his hers her theirs they he she");

/**
 * Contexts of the clauses of one sentence.
 *
 * @param ownFollows the writer's own car is named here or later: a relative's car is then another one
 * @param goesOn     the sentence before was about another car, and this one goes on about it
 * @returns whether it ends with another car
 */
function placeSentence(
  clauses: readonly Draft[],
  words: readonly Word[],
  ownFollows: boolean,
  goesOn: boolean,
): boolean {
  placeQuestions(clauses, words);
  let hearsay = false;
  const isOpening = clauses[0]!.span.sentence === 0;
  let sawOwn = false;
  let otherCar = goesOn;
  /** Clauses to go in which a trial's response is told. */
  let trial = 0;
  for (const [index, clause] of clauses.entries()) {
    if (contrasts.has(words[clause.span.first]!.key)) hearsay = false;
    if (trial > 0 && words[clause.span.first - 1]?.key === ';') trial = 0;
    if (trial > 0 && !hasKey(words, clause.span, lasting) && clause.mood !== 'question') {
      clause.mood = 'supposed';
      clause.isTrial = true;
    }
    trial = Math.max(0, trial - 1);
    for (const { cue } of clause.cues) {
      if (cue === 'hearsay') hearsay = true;
      else if (cue === 'doubt' && clause.mood === 'stated') clause.mood = 'doubted';
      else if (cue === 'supposed' && (clause.mood === 'stated' || clause.mood === 'doubted')) clause.mood = 'supposed';
      else if (cue === 'before') clause.time = 'before';
      else if (cue === 'before-work') placeBefore(clauses, index);
      else if (cue === 'trial') trial = clause.mood === 'question' ? 0 : trialReach;
      else if (cue === 'other-car') otherCar = true;
      else if (cue === 'relative-car') otherCar = otherCar || !isOpening || sawOwn || ownFollows;
      else if (cue === 'this-car' || cue === 'own-car') {
        otherCar = false;
        sawOwn = true;
      }
    }
    if (hearsay) clause.source = 'hearsay';
    if (otherCar) clause.car = 1;
    if (isIfClause(clause)) clause.mood = 'supposed';
    carryOn(clauses, index, words);
  }
  return otherCar;
}

/** Clauses of the same sentence in which the response to a trial is told. */
const trialReach = 4;
const lasting = stemSet('still now same anyway again but though however since nothing yet');

function hasKey(words: readonly Word[], span: ClauseSpan, keys: ReadonlySet<string>): boolean {
  for (let index = span.first; index < span.last; index += 1) if (keys.has(words[index]!.key)) return true;
  return false;
}

function isIfClause(clause: Draft): boolean {
  return clause.head === 'if' || clause.head === 'unless' || clause.head === 'whether';
}

/** A fear, a wish or a doubt goes on over "that it ...", "if it ...", and "and" without a subject of its own. */
function carryOn(clauses: readonly Draft[], index: number, words: readonly Word[]): void {
  const clause = clauses[index]!;
  const earlier = clauses[index - 1];
  if (!earlier || clause.mood !== 'stated') {
    if (earlier && isIfClause(clause) && earlier.mood === 'doubted' && endsWithDoubt(earlier, words))
      clause.mood = 'doubted';
    return;
  }
  const opener = words[clause.span.first]!.key;
  if ((opener === 'that' || opener === 'or') && (earlier.mood === 'supposed' || earlier.mood === 'doubted'))
    clause.mood = earlier.mood;
}

function endsWithDoubt(clause: Draft, words: readonly Word[]): boolean {
  const last = words[clause.span.last - 1]?.key ?? '';
  return unsure.has(last);
}

/** "It stalled until I changed the coil": the clause before; "Before the repair it stalled": the clause after. */
function placeBefore(clauses: readonly Draft[], index: number): void {
  clauses[index]!.time = 'before';
  const neighbour = index === 0 ? clauses[1] : clauses[index - 1];
  if (neighbour) neighbour.time = 'before';
}

/** In a sentence with a question mark (or that begins as a question) the part from its last question word on asks. */
function placeQuestions(clauses: readonly Draft[], words: readonly Word[]): void {
  const last = clauses.at(-1)!;
  const hasMark = words[last.span.last - 1]?.key === '?';
  let asked = -1;
  for (const [index, clause] of clauses.entries()) {
    if (!questionWords.has(clause.head)) continue;
    // "Will it stall when it gets hot?": the clause with "when" hangs on the question before it.
    if (asked >= 0 && notOpening.has(clause.head) && !isInverted(clause, words)) continue;
    if (hasMark || isInverted(clause, words)) asked = index;
    if (!hasMark && asked >= 0) break;
  }
  if (asked < 0 && hasMark) {
    const content = last.span.last - 1 - last.span.first;
    if (clauses.length > 1 || content <= 3) asked = clauses.length - 1;
  }
  if (asked < 0) return;
  for (const clause of clauses.slice(asked)) if (!presupposes(clause, words)) clause.mood = 'question';
}

function isInverted(clause: Draft, words: readonly Word[]): boolean {
  let place = clause.span.first;
  while (place < clause.span.last && leading.has(words[place]!.key)) place += 1;
  const head = words[place]?.key ?? '';
  if (words[place]?.raw === 'did' && definite.has(words[place + 1]?.key ?? '')) return false;
  return !notOpening.has(head) && subjectKeys.has(words[place + 1]?.key ?? '');
}

/** "Why is my car stalling", "how do I cure the rough idle" take for granted what they name. */
function presupposes(clause: Draft, words: readonly Word[]): boolean {
  const keys = words.slice(clause.span.first, clause.span.last).map((word) => word.key);
  const isDefinite = keys.some((key) => definite.has(key));
  if (keys.includes('why')) return isDefinite;
  if (!asking.has(clause.head)) return false;
  return isDefinite && keys.some((key) => causal.has(key));
}

const definite = stemSet("my the this it it's its these that i our her his she");
const causal = stemSet('cause make fix cure stop solve rid explain get find tell identify diagnose locate track');
const asking = stemSet("what what's how");
const unsure = stemSet('sure certain know tell say positive unsure convinced');
const notOpening = stemSet('when have had where which who any');

/** The clause's own condition, else that of the subordinate clause beside it. */
function conditionOf(drafts: readonly Draft[], index: number): Condition | null {
  const clause = drafts[index]!;
  const own = pick(clause);
  if (own && own !== 'idle') return own;
  // A subordinate clause belongs to the one before it, or, at the head of a sentence, to the one behind it.
  const behind = drafts[index + 1];
  const ahead = drafts[index - 1];
  const isLeading = ahead !== undefined && drafts[index - 2]?.span.sentence !== ahead.span.sentence;
  for (const neighbour of [behind, isLeading ? ahead : undefined]) {
    if (!neighbour || neighbour.span.sentence !== clause.span.sentence || !subordinate.has(neighbour.head)) continue;
    const condition = pick(neighbour);
    if (condition) return condition;
  }
  return own;
}

function pick(clause: Draft): Condition | null {
  return (clause.conditions.find((item) => item.condition !== 'idle') ?? clause.conditions[0])?.condition ?? null;
}

const subordinate = stemSet(
  'when whenever while if after once until till on at under during before as in only first since',
);
const subjectKeys = stemSet([...subjectWords].join(' '));
