// What a kind of knowledge file is: a folder of YAML files, a schema for their entries, and what they refer to.
import type { z } from 'zod';

/** A reference from an entry to an entry of another kind, at a path inside the entry. */
export interface Reference {
  readonly path: ReadonlyArray<string | number>;
  readonly to: string;
  readonly id: string;
}

/** A mistake that the schema alone cannot see, at a path inside the entry. */
export interface Mistake {
  readonly path: ReadonlyArray<string | number>;
  readonly found: string;
  readonly allowed: string;
  readonly advice: string;
}

export interface Kind<Schema extends z.ZodType<{ id: string }> = z.ZodType<{ id: string }>> {
  /** Folder under knowledge/. */
  readonly folder: string;
  /** `one`: a file is one entry whose id is the file name; `many`: a file is a list of entries. */
  readonly files: 'one' | 'many';
  readonly schema: Schema;
  /** Everything the entry points at; the reader reports each id that does not exist. */
  readonly references: (entry: z.infer<Schema>) => Reference[];
  /** Checks beyond the schema (weights that must sum to 1, patterns that must compile). */
  readonly mistakes?: (entry: z.infer<Schema>) => Mistake[];
}

/** Names a kind with its schema's type kept. */
export function defineKind<Schema extends z.ZodType<{ id: string }>>(kind: Kind<Schema>): Kind<Schema> {
  return kind;
}

/** References to `sources` for a list of [path, source id]; `judgement`, `common practice` and `from memory` need no entry. */
export function sourceReferences(
  entries: ReadonlyArray<readonly [ReadonlyArray<string | number>, string]>,
): Reference[] {
  return entries
    .filter(([, id]) => !(unpublishedSources as readonly string[]).includes(id))
    .map(([path, id]) => ({ path, to: 'sources', id: id.split(',')[0]!.trim() }));
}

/** Words that stand in a `source` field where nothing was published. */
export const unpublishedSources = ['judgement', 'common practice', 'from memory'] as const;
