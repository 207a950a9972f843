// Calibration over cars drawn from the model itself: reliability table, Brier score, log loss and expected calibration error of the
// ranking, and how often a post of the model's own making is called surprising. `npx tsx tests/accuracy/calibration.ts [cars] [seed]`.
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { judgeFit } from '../../src/diagnosis/judge-fit.ts';
import { listCauses } from '../../src/diagnosis/list-causes.ts';
import { inlineTwoLitre, knowledge, vSix } from '../diagnosis/said.ts';
import {
  brierScore,
  expectedCalibrationError,
  firstPlaces,
  hitRate,
  type Judged,
  logLoss,
  reliability,
} from './ranking.ts';
import { carOf, codesShown, drawFault, firstPost, generator, someReadings } from './simulate.ts';

const cars = Number(process.argv[2] ?? 300);
const next = generator(Number(process.argv[3] ?? 4242));
const mostReadings = 11;

const judged: Array<Judged & { readonly findings: number; readonly surprise: number; readonly handOver: boolean }> = [];
for (let index = 0; index < cars; index += 1) {
  const engine = index % 2 ? vSix : inlineTwoLitre;
  const empty = modelCase([engine], knowledge);
  const car = carOf(empty, drawFault(empty, next), next);
  const said = [
    ...firstPost(car, knowledge, codesShown(car, empty, knowledge), next),
    ...someReadings(car, mostReadings, next),
  ];
  const model = modelCase([engine, ...said], knowledge);
  const { surprise, handOver } = judgeFit(model, []);
  judged.push({
    id: `car ${index}`,
    truth: car.fault,
    acceptable: [],
    probability: new Map(listCauses(model).map((cause) => [cause.fault, cause.probability])),
    findings: said.length,
    surprise,
    handOver: handOver.wanted,
  });
}

const out = (line: string) => process.stdout.write(`${line}\n`);
for (const [name, cases] of [
  ['all posts', judged],
  ['with up to 5 findings', judged.filter((item) => item.findings <= 5)],
  ['with more', judged.filter((item) => item.findings > 5)],
] as const) {
  const bins = reliability(firstPlaces(cases), [0, 0.2, 0.4, 0.6, 0.8, 1]);
  out(
    `${name}, ${cases.length}: first ${hitRate(cases, 1).toFixed(2)}, in three ${hitRate(cases, 3).toFixed(2)}, log loss ${logLoss(cases).toFixed(2)} nats, Brier ${brierScore(cases).toFixed(2)}, calibration error ${expectedCalibrationError(bins).toFixed(3)}`,
  );
  for (const bin of bins)
    out(
      `   ${bin.from.toFixed(1)}..${bin.to.toFixed(1)}  n ${String(bin.count).padStart(3)}  said ${bin.confidence.toFixed(2)}  right ${bin.accuracy.toFixed(2)}`,
    );
}
out('surprise by length of the post: median, nine in ten below, handed over');
for (const [from, to] of [
  [0, 3],
  [3, 6],
  [6, 10],
  [10, 16],
  [16, 99],
  [0, 99],
] as const) {
  const group = judged.filter((item) => item.findings >= from && item.findings < to);
  const sorted = group.map((item) => item.surprise).sort((a, b) => a - b);
  const at = (share: number) => (sorted[Math.floor(share * sorted.length)] ?? 0).toFixed(2);
  const handed = group.filter((item) => item.handOver).length / Math.max(1, group.length);
  out(
    `   ${from} to ${to - 1} findings  n ${String(group.length).padStart(3)}  ${at(0.5)}  ${at(0.9)}  ${(100 * handed).toFixed(1)} %`,
  );
}
