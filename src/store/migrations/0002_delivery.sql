-- What delivery on real platforms needs: the platform's own time of a post, edits, leases that survive a clock set back, the
-- platform's id of what was sent, attached logs, and the deliveries of signed webhooks already taken in.
ALTER TABLE posts ADD COLUMN written_at INTEGER NOT NULL DEFAULT 0;
ALTER TABLE posts ADD COLUMN revised_at INTEGER NOT NULL DEFAULT 0;
ALTER TABLE posts ADD COLUMN lease_from INTEGER NOT NULL DEFAULT 0;
UPDATE posts SET written_at = received_at;
CREATE INDEX posts_as_written ON posts (channel, conversation, written_at, post_id);
CREATE INDEX posts_left ON posts (lease_until, post_id) WHERE state = 'waiting';

ALTER TABLE messages ADD COLUMN lease_from INTEGER NOT NULL DEFAULT 0;
ALTER TABLE messages ADD COLUMN in_flight INTEGER NOT NULL DEFAULT 0;
ALTER TABLE messages ADD COLUMN unsure INTEGER NOT NULL DEFAULT 0;
ALTER TABLE messages ADD COLUMN retry_asked INTEGER NOT NULL DEFAULT 0;
ALTER TABLE messages ADD COLUMN platform_id TEXT;
ALTER TABLE messages ADD COLUMN because TEXT;
CREATE INDEX messages_of_post ON messages (post_id);
CREATE INDEX messages_left ON messages (channel, lease_until) WHERE state = 'due';

-- Sealed pieces of the logs that came with a post, under the writer's key.
CREATE TABLE attachments (
  post_id INTEGER NOT NULL,
  number INTEGER NOT NULL,
  piece INTEGER NOT NULL,
  body TEXT NOT NULL,
  PRIMARY KEY (post_id, number, piece)
) STRICT;

-- Keyed hashes of webhook ids and of the bodies that came under them, for repeats.
CREATE TABLE deliveries (
  delivery_hash TEXT PRIMARY KEY,
  body_hash TEXT NOT NULL,
  seen_at INTEGER NOT NULL
) STRICT;
CREATE INDEX deliveries_by_age ON deliveries (seen_at);
