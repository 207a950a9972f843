import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/diagnosis/diagnose.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { code, denied, engine, inlineTwoLitre, input, knowledge, reading, symptom, vSix, work } from './said.ts';

function probabilityOf(findings: readonly Finding[], fault: string): number {
  return diagnose(input(findings), knowledge).causes.find((cause) => cause.fault === fault)?.probability ?? 0;
}
function ranking(findings: readonly Finding[]): string[] {
  return diagnose(input(findings), knowledge).causes.map((cause) => cause.fault);
}

describe('causes', () => {
  const anyFinding = fc.oneof(
    fc.constantFrom('P0171', 'P0172', 'P0420', 'P0300', 'P0303', 'P0135', 'P0133', 'P1234').map((id) => code(id)),
    fc
      .constantFrom('rough-idle', 'black-smoke', 'hissing', 'poor-fuel-economy', 'oil-use', 'no-such-symptom')
      .chain((id) =>
        fc.constantFrom('present', 'denied', 'unsure').map((stated) => symptom(id, { stated: stated as 'present' })),
      ),
    fc
      .tuple(
        fc.constantFrom('long-term-trim', 'short-term-trim', 'gas-co', 'lambda', 'sensor-voltage', 'air-flow'),
        fc.double({ min: 0, max: 30, noNaN: true }),
        fc.constantFrom('idle', '2500rpm', null),
      )
      .map(([quantity, value, when]) => reading(quantity as 'lambda', value, { when: when as 'idle' })),
  );

  it('sum to 1 to the last digit, whatever was said', () => {
    fc.assert(
      fc.property(fc.array(anyFinding, { maxLength: 8 }), (findings) => {
        const { causes } = diagnose(input(findings), knowledge);
        expect(causes.reduce((sum, cause) => sum + Math.round(cause.probability * 1e6), 0)).toBe(1_000_000);
        expect(causes.map((cause) => cause.fault)).toContain('no-fault-use-pattern');
        expect(causes.map((cause) => cause.fault)).toContain('outside-the-trade');
      }),
      { numRuns: 25 },
    );
  });

  it('do not depend on the order of the findings', () => {
    fc.assert(
      fc.property(fc.array(anyFinding, { minLength: 2, maxLength: 6 }), (findings) => {
        const there = diagnose(input(findings), knowledge).causes;
        const back = diagnose(input([...findings].reverse()), knowledge).causes;
        for (const cause of there) {
          expect(back.find((other) => other.fault === cause.fault)!.probability).toBeCloseTo(cause.probability, 5);
        }
      }),
      { numRuns: 15 },
    );
  });

  it('never rise for a fault when a symptom that it causes is denied', () => {
    const base = [code('P0171'), symptom('rough-idle')];
    for (const [fault, shown] of [
      ['vacuum-leak', 'hissing'],
      ['exhaust-leak-upstream', 'exhaust-noise'],
      ['ignition-misfire', 'misfire'],
      ['oil-burning', 'blue-smoke'],
      ['purge-valve-stuck-open', 'hard-start'],
    ] as const) {
      expect(probabilityOf([...base, denied(shown)], fault)).toBeLessThanOrEqual(probabilityOf(base, fault));
      expect(probabilityOf([...base, symptom(shown)], fault)).toBeGreaterThan(probabilityOf(base, fault));
    }
  });

  it('treat the banks alike: mirrored findings give the same causes on the other bank', () => {
    const one = diagnose(
      input([
        vSix,
        code('P0171'),
        reading('total-trim', 20, { bank: 1, when: 'idle' }),
        reading('total-trim', 0, { bank: 2, when: 'idle' }),
      ]),
      knowledge,
    );
    const two = diagnose(
      input([
        vSix,
        code('P0174'),
        reading('total-trim', 20, { bank: 2, when: 'idle' }),
        reading('total-trim', 0, { bank: 1, when: 'idle' }),
      ]),
      knowledge,
    );
    for (const cause of one.causes) {
      const mirrored = two.causes.find((other) => other.fault === cause.fault)!;
      expect(mirrored.probability).toBeCloseTo(cause.probability, 5);
      if (cause.bank !== null && cause.probability > 0.01) expect(mirrored.bank).toBe(3 - cause.bank);
    }
  });

  it('leave other cars, earlier times and repeated statements out', () => {
    const base = [code('P0171'), symptom('rough-idle')];
    const before = diagnose(input(base), knowledge).causes;
    const more = diagnose(
      input([
        ...base,
        code('P0420', { car: 1 }),
        symptom('black-smoke', { time: 'before' }),
        code('P0171'),
        symptom('rough-idle'),
      ]),
      knowledge,
    ).causes;
    expect(more.map(({ fault, probability }) => ({ fault, probability }))).toEqual(
      before.map(({ fault, probability }) => ({ fault, probability })),
    );
  });

  it('move less for hearsay and for what is unsure', () => {
    const said = probabilityOf([symptom('blue-smoke')], 'oil-burning');
    const heard = probabilityOf([symptom('blue-smoke', { source: 'hearsay' })], 'oil-burning');
    const unsure = probabilityOf([symptom('blue-smoke', { stated: 'unsure' })], 'oil-burning');
    const silent = probabilityOf([], 'oil-burning');
    expect(said).toBeGreaterThan(unsure);
    expect(unsure).toBeGreaterThan(silent);
    expect(said).toBeGreaterThan(heard);
    expect(heard).toBeGreaterThan(silent);
  });

  it('follow the evidence words: every reason belongs to a finding given', () => {
    const findings = [
      vSix,
      code('P0171'),
      symptom('rough-idle'),
      reading('long-term-trim', 18, { bank: 1, when: 'idle' }),
      denied('black-smoke'),
    ];
    const ids = new Set(findings.map((finding) => finding.id));
    const [first] = diagnose(input(findings), knowledge).causes;
    expect(first!.for.length).toBeGreaterThan(0);
    for (const item of [...first!.for, ...first!.against]) expect(ids).toContain(item.finding);
    for (const item of first!.for) expect(item.bits).toBeGreaterThan(0);
    expect(first!.for.map((item) => item.why).join(' ')).toMatch(/about \+\d+ % fuel correction at idle/);
  });
});

describe('what the trade knows (common practice; faults sheet, sections 5 to 10)', () => {
  it.each<[string, readonly Finding[], readonly string[]]>([
    [
      'a bare lean code spreads over leak, meter, fuel and exhaust',
      [code('P0171')],
      ['vacuum-leak', 'air-meter-reads-low', 'fuel-delivery-weak'],
    ],
    [
      'idle lean that fades with speed is a leak',
      [
        inlineTwoLitre,
        reading('total-trim', 22, { when: 'idle' }),
        reading('total-trim', 6, { when: '2500rpm' }),
        reading('total-trim', 1, { when: 'load' }),
      ],
      ['vacuum-leak'],
    ],
    [
      'lean that grows with load is meter or fuel',
      [
        inlineTwoLitre,
        reading('total-trim', 1, { when: 'idle' }),
        reading('total-trim', 10, { when: '2500rpm' }),
        reading('total-trim', 22, { when: 'load' }),
      ],
      ['air-meter-reads-low', 'fuel-delivery-weak'],
    ],
    [
      'idle lean with a rich rear sensor and a cold tick is false air',
      [
        inlineTwoLitre,
        reading('total-trim', 14, { when: 'idle' }),
        reading('total-trim', 4, { when: '2500rpm' }),
        reading('sensor-voltage', 0.82, { sensor: 2, when: 'idle' }),
        symptom('exhaust-noise', { when: 'cold' }),
      ],
      ['exhaust-leak-upstream'],
    ],
    [
      'positive everywhere with CO at the tailpipe is a sensor that lies',
      [
        inlineTwoLitre,
        reading('total-trim', 10, { when: 'idle' }),
        reading('total-trim', 10, { when: '2500rpm' }),
        reading('gas-co', 2.4, { when: '2500rpm' }),
        reading('gas-o2', 0.1, { when: '2500rpm' }),
        reading('gas-co', 2.6, { when: 'idle' }),
      ],
      ['upstream-sensor-reads-lean', 'wrong-sensor-fitted', 'exhaust-leak-upstream'],
    ],
    ['a heater code is the heater', [code('P0135')], ['sensor-heater-failed']],
    ['an efficiency code is the catalyst, not surely', [code('P0420')], ['catalyst-worn']],
    ['one cylinder missing is ignition first', [code('P0303'), symptom('misfire')], ['ignition-misfire']],
    [
      'opposite banks are crossed plugs',
      [
        vSix,
        code('P0171'),
        code('P0175'),
        reading('long-term-trim', 24, { bank: 1 }),
        reading('long-term-trim', -25, { bank: 2 }),
      ],
      ['sensors-crossed'],
    ],
    [
      'blue smoke and oil use is burning oil',
      [symptom('blue-smoke'), symptom('oil-use'), code('P0133')],
      ['oil-burning'],
    ],
    [
      'cold coolant figure when hot is its sensor',
      [inlineTwoLitre, symptom('black-smoke'), symptom('poor-fuel-economy'), reading('coolant-temperature', 45)],
      ['coolant-sensor-reads-cold'],
    ],
    [
      'economy alone is mostly the way it is used',
      [
        symptom('poor-fuel-economy'),
        reading('total-trim', 1, { when: 'idle' }),
        reading('total-trim', -2, { when: '2500rpm' }),
      ],
      ['no-fault-use-pattern'],
    ],
    [
      'slow switching is an aged sensor',
      [inlineTwoLitre, code('P0133'), reading('switches', 0.3, { sensor: 1, when: '2500rpm' })],
      ['upstream-sensor-slow'],
    ],
    [
      'hydrocarbons and oxygen high with little CO is misfire',
      [
        inlineTwoLitre,
        reading('gas-hc', 1400, { when: 'idle' }),
        reading('gas-co', 0.2, { when: 'idle' }),
        reading('gas-o2', 3.5, { when: 'idle' }),
      ],
      ['ignition-misfire', 'mechanical-compression'],
    ],
  ])('%s', (_name, findings, first) => {
    expect(first).toContain(ranking(findings)[0]);
  });

  it('stays below 60 % for a bare lean code and names many', () => {
    const { causes } = diagnose(input([code('P0171')]), knowledge);
    expect(causes[0]!.probability).toBeLessThan(0.6);
    expect(causes.filter((cause) => cause.probability > 0.03).length).toBeGreaterThanOrEqual(4);
  });

  it('puts a replaced part lower and what was disturbed higher', () => {
    const base = [code('P0171'), symptom('hesitation')];
    expect(probabilityOf([...base, work('air-meter', 'replaced')], 'air-meter-reads-low')).toBeLessThan(
      probabilityOf(base, 'air-meter-reads-low') / 2,
    );
    expect(
      probabilityOf([...base, work('air-filter', 'replaced', 'started-trouble')], 'intake-duct-leak'),
    ).toBeGreaterThan(probabilityOf(base, 'intake-duct-leak'));
  });

  it('says more with an engine that is known: a leak shows as speed, not as correction, without an air meter', () => {
    const lean = [reading('total-trim', 24, { when: 'idle' }), reading('total-trim', 6, { when: '2500rpm' })];
    const metered = probabilityOf([engine({ layout: 'inline', airMetering: 'air-meter' }), ...lean], 'vacuum-leak');
    const pressure = probabilityOf(
      [engine({ layout: 'inline', airMetering: 'manifold-pressure' }), ...lean],
      'vacuum-leak',
    );
    expect(metered).toBeGreaterThan(2 * pressure);
  });
});

describe('a control at its limit', () => {
  // from: calculators sheet 7.2: makers stop the total between about +25 and +60 %.
  it('says that the sensor or its lead lies when a steady lean signal stands beside a rich witness', () => {
    const stuck = [
      inlineTwoLitre,
      reading('long-term-trim', 25, { when: 'idle' }),
      reading('long-term-trim', 25, { when: '2500rpm' }),
      reading('sensor-voltage', 0.05, { sensor: 1 }),
      reading('sensor-voltage', 0.85, { sensor: 2 }),
    ];
    const liars = ['upstream-sensor-reads-lean', 'upstream-sensor-dead', 'sensor-wiring', 'wrong-sensor-fitted'];
    const share = liars.reduce((sum, fault) => sum + probabilityOf(stuck, fault), 0);
    expect(share).toBeGreaterThan(0.6);
    const fading = [
      inlineTwoLitre,
      reading('total-trim', 36, { when: 'idle' }),
      reading('total-trim', 11, { when: '2500rpm' }),
      reading('sensor-voltage', 0.7, { sensor: 2 }),
    ];
    expect(probabilityOf(fading, 'vacuum-leak')).toBeGreaterThan(0.4);
  });

  it('names the bank that has most of an uneven leak', () => {
    const uneven = [
      vSix,
      reading('total-trim', 9, { when: 'idle', bank: 1 }),
      reading('total-trim', 23, { when: 'idle', bank: 2 }),
      reading('total-trim', 2, { when: '2500rpm', bank: 1 }),
      reading('total-trim', 7, { when: '2500rpm', bank: 2 }),
    ];
    const cause = diagnose(input(uneven), knowledge).causes.find((item) => item.fault === 'vacuum-leak');
    expect(cause?.bank).toBe(2);
  });
});

describe('fit', () => {
  it('has nothing to go on without findings, says so and asks', () => {
    const { fit, questions, causes } = diagnose(input([]), knowledge);
    expect(fit.surprise).toBe(0);
    expect(fit.handOver.wanted).toBe(false);
    expect(fit.handOver.because).toMatch(/nothing to go on/);
    expect(questions.length).toBeGreaterThan(0);
    expect(causes[0]!.probability).toBeLessThan(0.2);
  });
  it('is good for an ordinary post', () => {
    const { fit } = diagnose(
      input([
        inlineTwoLitre,
        code('P0171'),
        reading('total-trim', 22, { when: 'idle' }),
        reading('total-trim', 6, { when: '2500rpm' }),
        symptom('rough-idle'),
      ]),
      knowledge,
    );
    expect(fit.surprise).toBeLessThan(0.3);
    expect(fit.handOver.wanted).toBe(false);
  });
  it('is bad for findings that cannot go together, which go to a helper with the clash named', () => {
    const findings = [
      inlineTwoLitre,
      code('P0171'),
      code('P0172'),
      reading('total-trim', 28, { when: 'idle' }),
      reading('total-trim', -26, { when: 'cruise' }),
      reading('gas-co', 6, { when: 'idle' }),
      reading('gas-o2', 9, { when: 'idle' }),
    ];
    const { fit } = diagnose(input(findings), knowledge);
    expect(fit.surprise).toBeGreaterThan(0.6);
    expect(fit.handOver.wanted).toBe(true);
    expect(fit.clash.length).toBeGreaterThan(1);
  });
});
