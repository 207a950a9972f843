// Who may come in through the sign-in issuer, and as what. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { BayStore } from '../bay-store.ts';
import { inAuditedBatch } from './audit.ts';
import type { StoreContext } from './body-keys.ts';
import { compile } from './tables.ts';

const grantRow = z.object({
  subject: z.string(),
  name: z.string(),
  role: z.enum(['helper', 'moderator']),
  communities: z.string().transform((names) => (names === '*' ? null : names.split(' '))),
});

type Grants = Pick<BayStore, 'putGrant' | 'removeGrant' | 'readGrant' | 'listGrants'>;

export function grants(context: StoreContext): Grants {
  const { connection } = context;
  return {
    async putGrant({ subject, name, role, communities }, now, who) {
      const names = communities?.join(' ') ?? '*';
      await inAuditedBatch(
        context,
        { who, act: 'allow', about: `person ${name}`, details: { role, communities: names } },
        now,
        [
          compile(sql`INSERT INTO grants (subject, name, role, communities, given_at)
            VALUES (${subject}, ${name}, ${role}, ${names}, ${now})
            ON CONFLICT (subject) DO UPDATE SET name = excluded.name, role = excluded.role,
              communities = excluded.communities, given_at = excluded.given_at`),
          // What a person may do is read at sign-in: a session from before would still go by the old word.
          compile(sql`DELETE FROM sessions WHERE name = ${name}`),
        ],
        sql`TRUE`,
      );
    },

    async removeGrant(subject, now, who) {
      const { rows } = await connection.run(compile(sql`SELECT name FROM grants WHERE subject = ${subject}`));
      const name = rows[0]?.name;
      if (typeof name !== 'string') return false;
      await inAuditedBatch(
        context,
        { who, act: 'disallow', about: `person ${name}`, details: {} },
        now,
        [
          compile(sql`DELETE FROM grants WHERE subject = ${subject}`),
          compile(sql`DELETE FROM sessions WHERE name = ${name}`),
        ],
        sql`TRUE`,
      );
      return true;
    },

    async readGrant(subject) {
      const { rows } = await connection.run(compile(sql`SELECT * FROM grants WHERE subject = ${subject}`));
      const grant = z.array(grantRow).parse(rows)[0];
      return grant ? { name: grant.name, role: grant.role, communities: grant.communities } : null;
    },

    async listGrants() {
      const { rows } = await connection.run(compile(sql`SELECT * FROM grants ORDER BY name LIMIT 500`));
      return z.array(grantRow).parse(rows);
    },
  };
}
