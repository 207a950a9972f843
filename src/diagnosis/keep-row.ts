// Rows over all singles that are the same for every post, kept beside the hypotheses that they belong to. The terms of codes and
// symptoms ask for theirs here.
import type { Hypotheses } from './hypotheses.ts';

export type Rows = WeakMap<Hypotheses, Map<string, Float64Array>>;

/** The row of a key, made once; beyond a bound it is made each time. */
export function keepRow(rows: Rows, hypotheses: Hypotheses, key: string, work: () => Float64Array): Float64Array {
  const known = rows.get(hypotheses) ?? new Map<string, Float64Array>();
  rows.set(hypotheses, known);
  let row = known.get(key);
  if (!row) {
    row = work();
    // Codes come from outside: whatever is written must not fill the memory.
    if (known.size < mostRows) known.set(key, row);
  }
  return row;
}
const mostRows = 400;
