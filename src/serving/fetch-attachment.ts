// Fetches a log that came with a post, from the platform's own hosts alone and never from an address in a text. The chat
// platforms call it before they acknowledge, so it must be quick.

import { type Attachment, attachmentLimitBytes } from '../vocabulary/post.ts';
import { decodeText } from './decode-text.ts';

/** How long all of it may take [ms]: the platforms wait 3 s for an acknowledgement. */
const patienceMs = 2_000;

export interface RemoteFile {
  readonly name: string;
  readonly type: string;
  readonly address: string;
  /** As the platform tells it [bytes]; null when it does not. */
  readonly size: number | null;
}

export type FetchedFile =
  | { readonly kind: 'fetched'; readonly attachment: Attachment }
  /** It will not come: too large, no text, from another host. */
  | { readonly kind: 'refused'; readonly because: string }
  /** It may come another time. */
  | { readonly kind: 'failed'; readonly because: string };

/**
 * @param isOwnHost whether an address belongs to the platform; redirects are not followed
 * @param headers   the bot's proof, for platforms whose files are private
 */
export async function fetchAttachment(
  file: RemoteFile,
  isOwnHost: (address: URL) => boolean,
  headers: Readonly<Record<string, string>>,
  fetch: (address: string, init: RequestInit) => Promise<Response>,
): Promise<FetchedFile> {
  if (!URL.canParse(file.address)) return { kind: 'refused', because: 'it has no address' };
  const address = new URL(file.address);
  if (address.username !== '' || address.password !== '' || !isOwnHost(address))
    return { kind: 'refused', because: 'it does not lie with the platform' };
  if (/^(?:image|video|audio)\//.test(file.type)) return { kind: 'refused', because: 'it is no text' };
  const tooLarge: FetchedFile = { kind: 'refused', because: 'it is over 5 MiB' };
  if (file.size !== null && file.size > attachmentLimitBytes) return tooLarge;
  try {
    const response = await fetch(address.href, {
      headers,
      redirect: 'manual',
      signal: AbortSignal.timeout(patienceMs),
    });
    if (response.status >= 500 || response.status === 429)
      return { kind: 'failed', because: `status ${response.status}` };
    if (!response.ok || !response.body) return { kind: 'refused', because: `the platform answers ${response.status}` };
    const bytes = await readBounded(response.body, attachmentLimitBytes);
    if (bytes === null) return tooLarge;
    const text = decodeText(bytes);
    if (text === null) return { kind: 'refused', because: 'it is no text' };
    return { kind: 'fetched', attachment: { name: nameOf(file.name), type: file.type.slice(0, 100), text } };
  } catch {
    return { kind: 'failed', because: 'the platform did not hand it over in time' };
  }
}

/** Reads no more than `limit` bytes, whatever the headers promise; null when there is more. */
async function readBounded(body: ReadableStream<Uint8Array>, limit: number): Promise<Uint8Array | null> {
  const reader = body.getReader();
  const pieces: Uint8Array[] = [];
  let length = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    length += value.length;
    if (length > limit) {
      await reader.cancel();
      return null;
    }
    pieces.push(value);
  }
  const bytes = new Uint8Array(length);
  let at = 0;
  for (const piece of pieces) {
    bytes.set(piece, at);
    at += piece.length;
  }
  return bytes;
}

function nameOf(name: string): string {
  return name.replaceAll(/[^\P{C}]/gu, '').slice(0, 200) || 'log';
}
