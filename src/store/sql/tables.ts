// The tables of src/store/migrations as types, and the query builder that turns queries over them into SQL text. Nothing runs
// here: the compiled text is the same for both databases.
import {
  type CompiledQuery,
  DummyDriver,
  type Generated,
  Kysely,
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
} from 'kysely';
import type { HelperState, MessageKind, OutboxMessage, PostState, ReviewState, Role } from '../store.ts';
import type { SqlStatement, SqlValue } from './connection.ts';

export interface Tables {
  settings: { name: string; value: string };
  body_keys: { channel: string; conversation: string; person: string; sealed: string };
  posts: {
    post_id: Generated<number>;
    channel: string;
    event_id: string;
    conversation: string;
    /** Pseudonym of the writer. */
    person: string;
    /** Sealed JSON, see inbox.ts. */
    body: string;
    received_at: number;
    /** Place in the conversation's order [ms since 1970]. */
    written_at: Generated<number>;
    /** Time of the version that stands; 0 for the first. */
    revised_at: Generated<number>;
    state: Generated<PostState>;
    attempts: Generated<number>;
    /** Not to be taken before this time: a lease, or a delay after a failure [ms since 1970]. */
    lease_until: Generated<number>;
    /** When that was decided; ahead of the clock when that was set back since. */
    lease_from: Generated<number>;
    /** Token of the turn that settled it; the other statements of the batch look for it. */
    turn: string | null;
  };
  cases: { channel: string; conversation: string; version: number; body: string; updated_at: number };
  answers: {
    answer_id: Generated<number>;
    post_id: number;
    channel: string;
    conversation: string;
    created_at: number;
    document: string;
    excerpt: string;
    danger: number;
    surprise: number;
    first_cause: string | null;
    first_probability: number | null;
    driving: string;
    helper_state: HelperState;
    helper_by: string | null;
    helper_at: number | null;
    review_state: Generated<ReviewState>;
    review_by: string | null;
    review_reason: string | null;
    review_at: number | null;
    review_version: Generated<number>;
    /** Token of the last change; the other statements of its batch look for it. */
    change: string | null;
  };
  messages: {
    message_id: Generated<number>;
    channel: string;
    conversation: string;
    post_id: number | null;
    kind: MessageKind;
    /** Sealed JSON {text, markdown}. */
    body: string;
    created_at: number;
    state: Generated<OutboxMessage['state']>;
    attempts: Generated<number>;
    lease_until: Generated<number>;
    lease_from: Generated<number>;
    /** 1 while a sending runs, or ran when the program went down. */
    in_flight: Generated<number>;
    /** 1 when an earlier attempt may have arrived. */
    unsure: Generated<number>;
    /** 1 when the platform named the time of the next attempt. */
    retry_asked: Generated<number>;
    sent_at: number | null;
    marker: string;
    platform_id: string | null;
    because: string | null;
  };
  attachments: { post_id: number; number: number; piece: number; body: string };
  deliveries: { delivery_hash: string; body_hash: string; seen_at: number };
  channel_records: {
    channel: string;
    kind: string;
    record_key: string;
    workspace: string;
    conversation: string;
    sealed_key: string;
    /** Sealed text of the channel's own making. */
    body: string;
    version: number;
    expires_at: number | null;
  };
  sign_in_links: {
    token_hash: string;
    name: string;
    role: Role;
    expires_at: number;
    /** Names with blanks between; `*` for all. */
    communities: Generated<string>;
  };
  sessions: {
    token_hash: string;
    name: string;
    role: Role;
    expires_at: number;
    communities: Generated<string>;
    seen_at: Generated<number>;
  };
  audit: { entry: number; at: number; who: string; act: string; about: string; details: string; hash: string };
  tombstones: { event_hash: string; erased_at: number };
}

/** Builds queries; it never runs them. */
export const query = new Kysely<Tables>({
  dialect: {
    createAdapter: () => new SqliteAdapter(),
    createDriver: () => new DummyDriver(),
    createIntrospector: (database) => new SqliteIntrospector(database),
    createQueryCompiler: () => new SqliteQueryCompiler(),
  },
});

/** A built query, or an `sql` text, as text and values. */
export function compile(built: { compile(provider: typeof query): CompiledQuery }): SqlStatement {
  const { sql, parameters } = built.compile(query);
  return { sql, parameters: parameters as readonly SqlValue[] };
}
