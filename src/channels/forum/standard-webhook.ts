// Signing and checking by Standard Webhooks 1.0.0, symmetric scheme `v1`: base64 of the HMAC-SHA256 over `id.timestamp.body` with
// the raw bytes of the body. The forum's routes check with it, its sender signs. WebCrypto alone, so it runs on both runtimes.
// Source: the open specification standard-webhooks 1.0.0 and its published vector.
import { fromBase64, toBase64 } from '../../vocabulary/base64.ts';

/** How far a delivery's time may lie from ours, both ways [s]. Source: the specification's reference libraries. */
export const toleranceSeconds = 300;

export interface WebhookSecret {
  readonly key: CryptoKey;
}

/** Why a delivery is refused; for our log alone, the outside hears the same for all. */
export type Refusal = 'no-id' | 'no-timestamp' | 'no-signature' | 'too-old' | 'too-new' | 'wrong-signature';

export interface DeliveryHeaders {
  readonly id: string;
  readonly timestamp: string;
  readonly signature: string;
}

/** @param secret `whsec_` and base64 of 24 to 64 bytes; the settings have checked it */
export async function readSecret(secret: string): Promise<WebhookSecret> {
  const bytes = fromBase64(secret.replace(/^whsec_/, ''));
  return { key: await crypto.subtle.importKey('raw', bytes, { name: 'HMAC', hash: 'SHA-256' }, false, ['sign']) };
}

/** The three headers of a delivery when they are well formed and its time is near ours, before anything of the body is read. */
export function checkHeaders(headers: Headers, nowMs: number): DeliveryHeaders | Refusal {
  const id = headers.get('webhook-id') ?? '';
  const timestamp = headers.get('webhook-timestamp') ?? '';
  const signature = headers.get('webhook-signature') ?? '';
  // A dot in an id would make one signature fit two readings of the signed text.
  if (!/^[\x21-\x2d\x2f-\x7e]{1,300}$/.test(id)) return 'no-id';
  if (!/^\d{1,12}$/.test(timestamp)) return 'no-timestamp';
  if (signature === '' || signature.length > 1000) return 'no-signature';
  const aheadSeconds = Number(timestamp) - Math.floor(nowMs / 1000);
  if (aheadSeconds < -toleranceSeconds) return 'too-old';
  if (aheadSeconds > toleranceSeconds) return 'too-new';
  return { id, timestamp, signature };
}

/** Whether any `v1` signature of the header was made with any of the secrets; other schemes are skipped. */
export async function isSigned(
  { id, timestamp, signature }: DeliveryHeaders,
  body: Uint8Array,
  secrets: readonly WebhookSecret[],
): Promise<boolean> {
  const given = signature.split(' ').filter((entry) => entry.startsWith('v1,'));
  const right = await Promise.all(secrets.map((secret) => sign(secret, id, timestamp, body)));
  let matches = 0;
  // Every pair is compared to its end, so that time tells nothing.
  for (const entry of given) for (const expected of right) matches |= isSame(entry, expected) ? 1 : 0;
  return matches === 1;
}

/** One entry of the header `webhook-signature`: `v1,` and base64. */
export async function sign({ key }: WebhookSecret, id: string, timestamp: string, body: Uint8Array): Promise<string> {
  const head = new TextEncoder().encode(`${id}.${timestamp}.`);
  const signed = new Uint8Array(head.length + body.length);
  signed.set(head);
  signed.set(body, head.length);
  return `v1,${toBase64(new Uint8Array(await crypto.subtle.sign('HMAC', key, signed)))}`;
}

/** In constant time for texts of equal length. */
function isSame(one: string, other: string): boolean {
  if (one.length !== other.length) return false;
  let difference = 0;
  for (let at = 0; at < one.length; at += 1) difference |= one.charCodeAt(at) ^ other.charCodeAt(at);
  return difference === 0;
}
