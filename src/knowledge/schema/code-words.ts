// The words by which posts give a trouble code without its number ("system too lean bank 1"): intake reads the code that they define.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const codeWords = defineKind({
  folder: 'code-words',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    /** Words that say the definition and nothing else: a complaint in the same words would be read as a code. `#` stands for a cylinder's number. */
    words: z.array(z.string().min(6).max(80)).min(1).max(40),
    /** The codes of this definition; bank, sensor and cylinder of each are those of knowledge/codes. */
    codes: z
      .array(z.string().regex(/^[PBCU][0-3][0-9A-F]{3}$/))
      .min(1)
      .max(16),
    source: sourceField,
  }),
  references: (entry) => [
    ...sourceReferences([[['source'], entry.source]]),
    ...entry.codes.map((id, index) => ({ path: ['codes', index], to: 'codes', id })),
  ],
});
export type CodeWords = z.infer<typeof codeWords.schema>;
