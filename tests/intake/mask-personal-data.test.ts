// What names or finds a person is masked; codes, readings and mileages are not.
import { describe, expect, it } from 'vitest';
import { hasCheckDigit, maskPersonalData } from '../../src/intake/mask-personal-data.ts';
import { personalPosts, readingPosts } from './personal-data-posts.ts';

const masked: ReadonlyArray<readonly [string, string, string]> = [
  // Check digits: 49 CFR 565.15 (weights and transliteration); the four numbers are worked in public descriptions of it.
  ['VIN 1M8GDM9AXKP042788', 'VIN 1M8GDM9A*K*******', 'worked example of the check digit, 49 CFR 565.15'],
  ['it is a 5GZCZ43D13S812715, automatic', 'it is a 5GZCZ43D*3*******, automatic', 'public example with check digit 1'],
  ['1HGCM82633A004352', '1HGCM826*3*******', 'public example with check digit 3'],
  [
    'chassis WVWZZZ1KZAW000000 please',
    'chassis WVWZZZ1K*A******* please',
    'ISO 3779 sets no check digit; named by its cue',
  ],
  ['mail me at pat.doe@example.com', 'mail me at [mail]', 'RFC 2606 example domain'],
  ['pat at example dot com', '[mail]', 'common practice'],
  ['ring +44 7700 900123', 'ring [phone]', 'Ofcom drama number'],
  ['(020) 7946 0123', '[phone]', 'Ofcom drama number'],
  ['call me on 07700 900456 tonight', 'call me on [phone] tonight', 'Ofcom drama number'],
  ['555-867-5309', '[phone]', 'North American form'],
  ['plate is KT04 ABC', 'plate is [plate]', 'common practice'],
  ['I am at 51.477928, -0.001545', 'I am at [position]', 'ISO 6709 degrees'],
  ['+51.4779-000.0015/', '[position]', 'ISO 6709 string form'],
  ['12 Elm Street', '[address]', 'common practice'],
  ['VIN 1HGCM 82633 A004352', 'VIN 1HGCM826*3*******', 'public example with check digit 3, in groups'],
  ['lat=51.4779&lon=-0.0015', '[position]', 'common practice'],
  ['+44 (0)7700 900123', '[phone]', 'Ofcom drama number'],
  ['pat [at] example [dot] org', '[mail]', 'common practice'],
  ['card 4111 1111 1111 1111', 'card [card]', 'published test number, Luhn'],
  ['GB29 NWBK 6016 1331 9268 19', '[account]', 'ISO 13616 registry example'],
];

const kept: readonly string[] = [
  '0171 0174 0420',
  'part number is 0258006537',
  'registration 2012',
  'reg 2005 Golf',
  'MY05 WRX',
  'misfire counts 24-399-51-154-30-124',
  '12.5000, 33.1250',
  '0.45 0.12 0.8 V',
  'P0171 P0174 P0420',
  '123456 miles, 2500 rpm',
  'LTFT +22.7 STFT -3.1',
  '7E8 06 41 00 BE 3E B8 13',
  '41 0C 1A F8 41 0D 00',
  '0.1234, 0.8765, 0.4321',
  '2010-03-14 10:00:00 12.5000 0.4500 33.1250',
  'reg is due in May',
  'fuel regulator, 43 psi',
  'at idle 14.7 and at 2500 rpm 14.6',
  'replaced at 98,000 miles (157,715 km)',
  'CO 0.30 HC 187 ppm lambda 1.017',
  'time 1.00000 2.00000 3.00000 4.00000',
];

describe('personal data', () => {
  // The goals of the platform sheet, 6.7, over made posts: 1,200 with personal data, 800 of readings and codes.
  it('is masked in at least 98 of 100 posts that hold an identification number, mail, telephone or position', () => {
    const posts = personalPosts(1200, 7);
    const missed = posts.filter(({ text, secret }) => maskPersonalData(text).includes(secret));
    for (const kind of ['vin', 'mail', 'phone', 'position', 'plate', 'address', 'account']) {
      const all = posts.filter((post) => post.kind === kind);
      const left = missed.filter((post) => post.kind === kind);
      expect(all.length, kind).toBeGreaterThanOrEqual(100);
      expect(1 - left.length / all.length, left.map((post) => post.text).join('\n')).toBeGreaterThanOrEqual(0.98);
    }
  });

  it('is seen in at most one of 200 posts that hold readings and codes only', () => {
    const posts = readingPosts(800, 11);
    const changed = posts.filter((text) => maskPersonalData(text) !== text);
    expect(changed.length, changed.join('\n')).toBeLessThanOrEqual(4);
  });

  it('keeps the maker, type and year of an identification number', () => {
    for (const { kind, text } of personalPosts(1200, 7)) {
      if (kind !== 'vin') continue;
      expect(maskPersonalData(text)).toMatch(/[A-Za-z0-9]{8}\*[A-Za-z0-9]\*{7}/);
    }
  });

  it('takes time in proportion to the text, whatever it is', () => {
    const hostile = ['1 ', '1.5555, ', '+1', 'a@', 'at ', 'A1', '0', '(', '9-'].map((piece) =>
      piece.repeat(100_000 / piece.length),
    );
    const best = (text: string) =>
      Math.min(
        ...[0, 1, 2].map(() => {
          const begin = process.cpuUsage();
          maskPersonalData(text);
          const { user, system } = process.cpuUsage(begin);
          return (user + system) / 1000;
        }),
      );
    // Four times the text: quadratic growth would take sixteen times the time. The clock of a busy machine is coarse.
    for (const text of hostile)
      expect(best(text), text.slice(0, 12)).toBeLessThan(9 * best(text.slice(0, text.length / 4)) + 150);
  });

  it.each(masked)('masks %j', (text, expected) => expect(maskPersonalData(text)).toBe(expected));
  it.each(kept)('leaves %j as it is', (text) => expect(maskPersonalData(text)).toBe(text));

  it('knows a check digit from a wrong one', () => {
    expect(hasCheckDigit('11111111111111111')).toBe(true);
    expect(hasCheckDigit('11111111211111111')).toBe(false);
  });
});
