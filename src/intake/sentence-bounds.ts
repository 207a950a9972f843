// Where the sentence of a token begins and ends; read-symptoms.ts and read-work.ts look no further than that.
import type { ClauseMap } from './clauses.ts';

/** Look-up of [first, last) token of the sentence of a token. Linear to build, constant to ask. */
export function sentenceBounds(map: ClauseMap, tokens: number): (token: number) => readonly [number, number] {
  const first = new Uint32Array(tokens);
  const last = new Uint32Array(tokens);
  for (let begin = 0; begin < map.clauses.length; ) {
    let end = begin + 1;
    while (end < map.clauses.length && map.clauses[end]!.sentence === map.clauses[begin]!.sentence) end += 1;
    const from = map.clauses[begin]!.first;
    const to = map.clauses[end - 1]!.last;
    first.fill(from, from, to);
    last.fill(to, from, to);
    begin = end;
  }
  return (token) => [first[token] ?? 0, last[token] ?? tokens];
}
