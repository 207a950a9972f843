// What names or finds a person is masked; codes, readings and mileages are not.
import { describe, expect, it } from 'vitest';
import { hasCheckDigit, maskPersonalData } from '../../src/intake/mask-personal-data.ts';

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
  ['card 4111 1111 1111 1111', 'card [card]', 'published test number, Luhn'],
  ['GB29 NWBK 6016 1331 9268 19', '[account]', 'ISO 13616 registry example'],
];

const kept: readonly string[] = [
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
  it.each(masked)('masks %j', (text, expected) => expect(maskPersonalData(text)).toBe(expected));
  it.each(kept)('leaves %j as it is', (text) => expect(maskPersonalData(text)).toBe(text));

  it('knows a check digit from a wrong one', () => {
    expect(hasCheckDigit('11111111111111111')).toBe(true);
    expect(hasCheckDigit('11111111211111111')).toBe(false);
  });
});
