// The small keys under which words are sealed: one for each writer in each conversation, and one for the conversation itself
// (person ''), under which its case, answers and messages stand. The other files of this folder call it.
import type { BodyKey, Vault } from '../vault.ts';
import type { SqlConnection, SqlStatement } from './connection.ts';
import { compile, query } from './tables.ts';

/** What the parts of the SQL store share. */
export interface StoreContext {
  readonly connection: SqlConnection;
  readonly vault: Vault;
}

/** The conversation's own key, in place of a writer's pseudonym. */
export const ownKey = '';

export interface KeyPlace {
  readonly channel: string;
  readonly conversation: string;
  readonly person: string;
}

/** The stored key, or null when there is none (never made, or erased). */
export async function readKey({ connection, vault }: StoreContext, place: KeyPlace): Promise<BodyKey | null> {
  const { rows } = await connection.run(
    compile(
      query
        .selectFrom('body_keys')
        .select('sealed')
        .where('channel', '=', place.channel)
        .where('conversation', '=', place.conversation)
        .where('person', '=', place.person),
    ),
  );
  const sealed = rows[0]?.sealed;
  return typeof sealed === 'string' ? { sealed, key: await vault.openKey(sealed) } : null;
}

/** Reads each key once, for lists; for one call of the store only, since a key may be erased between two. */
export function keyReader(context: StoreContext): (place: KeyPlace) => Promise<CryptoKey | null> {
  const known = new Map<string, Promise<BodyKey | null>>();
  return async (place) => {
    const name = JSON.stringify([place.channel, place.conversation, place.person]);
    const found = known.get(name) ?? readKey(context, place);
    known.set(name, found);
    return (await found)?.key ?? null;
  };
}

/** Stores a key unless that place has one already. */
export function insertKey(place: KeyPlace, sealed: string): SqlStatement {
  return compile(
    query
      .insertInto('body_keys')
      .values({ channel: place.channel, conversation: place.conversation, person: place.person, sealed })
      .onConflict((conflict) => conflict.doNothing()),
  );
}
