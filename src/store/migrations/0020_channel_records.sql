-- What a chat platform makes a channel remember: tokens of a workspace, where a reply goes, which message of the platform holds
-- it. `body` is sealed under a key of its own that stands beside it sealed, so that deleting the row shreds what it held.
CREATE TABLE channel_records (
  channel TEXT NOT NULL,
  kind TEXT NOT NULL,
  record_key TEXT NOT NULL,
  workspace TEXT NOT NULL,
  conversation TEXT NOT NULL DEFAULT '',
  sealed_key TEXT NOT NULL,
  body TEXT NOT NULL,
  version INTEGER NOT NULL,
  expires_at INTEGER,
  PRIMARY KEY (channel, kind, record_key)
) STRICT;
CREATE INDEX channel_records_of_workspace ON channel_records (channel, workspace);
CREATE INDEX channel_records_of_conversation ON channel_records (channel, conversation) WHERE conversation <> '';
CREATE INDEX channel_records_expiring ON channel_records (expires_at) WHERE expires_at IS NOT NULL;
