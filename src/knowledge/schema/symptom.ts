// A symptom: the words in which owners tell of it, and how far their silence or denial can be trusted.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

const phrase = z.string().min(2).max(400);

export const symptoms = defineKind({
  folder: 'symptoms',
  files: 'one',
  schema: z.strictObject({
    id: knowledgeId,
    /** As a reply would say it: "black smoke from the exhaust". */
    name: z.string().min(3).max(80),
    /** How reliably an owner who was asked notices it, 0..1: softens a denial. */
    noticed: z.number().min(0).max(1),
    /** Words that say it, in any inflection that intake folds; tested by knowledge/cases. */
    phrases: z.array(phrase).min(1).max(200),
    /** Words that contain a phrase and mean something else. */
    not: z.array(phrase).max(100).default([]),
    /** Words that say it is absent without an ordinary negation ("runs smooth"). */
    denials: z.array(phrase).max(60).default([]),
    /** Words too general to say it, that deny it when they are denied: "no smoke" denies smoke of every colour. */
    whenDenied: z.array(phrase).max(20).default([]),
    source: sourceField,
    why: z.string().max(300).optional(),
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type Symptom = z.infer<typeof symptoms.schema>;
