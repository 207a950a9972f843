// The signature of Discord's interactions against RFC 8032's vectors, and everything that must be refused.
import { describe, expect, it } from 'vitest';
import { type DiscordProof, isFromDiscord } from '../../../src/channels/discord/verify-discord.ts';

const bytes = (text: string) => new TextEncoder().encode(text);
// From: RFC 8032, section 7.1, TEST 1 (public key); the signatures below were made with its secret key by OpenSSL's Ed25519.
const publicKey = 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a';
const timestamp = '1700000000';
const now = 1_700_000_000_000;
const signature =
  '1695961a47c91a1ec033b819b7e87e3dbc583dd0cee6d1fd0216f58ac87b6228ae531ddbf91fb7bc28d7edf7f08604da16f54624f38a6bc0614e4dc13cd47f0f';
const good: DiscordProof = { body: bytes('{"type":1}'), timestamp, signature };
const accepts = (parts: Partial<DiscordProof>, key = publicKey, at = now) =>
  isFromDiscord({ ...good, ...parts }, key, at);

/** Order of the group. From: RFC 8032, section 5.1. */
const order = 2n ** 252n + 27_742_317_777_372_353_535_851_937_790_883_648_493n;
const littleEndian = (value: bigint) =>
  Buffer.from(value.toString(16).padStart(64, '0'), 'hex').reverse().toString('hex');

describe("Discord's signature", () => {
  it.each([
    // From: RFC 8032, section 7.1, TEST 2 and TEST 3: the message of TEST 2 is the one byte "r", read here as time and body.
    [
      '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
      '72',
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
    ],
    [
      'fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025',
      'af82',
      '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
    ],
    [
      publicKey,
      '',
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
    ],
  ])('is the one of RFC 8032 for key %s', async (key, message, proof) => {
    const raw = (hex: string) => Uint8Array.from(Buffer.from(hex, 'hex'));
    const imported = await crypto.subtle.importKey('raw', raw(key), { name: 'Ed25519' }, false, ['verify']);
    expect(await crypto.subtle.verify({ name: 'Ed25519' }, imported, raw(proof), raw(message))).toBe(true);
  });

  it('covers time and body, in the bytes of the body', async () => {
    expect(await accepts({})).toBe(true);
    expect(
      await accepts({
        body: bytes('{"type":1,"note":"\u00e9\u{1f697}"}'),
        signature:
          '3c3548d2f3c84b6f59c02210728d9f3900d2ea733e120d477c1471aa03d30f57fea1534b503d1f08d7699ec16d46e39edb5ee21dcd04d27968e7572881b39604',
      }),
    ).toBe(true);
  });

  it('holds for five minutes either way and not a second longer', async () => {
    for (const [seconds, expected] of [
      [300, true],
      [301, false],
      [-300, true],
      [-301, false],
    ] as const)
      expect([seconds, await accepts({}, publicKey, now + seconds * 1000)]).toEqual([seconds, expected]);
  });

  const negatives: Array<[string, Partial<DiscordProof>, string?]> = [
    ['no signature', { signature: null }],
    ['an empty signature', { signature: '' }],
    ['no time', { timestamp: null }],
    ['an empty time', { timestamp: '' }],
    ['another time', { timestamp: '1700000001' }],
    ['letters behind the time', { timestamp: '1700000000a' }],
    ['a negative time', { timestamp: '-1700000000' }],
    ['an odd number of digits', { signature: signature.slice(1) }],
    ['63 bytes', { signature: signature.slice(2) }],
    ['65 bytes', { signature: `${signature}00` }],
    ['letters that are no digits', { signature: `zz${signature.slice(2)}` }],
    ['blanks', { signature: ` ${signature.slice(1)}` }],
    ['zeros', { signature: '0'.repeat(128) }],
    ['ones', { signature: 'f'.repeat(128) }],
    ['the halves exchanged', { signature: signature.slice(64) + signature.slice(0, 64) }],
    [
      'the order added to its second half',
      {
        signature:
          signature.slice(0, 64) +
          littleEndian(BigInt(`0x${Buffer.from(signature.slice(64), 'hex').reverse().toString('hex')}`) + order),
      },
    ],
    ['a second half equal to the order', { signature: signature.slice(0, 64) + littleEndian(order) }],
    ['another body', { body: bytes('{"type":2}') }],
    ['a body with a blank', { body: bytes('{"type": 1}') }],
    ['a line feed behind the body', { body: bytes('{"type":1}\n') }],
    ['no body', { body: bytes('') }],
    ['another key', {}, '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c'],
    ['a key of zeros', {}, '0'.repeat(64)],
    ['a key too short', {}, publicKey.slice(2)],
    ['a key that is no point', {}, `02${'0'.repeat(62)}`],
    ...Array.from({ length: 64 }, (_, at): [string, Partial<DiscordProof>] => {
      const changed = Buffer.from(signature, 'hex');
      changed[at] = changed[at]! ^ 1;
      return [`a wrong bit in byte ${at}`, { signature: changed.toString('hex') }];
    }),
    ...Array.from({ length: 20 }, (_, at): [string, Partial<DiscordProof>] => {
      const changed = bytes('{"type":1}');
      changed[at % 10] = changed[at % 10]! ^ (at < 10 ? 1 : 0x80);
      return [`a wrong bit (${at}) of the body`, { body: changed }];
    }),
  ];

  it(`is refused in ${negatives.length} wrong forms, at least 100`, async () => {
    expect(negatives.length).toBeGreaterThanOrEqual(100);
    const accepted: string[] = [];
    for (const [name, parts, key] of negatives) if (await accepts(parts, key)) accepted.push(name);
    expect(accepted).toEqual([]);
  });
});
