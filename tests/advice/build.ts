// Findings, cases and diagnoses put together by hand, so that tests of advice depend on nobody's reading or ranking.

import type { Advice } from '../../src/advice/advice.ts';
import { advise } from '../../src/advice/advise.ts';
import type { Diagnosis } from '../../src/diagnosis/diagnosis.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import type { Derived, PlanStep, Question } from '../../src/vocabulary/answer-document.ts';
import { type Case, emptyCase } from '../../src/vocabulary/case.ts';
import type {
  CodeFinding,
  EngineFinding,
  Finding,
  QuestionAnswerFinding,
  ReadingFinding,
  RequestFinding,
  SymptomFinding,
  WorkDoneFinding,
} from '../../src/vocabulary/findings.ts';
import type { Quantity } from '../../src/vocabulary/quantities.ts';

export const knowledge = loadKnowledgeFolder();

const base = {
  id: 'f1',
  source: 'owner',
  time: 'now',
  car: 0,
  span: null,
  quote: 'as said',
  stated: 'present',
  post: 0,
} as const;

type Some<Kind extends Finding> = Partial<Omit<Kind, 'kind'>>;

export function symptom(id: string, more: Some<SymptomFinding> = {}): SymptomFinding {
  return { ...base, kind: 'symptom', symptom: id, when: null, ...more };
}

export function code(id: string, more: Some<CodeFinding> = {}): CodeFinding {
  const known = knowledge.codes.byId.get(id);
  return {
    ...base,
    kind: 'code',
    code: id,
    bank: known?.bank ?? null,
    sensor: known?.sensor ?? null,
    standard: true,
    status: null,
    ...more,
  };
}

export function reading(quantity: Quantity, value: number, more: Some<ReadingFinding> = {}): ReadingFinding {
  return {
    ...base,
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

export function request(
  about: RequestFinding['about'],
  item: string | null = null,
  more: Some<RequestFinding> = {},
): RequestFinding {
  return { ...base, kind: 'request', about, item, ...more };
}

export function work(
  action: WorkDoneFinding['action'],
  part: string,
  more: Some<WorkDoneFinding> = {},
): WorkDoneFinding {
  return { ...base, kind: 'work-done', action, part, bank: null, sensor: null, result: null, ...more };
}

export function engine(more: Some<EngineFinding>): EngineFinding {
  return {
    ...base,
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

export function answer(
  question: string,
  choice: string,
  more: Some<QuestionAnswerFinding> = {},
): QuestionAnswerFinding {
  return { ...base, kind: 'question-answer', question, answer: choice, ...more };
}

/** A ranking by hand: fault ids with probabilities, most probable first. */
export function diagnosis(
  causes: ReadonlyArray<readonly [string, number, (number | null)?]> = [],
  more: { plan?: PlanStep[]; questions?: Question[] } = {},
): Diagnosis {
  return {
    causes: causes.map(([fault, probability, bank = null]) => ({
      fault,
      name: knowledge.faults.byId.get(fault)?.name ?? fault,
      bank,
      probability,
      for: [],
      against: [],
    })),
    together: [],
    questions: more.questions ?? [],
    plan: more.plan ?? [],
    fit: { surprise: 0, clash: [], handOver: { wanted: false, because: null } },
  };
}

/** A step as the plan would show it, with the cautions of a safety rule. */
export function step(rule: string, more: Partial<PlanStep> = {}): PlanStep {
  const entry = knowledge.safety.byId.get(rule);
  if (!entry) throw new Error(`no safety rule ${rule}`);
  return {
    step: `do ${rule}`,
    fault: 'vacuum-leak',
    effort: 'minutes',
    who: entry.who,
    expect: 'something',
    caution: entry.cautions,
    kind: 'check',
    probability: 0.5,
    cost: 1,
    ...more,
  };
}

export function aCase(findings: readonly Finding[], more: Partial<Case> = {}): Case {
  const posts = findings.reduce((most, finding) => Math.max(most, finding.post + 1), 1);
  return {
    ...emptyCase,
    posts,
    findings: findings.map((finding, index) => ({ ...finding, id: `f${index + 1}` })),
    ...more,
  };
}

export function advised(
  findings: readonly Finding[],
  found: Diagnosis = diagnosis(),
  more: { current?: Partial<Case>; derived?: Derived[]; offTopic?: boolean } = {},
): Advice {
  const current = aCase(findings, more.current);
  return advise(
    {
      current,
      reading: {
        findings: current.findings,
        conflicts: [],
        replaces: [],
        mentions: [],
        notes: [],
        offTopic: more.offTopic ?? false,
      },
      diagnosis: found,
      derived: more.derived ?? [],
    },
    knowledge,
  );
}

export function derived(calculator: string, result: number | null): Derived {
  return {
    id: 'd1',
    calculator,
    inputs: [],
    result,
    unit: '1',
    says: 'a result',
    valid: result !== null,
    because: result === null ? 'out of range' : null,
    steps: [],
    bank: null,
    when: null,
    source: 'common practice',
  };
}
