import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Diagnosis } from '../../src/diagnosis/diagnosis.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { advised, code, diagnosis, knowledge, reading, request, symptom } from './build.ts';

/** `from`: section 6 of the project's cautions sheet repeats the trade's table; the outside source is named where there is one. */
const table: Array<{
  says: string;
  findings: Finding[];
  causes?: Diagnosis;
  driving: 'ok' | 'limit' | 'stop';
  from: string;
}> = [
  { says: 'petrol drips', findings: [symptom('fuel-leak')], driving: 'stop', from: 'petrol-safety-sheets' },
  { says: 'smells of petrol', findings: [symptom('fuel-smell')], driving: 'limit', from: 'petrol-safety-sheets' },
  {
    says: 'somebody feels ill from fumes',
    findings: [request('how-to', 'overcome-by-fumes')],
    driving: 'stop',
    from: 'niosh-co',
  },
  {
    says: 'whether a car may idle in a garage',
    findings: [request('how-to', 'fumes-in-a-closed-space')],
    driving: 'ok',
    from: 'iowa-state-garage-co',
  },
  {
    says: 'somebody is in danger',
    findings: [request('how-to', 'if-you-are-in-danger')],
    driving: 'stop',
    from: 'common practice',
  },
  {
    says: 'the pedal sinks',
    findings: [request('how-to', 'brakes-failing')],
    driving: 'stop',
    from: 'common practice',
  },
  { says: 'exhaust glows', findings: [symptom('glowing-exhaust')], driving: 'stop', from: 'forest-service-catalyst' },
  {
    says: 'catalyst at 1000 degC',
    findings: [reading('catalyst-temperature', 1000)],
    driving: 'stop',
    from: 'common practice',
  },
  {
    says: 'catalyst at 999 degC',
    findings: [reading('catalyst-temperature', 999)],
    driving: 'ok',
    from: 'common practice',
  },
  { says: 'exhaust smell inside', findings: [symptom('exhaust-smell-in-cabin')], driving: 'stop', from: 'niosh-co' },
  {
    says: 'light flashes',
    findings: [symptom('check-engine-light-flashing')],
    driving: 'stop',
    from: 'maker-misfire-texts',
  },
  {
    says: 'light flashed once, long ago',
    findings: [symptom('check-engine-light-flashing', { time: 'before' })],
    driving: 'ok',
    from: 'maker-misfire-texts',
  },
  { says: 'light is steady', findings: [symptom('check-engine-light')], driving: 'ok', from: 'maker-misfire-texts' },
  { says: 'overheats', findings: [symptom('overheating')], driving: 'stop', from: 'common practice' },
  {
    says: 'never overheats',
    findings: [symptom('overheating', { stated: 'denied' })],
    driving: 'ok',
    from: 'common practice',
  },
  {
    says: 'coolant at 118 degC',
    findings: [reading('coolant-temperature', 118)],
    driving: 'stop',
    from: 'common practice',
  },
  {
    says: 'coolant at 117 degC',
    findings: [reading('coolant-temperature', 117)],
    driving: 'ok',
    from: 'common practice',
  },
  {
    says: 'white smoke and coolant going',
    findings: [symptom('white-smoke'), symptom('coolant-loss')],
    driving: 'stop',
    from: 'common practice',
  },
  { says: 'coolant going', findings: [symptom('coolant-loss')], driving: 'limit', from: 'common practice' },
  { says: 'white smoke alone', findings: [symptom('white-smoke')], driving: 'ok', from: 'common practice' },
  {
    says: 'rattle with a cam-timing code',
    findings: [symptom('knocking'), code('P0016')],
    driving: 'stop',
    from: 'common practice',
  },
  { says: 'knock alone', findings: [symptom('knocking')], driving: 'limit', from: 'common practice' },
  {
    says: 'misfire, steady light',
    findings: [symptom('misfire'), symptom('check-engine-light')],
    driving: 'limit',
    from: 'maker-misfire-texts',
  },
  { says: 'misfire code', findings: [code('P0302')], driving: 'limit', from: 'maker-misfire-texts' },
  { says: 'stalls', findings: [symptom('stall')], driving: 'limit', from: 'common practice' },
  {
    says: 'black smoke at total trim -20',
    findings: [symptom('black-smoke'), reading('total-trim', -20)],
    driving: 'limit',
    from: 'judgement',
  },
  {
    says: 'black smoke at total trim -19',
    findings: [symptom('black-smoke'), reading('total-trim', -19)],
    driving: 'ok',
    from: 'judgement',
  },
  { says: 'total trim 35', findings: [reading('total-trim', 35)], driving: 'limit', from: 'judgement' },
  { says: 'total trim 34', findings: [reading('total-trim', 34)], driving: 'ok', from: 'judgement' },
  {
    says: 'oil use 1 L per 1000 km',
    findings: [reading('oil-consumption', 1)],
    driving: 'limit',
    from: 'common practice',
  },
  {
    says: 'oil use 0.9 L per 1000 km',
    findings: [reading('oil-consumption', 0.9)],
    driving: 'ok',
    from: 'common practice',
  },
  {
    says: 'asks about brakes',
    findings: [request('how-to', 'brakes-out-of-scope')],
    driving: 'limit',
    from: 'common practice',
  },
  {
    says: 'asks about airbags',
    findings: [request('how-to', 'airbags-out-of-scope')],
    driving: 'ok',
    from: 'common practice',
  },
  { says: 'low power', findings: [symptom('low-power')], driving: 'limit', from: 'judgement' },
  { says: 'hesitates', findings: [symptom('hesitation')], driving: 'ok', from: 'judgement' },
  { says: 'lean code, drives well', findings: [code('P0171')], driving: 'ok', from: 'common practice' },
  { says: 'catalyst code', findings: [code('P0420')], driving: 'ok', from: 'common practice' },
  { says: 'heater code', findings: [code('P0135')], driving: 'ok', from: 'common practice' },
  {
    says: 'blocked catalyst at 0.40',
    findings: [],
    causes: diagnosis([['catalyst-clogged', 0.4]]),
    driving: 'limit',
    from: 'judgement',
  },
  {
    says: 'blocked catalyst at 0.39',
    findings: [],
    causes: diagnosis([['catalyst-clogged', 0.39]]),
    driving: 'ok',
    from: 'judgement',
  },
  {
    says: 'does not start after bad fuel',
    findings: [symptom('no-start')],
    causes: diagnosis([['wrong-fuel', 0.3]]),
    driving: 'stop',
    from: 'common practice',
  },
  {
    says: 'does not start',
    findings: [symptom('no-start')],
    causes: diagnosis([['wrong-fuel', 0.29]]),
    driving: 'limit',
    from: 'common practice',
  },
];

describe('adviseDriving', () => {
  it.each(table)('$says: $driving', ({ findings, causes, driving }) => {
    expect(advised(findings, causes).driving).toBe(driving);
  });

  it('tries every rule of the knowledge base', () => {
    const advices = new Set(
      table.map((row) => advised(row.findings, row.causes).drivingBecause.slice(0, 40).toLowerCase()),
    );
    const untried = knowledge.driving.filter(
      (rule) => ![...advices].some((because) => because.startsWith(rule.because.slice(0, 30).toLowerCase())),
    );
    expect(untried.map((rule) => rule.id)).toEqual(['oil-thinned']);
    expect(advised([], diagnosis([['oil-fuel-diluted', 0.5]])).driving).toBe('limit');
    expect(advised([], diagnosis([['oil-fuel-diluted', 0.49]])).driving).toBe('ok');
  });

  it('follows the likeliest fault’s own advice only from 0.60 on', () => {
    const fault = knowledge.faults.find((entry) => entry.driving === 'limit' && entry.id === 'mechanical-compression')!;
    expect(advised([], diagnosis([[fault.id, 0.6]])).driving).toBe('limit');
    expect(advised([], diagnosis([[fault.id, 0.59]])).driving).toBe('ok');
  });

  it('never says that it is safe to drive', () => {
    for (const row of table) {
      expect(advised(row.findings, row.causes).drivingBecause).not.toMatch(
        /\b(safe to drive|is safe|you can drive)\b/i,
      );
    }
    expect(advised([]).drivingBecause).toMatch(/no stop sign in what you wrote/);
  });

  it('stops for a stop sign whatever else is said', () => {
    const signs = [
      'fuel-leak',
      'glowing-exhaust',
      'exhaust-smell-in-cabin',
      'check-engine-light-flashing',
      'overheating',
    ];
    const others = knowledge.symptoms.map((entry) => entry.id);
    fc.assert(
      fc.property(fc.constantFrom(...signs), fc.subarray(others), fc.boolean(), (sign, rest, last) => {
        const more = rest.filter((id) => id !== sign).map((id) => symptom(id));
        const findings = last ? [...more, symptom(sign)] : [symptom(sign), ...more];
        return advised(findings).driving === 'stop' && advised(findings).cautions[0]!.id === 'do-not-drive';
      }),
      { numRuns: 60 },
    );
  });

  it('does not stop for signs that are denied, past or another car’s', () => {
    const other = [{ stated: 'denied' }, { time: 'before' }, { car: 1 }] as const;
    fc.assert(
      fc.property(
        fc.constantFrom(...knowledge.symptoms.map((entry) => entry.id)),
        fc.constantFrom(...other),
        (id, how) => {
          return advised([symptom(id, how)]).driving === 'ok';
        },
      ),
      { numRuns: 60 },
    );
  });
});
