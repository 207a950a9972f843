// The in-service programmes of knowledge/limits as a whole, and verdicts with readings missing, unstated or impossible.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inServiceVerdict } from '../../src/calculators/in-service-verdict.ts';
import { quantities } from '../../src/vocabulary/quantities.ts';
import { readKind } from '../knowledge/read-kind.ts';

const programmes = readKind('limits').map((item) => item.entry);
const find = (id: string) => {
  const found = programmes.find((programme) => programme.id === id);
  if (!found) throw new Error(`no programme ${id}`);
  return found;
};

describe('the programmes', () => {
  it('cover the United Kingdom, the European Union and three more places', () => {
    const places = new Set(programmes.map((programme) => programme.place));
    expect([...places]).toEqual(expect.arrayContaining(['United Kingdom', 'European Union']));
    expect(places.size).toBeGreaterThanOrEqual(5);
  });

  it('hold limits that readings can have, none with low above high', () => {
    for (const { id, rows } of programmes) {
      for (const { quantity, low, high } of rows) {
        const [least, most] = quantities[quantity].possible;
        for (const bound of [low, high])
          if (bound !== null) expect([id, bound >= least && bound <= most]).toEqual([id, true]);
        if (low !== null && high !== null) expect(low).toBeLessThan(high);
      }
    }
  });

  /** Both sides of every limit, by the least step that analysers show: CO 0.01 %, HC 1 ppm, lambda 0.001 (Swiss ordinance SR 941.242). */
  const step = { 'gas-co': 0.01, 'gas-hc': 1, lambda: 0.001 } as Readonly<Record<string, number>>;
  const edges = programmes.flatMap(({ id, rows }) =>
    rows.flatMap((row) =>
      [
        [row.high, 1],
        [row.low, -1],
      ].flatMap(([bound, way]) =>
        bound === null || bound === undefined
          ? []
          : [
              [`${id} ${row.quantity} ${row.when}`, rows, row, bound, 'in'] as const,
              [`${id} ${row.quantity} ${row.when}`, rows, row, bound + way! * step[row.quantity]!, 'out'] as const,
            ],
      ),
    ),
  );
  it.each(edges)('%s holds at its limit and fails one step beyond', (_name, rows, row, value, side) => {
    const result = inServiceVerdict([{ quantity: row.quantity, when: row.when, value }], rows);
    if (!result.valid) throw new Error(result.because);
    const own = result.rows.find((item) => item.row === row)!;
    expect(own.verdict).toBe(side === 'in' ? 'pass' : 'fail');
  });

  it('are stricter for later cars of the same place', () => {
    for (const [earlier, later] of [
      ['uk-catalyst-1992', 'uk-catalyst-2002'],
      ['uk-1975', 'uk-1986'],
      ['eu-catalyst', 'eu-catalyst-2002'],
      ['eu-without-catalyst', 'eu-without-catalyst-1986'],
      ['india-before-bharat-2', 'india-bharat-2'],
      ['ireland-catalyst', 'ireland-catalyst-2002'],
    ] as const) {
      const high = (id: string) => find(id).rows.find((row) => row.quantity === 'gas-co' && row.when === 'idle')!.high!;
      expect(high(later)).toBeLessThan(high(earlier));
    }
  });

  it('name days that do not overlap within the United Kingdom', () => {
    const spans = programmes
      .filter((programme) => programme.place === 'United Kingdom')
      .map(({ firstUsed }) => [firstUsed.from ?? '0000', firstUsed.until ?? '9999'] as const)
      .sort();
    for (let index = 1; index < spans.length; index += 1) expect(spans[index]![0] > spans[index - 1]![1]).toBe(true);
  });
});

describe('a verdict', () => {
  const uk = find('uk-catalyst-2002').rows;

  it('says what is missing', () => {
    const result = inServiceVerdict([{ quantity: 'gas-co', when: 'idle', value: 0.1 }], uk);
    expect(result.valid && result.verdict).toBe('incomplete');
    expect(result.valid && result.rows.filter((row) => row.verdict === 'missing')).toHaveLength(3);
  });

  it('uses a reading without condition only where every row agrees', () => {
    const verdicts = (value: number) => {
      const result = inServiceVerdict([{ quantity: 'gas-co', when: null, value }], uk);
      return result.valid ? result.verdict : result.because;
    };
    expect(verdicts(0.1)).toBe('incomplete');
    expect(verdicts(2)).toBe('fail');
    // Passes at idle and fails at fast idle: cannot be told.
    expect(verdicts(0.25)).toContain('None of the readings');
  });

  it('only gets worse as CO rises', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 5, noNaN: true }),
        fc.double({ min: 0.001, max: 5, noNaN: true }),
        (value, more) => {
          const at = (co: number) => inServiceVerdict([{ quantity: 'gas-co', when: 'idle', value: co }], uk);
          const first = at(value);
          const second = at(value + more);
          expect(first.valid && second.valid && second.value < first.value).toBe(true);
        },
      ),
    );
  });

  it.each([
    ['a negative reading', [{ quantity: 'gas-co', when: 'idle', value: -1 }]],
    ['no number', [{ quantity: 'gas-co', when: 'idle', value: Number.NaN }]],
    ['nothing', []],
    ['a reading of something else', [{ quantity: 'gas-o2', when: 'idle', value: 1 }]],
  ] as const)('is refused for %s', (_name, readings) => {
    expect(inServiceVerdict(readings, uk).valid).toBe(false);
  });
});
