// Findings as intake would give them, for the tests of the diagnosis: the fields that matter, the rest as usual.
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import type {
  CodeFinding,
  EngineFinding,
  Finding,
  QuestionAnswerFinding,
  ReadingFinding,
  SymptomFinding,
  WorkDoneFinding,
} from '../../src/vocabulary/findings.ts';
import type { Quantity } from '../../src/vocabulary/quantities.ts';

export const knowledge = loadKnowledgeFolder();

let count = 0;
function shared() {
  count += 1;
  return {
    id: `f${count}`,
    source: 'owner' as const,
    time: 'now' as const,
    car: 0,
    span: null,
    quote: '',
    stated: 'present' as const,
    post: 0,
  };
}

export function code(id: string, more: Partial<CodeFinding> = {}): CodeFinding {
  return { ...shared(), kind: 'code', code: id, bank: null, sensor: null, standard: true, status: null, ...more };
}
export function symptom(id: string, more: Partial<SymptomFinding> = {}): SymptomFinding {
  return { ...shared(), kind: 'symptom', symptom: id, when: null, ...more };
}
export function denied(id: string): SymptomFinding {
  return symptom(id, { stated: 'denied' });
}
export function reading(quantity: Quantity, value: number, more: Partial<ReadingFinding> = {}): ReadingFinding {
  return {
    ...shared(),
    kind: 'reading',
    quantity,
    value,
    bank: null,
    sensor: null,
    when: null,
    range: null,
    limit: null,
    unitAssumed: false,
    original: { value: String(value), unit: '' },
    ...more,
  };
}
export function engine(more: Partial<EngineFinding>): EngineFinding {
  return {
    ...shared(),
    kind: 'engine',
    layout: null,
    cylinders: null,
    displacement: null,
    mounting: null,
    fuel: null,
    vehicle: null,
    year: null,
    airMetering: null,
    induction: null,
    ...more,
  };
}
export function work(
  part: string,
  action: WorkDoneFinding['action'],
  result: WorkDoneFinding['result'] = null,
): WorkDoneFinding {
  return { ...shared(), kind: 'work-done', action, part, bank: null, sensor: null, result };
}
export function answer(question: string, given: string): QuestionAnswerFinding {
  return { ...shared(), kind: 'question-answer', question, answer: given };
}

/** An inline engine of two litres with an air meter: one bank, nothing left open. */
export const inlineTwoLitre = engine({ layout: 'inline', cylinders: 4, displacement: 2, airMetering: 'air-meter' });
export const vSix = engine({ layout: 'v', cylinders: 6, displacement: 3, airMetering: 'air-meter' });

export function input(findings: readonly Finding[]) {
  return { findings, derived: [], conflicts: [], asked: [] };
}
