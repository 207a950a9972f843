// Unguessable tokens of the pages: conversation cookies, sessions, one-time links, forms. Only their hashes are stored.

/** Random bytes in a token: twice the 128 bits that a session token needs at least. Source: OWASP ASVS 5.0.0, 7.2.3 */
const tokenBytes = 32;

/** A fresh token of 43 characters, safe in an address and a cookie. */
export function newToken(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(tokenBytes));
  return btoa(String.fromCharCode(...bytes))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '');
}

/** Whether something has the form of a token of ours, so that nothing else is hashed or looked up. */
export function isToken(given: string | undefined): given is string {
  return given !== undefined && /^[A-Za-z0-9_-]{43}$/.test(given);
}

/** SHA-256 in lower-case hexadecimal [64 characters]: the form in which the store keeps a token. */
export async function hashToken(token: string): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(token)));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** The token that a form of this session must carry; it tells nothing about the session's own. */
export function formTokenOf(sessionToken: string): Promise<string> {
  return hashToken(`form of ${sessionToken}`);
}

/** Equality in a time that does not depend on where two texts differ. */
export function isSameToken(given: string, expected: string): boolean {
  let difference = given.length ^ expected.length;
  for (let index = 0; index < expected.length; index += 1)
    difference |= (given.charCodeAt(index) || 0) ^ expected.charCodeAt(index);
  return difference === 0;
}
