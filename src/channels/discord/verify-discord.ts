// Proof that an interaction came from Discord: its Ed25519 signature over time and raw body. The route calls it before anything
// is read.

/** How far a request's own time may lie from ours, either way [s]; Discord states none (judgement, as for Slack). */
const toleranceSeconds = 300;

export interface DiscordProof {
  /** Raw body, byte for byte as it came. */
  readonly body: Uint8Array<ArrayBuffer>;
  /** Header X-Signature-Timestamp; null when missing. */
  readonly timestamp: string | null;
  /** Header X-Signature-Ed25519; null when missing. */
  readonly signature: string | null;
}

/** Order of the group, little-endian. Source: RFC 8032, section 5.1 */
const groupOrder = bytesOf('edd3f55c1a631258d69cf7a2def9de1400000000000000000000000000000010');

/**
 * Whether the application's key signed this request within the last (or next) five minutes.
 *
 * @param publicKey 64 hexadecimal digits
 * @param now       our clock [ms since 1970]
 * Source: discord-interactions (docs: interactions/overview), RFC 8032
 */
export async function isFromDiscord(proof: DiscordProof, publicKey: string, now: number): Promise<boolean> {
  const { timestamp, body } = proof;
  if (timestamp === null || !/^\d{1,12}$/.test(timestamp)) return false;
  if (Math.abs(now / 1000 - Number(timestamp)) > toleranceSeconds) return false;
  const signature = /^[0-9a-fA-F]{128}$/.test(proof.signature ?? '') ? bytesOf(proof.signature!) : null;
  const raw = /^[0-9a-fA-F]{64}$/.test(publicKey) ? bytesOf(publicKey) : null;
  if (signature === null || raw === null || !isBelowOrder(signature.subarray(32))) return false;
  const before = new TextEncoder().encode(timestamp);
  const signed = new Uint8Array(before.length + body.length);
  signed.set(before);
  signed.set(body, before.length);
  try {
    const key = await crypto.subtle.importKey('raw', raw, { name: 'Ed25519' }, false, ['verify']);
    return await crypto.subtle.verify({ name: 'Ed25519' }, key, signature, signed);
  } catch {
    // A key or signature that is no point of the curve.
    return false;
  }
}

/** A second signature of the same text could be made by adding the order to its second half; it must not pass. */
function isBelowOrder(scalar: Uint8Array): boolean {
  for (let at = 31; at >= 0; at -= 1) if (scalar[at] !== groupOrder[at]) return scalar[at]! < groupOrder[at]!;
  return false;
}

function bytesOf(hex: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from({ length: hex.length / 2 }, (_, index) =>
    Number.parseInt(hex.slice(2 * index, 2 * index + 2), 16),
  );
}
