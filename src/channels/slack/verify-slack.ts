// Proof that a request came from Slack: its signature over the raw body (scheme v0). The receiver calls it before anything is read.

/** How far a request's own time may lie from ours, either way [s]. */
const toleranceSeconds = 300;

export interface SlackProof {
  /** Raw body, byte for byte as it came. */
  readonly body: Uint8Array<ArrayBuffer>;
  /** Header X-Slack-Request-Timestamp; null when missing. */
  readonly timestamp: string | null;
  /** Header X-Slack-Signature; null when missing. */
  readonly signature: string | null;
}

/**
 * Whether one of the secrets signed this request within the last (or next) five minutes.
 *
 * @param secrets signing secrets; two while one is being changed
 * @param now     our clock [ms since 1970]
 * Hexadecimal digits must be lower-case, as Slack writes them. The comparison is WebCrypto's and takes constant time.
 * Source: slack-verifying-requests (api.slack.com, "Verifying requests from Slack")
 */
export async function isFromSlack(proof: SlackProof, secrets: readonly string[], now: number): Promise<boolean> {
  const { timestamp, signature, body } = proof;
  if (timestamp === null || !/^\d{1,12}$/.test(timestamp)) return false;
  if (Math.abs(now / 1000 - Number(timestamp)) > toleranceSeconds) return false;
  const hex = /^v0=([0-9a-f]{64})$/.exec(signature ?? '')?.[1];
  if (hex === undefined) return false;
  const given = Uint8Array.from({ length: 32 }, (_, index) => Number.parseInt(hex.slice(2 * index, 2 * index + 2), 16));
  const base = new TextEncoder().encode(`v0:${timestamp}:`);
  const signed = new Uint8Array(base.length + body.length);
  signed.set(base);
  signed.set(body, base.length);
  let found = false;
  // All secrets are tried, so that the time does not tell which one fits.
  for (const secret of secrets) {
    const key = await crypto.subtle.importKey(
      'raw',
      new TextEncoder().encode(secret),
      { name: 'HMAC', hash: 'SHA-256' },
      false,
      ['verify'],
    );
    if (await crypto.subtle.verify('HMAC', key, given, signed)) found = true;
  }
  return found;
}
