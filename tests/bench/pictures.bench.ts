// How long a picture takes once warm, as SVG and as PNG, on both runtimes, beside a bare request of the same server in the same run.
// Run with `npx tsx tests/bench/pictures.bench.ts`; it starts and stops both programs itself.
import type { BaySpec } from '../../src/advice/pictures/bay-spec.ts';
import { picturePath, pngPath } from '../../src/advice/pictures/picture.ts';
import { type Program, startNodeProgram, startWorker, temporaryFolder } from '../runtime/program.ts';

const bay: BaySpec = {
  layout: 'v',
  cylinders: 6,
  mounting: 'transverse',
  bankOne: 'firewall',
  exhaust: 'unknown',
  one: 'unknown',
  numbering: 'odd',
  catalyst: 'pre',
  pipes: 'separate',
  engineAt: 'front',
  sure: 'memory',
  bank: 1,
  sensor: 2,
};
const volts = Array.from({ length: 120 }, (_, index) => 0.45 + 0.4 * Math.sin(index / 4));
const pictures: ReadonlyArray<readonly [string, string]> = [
  ['plan view', picturePath({ kind: 'bay', bay })],
  ['signal', picturePath({ kind: 'signal', bank: 1, sensor: 1, condition: 'idle', seconds: 24, volts })],
  [
    'trims',
    picturePath({
      kind: 'trims',
      bars: [
        { condition: 'idle', bank: 1, percent: 25 },
        { condition: '2500rpm', bank: 1, percent: 6 },
      ],
    }),
  ],
];

async function median(call: () => Promise<Response>, rounds: number): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    const start = performance.now();
    const response = await call();
    await response.arrayBuffer();
    if (!response.ok) throw new Error(`${response.url} answered ${response.status}`);
    times.push(performance.now() - start);
  }
  return times.sort((a, b) => a - b)[Math.floor(rounds / 2)]!;
}

async function bench(runtime: string, program: Program): Promise<void> {
  const at = (path: string) => () => fetch(`${program.address}${path}`);
  const first = performance.now();
  await (await at(pngPath(pictures[0]![1]))()).arrayBuffer();
  const cold = performance.now() - first;
  await median(at('/healthz'), 50);
  const bare = await median(at('/healthz'), 100);
  process.stdout.write(`${runtime}: first PNG ${cold.toFixed(0)} ms, bare request ${bare.toFixed(2)} ms\n`);
  for (const [name, path] of pictures) {
    await median(at(pngPath(path)), 5);
    const [svg, png] = [await median(at(path), 50), await median(at(pngPath(path)), 50)];
    process.stdout.write(
      `  ${name.padEnd(10)} SVG ${svg.toFixed(2)} ms (${(svg / bare).toFixed(1)} x bare), PNG ${png.toFixed(2)} ms (${(png / bare).toFixed(0)} x bare)\n`,
    );
  }
}

const { path, remove } = temporaryFolder();
const node = await startNodeProgram({ CROSSCOUNT_DATABASE: `${path}/bench.sqlite` });
await bench('Node', node);
await node.stop();
remove();
const worker = await startWorker();
await bench('Workers', worker);
await worker.stop();
