import { describe, expect, it } from 'vitest';
import { answersByFault, hypothesisWeights, posteriorsAfterFigures } from '../../src/diagnosis/answer-prediction.ts';
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { rankQuestions } from '../../src/diagnosis/choose-questions.ts';
import { diagnose } from '../../src/diagnosis/diagnose.ts';
import { searchCost } from '../../src/diagnosis/plan-repairs.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { answer, code, inlineTwoLitre, input, knowledge, reading, symptom } from './said.ts';

function questionsFor(findings: readonly Finding[], asked: string[] = []) {
  return diagnose({ ...input(findings), asked: asked.map((question) => ({ question, post: 0 })) }, knowledge).questions;
}

const lean = [code('P0171'), symptom('rough-idle')];

describe('questions', () => {
  it('are ranked by gain over effort', () => {
    const divisor = { none: 1, minutes: 2, tools: 5, workshop: 15 };
    const worth = questionsFor(lean).map((question) => question.gain / divisor[question.effort]);
    expect(worth.length).toBeGreaterThan(2);
    for (let index = 1; index < worth.length; index += 1)
      expect(worth[index]!).toBeLessThanOrEqual(worth[index - 1]! + 0.001);
  });
  it('are only those that the safety table lets an owner do', () => {
    for (const question of questionsFor(lean)) {
      const entry = knowledge.questions.byId.get(question.id)!;
      expect(knowledge.safety.byId.get(entry.safety)!.who).toBe('owner');
    }
  });
  it('leave out what a stop sign forbids', () => {
    for (const question of questionsFor([...lean, symptom('fuel-leak')])) {
      const entry = knowledge.questions.byId.get(question.id)!;
      expect(knowledge.safety.byId.get(entry.safety)!.notWith).not.toContain('fuel-leak');
    }
  });
  it('are never asked twice, nor after their answer, "cannot check" included', () => {
    const first = questionsFor(lean)[0]!;
    expect(questionsFor(lean, [first.id]).map((question) => question.id)).not.toContain(first.id);
    expect(questionsFor([...lean, answer(first.id, 'cannot-check')]).map((question) => question.id)).not.toContain(
      first.id,
    );
  });
  it('are not asked when the findings already answer them', () => {
    for (const question of knowledge.questions) {
      for (const by of question.answeredBy) {
        if (!('quantity' in by)) continue;
        const told = reading(by.quantity, 1, { when: by.when ?? 'idle', sensor: by.sensor ?? null });
        expect(questionsFor([...lean, told]).map((item) => item.id)).not.toContain(question.id);
      }
    }
  });
  it('move the ranking when they are answered, as far as they promise', () => {
    const before = diagnose(input(lean), knowledge).causes;
    const table = questionsFor(lean).find(
      (question) => knowledge.questions.byId.get(question.id)!.model.by === 'table',
    )!;
    const moved = table.answers.map(({ id }) => {
      const after = diagnose(input([...lean, answer(table.id, id)]), knowledge).causes;
      return before.reduce(
        (sum, cause) =>
          sum + Math.abs(cause.probability - (after.find((other) => other.fault === cause.fault)?.probability ?? 0)),
        0,
      );
    });
    expect(Math.max(...moved)).toBeGreaterThan(0.05);
  });
  it('stop when a cause is settled and no answer can change the plan', () => {
    const settled = [
      code('P0128'),
      symptom('poor-fuel-economy'),
      reading('coolant-temperature', 62),
      reading('total-trim', 0, { when: 'idle' }),
      reading('total-trim', 1, { when: '2500rpm' }),
    ];
    expect(questionsFor(settled).length).toBeLessThan(questionsFor(lean).length);
  });
  it('ask for the other half where one half of a comparison is known, and never for both again', () => {
    const unknown = questionsFor(lean).map((question) => question.id);
    expect(unknown).not.toContain('trims-at-2500');
    const idle = reading('long-term-trim', 17, { when: 'idle' });
    const half = rankQuestions(modelCase([...lean, idle], knowledge), []).map(({ question }) => question.id);
    expect(half).toContain('trims-at-2500');
    expect(half).not.toContain('trims-idle-and-2500');
    expect(half).not.toContain('trims-at-idle');
  });
  it('expect nothing of a figure that was read already', () => {
    const model = modelCase([inlineTwoLitre, ...lean, reading('total-trim', 17, { when: 'idle', bank: 1 })], knowledge);
    const world = model.worlds[0]!;
    const weights = hypothesisWeights(model, world);
    const again = posteriorsAfterFigures(model, world, weights, knowledge.questions.byId.get('trims-at-idle')!);
    expect(again).toEqual([]);
    const other = posteriorsAfterFigures(model, world, weights, knowledge.questions.byId.get('trims-at-2500')!);
    expect(other.length).toBeGreaterThan(1);
  });
  it('promise a plan that costs less on the way to the fault, never more', () => {
    const model = modelCase(lean, knowledge);
    const cost = searchCost(model.faults, model.attributed.probability);
    const world = model.worlds[0]!;
    const weights = hypothesisWeights(model, world);
    for (const question of knowledge.questions) {
      const rows = answersByFault(model, world, weights, question, knowledge);
      if (!rows) continue;
      const expected = rows.reduce((sum, row) => {
        const joint = model.attributed.probability.map((value, fault) => value * row[fault]!);
        const probability = joint.reduce((total, value) => total + value, 0);
        return (
          sum +
          probability *
            searchCost(
              model.faults,
              joint.map((value) => value / probability),
            )
        );
      }, 0);
      // Rows sum to 1 but for the floor under each answer: a hundredth an answer at most.
      expect(expected, question.id).toBeLessThan(cost * 1.08);
    }
  });
});
