// One-time sign-in links and sessions of helpers and moderators; only hashes of their tokens are stored. Part of the SQL store.
import { z } from 'zod';
import type { Store } from '../store.ts';
import type { StoreContext } from './body-keys.ts';
import { compile, query } from './tables.ts';

const sessionRow = z.object({ name: z.string(), role: z.enum(['helper', 'moderator']) });

type SignIn = Pick<Store, 'addSignInLink' | 'spendSignInLink' | 'addSession' | 'readSession' | 'endSession'>;

export function signIn({ connection }: StoreContext): SignIn {
  return {
    async addSignInLink({ tokenHash, name, role, expiresAt }) {
      await connection.run(
        compile(query.insertInto('sign_in_links').values({ token_hash: tokenHash, name, role, expires_at: expiresAt })),
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
            .returning(['name', 'role']),
        ),
        compile(query.deleteFrom('sign_in_links').where('expires_at', '<=', now)),
      ]);
      return z.array(sessionRow).parse(spent?.rows ?? [])[0] ?? null;
    },

    async addSession({ tokenHash, name, role, expiresAt }) {
      await connection.run(
        compile(query.insertInto('sessions').values({ token_hash: tokenHash, name, role, expires_at: expiresAt })),
      );
    },

    async readSession(tokenHash, now) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('sessions')
            .select(['name', 'role'])
            .where('token_hash', '=', tokenHash)
            .where('expires_at', '>', now),
        ),
      );
      return z.array(sessionRow).parse(rows)[0] ?? null;
    },

    async endSession(tokenHash) {
      await connection.run(compile(query.deleteFrom('sessions').where('token_hash', '=', tokenHash)));
    },
  };
}
