// Every calculator against values from outside the project; the rows and their sources are in checks/.
import { describe, expect, it } from 'vitest';
import { calculators } from '../../src/calculators/index.ts';
import { checks, summarise } from './checks/all.ts';

describe.each([...new Set(checks.map((check) => check.calculator))])('%s', (calculator) => {
  it.each(
    checks.filter((check) => check.calculator === calculator).map((check) => [check.what, check.from, check] as const),
  )('agrees for %s (%s)', (_what, _from, check) => {
    const got = check.got();
    expect(Number.isFinite(got)).toBe(true);
    expect(Math.abs(got - check.expected)).toBeLessThanOrEqual(check.tolerance);
  });
});

describe('the list of calculators', () => {
  /** Calculators whose checks stand under the name of the file they share. */
  const sharedName: Readonly<Record<string, string>> = {
    'encode-parameter': 'decode-parameter',
    'gas-pattern': 'gas-dilution',
  };

  it('has three outside values or more for each entry', () => {
    const counts = new Map<string, number>();
    for (const line of summarise()) counts.set(line.calculator, (counts.get(line.calculator) ?? 0) + line.values);
    const thin = calculators.filter(({ id }) => (counts.get(sharedName[id] ?? id) ?? 0) < 3).map(({ id }) => id);
    expect(thin).toEqual([]);
  });

  it('names each entry once and gives an example that works', () => {
    expect(new Set(calculators.map(({ id }) => id)).size).toBe(calculators.length);
    expect(calculators.filter(({ example }) => !example().valid).map(({ id }) => id)).toEqual([]);
  });
});
