// A known engine family: which cars have it, how it is mounted, where its bank 1 is, and how sure that is.
import { z } from 'zod';
import { knowledgeId } from '../../vocabulary/findings.ts';
import { defineKind, sourceReferences } from '../kind.ts';
import { sourceField } from './source.ts';

export const engineFamilies = defineKind({
  folder: 'engines',
  files: 'many',
  schema: z.strictObject({
    id: knowledgeId,
    maker: z.string().min(2).max(60),
    family: z.string().min(1).max(80),
    /** Words by which a post names the engine itself ("1mz", "vq35"). */
    words: z.array(z.string().min(2).max(40)).default([]),
    /** Car models, lower case, as a post would name them. */
    cars: z.array(z.string().min(1).max(60)),
    /** First and last model year, about +/-2. */
    years: z.tuple([z.number().int(), z.number().int()]).nullable(),
    layout: z.enum(['inline', 'v', 'flat', 'w', 'rotary']),
    cylinders: z.number().int().min(1).max(16).nullable(),
    displacements: z.array(z.number()).default([]),
    mounting: z.enum(['transverse', 'longitudinal']).nullable(),
    banks: z.number().int().min(1).max(4),
    bankOne: z.enum(['only', 'firewall', 'radiator', 'right', 'left', 'front-cylinders', 'unknown']),
    bankOneCylinders: z.string().max(40).nullable(),
    /** Probability that the bank-1 cell is right. */
    confidence: z.number().min(0).max(1),
    /** End of the engine where cylinder 1 is. */
    cylinderOneEnd: z.enum(['pulley', 'gearbox', 'unknown']).default('unknown'),
    /** Side of the engine bay where the exhaust leaves (engines of one bank). */
    exhaustSide: z.enum(['firewall', 'radiator', 'right', 'left', 'unknown']).default('unknown'),
    /** Where the first catalyst sits: in the floor, close to or in the manifold, or a small one there and the main one in the floor. */
    catalyst: z.enum(['under-floor', 'close', 'pre', 'unknown']).default('unknown'),
    /** Two banks: a pipe each, joined ahead of the catalyst (one rear sensor), or joined ahead of the only front sensor. */
    pipes: z.enum(['separate', 'y-pipe', 'crossover', 'unknown']).default('unknown'),
    /** End of the car where the engine is. */
    engineAt: z.enum(['front', 'rear']).default('front'),
    /** Side of the car to which the pulleys of an engine across it point. */
    pulleys: z.enum(['right', 'left']).default('right'),
    /** Fewest and most oxygen sensors it was fitted with. */
    sensors: z
      .tuple([z.number().int().min(0).max(8), z.number().int().min(0).max(8)])
      .nullable()
      .default(null),
    /** Kind of front sensor by era: "narrowband to about 2002, wideband after". */
    frontSensor: z.string().max(100).optional(),
    airMetering: z.enum(['air-meter', 'manifold-pressure']).nullable().default(null),
    note: z.string().max(300).optional(),
    source: sourceField,
  }),
  references: (entry) => sourceReferences([[['source'], entry.source]]),
});
export type EngineFamily = z.infer<typeof engineFamilies.schema>;
