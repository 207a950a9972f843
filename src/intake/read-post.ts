// One post -> its findings: folds the text, splits it, and calls the readers in their order. answer.ts calls it; nothing
// behind it looks at the text again. Pure, linear in the length of the text, and never throws on odd input.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Note } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { readTextLimit } from '../vocabulary/post.ts';
import { findConflicts } from './find-conflicts.ts';
import { findCorrections } from './find-corrections.ts';
import { isAboutCar, isAboutHousehold } from './is-about-car.ts';
import { judgeText } from './judge-text.ts';
import { mendTokens } from './mend-words.ts';
import { readAnswers } from './read-answers.ts';
import { readBytes } from './read-bytes.ts';
import { readCodes } from './read-codes.ts';
import { readCorrections } from './read-corrections.ts';
import { readEngine } from './read-engine.ts';
import { readAttachment, readLog } from './read-log.ts';
import { readMentions } from './read-mentions.ts';
import { readReadings } from './read-readings.ts';
import { readRequests } from './read-requests.ts';
import { readSuspects } from './read-suspects.ts';
import { readSymptoms } from './read-symptoms.ts';
import { readTables } from './read-tables.ts';
import { readTold } from './read-told.ts';
import { readWork } from './read-work.ts';
import { foldText } from './readable-text.ts';
import { joinResults, nothingRead, type ReaderInput, type ReaderResult } from './reader.ts';
import type { Attachment, PostReading } from './reading.ts';
import { splitClauses } from './split-clauses.ts';
import { splitTokens } from './tokens.ts';
import { wordsOf } from './words.ts';

/** Each takes what the ones before it left; codes first, for their digits look like readings, and so does "4.6 V8". */
const readers: ReadonlyArray<(input: ReaderInput, knowledge: Knowledge) => ReaderResult> = [
  readAnswers,
  readLog,
  readBytes,
  readCodes,
  readTables,
  readEngine,
  readReadings,
  readSymptoms,
  readWork,
  readTold,
  readRequests,
  readCorrections,
];

/**
 * Reads one post against what its conversation has established.
 *
 * @param text        as written; what lies beyond 100,000 UTF-16 units is not read, and a note says so
 * @param previous    the case before this post
 * @param attachments logs that came with it
 * @returns findings with ids that continue the case's; nothing but a note when the text cannot be read
 */
export function readPost(
  text: string,
  previous: Case,
  knowledge: Knowledge,
  attachments: readonly Attachment[] = [],
): PostReading {
  const notes: Note[] = [];
  const within = text.length > readTextLimit ? cutAtLimit(text) : text;
  if (within.length < text.length)
    notes.push({
      kind: 'truncated',
      says: `I read the first ${readTextLimit / 1000},000 characters; the rest is kept but not read.`,
    });
  const nextId = counter(previous);
  const post = previous.posts;

  const readable = foldText(within);
  const verdict = judgeText(readable.folded, within);
  if (verdict) notes.push(verdict);
  let result = nothingRead;
  let namesCar = false;
  let isElsewhere = false;
  let mentions: string[] = [];
  if (verdict?.kind !== 'empty' && verdict?.kind !== 'unreadable') {
    const tokens = mendTokens(splitTokens(readable.folded), knowledge);
    const clauses = splitClauses(readable, tokens, wordsOf(tokens, readable.cased));
    namesCar = isAboutCar(wordsOf(tokens), knowledge);
    isElsewhere = !namesCar && previous.findings.length === 0 && isAboutHousehold(wordsOf(tokens));
    for (const read of readers) {
      const input: ReaderInput = { text: readable, tokens, clauses, post, nextId, previous, taken: result.used };
      result = joinResults([result, read(input, knowledge)]);
    }
    const input: ReaderInput = { text: readable, tokens, clauses, post, nextId, previous, taken: result.used };
    const suspects = readSuspects(input, knowledge, result.findings);
    result = joinResults([result, { ...nothingRead, findings: suspects }]);
    mentions = readMentions(
      { text: readable, tokens, clauses, post, nextId, previous, taken: result.used },
      result.findings,
      knowledge,
    );
  }
  for (const attachment of attachments)
    result = joinResults([result, readAttachment(attachment, post, nextId, knowledge)]);
  // The symptoms and parts of a washing machine are none of a car; a trouble code is.
  const isNoCar = isElsewhere && !result.findings.some(({ kind }) => kind === 'code');
  const findings = inOrder(isNoCar ? [] : result.findings);
  const saysSomething = findings.some((finding) => finding.kind !== 'request' || finding.about !== 'diagnosis');
  const offTopic = !saysSomething && !namesCar && previous.findings.length === 0 && verdict === null;
  if (offTopic) notes.push({ kind: 'no-car', says: 'I cannot find anything about a car in this post.' });
  return {
    findings,
    conflicts: [...result.conflicts, ...findConflicts(findings)],
    replaces: findCorrections(readable.folded, findings, previous),
    mentions: isNoCar ? [] : mentions,
    notes,
    offTopic,
  };
}

/** Cuts at the limit without splitting a character in two. */
function cutAtLimit(text: string): string {
  const unit = text.charCodeAt(readTextLimit - 1);
  return text.slice(0, unit >= 0xd800 && unit <= 0xdbff ? readTextLimit - 1 : readTextLimit);
}

/** Ids f1, f2, ... beyond the highest that the case has used. */
function counter(previous: Case): () => string {
  let last = 0;
  for (const { id } of [...previous.findings, ...previous.replaced.map((item) => item.finding)]) {
    const number = /^f(\d{1,9})$/.exec(id)?.[1];
    if (number !== undefined) last = Math.max(last, Number(number));
  }
  return () => {
    last += 1;
    return `f${last}`;
  };
}

/** In the order of the text; what came from an attachment or a button last. */
function inOrder(findings: readonly Finding[]): Finding[] {
  return findings
    .map((finding, index) => ({ finding, index, place: finding.span?.[0] ?? Number.POSITIVE_INFINITY }))
    .sort((a, b) => (a.place === b.place ? a.index - b.index : a.place - b.place))
    .map((item) => item.finding);
}
