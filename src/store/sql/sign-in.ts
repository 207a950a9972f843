// One-time sign-in links and sessions of helpers and moderators; only hashes of their tokens are stored. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { Session, Store } from '../store.ts';
import { inAuditedBatch } from './audit.ts';
import type { StoreContext } from './body-keys.ts';
import { compile, query } from './tables.ts';

const sessionRow = z.object({
  name: z.string(),
  role: z.enum(['helper', 'moderator']),
  communities: z.string().transform((names) => (names === '*' ? null : names.split(' ').filter((name) => name !== ''))),
});

/** A session's last use is written down at most this often [ms]: reading a page should cost no write. */
const seenEveryMs = 60_000;

/** How communities stand in a row. */
const namesOf = ({ communities }: Session): string => (communities === null ? '*' : communities.join(' '));

type SignIn = Pick<Store, 'addSignInLink' | 'spendSignInLink' | 'addSession' | 'readSession' | 'endSession'>;

export function signIn(context: StoreContext): SignIn {
  const { connection } = context;
  return {
    async addSignInLink(link) {
      const { tokenHash, name, role, expiresAt } = link;
      await connection.run(
        compile(
          query
            .insertInto('sign_in_links')
            .values({ token_hash: tokenHash, name, role, expires_at: expiresAt, communities: namesOf(link) }),
        ),
      );
    },

    async spendSignInLink(tokenHash, now) {
      // Whoever deletes the row has spent the link; stale ones go with it.
      const [spent] = await connection.batch([
        compile(
          query
            .deleteFrom('sign_in_links')
            .where('token_hash', '=', tokenHash)
            .where('expires_at', '>', now)
            .returning(['name', 'role', 'communities']),
        ),
        compile(query.deleteFrom('sign_in_links').where('expires_at', '<=', now)),
      ]);
      return z.array(sessionRow).parse(spent?.rows ?? [])[0] ?? null;
    },

    async addSession(session, now, from) {
      const { tokenHash, name, role, expiresAt } = session;
      const communities = namesOf(session);
      await inAuditedBatch(
        context,
        { who: name, act: 'sign-in', about: 'session', details: { role, communities, from } },
        now,
        [
          compile(
            query
              .insertInto('sessions')
              .values({ token_hash: tokenHash, name, role, expires_at: expiresAt, communities, seen_at: now }),
          ),
          compile(query.deleteFrom('sessions').where('expires_at', '<=', now)),
        ],
        sql`TRUE`,
      );
    },

    async readSession(tokenHash, now, idleMs) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('sessions')
            .select(['name', 'role', 'communities', 'seen_at'])
            .where('token_hash', '=', tokenHash)
            .where('expires_at', '>', now)
            .where('seen_at', '>', now - idleMs),
        ),
      );
      const session = z.array(sessionRow).parse(rows)[0];
      if (!session) return null;
      if (now - Number(rows[0]?.seen_at) >= seenEveryMs)
        await connection.run(
          compile(
            query
              .updateTable('sessions')
              .set({ seen_at: now })
              .where('token_hash', '=', tokenHash)
              .where('seen_at', '<', now),
          ),
        );
      return session;
    },

    async endSession(tokenHash, now) {
      const { rows } = await connection.run(
        compile(query.selectFrom('sessions').select('name').where('token_hash', '=', tokenHash)),
      );
      const name = rows[0]?.name;
      if (typeof name !== 'string') return;
      await inAuditedBatch(
        context,
        { who: name, act: 'sign-out', about: 'session', details: {} },
        now,
        [compile(query.deleteFrom('sessions').where('token_hash', '=', tokenHash))],
        sql`TRUE`,
      );
    },
  };
}
