// How long each calculator takes, and how many samples a second the signal calculators look at. Run with
// `npx tsx tests/bench/calculators.bench.ts`, or with everything else by `npm run bench`.
import { pathToFileURL } from 'node:url';
import { Bench } from 'tinybench';
import { calculators } from '../../src/calculators/index.ts';
import { sensorSignal } from '../../src/calculators/sensor-signal.ts';
import { storageIndex } from '../../src/calculators/storage-index.ts';

/** Prints one line for each calculator [ns a call, median], then samples a second and memory of a long log. */
export async function benchCalculators(print: (line: string) => void): Promise<void> {
  const bench = new Bench({ time: 40, warmupTime: 20 });
  for (const { id, example } of calculators) bench.add(id, () => void example());
  await bench.run();
  print('calculator                     ns a call');
  for (const task of bench.tasks) {
    const latency = task.result && 'latency' in task.result ? task.result.latency.p50 : Number.NaN;
    print(`${task.name.padEnd(30)} ${Math.round(1e6 * latency).toLocaleString('en')}`);
  }

  const length = 2_000_000;
  const times = Float64Array.from({ length }, (_, index) => index / 50);
  const front = times.map((time) => 0.45 + 0.4 * Math.sin(5 * time));
  const rear = times.map((time) => 0.65 + 0.1 * Math.sin(5 * time - 1));
  const perSecond = (call: () => unknown) => {
    call();
    const start = performance.now();
    call();
    return Math.round((1000 * length) / (performance.now() - start)).toLocaleString('en');
  };
  print(`sensor signal, samples a second ${perSecond(() => sensorSignal(front, times))}`);
  print(`storage index, samples a second ${perSecond(() => storageIndex(front, rear))}`);
  const before = process.memoryUsage().heapUsed;
  sensorSignal(front, times);
  print(
    `sensor signal, heap for ${length.toLocaleString('en')} samples: ${Math.round((process.memoryUsage().heapUsed - before) / 1024)} KiB`,
  );
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href)
  await benchCalculators((line) => process.stdout.write(`${line}\n`));
