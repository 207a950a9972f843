// The main job over knowledge/cases: each example conversation is answered as a user's would be, and the answer to its last
// post must hold what the case expects. Trade facts are marked in each case's `source`.
import { describe, expect, it } from 'vitest';
import { answerPost } from '../src/answer.ts';
import { loadKnowledgeFolder } from '../src/knowledge/load-folder.ts';
import type { ExampleCase } from '../src/knowledge/schema/example-case.ts';
import { type AnswerDocument, answerDocument } from '../src/vocabulary/answer-document.ts';
import type { Case } from '../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();

function answerLast(example: ExampleCase): AnswerDocument {
  let state: Case | null = null;
  let answer: AnswerDocument | null = null;
  for (const text of example.posts) {
    const turn = answerPost({ id: example.id, text }, state, knowledge);
    answer = turn.answer;
    state = turn.next;
  }
  return answer!;
}

/** What the case expects and the answer lacks, one line each. */
function shortfalls({ expect: wanted }: ExampleCase, answer: AnswerDocument): string[] {
  const own = answer.findings.filter((finding) => finding.car === 0);
  const codes = own.flatMap((finding) =>
    finding.kind === 'code' && finding.stated === 'present' ? [finding.code] : [],
  );
  const symptoms = (stated: string) =>
    own.flatMap((finding) => (finding.kind === 'symptom' && finding.stated === stated ? [finding.symptom] : []));
  const three = answer.causes.slice(0, 3).map((cause) => cause.fault);
  const reply = answer.reply.text.toLowerCase();
  const lines: string[] = [];
  const need = (ok: boolean, line: string) => {
    if (!ok) lines.push(line);
  };
  if (wanted.codes)
    need(
      [...codes].sort().join() === [...wanted.codes].sort().join(),
      `codes ${codes.join()} instead of ${wanted.codes.join()}`,
    );
  for (const reading of wanted.readings ?? []) {
    const found = own.some(
      (finding) =>
        finding.kind === 'reading' &&
        finding.quantity === reading.quantity &&
        Math.abs(finding.value - reading.value) < 1e-6 &&
        (reading.bank === undefined || finding.bank === reading.bank) &&
        (reading.sensor === undefined || finding.sensor === reading.sensor) &&
        (reading.when === undefined || finding.when === reading.when),
    );
    need(found, `no reading ${JSON.stringify(reading)}`);
  }
  for (const id of wanted.symptoms ?? []) need(symptoms('present').includes(id), `symptom ${id} not read`);
  for (const id of wanted.denied ?? []) need(symptoms('denied').includes(id), `denial of ${id} not read`);
  if (wanted.first) need(wanted.first.includes(three[0]!), `first is ${three[0]}, not ${wanted.first.join(' or ')}`);
  for (const id of wanted.inThree ?? []) need(three.includes(id), `${id} is not among ${three.join(', ')}`);
  for (const id of wanted.notInThree ?? []) need(!three.includes(id), `${id} is among the first three`);
  for (const id of wanted.cautions ?? [])
    need(
      answer.cautions.some((item) => item.id === id),
      `caution ${id} is missing`,
    );
  if (wanted.driving) need(answer.driving === wanted.driving, `driving is ${answer.driving}, not ${wanted.driving}`);
  if (wanted.handOver !== undefined)
    need(answer.fit.handOver.wanted === wanted.handOver, `hand-over is ${answer.fit.handOver.wanted}`);
  for (const words of wanted.says ?? []) need(reply.includes(words.toLowerCase()), `the reply does not say "${words}"`);
  for (const words of wanted.neverSays ?? []) need(!reply.includes(words.toLowerCase()), `the reply says "${words}"`);
  for (const about of wanted.explains ?? [])
    need(
      answer.explanations.some((item) => item.about === about),
      `${about} is not explained`,
    );
  for (const item of wanted.where ?? [])
    need(
      answer.where.some((place) => place.item === item),
      `${item} is not located`,
    );
  return lines;
}

describe('the example cases', () => {
  it.each(knowledge.cases.map((example) => [example.id, example] as const))('%s', (_, example) => {
    expect(shortfalls(example, answerLast(example))).toEqual([]);
  });

  it.each(knowledge.cases.map((example) => [example.id, example] as const))(
    '%s gives a sound answer document',
    (_, example) => {
      const answer = answerDocument.parse(answerLast(example));
      const total = answer.causes.reduce((sum, cause) => sum + cause.probability, 0);
      expect(total).toBeCloseTo(1, 9);
      expect(answer.reply.text.length).toBeLessThanOrEqual(1800);
      const ids = new Set([...answer.findings.map((item) => item.id), ...answer.derived.map((item) => item.id)]);
      for (const cause of answer.causes)
        for (const evidence of [...cause.for, ...cause.against]) expect(ids).toContain(evidence.finding);
      const lastPost = example.posts.length - 1;
      for (const finding of answer.findings) {
        if (finding.span === null || finding.post !== lastPost) continue;
        expect(example.posts[lastPost]!.slice(...finding.span)).toBe(finding.quote);
      }
    },
  );
});
