// Sealing: what goes in comes out, nothing can be moved, changed or opened with another key.
import { createDecipheriv, hkdfSync } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openVault, seal, unseal } from '../../src/store/vault.ts';
import { fromBase64, toBase64 } from '../../src/vocabulary/base64.ts';

const masterKey = new Uint8Array(32).map((_, index) => index);
const vault = await openVault(masterKey);

describe('the vault', () => {
  it('gives back any text under the same key and context', async () => {
    const { key } = await vault.makeKey();
    await fc.assert(
      fc.asyncProperty(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'grapheme' }), async (text, context) => {
        expect(await unseal(key, await seal(key, text, context), context)).toBe(text);
      }),
      { numRuns: 200 },
    );
  });

  it('gives back long text, and stores text that repeats in less room', async () => {
    const { key } = await vault.makeKey();
    const text = 'long-term trim 14.1 % at idle, '.repeat(30_000);
    const sealed = await seal(key, text, 'post');
    expect(sealed.length).toBeLessThan(text.length / 10);
    expect(await unseal(key, sealed, 'post')).toBe(text);
  });

  it('opens nothing with another key, in another place, or after any change', async () => {
    const { key } = await vault.makeKey();
    const other = await vault.makeKey();
    const sealed = await seal(key, 'text', 'post 1');
    await expect(unseal(other.key, sealed, 'post 1')).rejects.toMatchObject({ code: 'unavailable' });
    await expect(unseal(key, sealed, 'post 2')).rejects.toMatchObject({ code: 'unavailable' });
    const bytes = fromBase64(sealed);
    for (let at = 0; at < bytes.length; at += 1) {
      const changed = bytes.slice();
      changed[at] = changed[at]! ^ 1;
      await expect(unseal(key, toBase64(changed), 'post 1')).rejects.toMatchObject({ code: 'unavailable' });
    }
    for (const wrong of ['', 'A', '!!!', sealed.slice(0, 20)])
      await expect(unseal(key, wrong, 'post 1')).rejects.toMatchObject({ code: 'unavailable' });
  });

  it('never seals the same text the same way twice', async () => {
    const { key } = await vault.makeKey();
    expect(await seal(key, 'text', 'c')).not.toBe(await seal(key, 'text', 'c'));
  });

  it('opens a stored key again, and not under another master key', async () => {
    const { key, sealed } = await vault.makeKey();
    const words = await seal(key, 'text', 'c');
    const again = await (await openVault(masterKey)).openKey(sealed);
    expect(await unseal(again, words, 'c')).toBe('text');
    const stranger = await openVault(new Uint8Array(32));
    await expect(stranger.openKey(sealed)).rejects.toMatchObject({ code: 'unavailable' });
  });

  it('seals as AES-256-GCM does elsewhere', async () => {
    // From: node:crypto (OpenSSL), an implementation of HKDF-SHA-256 and AES-256-GCM apart from WebCrypto's interface.
    const { key, sealed } = await vault.makeKey();
    const open = (secret: Uint8Array, bytes: Uint8Array, context: string) => {
      const decipher = createDecipheriv('aes-256-gcm', secret, bytes.subarray(0, 12));
      decipher.setAAD(Buffer.from(context));
      decipher.setAuthTag(bytes.subarray(-16));
      return Buffer.concat([decipher.update(bytes.subarray(12, -16)), decipher.final()]);
    };
    const sealing = new Uint8Array(hkdfSync('sha256', masterKey, new Uint8Array(0), 'crosscount body keys', 32));
    const raw = open(sealing, fromBase64(sealed), 'body key');
    const words = fromBase64(await seal(key, 'λ = 0.98', 'post 1'));
    expect(open(raw, words.subarray(1), `${words[0]} post 1`).toString('utf8')).toBe('λ = 0.98');
  });

  it('names the same person alike and different ones differently, and differently under another master key', async () => {
    const name = await vault.pseudonym('web', 'ana');
    expect(name).toMatch(/^[\w-]{43}$/);
    expect(await vault.pseudonym('web', 'ana')).toBe(name);
    const others = [
      await vault.pseudonym('weba', 'na'),
      await vault.pseudonym('web', 'ana', ''),
      await vault.pseudonym('web', 'Ana'),
      await (await openVault(new Uint8Array(32))).pseudonym('web', 'ana'),
    ];
    expect(new Set([name, ...others]).size).toBe(5);
  });

  it('refuses a master key of another length', async () => {
    for (const bytes of [0, 31, 33])
      await expect(openVault(new Uint8Array(bytes))).rejects.toMatchObject({ code: 'invalid' });
  });
});
