// Prints the table of checks: calculator, source, number of values, worst deviation. Run with `npx tsx tests/calculators/print-checks.ts`.
import { summarise } from './checks/all.ts';

const lines = summarise().map(
  ({ calculator, kind, from, values, worst, share }) =>
    `| ${calculator} | ${from} (${kind}) | ${values} | ${worst === 0 ? '0' : worst.toPrecision(2)} | ${(100 * share).toFixed(0)} % |`,
);
process.stdout.write(
  [
    '| calculator | source | values | worst difference | of what is allowed |',
    '|---|---|---|---|---|',
    ...lines,
    '',
  ].join('\n'),
);
