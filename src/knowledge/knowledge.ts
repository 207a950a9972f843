// The checked knowledge base, as every other layer receives it.
import type { z } from 'zod';
import { type KindName, kinds } from './kinds.ts';

/** All entries of one kind, sorted by id. */
export type Entries<Name extends KindName> = ReadonlyArray<z.infer<(typeof kinds)[Name]['schema']>>;

/** Entries by kind, as stored in a bundle. */
export type KnowledgeEntries = { readonly [Name in KindName]: Entries<Name> };

/** One kind with look-up by id. */
export type Table<Name extends KindName> = Entries<Name> & {
  readonly byId: ReadonlyMap<string, Entries<Name>[number]>;
};

export type Knowledge = { readonly [Name in KindName]: Table<Name> } & {
  /** Changes whenever any entry changes: twelve hexadecimal digits of the SHA-256 of the entries. */
  readonly version: string;
};

/** Turns checked entries into a Knowledge with look-up tables; used for files and for the bundle alike. */
export function assembleKnowledge(entries: KnowledgeEntries, version: string): Knowledge {
  const tables = Object.fromEntries(
    (Object.keys(kinds) as KindName[]).map((name) => {
      const list = [...entries[name]] as Array<{ id: string }>;
      return [name, Object.assign(list, { byId: new Map(list.map((entry) => [entry.id, entry])) })];
    }),
  );
  return { ...tables, version } as unknown as Knowledge;
}
