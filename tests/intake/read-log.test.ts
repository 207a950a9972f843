// Logs of live data: any delimiter, decimal commas, unit rows, both layouts. The rows are made up here; the expected means are counted
// by hand. (The sums were also held against the figures that came with four public logs, see the commit.)
import { describe, expect, it } from 'vitest';
import { readAttachment, readLog } from '../../src/intake/read-log.ts';
import { loadFiguresKnowledge } from './figures-knowledge.ts';
import { readWith } from './read-figures.ts';

const knowledge = loadFiguresKnowledge();
let count = 0;
const nextId = () => {
  count += 1;
  return `a${count}`;
};
const attached = (text: string) =>
  readAttachment({ name: 'drive.csv', text }, 0, nextId, knowledge).findings.flatMap((finding) =>
    finding.kind === 'reading'
      ? [
          `${finding.quantity} ${finding.value}${finding.bank ? ` b${finding.bank}` : ''}${finding.sensor ? `s${finding.sensor}` : ''} ${finding.when}`,
        ]
      : [],
  );

const row = (cells: readonly (string | number)[], delimiter: string) => cells.join(delimiter);
const many = (cells: readonly (string | number)[], delimiter: string, times: number) =>
  Array.from({ length: times }, () => row(cells, delimiter)).join('\n');

describe('logs', () => {
  it('gives means at warm idle and at cruise, and leaves key-on rows out', () => {
    const text = `time s,Engine RPM,Vehicle speed (km/h),ECT (C),Engine load (%),STFT B1 (%),LTFT B1 (%)\n${many([0, 0, 0, 85, 0, 0, 0], ',', 20)}\n${many([1, 750, 0, 88, 25, 2, 18], ',', 10)}\n${many([2, 2200, 90, 90, 40, 1, 4], ',', 10)}`;
    const readings = attached(text);
    expect(readings).toContain('long-term-trim 18 b1 idle');
    expect(readings).toContain('long-term-trim 4 b1 cruise');
    expect(readings).toContain('engine-speed 750 idle');
    expect(readings.some((reading) => / null$/.test(reading))).toBe(false);
  });

  it('reads semicolons with decimal commas and a row of units', () => {
    const text = `Time;RPM;Coolant;LTFT;MAF\ns;rpm;\u00b0C;%;g/s\n${many(['0,5', 800, 90, '12,5', '3,25'], ';', 9)}`;
    expect(attached(text)).toEqual(expect.arrayContaining(['long-term-trim 12.5 idle', 'air-flow 3.25 idle']));
  });

  it('converts the units that the head names', () => {
    const text = `Engine RPM,Vehicle speed (mph),Coolant temp (F),MAF (lb/min)\n${many([800, 0, 194, 0.5], ',', 9)}`;
    expect(attached(text)).toEqual(expect.arrayContaining(['coolant-temperature 90 idle', 'air-flow 3.7799 idle']));
  });

  it('reads a log with one reading a row', () => {
    const lines = ['time s,quantity,value,unit'];
    for (let second = 0; second < 12; second += 1)
      lines.push(
        `${second}.1,Engine RPM,760,rpm`,
        `${second}.2,Coolant temp,90,C`,
        `${second}.3,Long term fuel trim bank 1,9.4,%`,
      );
    expect(attached(lines.join('\n'))).toEqual(expect.arrayContaining(['long-term-trim 9.4 b1 idle']));
  });

  it('counts switches only where the time is known', () => {
    const lines = (head: string, withTime: boolean) =>
      [
        head,
        ...Array.from({ length: 60 }, (_, second) =>
          row([...(withTime ? [second] : []), 780, 90, second % 2 === 0 ? 0.1 : 0.8], ','),
        ),
      ].join('\n');
    const timed = attached(lines('time s,RPM,ECT (C),O2 B1S1 (V)', true));
    expect(timed).toContain('switches 1 b1s1 idle');
    expect(attached(lines('RPM,ECT (C),O2 B1S1 (V)', false)).some((reading) => reading.startsWith('switches'))).toBe(
      false,
    );
  });

  it('takes a lambda column about 14.7 for air-fuel ratios, and zeros for no value', () => {
    const text = `RPM,ECT (C),Lambda B1S1,Lambda B2S1\n${many([800, 90, 14.7, 0], ',', 10)}`;
    const readings = attached(text);
    expect(readings).toContain('air-fuel-ratio 14.7 b1s1 idle');
    expect(readings.some((reading) => reading.startsWith('lambda'))).toBe(false);
  });

  it('reads a log pasted between sentences and leaves the sentences alone', () => {
    const text = `Here is my log, what do you think?\n\nRPM,ECT,STFT B1,LTFT B1\n${many([760, 89, 1.5, 21], ',', 10)}\n\nThanks, it idles badly.`;
    const { findings, used } = readWith([readLog], text, knowledge);
    expect(
      findings.some(
        (finding) => finding.kind === 'reading' && finding.quantity === 'long-term-trim' && finding.value === 21,
      ),
    ).toBe(true);
    expect(text.slice(used[0]![0], used[0]![1])).toMatch(/^RPM,ECT/);
  });

  it.each([
    '',
    'a,b,c',
    '1,2,3\n4,5,6',
    'x;y;z\n1;2;3\n1;2;3\n1;2;3\n1;2;3\n1;2;3',
    '"'.repeat(2000),
    ','.repeat(5000),
  ])('finds nothing in %j', (text) => {
    expect(attached(text)).toEqual([]);
  });
});
