// An explanation: a short answer of our own to "how does it work" and "what is that".
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const explanations = defineKind({
  folder: 'explanations',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    /** Words in a post that ask for it, written as the phrases of a symptom are (see knowledge/symptoms/black-smoke.yaml). */
    words: z.array(z.string().min(2).max(400)).min(1).max(60),
    /**
     * When it is heard: `asked`, where the sentence asks or wishes; `alone`, also where the post holds no other finding; `always`,
     * for what must not wait to be asked, such as somebody who feels ill from fumes.
     */
    heard: z.enum(['asked', 'alone', 'always']).default('asked'),
    /** Explanations that say nothing more than this one does; they are left out beside it. */
    covers: z.array(knowledgeId).max(12).default([]),
    /** What is told in its place where a symptom stands that says which of several harms is meant. */
    instead: z
      .array(z.strictObject({ symptom: knowledgeId, explanation: knowledgeId }))
      .max(12)
      .default([]),
    text: z.string().min(20).max(900),
    source: sourceField,
  }),
  references: (entry) => [
    ...entry.instead.flatMap((item, index) => [
      { path: ['instead', index, 'symptom'], to: 'symptoms', id: item.symptom },
      { path: ['instead', index, 'explanation'], to: 'explanations', id: item.explanation },
    ]),
    ...entry.covers.map((id, index) => ({ path: ['covers', index], to: 'explanations', id })),
    ...sourceReferences([[['source'], entry.source]]),
  ],
});
export type ExplanationEntry = z.infer<typeof explanations.schema>;
