// Deliveries of signed webhooks that were taken in: keyed hashes of their ids and of their bodies, so that a repeat is known and
// an id that comes with another body is refused. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { Store } from '../store.ts';
import type { StoreContext } from './body-keys.ts';
import { compile, query } from './tables.ts';

type Deliveries = Pick<Store, 'findDelivery' | 'rememberDelivery' | 'forgetDeliveries'>;

export function deliveries({ connection, vault }: StoreContext) {
  const hashOf = (channel: string, id: string) => vault.pseudonym('delivery', channel, id);
  // Keyed, because the plain hash of a short post could be guessed.
  const bodyOf = (channel: string, bodyHash: string) => vault.pseudonym('delivery body', channel, bodyHash);

  async function remember(channel: string, { id, bodyHash }: { id: string; bodyHash: string }, now: number) {
    const [hash, body] = await Promise.all([hashOf(channel, id), bodyOf(channel, bodyHash)]);
    return {
      statement: compile(
        query
          .insertInto('deliveries')
          .values({ delivery_hash: hash, body_hash: body, seen_at: now })
          .onConflict((conflict) => conflict.doNothing()),
      ),
      /** Condition for the same batch: the id stands for this body. */
      isOurs: sql`EXISTS (SELECT 1 FROM deliveries WHERE delivery_hash = ${hash} AND body_hash = ${body})`,
    };
  }

  const store: Deliveries = {
    async findDelivery(channel, id, bodyHash) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('deliveries')
            .select('body_hash')
            .where('delivery_hash', '=', await hashOf(channel, id)),
        ),
      );
      const row = z.array(z.object({ body_hash: z.string() })).parse(rows)[0];
      if (!row) return 'new';
      return row.body_hash === (await bodyOf(channel, bodyHash)) ? 'same' : 'other-body';
    },

    async rememberDelivery(channel, id, bodyHash, now) {
      await connection.run((await remember(channel, { id, bodyHash }, now)).statement);
    },

    async forgetDeliveries(before) {
      await connection.run(compile(query.deleteFrom('deliveries').where('seen_at', '<', before)));
    },
  };
  return { ...store, remember };
}
