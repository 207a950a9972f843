// An example case: a post, and what a good answer to it must and must not hold. Anyone may add one without reading code.
import { z } from 'zod';
import { drivingAdvice } from '../../vocabulary/answer-document.ts';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const exampleCases = defineKind({
  folder: 'cases',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    /** What the case is there to show. */
    shows: z.string().min(10).max(300),
    /** The posts of the conversation, first to last; `expect` is about the answer to the last. */
    posts: z.array(z.string().max(20_000)).min(1).max(6),
    expect: z.strictObject({
      codes: z.array(z.string()).optional(),
      /** Readings that must have been read, in the vocabulary's units. */
      readings: z
        .array(
          z.strictObject({
            quantity: z.string(),
            value: z.number(),
            bank: z.number().optional(),
            sensor: z.number().optional(),
            when: z.string().optional(),
          }),
        )
        .optional(),
      symptoms: z.array(knowledgeId).optional(),
      denied: z.array(knowledgeId).optional(),
      /** One of these must rank first. */
      first: z.array(knowledgeId).optional(),
      /** Each of these must be among the first three. */
      inThree: z.array(knowledgeId).optional(),
      /** None of these may be among the first three. */
      notInThree: z.array(knowledgeId).optional(),
      cautions: z.array(knowledgeId).optional(),
      driving: drivingAdvice.optional(),
      handOver: z.boolean().optional(),
      /** Words that the reply must, and must not, hold (any case). */
      says: z.array(z.string().min(2)).optional(),
      neverSays: z.array(z.string().min(2)).optional(),
      explains: z.array(z.string()).optional(),
      where: z.array(z.string()).optional(),
    }),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => [
    ...(['first', 'inThree', 'notInThree'] as const).flatMap((field) =>
      (entry.expect[field] ?? []).map((id, index) => ({ path: ['expect', field, index], to: 'faults', id })),
    ),
    ...(['symptoms', 'denied'] as const).flatMap((field) =>
      (entry.expect[field] ?? []).map((id, index) => ({ path: ['expect', field, index], to: 'symptoms', id })),
    ),
    ...(entry.expect.cautions ?? []).map((id, index) => ({ path: ['expect', 'cautions', index], to: 'cautions', id })),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type ExampleCase = z.infer<typeof exampleCases.schema>;
