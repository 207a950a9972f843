-- The first tables. Words of people (posts, cases, documents, messages, reasons) are sealed text, see src/store/vault.ts;
-- the columns beside them are what sorting and claiming need.
CREATE TABLE settings (
  name TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;

-- One key per writer and conversation; person '' is the conversation's own key, for its case, answers and messages.
CREATE TABLE body_keys (
  channel TEXT NOT NULL,
  conversation TEXT NOT NULL,
  person TEXT NOT NULL,
  sealed TEXT NOT NULL,
  PRIMARY KEY (channel, conversation, person)
) STRICT;
CREATE INDEX body_keys_of_person ON body_keys (person);

CREATE TABLE posts (
  post_id INTEGER PRIMARY KEY AUTOINCREMENT,
  channel TEXT NOT NULL,
  event_id TEXT NOT NULL,
  conversation TEXT NOT NULL,
  person TEXT NOT NULL,
  body TEXT NOT NULL,
  received_at INTEGER NOT NULL,
  state TEXT NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'answered', 'failed')),
  attempts INTEGER NOT NULL DEFAULT 0,
  lease_until INTEGER NOT NULL DEFAULT 0,
  turn TEXT,
  UNIQUE (channel, event_id)
) STRICT;
CREATE INDEX posts_waiting ON posts (channel, conversation, post_id) WHERE state = 'waiting';
CREATE INDEX posts_of_conversation ON posts (channel, conversation, post_id);

CREATE TABLE cases (
  channel TEXT NOT NULL,
  conversation TEXT NOT NULL,
  version INTEGER NOT NULL,
  body TEXT NOT NULL,
  updated_at INTEGER NOT NULL,
  PRIMARY KEY (channel, conversation)
) STRICT;

CREATE TABLE answers (
  answer_id INTEGER PRIMARY KEY AUTOINCREMENT,
  post_id INTEGER NOT NULL UNIQUE,
  channel TEXT NOT NULL,
  conversation TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  document TEXT NOT NULL,
  excerpt TEXT NOT NULL,
  danger INTEGER NOT NULL,
  surprise REAL NOT NULL,
  first_cause TEXT,
  first_probability REAL,
  driving TEXT NOT NULL,
  helper_state TEXT NOT NULL CHECK (helper_state IN ('none', 'wanted', 'taken', 'done')),
  helper_by TEXT,
  helper_at INTEGER,
  review_state TEXT NOT NULL DEFAULT 'unreviewed' CHECK (review_state IN ('unreviewed', 'standing', 'corrected', 'withdrawn')),
  review_by TEXT,
  review_reason TEXT,
  review_at INTEGER,
  review_version INTEGER NOT NULL DEFAULT 0,
  change TEXT
) STRICT;
CREATE INDEX answers_of_conversation ON answers (channel, conversation, answer_id);
CREATE INDEX answers_by_danger ON answers (danger DESC, created_at, first_probability);
CREATE INDEX answers_wanted ON answers (helper_state, danger DESC, created_at) WHERE helper_state IN ('wanted', 'taken');

CREATE TABLE messages (
  message_id INTEGER PRIMARY KEY AUTOINCREMENT,
  channel TEXT NOT NULL,
  conversation TEXT NOT NULL,
  post_id INTEGER,
  kind TEXT NOT NULL CHECK (kind IN ('reply', 'helper-reply', 'correction', 'withdrawal')),
  body TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  state TEXT NOT NULL DEFAULT 'due' CHECK (state IN ('due', 'sent', 'undeliverable')),
  attempts INTEGER NOT NULL DEFAULT 0,
  lease_until INTEGER NOT NULL DEFAULT 0,
  sent_at INTEGER,
  marker TEXT NOT NULL UNIQUE
) STRICT;
CREATE UNIQUE INDEX messages_one_reply ON messages (post_id) WHERE kind = 'reply';
CREATE INDEX messages_due ON messages (channel, conversation, message_id) WHERE state = 'due';
CREATE INDEX messages_of_conversation ON messages (channel, conversation, message_id);

CREATE TABLE sign_in_links (
  token_hash TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('helper', 'moderator')),
  expires_at INTEGER NOT NULL
) STRICT;

CREATE TABLE sessions (
  token_hash TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('helper', 'moderator')),
  expires_at INTEGER NOT NULL
) STRICT;

-- Keyed hashes of the event ids of what was erased, so that a late second copy does not bring it back.
CREATE TABLE tombstones (
  event_hash TEXT PRIMARY KEY,
  erased_at INTEGER NOT NULL
) STRICT;
