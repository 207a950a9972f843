// Channel records: what a chat platform makes a channel remember (tokens of a workspace, where a reply goes, which platform
// message holds it), sealed, with compare-and-swap. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { ChannelRecords } from '../channel-record.ts';
import { seal, unseal } from '../vault.ts';
import type { StoreContext } from './body-keys.ts';
import { compile, query } from './tables.ts';

const recordRow = z.object({ sealed_key: z.string(), body: z.string(), version: z.number() });

export function channelRecords({ connection, vault }: StoreContext): ChannelRecords {
  const placeOf = (channel: string, kind: string, key: string) => `record ${JSON.stringify([channel, kind, key])}`;
  return {
    async readRecord(channel, kind, key, now) {
      const { rows } = await connection.run(
        compile(
          query
            .selectFrom('channel_records')
            .select(['sealed_key', 'body', 'version'])
            .where('channel', '=', channel)
            .where('kind', '=', kind)
            .where('record_key', '=', key)
            .where((where) => where.or([where('expires_at', 'is', null), where('expires_at', '>', now)])),
        ),
      );
      const row = z.array(recordRow).parse(rows)[0];
      if (!row) return null;
      const opened = await unseal(await vault.openKey(row.sealed_key), row.body, placeOf(channel, kind, key));
      return { body: opened, version: row.version };
    },

    async writeRecord({ channel, kind, key, workspace, conversation, body, expiresAt }, expected, now) {
      const made = await vault.makeKey();
      const sealed = await seal(made.key, body, placeOf(channel, kind, key));
      // An expired record counts as absent.
      const held = sql`(SELECT version FROM channel_records WHERE channel = ${channel} AND kind = ${kind}
        AND record_key = ${key} AND (expires_at IS NULL OR expires_at > ${now}))`;
      const condition = expected === null ? sql`TRUE` : sql`COALESCE(${held}, 0) = ${expected}`;
      const { rows } = await connection.run(
        compile(sql`INSERT INTO channel_records
              (channel, kind, record_key, workspace, conversation, sealed_key, body, version, expires_at)
            SELECT ${channel}, ${kind}, ${key}, ${workspace}, ${conversation ?? ''}, ${made.sealed}, ${sealed},
              COALESCE(${held}, 0) + 1, ${expiresAt}
            WHERE ${condition}
            ON CONFLICT (channel, kind, record_key) DO UPDATE SET workspace = excluded.workspace,
              conversation = excluded.conversation, sealed_key = excluded.sealed_key, body = excluded.body,
              version = excluded.version, expires_at = excluded.expires_at
            RETURNING version`),
      );
      return rows.length > 0;
    },

    async deleteRecord(channel, kind, key) {
      await connection.run(
        compile(
          query
            .deleteFrom('channel_records')
            .where('channel', '=', channel)
            .where('kind', '=', kind)
            .where('record_key', '=', key),
        ),
      );
    },

    async deleteRecordsOf(channel, workspace) {
      const { rows } = await connection.run(
        compile(
          query
            .deleteFrom('channel_records')
            .where('channel', '=', channel)
            .where('workspace', '=', workspace)
            .returning('record_key'),
        ),
      );
      await connection.scrub();
      return rows.length;
    },

    async deleteExpiredRecords(now) {
      const { rows } = await connection.run(
        compile(query.deleteFrom('channel_records').where('expires_at', '<=', now).returning('record_key')),
      );
      return rows.length;
    },
  };
}
