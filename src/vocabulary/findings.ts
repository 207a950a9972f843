// What a post says, as data. Intake produces findings; every later step reads them and none reads the text again.
import { z } from 'zod';
import { conditions, quantityIds } from './quantities.ts';

/** Kebab-case id of an entry of the knowledge base (a fault, a symptom, a question, ...). */
export const knowledgeId = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/);

const bank = z.number().int().min(1).max(4).nullable();
const sensor = z.number().int().min(1).max(4).nullable();
const when = z.enum(conditions).nullable();

const shared = {
  /** Unique within a case. */
  id: z.string().min(1).max(40),
  source: z.enum(['owner', 'hearsay', 'helper', 'attachment']),
  time: z.enum(['now', 'before']),
  /** 0 for the car asked about, 1.. for others in the post. */
  car: z.number().int().min(0).max(9),
  /** [start, end) in UTF-16 units of the post that it came from; null when from an attachment or a button. */
  span: z.tuple([z.number().int().min(0), z.number().int().min(0)]).nullable(),
  /** The exact text of the span; what was pressed or read otherwise. */
  quote: z.string().max(400),
  stated: z.enum(['present', 'denied', 'unsure']),
  /** Which post of the conversation it came from, 0 for the first. */
  post: z.number().int().min(0),
};

export const codeFinding = z.object({
  ...shared,
  kind: z.literal('code'),
  /** Upper case, as the standard writes it (P0171); for codes outside the standard, as the writer typed it. */
  code: z.string().min(1).max(20),
  bank,
  sensor,
  /** True when the meaning is set by the open standard. */
  standard: z.boolean(),
  status: z.enum(['stored', 'pending', 'permanent', 'history']).nullable(),
  /** True when the writer gave the standard's definition and not its number. */
  inWords: z.boolean().optional(),
});

export const codeListFinding = z.object({
  ...shared,
  kind: z.literal('code-list'),
  /** True when the writer gave all codes, or said that there are none. */
  complete: z.boolean(),
});

export const readingFinding = z.object({
  ...shared,
  kind: z.literal('reading'),
  quantity: z.enum(quantityIds),
  /** In the quantity's own unit; the middle of `range` when a range was given. */
  value: z.number(),
  bank,
  sensor,
  when,
  range: z.tuple([z.number(), z.number()]).nullable(),
  /** Set for "maxed out at 25" and the like. */
  limit: z.enum(['at-least', 'at-most']).nullable(),
  unitAssumed: z.boolean(),
  original: z.object({ value: z.string().max(80), unit: z.string().max(40) }),
  /** A stretch of the signal that the reading sums up, from a log: evenly spaced samples in the quantity's own unit, for a picture. */
  trace: z
    .object({
      when: when.default(null),
      seconds: z.number().positive().nullable(),
      values: z.array(z.number()).min(2).max(120),
    })
    .optional(),
});

export const symptomFinding = z.object({ ...shared, kind: z.literal('symptom'), symptom: knowledgeId, when });

export const engineFinding = z.object({
  ...shared,
  kind: z.literal('engine'),
  layout: z.enum(['inline', 'v', 'flat', 'w', 'rotary']).nullable(),
  cylinders: z.number().int().min(1).max(16).nullable(),
  /** Litres. */
  displacement: z.number().min(0.05).max(30).nullable(),
  mounting: z.enum(['transverse', 'longitudinal']).nullable(),
  fuel: z.string().max(40).nullable(),
  vehicle: z.string().max(120).nullable(),
  year: z.number().int().min(1950).max(2100).nullable(),
  /** How the control unit measures air, when the writer says so. */
  airMetering: z.enum(['air-meter', 'manifold-pressure']).nullable(),
  induction: z.enum(['natural', 'boosted']).nullable(),
});

export const workDoneFinding = z.object({
  ...shared,
  kind: z.literal('work-done'),
  action: z.enum(['replaced', 'cleaned', 'tested', 'reset', 'swapped', 'repaired', 'disconnected']),
  /** A part id of knowledge/parts, or the writer's own words. */
  part: z.string().max(80),
  bank,
  sensor,
  /** What it led to, when the writer says so. */
  result: z.enum(['helped', 'no-change', 'found-good', 'found-bad', 'started-trouble']).nullable(),
});

export const requestFinding = z.object({
  ...shared,
  kind: z.literal('request'),
  about: z.enum(['diagnosis', 'location', 'how-to', 'cleaning', 'tampering', 'driving', 'code-meaning', 'limits']),
  /** What it is about where that is a thing: `bank-1-sensor-2`, a code, a topic of knowledge/explanations; else null. */
  item: z.string().max(80).nullable(),
});

/** An answer to one of the bot's own questions, typed or pressed. */
export const replyFinding = z.object({
  ...shared,
  kind: z.literal('question-answer'),
  question: knowledgeId,
  /** Id of one of the question's answers, or `cannot-check`. */
  answer: knowledgeId,
});

export const finding = z.discriminatedUnion('kind', [
  codeFinding,
  codeListFinding,
  readingFinding,
  symptomFinding,
  engineFinding,
  workDoneFinding,
  requestFinding,
  replyFinding,
]);

export type Finding = z.infer<typeof finding>;
export type CodeFinding = z.infer<typeof codeFinding>;
export type ReadingFinding = z.infer<typeof readingFinding>;
export type SymptomFinding = z.infer<typeof symptomFinding>;
export type EngineFinding = z.infer<typeof engineFinding>;
export type WorkDoneFinding = z.infer<typeof workDoneFinding>;
export type RequestFinding = z.infer<typeof requestFinding>;
export type QuestionAnswerFinding = z.infer<typeof replyFinding>;
export type FindingKind = Finding['kind'];
