// A place: where a part other than an oxygen sensor usually sits, and how to know it when it is found.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const places = defineKind({
  folder: 'places',
  files: 'many',
  schema: z.strictObject({
    /** The part's id, as requests and faults name it. */
    id: knowledgeId,
    name: z.string().min(2).max(60),
    /** Where it sits on most cars and what it looks like, one or two sentences. */
    text: z.string().min(20).max(400),
    /** How far this holds over makes: `likely` on most, `ask` when it depends on the car. */
    certainty: z.enum(['likely', 'ask']),
    source: sourceField,
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type Place = z.infer<typeof places.schema>;
