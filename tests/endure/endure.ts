// `npm run endure`: the endurance runs in full length, each by its flag; without a flag all but the soak. One line a run with what
// was measured, and exit code 1 when something was lost or said twice.
import { parseArgs } from 'node:util';
import {
  duplicates,
  killAfterAcknowledgement,
  killAfterReplyWasTaken,
  load,
  outage,
  reorder,
  restartStorm,
} from './scenarios.ts';

const usage = `npm run endure                        everything below in full length but the soak; about an hour
npm run endure -- --kill 300          kills after acknowledgements
npm run endure -- --kill-reply 50     kills after the receiver took a reply
npm run endure -- --duplicates 1000   events, each four times
npm run endure -- --reorder 50        conversations of twenty posts, shuffled
npm run endure -- --outage 500        posts during ten minutes of a failing receiver
npm run endure -- --restarts 20       stops and starts under load
npm run endure -- --load 600          seconds at 50 events a second
npm run endure -- --burst 2000        events within a second
npm run endure -- --soak 24           hours of all of it in turn, small
`;

const options = {
  kill: { type: 'string' },
  'kill-reply': { type: 'string' },
  duplicates: { type: 'string' },
  reorder: { type: 'string' },
  outage: { type: 'string' },
  restarts: { type: 'string' },
  load: { type: 'string' },
  burst: { type: 'string' },
  soak: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

type Outcome = { readonly lost: readonly string[]; readonly twice: readonly string[] };

const runs: Readonly<Record<string, { readonly full: number; readonly run: (size: number) => Promise<Outcome> }>> = {
  kill: { full: 300, run: (size) => killAfterAcknowledgement(size) },
  'kill-reply': { full: 50, run: killAfterReplyWasTaken },
  duplicates: { full: 1000, run: (size) => duplicates(size, 4) },
  reorder: { full: 50, run: (size) => reorder(size, 20) },
  outage: { full: 500, run: (size) => outage(size, 600) },
  restarts: { full: 20, run: restartStorm },
  load: { full: 600, run: (size) => load(50, size) },
  burst: { full: 2000, run: (size) => load(size, 1) },
};

/** @returns whether nothing was lost and nothing said twice */
async function report(name: string, size: number): Promise<boolean> {
  const started = Date.now();
  const outcome = await runs[name]!.run(size);
  const { lost, twice, ...measured } = outcome;
  const seconds = Math.round((Date.now() - started) / 1000);
  const figures = Object.entries(measured).map(([key, value]) => `${key} ${JSON.stringify(rounded(value))}`);
  process.stdout.write(
    `${name} ${size}: lost ${lost.length}, twice ${twice.length}, ${figures.join(', ')} (${seconds} s)\n`,
  );
  const different = 'different' in outcome && Array.isArray(outcome.different) ? outcome.different.length : 0;
  return lost.length + twice.length + different === 0;
}

const rounded = (value: unknown) => (typeof value === 'number' ? Math.round(value * 100) / 100 : value);

async function soak(hours: number): Promise<boolean> {
  const until = Date.now() + hours * 3_600_000;
  let fine = true;
  for (let round = 0; Date.now() < until; round += 1) {
    const small = { kill: 5, 'kill-reply': 2, duplicates: 50, reorder: 5, restarts: 2, load: 60 };
    const [name, size] = Object.entries(small)[round % Object.keys(small).length]!;
    fine = (await report(name, size)) && fine;
  }
  return fine;
}

const { values } = parseArgs({ options });
if (values.help) process.stdout.write(usage);
else {
  const asked = Object.keys(runs).filter((name) => values[name as keyof typeof values] !== undefined);
  const chosen = asked.length > 0 || values.soak !== undefined ? asked : Object.keys(runs);
  let fine = true;
  for (const name of chosen) {
    const size = Number(values[name as keyof typeof values] ?? runs[name]!.full);
    if (!Number.isInteger(size) || size < 1) throw new Error(`--${name} takes a whole number of at least 1`);
    fine = (await report(name, size)) && fine;
  }
  if (values.soak !== undefined) fine = (await soak(Number(values.soak))) && fine;
  process.exitCode = fine ? 0 : 1;
}
