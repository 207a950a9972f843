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
    /** Words in a post that ask for it. */
    words: z.array(z.string().min(2).max(80)).min(1),
    text: z.string().min(20).max(900),
    source: sourceField,
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type ExplanationEntry = z.infer<typeof explanations.schema>;
