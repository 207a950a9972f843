-- Who did what: one row for every act, each with a keyed hash over itself and the row before (src/store/sql/audit.ts), so that a
-- changed, removed or inserted row is found by whoever holds the master key. It holds ids, names, states and counts, no words.
CREATE TABLE audit (
  entry INTEGER PRIMARY KEY,
  at INTEGER NOT NULL,
  who TEXT NOT NULL,
  act TEXT NOT NULL,
  about TEXT NOT NULL,
  details TEXT NOT NULL,
  hash TEXT NOT NULL
) STRICT;
CREATE INDEX audit_of_subject ON audit (about, entry);
CREATE TRIGGER audit_is_not_changed BEFORE UPDATE ON audit BEGIN SELECT RAISE(ABORT, 'the audit log is append-only'); END;
-- Only what is older than the period that the retention job states may go, oldest first.
CREATE TRIGGER audit_is_kept BEFORE DELETE ON audit WHEN OLD.entry > COALESCE((SELECT CAST(value AS INTEGER) FROM settings WHERE name = 'audit-removed-to'), 0) BEGIN SELECT RAISE(ABORT, 'the audit log is append-only'); END;

-- Whose word a session counts for: channel names with blanks between, or * for all; and when it was used last.
ALTER TABLE sign_in_links ADD COLUMN communities TEXT NOT NULL DEFAULT '*';
ALTER TABLE sessions ADD COLUMN communities TEXT NOT NULL DEFAULT '*';
ALTER TABLE sessions ADD COLUMN seen_at INTEGER NOT NULL DEFAULT 0;
