// Signatures of the forum's webhooks, held to the published vector and to the specification's own library.
import fc from 'fast-check';
import { Webhook } from 'standardwebhooks';
import { describe, expect, it } from 'vitest';
import { checkHeaders, isSigned, readSecret, sign } from '../../../src/channels/forum/standard-webhook.ts';

const secret = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw';
const id = 'msg_p5jXN8AQM9LWM0D4loKWxJek';
const timestamp = '1614265330';
const now = 1_614_265_330_000;
const bytes = (text: string) => new TextEncoder().encode(text);

describe('signing', () => {
  it.each([
    // From: Standard Webhooks 1.0.0, the vector of its reference libraries' tests.
    ['{"test": 2432232314}', 'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE='],
    // From: the same secret, id and time through Node's own crypto (HMAC-SHA256), platforms sheet 3.1.
    ['{"text":"🚗 P0171 – é"}', 'v1,aimVZ42YHyULOpkrBKm+6xBp6OoaL7CC3ymbt4+wFhI='],
  ])('of %s gives the known signature', async (body, expected) => {
    expect(await sign(await readSecret(secret), id, timestamp, bytes(body))).toBe(expected);
  });

  it("agrees with the specification's own library for every body, id and time", async () => {
    const library = new Webhook(secret);
    const ours = await readSecret(secret);
    await fc.assert(
      fc.asyncProperty(
        fc.string({ unit: 'grapheme', maxLength: 200 }),
        fc.string({ minLength: 1, maxLength: 30, unit: fc.constantFrom(...'abcXYZ019_-') }),
        fc.integer({ min: 0, max: 4_000_000_000 }),
        async (body, event, seconds) => {
          const expected = library.sign(event, new Date(seconds * 1000), body);
          expect(await sign(ours, event, String(seconds), bytes(body))).toBe(expected);
        },
      ),
    );
  });
});

describe('checking', () => {
  const right = 'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=';
  const body = '{"test": 2432232314}';
  const verdict = async (
    parts: { id?: string; timestamp?: string; signature?: string; body?: string; now?: number },
    secrets = [secret],
  ) => {
    const headers = new Headers();
    for (const [name, value] of [
      ['webhook-id', parts.id ?? id],
      ['webhook-timestamp', parts.timestamp ?? timestamp],
      ['webhook-signature', parts.signature ?? right],
    ] as const)
      if (value !== '') headers.set(name, value);
    const checked = checkHeaders(headers, parts.now ?? now);
    if (typeof checked === 'string') return checked;
    return isSigned(checked, bytes(parts.body ?? body), await Promise.all(secrets.map(readSecret)));
  };
  const other = 'whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD';

  it.each([
    ['as published', {}, [secret]],
    ['among others', { signature: `v1,Zm9v v2,xyz ${right} v1a,abc` }, [secret]],
    ['with the new secret while two are live', {}, [other, secret]],
    ['with the old secret while two are live', {}, [secret, other]],
    ['299 s old', { now: now + 299_000 }, [secret]],
    ['300 s old', { now: now + 300_000 }, [secret]],
    ['300 s ahead', { now: now - 300_000 }, [secret]],
  ])('takes a delivery %s', async (_, parts, secrets) => {
    expect(await verdict(parts, secrets)).toBe(true);
  });

  it.each([
    ['without an id', { id: '' }],
    ['with an id of blanks', { id: ' ' }],
    ['with a dot in its id', { id: 'msg_p5jXN8AQM9LWM0D4loKWxJek.1' }],
    ['with an id of 301 characters', { id: 'i'.repeat(301) }],
    ['without a time', { timestamp: '' }],
    ['with words for a time', { timestamp: 'now' }],
    ['with a time and letters', { timestamp: '1614265330abc' }],
    ['with a negative time', { timestamp: '-1614265330' }],
    ['with a time in ms', { timestamp: '1614265330000' }],
    ['with a fractional time', { timestamp: '1614265330.0' }],
    ['with a time in hexadecimal', { timestamp: '0x6037be72' }],
    ['with an exponent for a time', { timestamp: '1.614265330e9' }],
    ['301 s old', { now: now + 301_000 }],
    ['301 s ahead', { now: now - 301_000 }],
    ['without a signature', { signature: '' }],
    ['with an empty signature', { signature: 'v1,' }],
    ['with a bare signature', { signature: right.slice(3) }],
    ['signed as v2 only', { signature: right.replace('v1', 'v2') }],
    ['signed as V1', { signature: right.replace('v1', 'V1') }],
    ['signed as v1a with an HMAC', { signature: right.replace('v1', 'v1a') }],
    ['signed as v0', { signature: right.replace('v1', 'v0') }],
    ['with entries split by commas', { signature: `v1,Zm9v,${right.slice(3)}` }],
    ['with a signature in hexadecimal', { signature: `v1,${Buffer.from(right.slice(3), 'base64').toString('hex')}` }],
    ['with a signature in base64url', { signature: right.replaceAll('+', '-').replaceAll('/', '_') }],
    ['with a signature without padding', { signature: right.slice(0, -1) }],
    ['with a signature of 2,000 entries', { signature: `${'v1,Zm9v '.repeat(2000)}${right}` }],
    ['with the time changed by a second', { timestamp: '1614265331' }],
    ['with a zero before the time', { timestamp: '01614265330' }],
    ['with the id in other letters', { id: id.toUpperCase() }],
    ['with an empty body', { body: '' }],
    ['with a newline after the body', { body: `${body}\n` }],
    ['with a blank less in the body', { body: body.replace(' ', '') }],
    ['with a byte-order mark', { body: `\ufeff${body}` }],
    ['with another body', { body: '{"test": 2432232315}' }],
  ])('refuses a delivery %s', async (_, parts) => {
    expect(await verdict(parts)).not.toBe(true);
  });

  it('refuses every signature with one character changed, cut off or added', async () => {
    const changed = Array.from({ length: right.length - 3 }, (_, at) => {
      const unit = right[at + 3] === 'A' ? 'B' : 'A';
      return `${right.slice(0, at + 3)}${unit}${right.slice(at + 4)}`;
    });
    const cut = Array.from({ length: 40 }, (_, length) => right.slice(0, length + 3));
    for (const signature of [...changed, ...cut, `${right}A`, `${right}=`])
      expect(await verdict({ signature })).not.toBe(true);
    expect(changed.length + cut.length).toBeGreaterThan(80);
  });

  it("refuses another secret's signature, also the empty secret's", async () => {
    expect(await verdict({}, [other])).toBe(false);
    expect(await verdict({}, [])).toBe(false);
  });
});
