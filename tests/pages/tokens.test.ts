// Tokens of the pages: their form, their hash, and comparing them.
import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { formTokenOf, hashToken, isSameToken, isToken, newToken } from '../../src/pages/tokens.ts';

describe('a token', () => {
  it('is new each time and safe in an address', () => {
    const tokens = Array.from({ length: 200 }, newToken);
    expect(new Set(tokens).size).toBe(200);
    for (const token of tokens) expect(encodeURIComponent(token)).toBe(token);
    expect(tokens.every(isToken)).toBe(true);
  });

  it.each([undefined, '', 'x', `${'a'.repeat(44)}`, `${'a'.repeat(42)}%`, `${'a'.repeat(42)}\n`])(
    'is not taken from %j',
    (given) => {
      expect(isToken(given)).toBe(false);
    },
  );

  it('is hashed as SHA-256', async () => {
    // From: FIPS 180-4 example "abc", and Node's own implementation for a random one.
    expect(await hashToken('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    const token = newToken();
    expect(await hashToken(token)).toBe(createHash('sha256').update(token).digest('hex'));
  });

  it('gives its forms a token that differs from its own hash', async () => {
    const token = newToken();
    expect(await formTokenOf(token)).not.toBe(await hashToken(token));
    expect(await formTokenOf(token)).toBe(await formTokenOf(token));
  });

  it('is the same only as itself', () => {
    expect(isSameToken('abc', 'abc')).toBe(true);
    for (const other of ['', 'ab', 'abd', 'abcd', 'ABC']) expect(isSameToken(other, 'abc')).toBe(false);
  });
});
