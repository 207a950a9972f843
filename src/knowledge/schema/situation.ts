// A situation: what must hold in a case for a caution or a driving rule to apply. Every part that is given must hold;
// a list inside a part means "one of these", but `symptoms` means all of them. src/advice/situation.ts judges it.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { quantityIds } from '../../vocabulary/quantities.ts';
import type { Reference } from '../kind.ts';

export const situation = z
  .strictObject({
    /** All of these stand now on the car asked about. */
    symptoms: z.array(knowledgeId).min(1).max(6).optional(),
    /** One of these stands now. */
    anySymptom: z.array(knowledgeId).min(1).max(12).optional(),
    /** One of these codes is stored; `P030` stands for every code that begins so. */
    codes: z
      .array(z.string().regex(/^[PBCU][0-3][0-9A-F]{0,3}$/))
      .min(1)
      .max(40)
      .optional(),
    /** A reading, or a calculator's result of the same name, at or beyond a figure in the quantity's own unit. */
    reading: z
      .strictObject({ quantity: z.enum(quantityIds), atLeast: z.number().optional(), atMost: z.number().optional() })
      .optional(),
    /** One of these faults has at least this probability. */
    fault: z.strictObject({ anyOf: z.array(knowledgeId).min(1).max(16), atLeast: z.number().min(0).max(1) }).optional(),
    /** This post asks for it; `items` are items as requests name them, or beginnings that end in a hyphen (`bank-`); `null`: none named. */
    request: z
      .strictObject({
        about: z
          .array(
            z.enum(['diagnosis', 'location', 'how-to', 'cleaning', 'tampering', 'driving', 'code-meaning', 'limits']),
          )
          .min(1)
          .optional(),
        items: z.array(z.string().min(2).max(60).nullable()).min(1).max(24).optional(),
      })
      .optional(),
    /** Work was done on one of these parts (beginnings of part ids). */
    work: z
      .strictObject({
        actions: z
          .array(z.enum(['replaced', 'cleaned', 'tested', 'reset', 'swapped', 'repaired', 'disconnected']))
          .optional(),
        parts: z.array(z.string().min(2).max(60)).min(1).max(16),
      })
      .optional(),
    /** One of these answers was given to a question of the bot. */
    answer: z.strictObject({ question: knowledgeId, is: z.array(knowledgeId).min(1).max(8) }).optional(),
    /** A word of the vehicle's name, or the fuel, as the post gives it. */
    vehicleWords: z.array(z.string().min(2).max(30)).min(1).max(24).optional(),
  })
  .refine((entry) => Object.keys(entry).length > 0, 'name at least one condition');
export type Situation = z.infer<typeof situation>;

/** References of a situation at a path, for the kinds that hold one. */
export function situationReferences(path: ReadonlyArray<string | number>, entry: Situation): Reference[] {
  const list = (field: string, to: string, ids: readonly string[] | undefined) =>
    (ids ?? []).map((id, index) => ({ path: [...path, field, index], to, id }));
  return [
    ...list('symptoms', 'symptoms', entry.symptoms),
    ...list('anySymptom', 'symptoms', entry.anySymptom),
    ...(entry.answer ? [{ path: [...path, 'answer', 'question'], to: 'questions', id: entry.answer.question }] : []),
    ...(entry.fault?.anyOf ?? []).map((id, index) => ({ path: [...path, 'fault', 'anyOf', index], to: 'faults', id })),
  ];
}
