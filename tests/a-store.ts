// A store on a SQLite file that lives as long as the test; tests of everything above the store open it.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BayStore } from '../src/store/bay-store.ts';
import { openSqlStore } from '../src/store/sql/sql-store.ts';
import { migrate } from '../src/store/sqlite/migrate.ts';
import { openSqlite } from '../src/store/sqlite/sqlite-connection.ts';
import { openVault } from '../src/store/vault.ts';

export async function aStore(): Promise<{ store: BayStore; remove: () => Promise<void> }> {
  const folder = mkdtempSync(join(tmpdir(), 'crosscount-test-'));
  const connection = openSqlite(join(folder, 'store.sqlite'));
  await migrate(connection.database, null);
  const store = await openSqlStore(connection, await openVault(new Uint8Array(32).fill(3)));
  return {
    store,
    async remove() {
      await store.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
