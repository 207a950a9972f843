// Bytes as base64 text and back, on both runtimes; the vault, the settings and the signed webhooks use it.

export function toBase64(bytes: Uint8Array<ArrayBuffer>): string {
  const parts: string[] = [];
  // In slices: a call with a million arguments would overflow the stack.
  for (let at = 0; at < bytes.length; at += 8192) parts.push(String.fromCharCode(...bytes.subarray(at, at + 8192)));
  return btoa(parts.join(''));
}

/** @throws DOMException when the text is not base64 */
export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let at = 0; at < raw.length; at += 1) bytes[at] = raw.charCodeAt(at);
  return bytes;
}
