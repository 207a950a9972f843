-- The service bay: corrected findings, what fixed the car, the search index, reruns, and who may sign in through an issuer.
-- What belongs to an answer goes with it when it is erased, by the database itself.

-- A moderator's change of what was read: sealed {changes, document}, the answer as it was worked out anew.
CREATE TABLE revisions (
  revision_id INTEGER PRIMARY KEY AUTOINCREMENT,
  answer_id INTEGER NOT NULL REFERENCES answers (answer_id) ON DELETE CASCADE,
  channel TEXT NOT NULL,
  conversation TEXT NOT NULL,
  who TEXT NOT NULL,
  at INTEGER NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX revisions_of_conversation ON revisions (channel, conversation, revision_id);
CREATE INDEX revisions_of_answer ON revisions (answer_id);

-- What it was in the end, one for each conversation, with what the last answer before had said.
CREATE TABLE outcomes (
  outcome_id INTEGER PRIMARY KEY AUTOINCREMENT,
  channel TEXT NOT NULL,
  conversation TEXT NOT NULL,
  answer_id INTEGER NOT NULL REFERENCES answers (answer_id) ON DELETE CASCADE,
  source TEXT NOT NULL CHECK (source IN ('owner', 'helper', 'moderator')),
  who TEXT NOT NULL,
  at INTEGER NOT NULL,
  result TEXT NOT NULL CHECK (result IN ('fixed', 'not-fixed', 'unknown')),
  fault TEXT,
  fault_place INTEGER,
  fault_probability REAL,
  first_cause TEXT,
  first_probability REAL,
  knowledge TEXT NOT NULL,
  note TEXT,
  version INTEGER NOT NULL DEFAULT 1,
  UNIQUE (channel, conversation)
) STRICT;
CREATE INDEX outcomes_of_answer ON outcomes (answer_id);

-- What is left of an outcome when its conversation is erased: no id, no day, nothing of a person; for the calibration.
CREATE TABLE past_outcomes (
  channel TEXT NOT NULL,
  fault TEXT NOT NULL,
  fault_place INTEGER,
  first_cause TEXT,
  first_probability REAL
) STRICT;
CREATE TRIGGER outcome_stays_without_its_owner AFTER DELETE ON outcomes WHEN OLD.result = 'fixed' AND OLD.fault IS NOT NULL BEGIN INSERT INTO past_outcomes (channel, fault, fault_place, first_cause, first_probability) VALUES (OLD.channel, OLD.fault, OLD.fault_place, OLD.first_cause, OLD.first_probability); END;

-- An owner is asked once; only the hash of the link's token is kept.
CREATE TABLE outcome_requests (
  channel TEXT NOT NULL,
  conversation TEXT NOT NULL,
  person TEXT NOT NULL,
  answer_id INTEGER NOT NULL REFERENCES answers (answer_id) ON DELETE CASCADE,
  token_hash TEXT NOT NULL UNIQUE,
  asked_at INTEGER NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('asked', 'answered', 'declined')),
  PRIMARY KEY (channel, conversation)
) STRICT;
CREATE INDEX outcome_requests_of_answer ON outcome_requests (answer_id);
CREATE INDEX outcome_requests_declined ON outcome_requests (person) WHERE state = 'declined';

-- Codes, ids of the vocabulary, the car and the outcome of an answer, never the post's words. Rows are answers.
CREATE VIRTUAL TABLE answer_search USING fts5 (terms, tokenize = "unicode61 tokenchars '-'");
INSERT INTO answer_search (answer_search, rank) VALUES ('secure-delete', 1);
CREATE TRIGGER answer_leaves_the_search AFTER DELETE ON answers BEGIN DELETE FROM answer_search WHERE rowid = OLD.answer_id; END;
-- The same for settled cases alone, so that likening a new case to them reads few rows.
CREATE VIRTUAL TABLE settled_search USING fts5 (terms, tokenize = "unicode61 tokenchars '-'");
INSERT INTO settled_search (settled_search, rank) VALUES ('secure-delete', 1);
CREATE TRIGGER outcome_leaves_the_search AFTER DELETE ON outcomes BEGIN DELETE FROM settled_search WHERE rowid = OLD.answer_id; END;

-- 1 when a moderator should look: a word on driving, a bad fit, or one in ten of the rest, spread over the ids by a
-- multiplication that mixes them (src/review/sampling.ts says the same in words).
ALTER TABLE answers ADD COLUMN look INTEGER GENERATED ALWAYS AS (CASE WHEN review_state = 'unreviewed' AND (driving <> 'ok' OR surprise >= 0.7 OR (answer_id * 2654435761) % 4294967296 < 429496730) THEN 1 ELSE 0 END) VIRTUAL;
CREATE INDEX answers_to_look_at ON answers (look, answer_id);
CREATE INDEX answers_by_review ON answers (review_state, answer_id);
CREATE INDEX answers_in_queue ON answers (helper_state, danger DESC, created_at, first_probability, answer_id);
CREATE INDEX answers_by_time ON answers (created_at);
DROP INDEX answers_wanted;

-- Stored cases worked again under other knowledge, and how far a run has come.
CREATE TABLE reruns (
  rerun_id INTEGER PRIMARY KEY AUTOINCREMENT,
  started_at INTEGER NOT NULL,
  who TEXT NOT NULL,
  communities TEXT NOT NULL,
  knowledge TEXT NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('running', 'done', 'stopped')),
  last_answer INTEGER NOT NULL,
  done_to INTEGER NOT NULL DEFAULT 0,
  done INTEGER NOT NULL DEFAULT 0,
  total INTEGER NOT NULL,
  finished_at INTEGER
) STRICT;
CREATE TABLE rerun_results (
  rerun_id INTEGER NOT NULL REFERENCES reruns (rerun_id) ON DELETE CASCADE,
  answer_id INTEGER NOT NULL REFERENCES answers (answer_id) ON DELETE CASCADE,
  was_cause TEXT,
  was_probability REAL,
  now_cause TEXT,
  now_probability REAL,
  fault TEXT,
  was_place INTEGER,
  now_place INTEGER,
  was_driving TEXT NOT NULL,
  now_driving TEXT NOT NULL,
  PRIMARY KEY (rerun_id, answer_id)
) STRICT;
CREATE INDEX rerun_results_of_answer ON rerun_results (answer_id);

-- Who may come in through the sign-in issuer, and as what.
CREATE TABLE grants (
  subject TEXT PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  role TEXT NOT NULL CHECK (role IN ('helper', 'moderator')),
  communities TEXT NOT NULL,
  given_at INTEGER NOT NULL
) STRICT;
