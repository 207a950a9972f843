// The audit log: every act in one batch with its entry, and each entry chained to the one before by a keyed hash. Part of the
// SQL store; the other files of this folder call `inAuditedBatch`.
import { sql } from 'kysely';
import { z } from 'zod';
import type { AuditAct, AuditEntry, AuditRecord } from '../audit-types.ts';
import type { BayStore } from '../bay-store.ts';
import type { StoreContext } from './body-keys.ts';
import type { SqlConnection, SqlResult, SqlStatement } from './connection.ts';
import { compile, query } from './tables.ts';

const auditRow = z.object({
  entry: z.number(),
  at: z.number(),
  who: z.string(),
  act: z.string(),
  about: z.string(),
  details: z.string(),
  hash: z.string(),
});
type AuditRow = z.infer<typeof auditRow>;

/** Rounds of an act whose place in the log another copy of the program took meanwhile. */
const mostRounds = 40;
const pieceLength = 500;

/** Before the first entry, and name of what the retention job leaves behind: the last removed entry and its hash. */
const beginning = { entry: 0, hash: '' };
export const removedToName = 'audit-removed-to';
export const removedHashName = 'audit-removed-hash';

/** Acts of one copy of the program take their places one after another; the database sees to it between several. */
const queues = new WeakMap<SqlConnection, Promise<unknown>>();

/**
 * Runs the statements and appends the entry, all or nothing.
 *
 * @param won true within the batch when the act took effect; nothing is appended otherwise
 * @returns the results of `statements`
 */
export function inAuditedBatch(
  context: StoreContext,
  record: AuditRecord,
  now: number,
  statements: readonly SqlStatement[],
  won: ReturnType<typeof sql>,
): Promise<SqlResult[]> {
  const { connection } = context;
  const mine = (queues.get(connection) ?? Promise.resolve()).then(() => attempt(context, record, now, statements, won));
  queues.set(
    connection,
    mine.catch(() => undefined),
  );
  return mine;
}

async function attempt(
  context: StoreContext,
  record: AuditRecord,
  now: number,
  statements: readonly SqlStatement[],
  won: ReturnType<typeof sql>,
): Promise<SqlResult[]> {
  for (let round = 0; ; round += 1) {
    const tail = await readTail(context);
    const row = { entry: tail.entry + 1, at: now, ...record, details: JSON.stringify(record.details) };
    const hash = await hashOf(context, tail.hash, row);
    try {
      const results = await context.connection.batch([
        ...statements,
        compile(sql`INSERT INTO audit (entry, at, who, act, about, details, hash)
          SELECT ${row.entry}, ${now}, ${row.who}, ${row.act}, ${row.about}, ${row.details}, ${hash} WHERE ${won}`),
      ]);
      return results.slice(0, statements.length);
    } catch (error) {
      if (round >= mostRounds || !isPlaceTaken(error)) throw error;
    }
  }
}

function isPlaceTaken(error: unknown): boolean {
  return error instanceof Error && /UNIQUE constraint failed: audit\.entry/.test(error.message);
}

async function readTail({ connection }: StoreContext): Promise<{ entry: number; hash: string }> {
  const [last, kept] = await connection.batch([
    compile(query.selectFrom('audit').select(['entry', 'hash']).orderBy('entry', 'desc').limit(1)),
    compile(
      query.selectFrom('settings').select(['name', 'value']).where('name', 'in', [removedToName, removedHashName]),
    ),
  ]);
  const found = z.array(z.object({ entry: z.number(), hash: z.string() })).parse(last?.rows ?? [])[0];
  return found ?? removedOf(kept?.rows ?? []);
}

function removedOf(rows: readonly unknown[]): { entry: number; hash: string } {
  const values = new Map(
    z
      .array(z.object({ name: z.string(), value: z.string() }))
      .parse(rows)
      .map(({ name, value }) => [name, value]),
  );
  const entry = values.get(removedToName);
  return entry === undefined ? beginning : { entry: Number(entry), hash: values.get(removedHashName) ?? '' };
}

/** Keyed by the master key, so that nobody who can write the database alone can make a chain that holds. */
function hashOf(context: StoreContext, before: string, row: Omit<AuditRow, 'hash'>): Promise<string> {
  const { entry, at, who, act, about, details } = row;
  return context.vault.pseudonym('audit', before, JSON.stringify([entry, at, who, act, about, details]));
}

/** The name under which the log speaks of a conversation or a writer: the same each time, and no way back. */
export async function auditName(context: StoreContext, kind: 'conversation' | 'person', ...parts: string[]) {
  return `${kind} ${(await context.vault.pseudonym(`audit ${kind}`, ...parts)).slice(0, 16)}`;
}

type Audit = Pick<BayStore, 'recordAct' | 'listAudit' | 'verifyAudit'>;

export function audit(context: StoreContext): Audit {
  const { connection } = context;
  return {
    async recordAct(record, now) {
      await inAuditedBatch(context, record, now, [], sql`TRUE`);
    },

    async listAudit({ before, about }, limit) {
      let list = query.selectFrom('audit').selectAll().orderBy('entry', 'desc').limit(limit);
      if (before !== null) list = list.where('entry', '<', before);
      if (about !== null) list = list.where('about', '=', about);
      const { rows } = await connection.run(compile(list));
      return z.array(auditRow).parse(rows).map(toEntry);
    },

    async verifyAudit(known) {
      const kept = await connection.run(
        compile(
          query.selectFrom('settings').select(['name', 'value']).where('name', 'in', [removedToName, removedHashName]),
        ),
      );
      const removed = removedOf(kept.rows);
      let last = removed;
      let wrong: string | null = null;
      let isKnownThere = known === null || known.entry <= removed.entry;
      for (;;) {
        const { rows } = await connection.run(
          compile(
            query.selectFrom('audit').selectAll().where('entry', '>', last.entry).orderBy('entry').limit(pieceLength),
          ),
        );
        for (const row of z.array(auditRow).parse(rows)) {
          wrong ??= await faultOf(context, last, row);
          if (known?.entry === row.entry && known.hash === row.hash) isKnownThere = true;
          last = row;
        }
        if (rows.length < pieceLength) break;
      }
      if (!isKnownThere)
        wrong ??= `entry ${known?.entry} with the hash that was written down is not there: entries were cut off or changed`;
      return {
        entries: last.entry - removed.entry,
        first: removed.entry + 1,
        last: last.entry === 0 ? null : { entry: last.entry, hash: last.hash },
        wrong,
      };
    },
  };
}

async function faultOf(
  context: StoreContext,
  before: { entry: number; hash: string },
  row: AuditRow,
): Promise<string | null> {
  if (row.entry !== before.entry + 1) return `entry ${before.entry + 1} is missing`;
  return row.hash === (await hashOf(context, before.hash, row))
    ? null
    : `entry ${row.entry} does not follow from the one before: it or its neighbour was changed`;
}

function toEntry({ details, act, ...row }: AuditRow): AuditEntry {
  return {
    ...row,
    act: act as AuditAct,
    details: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])).parse(JSON.parse(details)),
  };
}
