// The register of cars certified in the United States: per make, a line a model with its engines, drives, fuels and certified
// consumption by model year. write-register.ts makes the file; src/register reads the lines.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

/** `4/2.4/F/r 02=98-107 03-04=97-99`: cylinders, litres, drives, fuel, then model years with tenths of L/100 km. */
const engine = String.raw`\d{1,2}\/\d{1,2}\.\d\/[FRA]{1,3}\/[rpd]( \d\d(-\d\d)?=\d{2,3}(-\d{2,3})?){1,40}`;
export const registerLine = new RegExp(String.raw`^[^|\n]{1,60}( \| ${engine}){1,40}$`);

export const register = defineKind({
  folder: 'register',
  files: 'many',
  schema: z.strictObject({
    /** Id of knowledge/makes. */
    id: knowledgeId,
    /** One line a model. */
    cars: z
      .string()
      .max(100_000)
      .refine((lines) => lines.split('\n').every((line) => registerLine.test(line)), {
        message: 'a line is not "model | 4/2.4/F/r 02=98-107 03-04=97"',
      }),
    source: sourceField,
  }),
  references: (entry) => [
    ...sourceReferences([[['source'], entry.source]]),
    { path: ['id'], to: 'makes', id: entry.id },
  ],
});
export type RegisterEntry = z.infer<typeof register.schema>;
