// The store over a SQL connection: the same statements for SQLite and for D1. node.ts, worker.ts, admin.ts and the tests open it.
import { sql } from 'kysely';
import { z } from 'zod';
import { Problem } from '../../vocabulary/problems.ts';
import type { BayStore } from '../bay-store.ts';
import { seal, unseal, type Vault } from '../vault.ts';
import { answers } from './answers.ts';
import { attachments } from './attachments.ts';
import { audit } from './audit.ts';
import type { StoreContext } from './body-keys.ts';
import { calibration } from './calibration.ts';
import { changes } from './changes.ts';
import { channelRecords } from './channel-records.ts';
import type { SqlConnection } from './connection.ts';
import { deliveries } from './deliveries.ts';
import { erasure } from './erasure.ts';
import { grants } from './grants.ts';
import { inbox } from './inbox.ts';
import { outbox } from './outbox.ts';
import { outcomeRequests } from './outcome-requests.ts';
import { outcomes } from './outcomes.ts';
import { reruns } from './reruns.ts';
import { retention } from './retention.ts';
import { revisions } from './revisions.ts';
import { search } from './search.ts';
import { signIn } from './sign-in.ts';
import { compile, query } from './tables.ts';
import { turns } from './turns.ts';

const counts = z.object({
  waiting: z.number(),
  failed: z.number(),
  due: z.number(),
  undeliverable: z.number(),
  answers: z.number(),
  helperWanted: z.number(),
});

/**
 * Opens the store on a migrated database.
 *
 * @throws Problem `invalid` when the database was written with another master key
 */
export async function openSqlStore(connection: SqlConnection, vault: Vault): Promise<BayStore> {
  const context: StoreContext = { connection, vault };
  await checkMasterKey(context);
  const { eraseConversation, erasePerson } = erasure(context);
  const posts = inbox(context);
  const out = outbox(context);
  const logs = attachments(context);
  return {
    ...posts,
    ...logs,
    ...changes(context),
    ...deliveries(context),
    ...turns(context),
    ...out,
    ...answers(context),
    ...channelRecords(context),
    ...signIn(context),
    eraseConversation,
    erasePerson,
    ...audit(context),
    ...revisions(context),
    ...search(context),
    ...outcomes(context),
    ...outcomeRequests(context),
    ...calibration(context),
    ...reruns(context),
    ...grants(context),
    ...retention(context, { ...posts, ...out, ...logs, eraseConversation }),

    async counts() {
      const { rows } = await connection.run(
        compile(
          sql`SELECT
            (SELECT COUNT(*) FROM posts WHERE state = 'waiting') AS waiting,
            (SELECT COUNT(*) FROM posts WHERE state = 'failed') AS failed,
            (SELECT COUNT(*) FROM messages WHERE state = 'due') AS due,
            (SELECT COUNT(*) FROM messages WHERE state = 'undeliverable') AS undeliverable,
            (SELECT COUNT(*) FROM answers) AS answers,
            (SELECT COUNT(*) FROM answers WHERE helper_state = 'wanted') AS helperWanted`,
        ),
      );
      return counts.parse(rows[0]);
    },

    async ping(now) {
      const value = String(now);
      await connection.run(
        compile(
          query
            .insertInto('settings')
            .values({ name: 'last-ping', value })
            .onConflict((conflict) => conflict.column('name').doUpdateSet({ value })),
        ),
      );
    },

    close: () => connection.close(),
  };
}

const checkPlace = 'master key check';

/** The first start leaves a sealed word behind; every later one must be able to open it. */
async function checkMasterKey({ connection, vault }: StoreContext): Promise<void> {
  const { key, sealed } = await vault.makeKey();
  const value = JSON.stringify([sealed, await seal(key, 'crosscount', checkPlace)]);
  const [, kept] = await connection.batch([
    compile(
      query
        .insertInto('settings')
        .values({ name: 'key-check', value })
        .onConflict((conflict) => conflict.doNothing()),
    ),
    compile(query.selectFrom('settings').select('value').where('name', '=', 'key-check')),
  ]);
  try {
    const [bodyKey, word] = z.tuple([z.string(), z.string()]).parse(JSON.parse(String(kept?.rows[0]?.value)));
    await unseal(await vault.openKey(bodyKey), word, checkPlace);
  } catch (error) {
    throw new Problem('invalid', 'the database was written with another CROSSCOUNT_KEY: set the one it was made with', {
      cause: error,
    });
  }
}
