// The trouble codes of knowledge/codes against an open list, the standard's numbering, and the byte form.
import { describe, expect, it } from 'vitest';
import { bytesFromCode, codeFromBytes } from '../../src/calculators/on-board/trouble-code-bytes.ts';
import { readKind } from '../knowledge/read-kind.ts';
import { readText } from './read-data.ts';

const codes = readKind('codes').map((item) => item.entry);
const byId = new Map(codes.map((code) => [code.id, code]));

/** code -> text of an open list; texts hold commas, so only the first one parts. */
const open = new Map(
  readText('trouble-codes/codes.csv')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => {
      const comma = line.indexOf(',');
      return [line.slice(0, comma), line.slice(comma + 1)] as const;
    }),
);
const shared = codes.filter((code) => open.has(code.id));

/** Codes whose bank the open list prints and the standard does not: it names none for intake air temperature. */
const bankDiffers = new Set(['P0110', 'P0111', 'P0112', 'P0113', 'P0114']);

describe('the standard codes', () => {
  it('are many, each once, and all but a few stand in the open list', () => {
    expect(codes.length).toBeGreaterThan(350);
    expect(byId.size).toBe(codes.length);
    expect(shared.length).toBeGreaterThan(340);
  });

  it.each(shared.map((code) => [code.id, code] as const))(
    '%s names the bank and sensor of the open list',
    (id, code) => {
      const text = open.get(id)!;
      const bank = /Bank (\d)(?!\d)/.exec(text)?.[1];
      const sensor = /Sensor (\d)(?!\d)/.exec(text)?.[1];
      if (!bankDiffers.has(id) && bank !== undefined) expect(code.bank).toBe(Number(bank));
      if (/O2 Sensor/.test(text) && sensor !== undefined) expect(code.sensor).toBe(Number(sensor));
      const cylinder = /^P0[23]/.test(id) ? /Cylinder (\d{1,2})/.exec(text)?.[1] : undefined;
      if (cylinder !== undefined) expect(code.cylinder).toBe(Number(cylinder));
    },
  );

  it.each([
    ['lean', 'rich'],
    ['rich', 'lean'],
    ['heater', null],
    ['misfire', null],
  ] as const)('say %s where the open list does', (word, opposite) => {
    const says = (text: string, wanted: string | null) => wanted !== null && text.toLowerCase().includes(wanted);
    const told = shared.filter((code) => says(open.get(code.id)!, word) && !says(open.get(code.id)!, opposite));
    expect(told.length).toBeGreaterThan(8);
    expect(told.filter((code) => !says(code.meaning, word)).map((code) => code.id)).toEqual([]);
  });

  it('do not follow the shifted list that is often copied', () => {
    expect(byId.get('P0131')?.meaning).toMatch(/too low/);
    expect(byId.get('P0172')?.meaning).toMatch(/rich/);
    expect(byId.get('P0302')?.cylinder).toBe(2);
    expect(byId.get('P0420')?.group).toBe('catalyst');
    expect(byId.get('P0133')?.meaning).toMatch(/slow/);
  });

  it('number sensors and banks alike within a family (SAE J2012)', () => {
    for (const code of codes.filter((item) => item.group === 'upstream-sensor'))
      expect([code.id, code.sensor]).toEqual([code.id, 1]);
    for (const code of codes.filter((item) => item.group === 'downstream-sensor'))
      expect([code.id, (code.sensor ?? 0) >= 2]).toEqual([code.id, true]);
    // The P01xx family of bank 2 lies 20 above that of bank 1.
    for (let number = 130; number <= 147; number += 1) {
      const one = byId.get(`P0${number}`)!;
      const two = byId.get(`P0${number + 20}`)!;
      expect([one.bank, two.bank]).toEqual([1, 2]);
      expect([two.id, two.sensor, two.group]).toEqual([two.id, one.sensor, one.group]);
    }
  });

  it('count injector codes in threes up to cylinder 12 (SAE J2012)', () => {
    for (let cylinder = 1; cylinder <= 12; cylinder += 1)
      for (const offset of [0, 1, 2])
        expect(byId.get(`P0${261 + 3 * (cylinder - 1) + offset}`)?.cylinder).toBe(cylinder);
  });

  it('hold no code that belongs to a maker', () => {
    expect(codes.filter((code) => /^P1|^P3[0-3]/.test(code.id))).toEqual([]);
  });

  it('name no part to buy in what was measured', () => {
    expect(codes.filter((code) => /replace|buy|fit a new/i.test(`${code.meaning} ${code.measures}`))).toEqual([]);
  });

  it('stand for two bytes each', () => {
    for (const { id } of codes) {
      const bytes = bytesFromCode(id);
      expect(bytes.valid && codeFromBytes(...bytes.value)).toBe(id);
    }
  });
});
