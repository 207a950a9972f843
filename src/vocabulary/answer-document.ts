// The answer document: what one post turns into. `ask --json` prints it, POST /api/answers returns it, the bay shows it.
// Fields may be added, never renamed. tests/vocabulary/answer-document.test.ts holds a full example.
import { z } from 'zod';
import { finding, knowledgeId } from './findings.ts';

export const drivingAdvice = z.enum(['ok', 'limit', 'stop']);
export type DrivingAdvice = z.infer<typeof drivingAdvice>;

const probability = z.number().min(0).max(1);
const bank = z.number().int().min(1).max(4).nullable();
const text = z.string().max(4000);

/** Two findings that cannot both hold (or one that physics forbids), and the question that settles it. */
export const conflict = z.object({
  findings: z.array(z.string()).max(20),
  /** The words that could not be taken as a finding, when there is no finding to point at. */
  quote: z.string().max(400).nullable(),
  says: text,
  question: text,
});

/** One calculator's result. `result` is null exactly when `valid` is false. */
export const derived = z.object({
  id: z.string().max(40),
  calculator: z.string().max(60),
  inputs: z.array(z.object({ name: z.string(), value: z.number(), unit: z.string(), finding: z.string().nullable() })),
  result: z.number().nullable(),
  unit: z.string(),
  says: text,
  valid: z.boolean(),
  because: text.nullable(),
  /** The arithmetic, one step a line, for "how did you get that?". */
  steps: z.array(z.string().max(400)),
  bank,
  when: z.string().nullable(),
  source: z.string(),
});

export const evidence = z.object({
  /** A finding's id or a derived result's id. */
  finding: z.string(),
  /** Weight of evidence in bits; positive in `for`, negative in `against`. */
  bits: z.number(),
  why: text,
});

export const cause = z.object({
  fault: knowledgeId,
  name: text,
  bank,
  probability,
  for: z.array(evidence),
  against: z.array(evidence),
});

export const together = z.object({
  faults: z.array(knowledgeId).length(2),
  root: knowledgeId,
  probability,
  why: text,
});

export const effort = z.enum(['none', 'minutes', 'tools', 'workshop']);
export type Effort = z.infer<typeof effort>;

export const question = z.object({
  id: knowledgeId,
  text,
  answers: z.array(z.object({ id: knowledgeId, text: z.string().max(200) })),
  /** Expected fall in entropy of the fault distribution [bits]. */
  gain: z.number().min(0),
  effort,
  caution: z.array(knowledgeId),
  /** What the answer decides, in plain words. */
  decides: text,
});

export const planStep = z.object({
  step: text,
  fault: knowledgeId,
  effort,
  who: z.enum(['owner', 'workshop']),
  expect: text,
  caution: z.array(knowledgeId),
  kind: z.enum(['check', 'repair']),
  /** Probability that the fault of this step is the cause, given the findings. */
  probability,
  /** In hours of workshop labour, parts included. */
  cost: z.number().min(0),
});

export const where = z.object({
  /** bank-1-sensor-1, air-meter, ... */
  item: z.string().max(60),
  text,
  certainty: z.enum(['certain', 'likely', 'ask']),
  picture: z.string().max(200).nullable(),
  source: z.string(),
});

/** A picture of something that a person would rather look at than read. The answer is complete without it. */
export const picture = z.object({
  about: z.enum(['place', 'trims', 'signal', 'ranking']),
  /** Address on this server, of the SVG; the same with `.png` at its end is a PNG. Never changes its content. */
  address: z.string().max(600),
  /** In pixels of the SVG; the PNG has twice as many. */
  width: z.number().int(),
  height: z.number().int(),
  /** What it shows, in words for those who cannot see it. */
  alt: text,
});

export const fit = z.object({
  /** 0: the best explanation fits as well as one usually does; 1: nothing explains the readings. */
  surprise: probability,
  clash: z.array(z.string()),
  handOver: z.object({ wanted: z.boolean(), because: text.nullable() }),
});

export const caution = z.object({ id: knowledgeId, text, because: text, shown: z.boolean() });

export const explanation = z.object({ about: z.string().max(80), text, source: z.string() });

export const answerDocument = z.object({
  id: z.string().max(200),
  findings: z.array(finding),
  conflicts: z.array(conflict),
  derived: z.array(derived),
  causes: z.array(cause),
  together: z.array(together),
  questions: z.array(question),
  plan: z.array(planStep),
  where: z.array(where),
  fit,
  explanations: z.array(explanation),
  cautions: z.array(caution),
  driving: drivingAdvice,
  drivingBecause: text,
  reply: z.object({ text: z.string().max(1800), markdown: z.string().max(6000) }),
  model: z.object({ knowledge: z.string(), version: z.string() }),
  /** Most useful first, four at most. */
  pictures: z.array(picture).max(4).default([]),
  /** What could not be taken in: text beyond the limit, another language, nothing to read. */
  notes: z.array(
    z.object({ kind: z.enum(['truncated', 'empty', 'unreadable', 'other-language', 'no-car']), says: text }),
  ),
});

export type AnswerDocument = z.infer<typeof answerDocument>;
export type Conflict = z.infer<typeof conflict>;
export type Derived = z.infer<typeof derived>;
export type Evidence = z.infer<typeof evidence>;
export type Cause = z.infer<typeof cause>;
export type Together = z.infer<typeof together>;
export type Question = z.infer<typeof question>;
export type PlanStep = z.infer<typeof planStep>;
export type Where = z.infer<typeof where>;
export type Picture = z.infer<typeof picture>;
export type Fit = z.infer<typeof fit>;
export type Caution = z.infer<typeof caution>;
export type Explanation = z.infer<typeof explanation>;
export type Note = AnswerDocument['notes'][number];
