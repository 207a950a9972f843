// The signature of Slack's requests against its published example, and everything that must be refused.
import { describe, expect, it } from 'vitest';
import { isFromSlack, type SlackProof } from '../../../src/channels/slack/verify-slack.ts';

const bytes = (text: string) => new TextEncoder().encode(text);

// From: Slack, "Verifying requests from Slack", the worked example.
const secret = '8f742231b10e8888abcd99yyyzzz85a5';
const timestamp = '1531420618';
const now = 1_531_420_618_000;
const body =
  'token=xyzz0WbapA4vBCDEFasx0q6G&team_id=T1DC2JH3J&team_domain=testteamnow&channel_id=G8PSS9T3V&channel_name=foobar&user_id=U2CERLKJA&user_name=roadrunner&command=%2Fwebhook-collect&text=&response_url=https%3A%2F%2Fhooks.slack.com%2Fcommands%2FT1DC2JH3J%2F397700885554%2F96rGlfmibIGlgcZRskXaIFfN&trigger_id=398738663015.47445629121.803a0bc887a14d10d2c447fce8b6703c';
const signature = 'v0=a2114d57b48eac39b9ad189dd8316235a7b4a8d21a10bd27519666489c69b503';
const good: SlackProof = { body: bytes(body), timestamp, signature };

const accepts = (parts: Partial<SlackProof>, secrets = [secret], at = now) =>
  isFromSlack({ ...good, ...parts }, secrets, at);

describe("Slack's signature", () => {
  it('is the published one for the published request', async () => {
    expect(await accepts({})).toBe(true);
  });

  it.each([
    // From: the same scheme computed with OpenSSL's HMAC over the UTF-8 bytes.
    [
      '{"type":"url_verification","challenge":"abc"}',
      'v0=ae6e383ee58dd0c92dd248df269b7153bdd89895087b58885a6703496ce22369',
    ],
    ['{"text":"\u00e9\u{1f697}"}', 'v0=71aa5ca7aeb58e19e32c088742e52473e258bd7527451d17f12e1511e848d551'],
  ])('covers the bytes of %s', async (text, proof) => {
    expect(await accepts({ body: bytes(text), signature: proof })).toBe(true);
  });

  it('holds for five minutes either way and not a second longer', async () => {
    for (const [seconds, expected] of [
      [0, true],
      [300, true],
      [301, false],
      [-300, true],
      [-301, false],
    ] as const)
      expect([seconds, await accepts({}, [secret], now + seconds * 1000)]).toEqual([seconds, expected]);
  });

  it('may be made with the former secret while it is being changed, and with no other', async () => {
    expect(await accepts({}, ['a-new-signing-secret', secret])).toBe(true);
    expect(await accepts({}, ['a-new-signing-secret'])).toBe(false);
    expect(await accepts({}, [])).toBe(false);
  });

  const hex = signature.slice(3);
  const negatives: Array<[string, Partial<SlackProof>]> = [
    ['no signature', { signature: null }],
    ['an empty signature', { signature: '' }],
    ['no time', { timestamp: null }],
    ['an empty time', { timestamp: '' }],
    ['letters behind the time', { timestamp: `${timestamp}abc` }],
    ['a negative time', { timestamp: `-${timestamp}` }],
    ['a time in milliseconds', { timestamp: `${timestamp}000` }],
    ['a time with a point', { timestamp: `${timestamp}.0` }],
    ['a time with a blank', { timestamp: ` ${timestamp}` }],
    ['a time in another notation', { timestamp: '1.531420618e9' }],
    ['a time that is no number', { timestamp: 'NaN' }],
    ['another version', { signature: `v1=${hex}` }],
    ['no version', { signature: hex }],
    ['upper-case digits', { signature: `v0=${hex.toUpperCase()}` }],
    ['a digit too few', { signature: signature.slice(0, -1) }],
    ['a byte too few', { signature: signature.slice(0, -2) }],
    ['a byte too many', { signature: `${signature}00` }],
    ['a blank behind', { signature: `${signature} ` }],
    ['a line feed behind', { signature: `${signature}\n` }],
    ['letters that are no digits', { signature: `v0=${'g'.repeat(64)}` }],
    ['zeros', { signature: `v0=${'0'.repeat(64)}` }],
    ['two signatures', { signature: `${signature},${signature}` }],
    ['a line feed behind the body', { body: bytes(`${body}\n`) }],
    ['a blank before the body', { body: bytes(` ${body}`) }],
    ['no body', { body: bytes('') }],
    ['a body encoded anew', { body: bytes(body.replaceAll('%2F', '/')) }],
    ['fields in another order', { body: bytes(body.split('&').reverse().join('&')) }],
    ['another time of the same five minutes', { timestamp: String(Number(timestamp) + 1) }],
    // One wrong digit in each place of the signature, and one wrong bit in 64 places of the body.
    ...Array.from({ length: 64 }, (_, at): [string, Partial<SlackProof>] => [
      `a wrong digit in place ${at}`,
      { signature: `v0=${hex.slice(0, at)}${hex[at] === '0' ? '1' : '0'}${hex.slice(at + 1)}` },
    ]),
    ...Array.from({ length: 64 }, (_, at): [string, Partial<SlackProof>] => {
      const changed = bytes(body);
      changed[at * 5] = changed[at * 5]! ^ 1;
      return [`a wrong bit in byte ${at * 5} of the body`, { body: changed }];
    }),
  ];

  it(`is refused in ${negatives.length} wrong forms, at least 100`, async () => {
    expect(negatives.length).toBeGreaterThanOrEqual(100);
    const accepted: string[] = [];
    for (const [name, parts] of negatives) if (await accepts(parts)) accepted.push(name);
    expect(accepted).toEqual([]);
  });
});
