// Logs that came with posts, sealed in pieces that fit in a row of either database. Part of the SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { Attachment } from '../../vocabulary/post.ts';
import type { Store } from '../store.ts';
import { seal, unseal } from '../vault.ts';
import { readKey, type StoreContext } from './body-keys.ts';
import type { SqlStatement } from './connection.ts';
import { compile, query } from './tables.ts';

/** Length of a piece [UTF-16 units]: at three bytes each and in base64 below the 1.9 million that a row takes. */
const pieceLength = 400_000;

const pieceRow = z.object({ number: z.number(), piece: z.number(), body: z.string() });
const pieceBody = z.object({ name: z.string(), type: z.string(), text: z.string() });
const postRow = z.object({
  channel: z.string(),
  conversation: z.string(),
  event_id: z.string(),
  person: z.string(),
});

const piecePlace = (channel: string, eventId: string, number: number, piece: number) =>
  `attachment ${JSON.stringify([channel, eventId, number, piece])}`;

/** Stores a post's logs in the batch that stores the post, after it; nothing when that post was there already. */
export async function insertAttachments(
  key: CryptoKey,
  post: {
    readonly channel: string;
    readonly eventId: string;
    readonly attachments?: readonly Attachment[] | undefined;
  },
  sealedBody: string,
): Promise<SqlStatement[]> {
  const statements: SqlStatement[] = [];
  for (const [number, { name, type, text }] of (post.attachments ?? []).entries())
    for (const [piece, part] of piecesOf(text).entries()) {
      const words = JSON.stringify({ name, type, text: part });
      const body = await seal(key, words, piecePlace(post.channel, post.eventId, number, piece));
      statements.push(
        compile(sql`INSERT INTO attachments (post_id, number, piece, body)
              SELECT post_id, ${number}, ${piece}, ${body} FROM posts
              WHERE channel = ${post.channel} AND event_id = ${post.eventId} AND body = ${sealedBody}`),
      );
    }
  return statements;
}

/** Cuts without splitting a character in two. */
function piecesOf(text: string): string[] {
  const pieces: string[] = [];
  let start = 0;
  do {
    let end = Math.min(start + pieceLength, text.length);
    const last = text.charCodeAt(end - 1);
    if (end < text.length && last >= 0xd800 && last <= 0xdbff) end -= 1;
    pieces.push(text.slice(start, end));
    start = end;
  } while (start < text.length);
  return pieces;
}

export function attachments(context: StoreContext): Pick<Store, 'readAttachments'> {
  const { connection } = context;
  return {
    async readAttachments(postId) {
      const [posts, pieces] = await connection.batch([
        compile(
          query
            .selectFrom('posts')
            .select(['channel', 'conversation', 'event_id', 'person'])
            .where('post_id', '=', postId),
        ),
        compile(
          query
            .selectFrom('attachments')
            .select(['number', 'piece', 'body'])
            .where('post_id', '=', postId)
            .orderBy('number')
            .orderBy('piece'),
        ),
      ]);
      const post = z.array(postRow).parse(posts?.rows ?? [])[0];
      const key = post && (await readKey(context, post));
      if (!post || !key) return [];
      const list: Array<{ name: string; type: string; text: string }> = [];
      for (const row of z.array(pieceRow).parse(pieces?.rows ?? [])) {
        const opened = await unseal(key.key, row.body, piecePlace(post.channel, post.event_id, row.number, row.piece));
        const { name, type, text } = pieceBody.parse(JSON.parse(opened));
        const earlier = list[row.number];
        if (earlier) earlier.text += text;
        else list[row.number] = { name, type, text };
      }
      return list;
    },
  };
}
