// A request: the words by which a post asks for something, and what kind of thing that is.
import { z } from 'zod';
import { knowledgeId, requestFinding } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

const phrase = z.string().min(2).max(400);

export const requests = defineKind({
  folder: 'requests',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    about: requestFinding.shape.about,
    /** A fixed item (`arithmetic`, an explanation); absent when intake finds the item in the sentence, or there is none. */
    item: z.string().max(80).optional(),
    /** Words that ask for it, written as in knowledge/symptoms. */
    phrases: z.array(phrase).min(1).max(120),
    /** Words that hold a phrase and mean something else. */
    not: z.array(phrase).max(60).default([]),
    /** True: the words alone may tell of something done; only a question, a wish or a plan makes them a request. */
    onlyWhenAsked: z.boolean().default(false),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type RequestEntry = z.infer<typeof requests.schema>;
