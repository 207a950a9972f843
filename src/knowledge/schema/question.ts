// A question that the bot may ask: its answers, what they are worth, what it takes to answer, and what makes it answered.
import { z } from 'zod';
import { effort } from '../../vocabulary/answer-document.ts';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { conditions, quantityIds } from '../../vocabulary/quantities.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

const answer = z.strictObject({
  id: knowledgeId,
  text: z.string().min(1).max(120),
  /** Words by which a typed reply is taken as this answer, beside its number and "yes"/"no". */
  phrases: z.array(z.string().min(1).max(60)).default([]),
  /** Words by which a post tells this answer without having been asked, written as phrases of a symptom are. */
  told: z.array(z.string().min(4).max(400)).max(40).default([]),
});

/** A finding that makes the question answered. */
const answeredBy = z.union([
  z.strictObject({
    quantity: z.enum(quantityIds),
    when: z.enum(conditions).optional(),
    sensor: z.number().int().optional(),
  }),
  z.strictObject({ symptom: knowledgeId }),
  z.strictObject({ code: z.literal('any') }),
  z.strictObject({ codeList: z.literal('complete') }),
  z.strictObject({ engine: z.enum(['layout', 'cylinders', 'displacement', 'vehicle', 'year', 'airMetering', 'fuel']) }),
  z.strictObject({ work: knowledgeId }),
]);

/** How the model predicts an answer. */
const model = z.discriminatedUnion('by', [
  /** A symptom of the model: first answer present, second denied. */
  z.strictObject({ by: z.literal('symptom'), symptom: knowledgeId }),
  /** Readings of the model, cut into the answers or integrated numerically. */
  z.strictObject({
    by: z.literal('readings'),
    readings: z
      .array(
        z.strictObject({
          quantity: z.enum(quantityIds),
          when: z.enum(conditions).optional(),
          sensor: z.number().int().optional(),
        }),
      )
      .min(1),
  }),
  /** A table: for each answer its probability by fault, `otherwise` for the faults not named. Rows sum to 1. */
  z.strictObject({
    by: z.literal('table'),
    otherwise: z.record(z.string(), z.number().min(0).max(1)),
    faults: z.record(z.string(), z.record(z.string(), z.number().min(0).max(1))),
  }),
]);

export const questions = defineKind({
  folder: 'questions',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    text: z.string().min(10).max(400),
    /** What the answer decides, as told to the owner. */
    decides: z.string().min(5).max(200),
    effort,
    /** Rule of knowledge/safety that gates it. */
    safety: knowledgeId,
    answers: z.array(answer).max(8),
    answeredBy: z.array(answeredBy),
    model,
    /** Asked only about engines of which this is true or unknown. */
    onlyFor: z
      .strictObject({
        airMetering: z.enum(['air-meter', 'manifold-pressure']).optional(),
        banks: z.number().int().optional(),
      })
      .optional(),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => [
    { path: ['safety'], to: 'safety', id: entry.safety },
    ...(entry.model.by === 'symptom' ? [{ path: ['model', 'symptom'], to: 'symptoms', id: entry.model.symptom }] : []),
    ...(entry.model.by === 'table'
      ? Object.keys(entry.model.faults).map((id) => ({ path: ['model', 'faults', id], to: 'faults', id }))
      : []),
    ...sourceReferences([[['source'], entry.source]]),
  ],
  mistakes: (entry) => {
    if (entry.model.by !== 'table') return [];
    const answerIds = entry.answers.map((item) => item.id);
    const rows: [string[], Record<string, number>][] = [
      [['model', 'otherwise'], entry.model.otherwise],
      ...Object.entries(entry.model.faults).map(([fault, row]): [string[], Record<string, number>] => [
        ['model', 'faults', fault],
        row,
      ]),
    ];
    return rows.flatMap(([path, row]) => {
      const total = answerIds.reduce((sum, id) => sum + (row[id] ?? 0), 0);
      const unknown = Object.keys(row).filter((id) => !answerIds.includes(id));
      return [
        ...(Math.abs(total - 1) > 0.001
          ? [
              {
                path,
                found: `probabilities that sum to ${total.toFixed(3)}`,
                allowed: 'a sum of 1',
                advice: 'change the row until it sums to 1',
              },
            ]
          : []),
        ...unknown.map((id) => ({
          path: [...path, id],
          found: id,
          allowed: answerIds.join(', '),
          advice: 'name one of the question’s own answers',
        })),
      ];
    });
  },
});
export type QuestionEntry = z.infer<typeof questions.schema>;
