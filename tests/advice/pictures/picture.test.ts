import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BaySpec } from '../../../src/advice/pictures/bay-spec.ts';
import { describePicture, drawPicture, picturePath } from '../../../src/advice/pictures/picture.ts';
import { type PictureSpec, readPath } from '../../../src/advice/pictures/picture-names.ts';
import example from '../../vocabulary/full-answer.json' with { type: 'json' };
import { advised, code, derived, diagnosis, engine, knowledge, reading, request } from '../build.ts';

const bay: BaySpec = {
  layout: 'v',
  cylinders: 6,
  mounting: 'transverse',
  bankOne: 'firewall',
  exhaust: 'unknown',
  one: 'unknown',
  numbering: 'odd',
  catalyst: 'under-floor',
  pipes: 'separate',
  engineAt: 'front',
  sure: 'memory',
  bank: 1,
  sensor: 2,
};
const signal: PictureSpec = {
  kind: 'signal',
  bank: 1,
  sensor: 1,
  condition: 'idle',
  seconds: 24,
  volts: Array.from({ length: 120 }, (_, index) => 0.45 + 0.4 * Math.sin(index / 4)),
};
const ranking: PictureSpec = {
  kind: 'ranking',
  bars: [
    { fault: 'vacuum-leak', probability: 0.46 },
    { fault: 'pcv-valve-stuck', probability: 0.2 },
  ],
};

const wordsOf = (path: string) => describePicture(readPath(path)!);

const name = (id: string) => knowledge.faults.byId.get(id)?.name ?? id;

describe('pictures by address', () => {
  const addresses = [
    picturePath({ kind: 'bay', bay }),
    picturePath({
      kind: 'trims',
      bars: [
        { condition: 'idle', bank: 1, percent: 25.1 },
        { condition: '2500rpm', bank: 2, percent: -7 },
      ],
    }),
    picturePath(signal, name),
    picturePath(ranking, name),
  ];

  it.each(addresses)('draws %s again from the address alone', (address) => {
    expect(address.length).toBeLessThanOrEqual(330);
    const drawn = drawPicture(address.slice('/pictures/'.length), name)!;
    expect(drawn).toMatch(/^<svg [^>]*viewBox="0 0 400 \d+"[^>]*role="img" aria-label="[^"]{20,}"/);
    expect(drawn).toContain('<title>');
    expect(drawn.match(/font-size="(\d+)"/g)!.every((size) => Number(/\d+/.exec(size)![0]) >= 12)).toBe(true);
    expect(drawPicture(address.slice('/pictures/'.length), name)).toBe(drawn);
  });

  it('refuses what it did not write', () => {
    const file = addresses[0]!.slice('/pictures/'.length);
    for (const wrong of [
      file.replace('firewall', 'radiator'),
      file.replace('.svg', '.gif'),
      '../bay.svg',
      '',
      `${file}x`,
      'ranking.<b>_5.00000000.svg',
    ])
      expect(drawPicture(wrong)).toBeNull();
    fc.assert(fc.property(fc.string({ maxLength: 300 }), (text) => drawPicture(text) === null));
  });

  it('escapes names that came from data', () => {
    const odd = () => '<script>"&';
    const spec = { kind: 'ranking', bars: [{ fault: 'vacuum-leak', probability: 0.5 }] } as const;
    const drawn = drawPicture(picturePath(spec, odd).slice('/pictures/'.length), odd)!;
    expect(drawn).not.toContain('<script>');
  });

  it('marks with a shape, not with colour alone, and shows no green, amber or red', () => {
    const drawn = drawPicture(addresses[0]!.slice('/pictures/'.length))!;
    expect(drawn.match(/Z" fill="#14506b/g)).toHaveLength(1);
    expect(drawn).toContain('>B1 S2<');
    for (const [, colour] of drawn.matchAll(/="(#[0-9a-f]{6})"/g)) {
      const [red, green, blue] = [1, 3, 5].map((at) => Number.parseInt(colour!.slice(at, at + 2), 16)) as [
        number,
        number,
        number,
      ];
      expect(red - blue < 40 && Math.abs(red - green) < 70).toBe(true);
    }
  });

  it.each([
    [{ vehicle: 'Toyota Camry', layout: 'v', year: 2004 }, 'bank-1-sensor-2', /cabin side, behind the first catalyst/],
    [{ vehicle: 'Buick LeSabre', layout: 'v', year: 2000 }, 'bank-1', /marked on the radiator side/],
    [{ vehicle: 'Buick LeSabre', layout: 'v', year: 2000 }, 'bank-1-sensor-1', /joined pipe of both banks, ahead of/],
    [
      { vehicle: 'Chevrolet Silverado', displacement: 5.3, year: 2005, cylinders: 8 },
      'bank-1',
      /bank 1 marked on the left/,
    ],
    [{ vehicle: 'BMW 330i', year: 2002 }, 'bank-2-sensor-1', /gearbox-end half of the cylinders/],
    [{ layout: 'v', cylinders: 6, mounting: 'transverse' }, 'bank-2-sensor-1', /radiator side/],
  ] as const)('says the same side in words and picture for %j', (car, item, words) => {
    const where = advised([engine(car), request('location', item)]).where[0]!;
    expect(wordsOf(where.picture!)).toMatch(words);
    const side = /(cabin|radiator) side|on the (left|right)/.exec(wordsOf(where.picture!))?.[0];
    const asWords: Record<string, RegExp> = {
      'cabin side': /firewall/,
      'radiator side': /behind the radiator/,
      'on the left': /left one/,
      'on the right': /right one/,
    };
    if (side) expect(where.text).toMatch(asWords[side]!);
  });

  it('never marks another side than the text says, for every known engine, bank and sensor', () => {
    const saidAs: ReadonlyArray<[RegExp, RegExp]> = [
      [/marked on the cabin side/, /is the one at the firewall/],
      [/marked on the radiator side/, /is the one at the front, behind the radiator/],
      [/marked on the left/, /is the left one/],
      [/marked on the right/, /is the right one/],
      [/belt-end half/, /first half of the cylinders/],
      [/gearbox-end half/, /second half of the cylinders/],
      [/in the joined pipe/, /both banks join/],
      [/not known which one is bank 1/, /no reliable source|different by maker|looked up|right on|on the left/],
    ];
    let drawn = 0;
    for (const family of knowledge.engines)
      for (const item of [
        'bank-1',
        'bank-2',
        'bank-1-sensor-1',
        'bank-1-sensor-2',
        'bank-2-sensor-1',
        'bank-2-sensor-2',
      ]) {
        const car = { vehicle: family.words[0] ?? family.cars[0]!, layout: family.layout, cylinders: family.cylinders };
        const where = advised([engine({ ...car, mounting: family.mounting }), request('location', item)]).where[0]!;
        if (!where.picture) continue;
        drawn += 1;
        expect(where.picture.length).toBeLessThanOrEqual(200);
        const words = wordsOf(where.picture);
        for (const [inPicture, inText] of saidAs)
          if (inPicture.test(words)) expect(where.text, `${family.id} ${item}: ${words}`).toMatch(inText);
      }
    expect(drawn).toBeGreaterThan(200);
  });

  it('marks both banks and says so where the side is not known, and draws nothing where nothing is', () => {
    const where = advised([engine({ vehicle: 'Nissan Titan', year: 2006 }), request('location', 'bank-1-sensor-1')])
      .where[0]!;
    expect(wordsOf(where.picture!)).toMatch(/both banks, since it is not known/);
    expect(drawPicture(where.picture!.slice('/pictures/'.length))!.match(/>S1 \?</g)).toHaveLength(2);
    expect(advised([request('location', 'bank-1-sensor-2')]).where[0]!.picture).toBeNull();
  });

  it('keeps a signal to the steps of its scale', () => {
    const back = readPath(picturePath(signal));
    if (back?.kind !== 'signal' || signal.kind !== 'signal') throw new Error('not a signal');
    expect(back.volts).toHaveLength(120);
    for (const [index, volts] of back.volts.entries())
      expect(Math.abs(volts - signal.volts[index]!)).toBeLessThan(0.0005);
    expect(describePicture(back)).toMatch(/front sensor of bank 1 at idle over 24 seconds: between 0.05 and 0.85 V/i);
  });
});

describe('the example answer', () => {
  it('names a picture that is drawn: write its new address there when the drawing changes', () => {
    const { pictures } = example;
    expect(pictures.map(({ address }) => drawPicture(address.slice('/pictures/'.length)) !== null)).toEqual([true]);
    expect(pictures[0]!.address).toBe(picturePath(readPath(pictures[0]!.address)!));
  });
});

describe('the pictures of an answer', () => {
  const total = (bank: number, when: string, result: number) => ({ ...derived('total-trim', result), bank, when });
  const about = (answer: ReturnType<typeof advised>) => answer.pictures.map((picture) => picture.about);

  it('show trims from two figures on, never one', () => {
    const one = advised([], diagnosis(), { derived: [total(1, 'idle', 25)] });
    const two = advised([], diagnosis(), { derived: [total(1, 'idle', 25), total(1, '2500rpm', 6)] });
    expect([about(one), about(two)]).toEqual([[], ['trims']]);
    expect(two.pictures[0]!.alt).toMatch(/idle, bank 1 \+25 %; 2,500 rpm, bank 1 \+6 %/);
  });

  it('show the ranking only where something speaks for it', () => {
    const causes = diagnosis([
      ['vacuum-leak', 0.6],
      ['pcv-valve-stuck', 0.2],
      ['boost-leak', 0.01],
    ]);
    expect(about(advised([request('diagnosis')], causes))).toEqual([]);
    const shown = advised([code('P0171')], causes);
    expect(about(shown)).toEqual(['ranking']);
    expect(shown.pictures[0]!.alt).toMatch(/60 %.*20 %\.$/);
    expect(drawPicture(shown.pictures[0]!.address.slice('/pictures/'.length), name)).toContain('<svg');
  });

  it('put the place first when it was asked for, and last when it was not', () => {
    const car = engine({ vehicle: 'Toyota Camry', layout: 'v', year: 2004 });
    const causes = diagnosis([
      ['upstream-sensor-slow', 0.6, 2],
      ['vacuum-leak', 0.2],
    ]);
    expect(about(advised([car, code('P0153')], causes))).toEqual(['ranking', 'place']);
    expect(about(advised([car, code('P0153'), request('location', 'bank-2-sensor-1')], causes))).toEqual([
      'place',
      'ranking',
    ]);
  });

  it('show the sensor’s signal of a log', () => {
    const volts = Array.from({ length: 40 }, (_, index) => (index % 2 === 0 ? 0.1 : 0.8));
    const shown = advised([
      reading('sensor-voltage', 0.45, {
        bank: 1,
        sensor: 1,
        when: 'idle',
        trace: { when: 'idle', seconds: 20, values: volts },
      }),
      reading('sensor-voltage', 0.7, {
        bank: 1,
        sensor: 2,
        when: 'idle',
        trace: { when: 'idle', seconds: 20, values: volts.map(() => 0.7) },
      }),
    ]);
    expect(about(shown)).toEqual(['signal', 'signal']);
    expect(shown.pictures[0]!.alt).toMatch(/^Front sensor of bank 1 at idle over 20 seconds.*crossing 0.45 V 39 times/);
    expect(shown.pictures[1]!.alt).toMatch(/^Rear sensor of bank 1.*0 times/);
  });

  it('show a log’s signal in the answer to the post that brought it, not again', () => {
    const trace = { when: 'idle', seconds: 20, values: Array.from({ length: 40 }, () => 0.5) } as const;
    const log = reading('sensor-voltage', 0.5, {
      sensor: 1,
      when: 'idle',
      trace: { ...trace, values: [...trace.values] },
    });
    expect(about(advised([log]))).toEqual(['signal']);
    expect(about(advised([log, request('driving', null, { post: 1 })]))).toEqual([]);
  });

  it('are at most four, each with words', () => {
    for (const picture of advised([engine({ vehicle: 'Toyota Camry', layout: 'v', year: 2004 }), code('P0153')])
      .pictures)
      expect(picture.alt.length).toBeGreaterThan(30);
  });
});
