// Simulated conversations: how many questions until the true fault is first and above 80 %, asking by gain over effort, in a fixed
// order and at random; and how well calibrated the ranking is on cars drawn from the model. `npx tsx tests/accuracy/conversations.ts [cars]`.
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { chooseQuestions } from '../../src/diagnosis/choose-questions.ts';
import { compileFindings } from '../../src/diagnosis/compile-findings.ts';
import { directLikelihood } from '../../src/diagnosis/direct-likelihood.ts';
import { listCauses } from '../../src/diagnosis/list-causes.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { code, inlineTwoLitre, knowledge } from '../diagnosis/said.ts';
import {
  brierScore,
  expectedCalibrationError,
  firstPlaces,
  hitRate,
  type Judged,
  logLoss,
  reliability,
} from './ranking.ts';
import { type Car, carOf, firstPost, generator, reply } from './simulate.ts';

const cars = Number(process.argv[2] ?? 60);
const mostQuestions = 12;
const next = generator(20251125);
const empty = modelCase([inlineTwoLitre], knowledge);

/** Probability that a car stores a code: one minus the absence that the model gives it. */
function codeShown(car: Car): (id: string) => number {
  const { world } = car;
  const known = new Map<string, number>();
  return (id) => {
    const kept = known.get(id);
    if (kept !== undefined) return kept;
    const [term] = compileFindings([code(id)], world.hypotheses, world.table, empty.engine, knowledge);
    const shown = term?.kind === 'yes-no' ? directLikelihood([term], world.table, [car.single])[0]! : 0;
    known.set(id, shown);
    return shown;
  };
}

/** A fault by its prior, singles alone. */
function drawFault(): number {
  let left = next();
  const total = empty.prior.reduce((sum, value) => sum + value, 0);
  for (let fault = 0; fault < empty.prior.length; fault += 1) {
    left -= empty.prior[fault]! / total;
    if (left <= 0) return fault;
  }
  return 0;
}

const policies = ['by gain', 'fixed order', 'at random'] as const;
const counts: Record<string, number[]> = Object.fromEntries(policies.map((policy) => [policy, []]));
const judged: Judged[] = [];
const later: Judged[] = [];
for (let index = 0; index < cars; index += 1) {
  const car = carOf(empty, drawFault(), next);
  const opening = [inlineTwoLitre, ...firstPost(car, knowledge, codeShown(car), next)];
  judged.push(judge(opening, car.fault, `car ${index}`));
  const seed = Math.floor(next() * 1e9);
  for (const policy of policies) {
    const draw = generator(seed);
    let findings: Finding[] = opening;
    const asked: Array<{ question: string; post: number }> = [];
    let needed = mostQuestions + 1;
    for (let turn = 0; turn <= mostQuestions; turn += 1) {
      const model = modelCase(findings, knowledge);
      const first = model.attributed.probability.indexOf(Math.max(...model.attributed.probability));
      if (model.faults[first]!.id === car.fault && model.attributed.probability[first]! > 0.8) {
        needed = turn;
        break;
      }
      const open = chooseQuestions(model, asked).map((question) => question.id);
      const all = knowledge.questions
        .map((question) => question.id)
        .filter((id) => !asked.some((item) => item.question === id));
      const id =
        policy === 'by gain' ? open[0] : policy === 'fixed order' ? all[0] : all[Math.floor(draw() * all.length)];
      if (id === undefined) break;
      asked.push({ question: id, post: turn });
      findings = [...findings, ...reply(car, knowledge.questions.byId.get(id)!, knowledge, draw)];
      if (policy === 'by gain' && turn === 2) later.push(judge(findings, car.fault, `car ${index} later`));
    }
    counts[policy]!.push(needed);
  }
}

function judge(findings: readonly Finding[], truth: string, id: string): Judged {
  const causes = listCauses(modelCase(findings, knowledge));
  return { id, truth, acceptable: [], probability: new Map(causes.map((cause) => [cause.fault, cause.probability])) };
}

const out = (line: string) => process.stdout.write(`${line}\n`);
out(`${cars} cars drawn from the prior, opening post then up to ${mostQuestions} questions`);
for (const policy of policies) {
  const all = counts[policy]!;
  const found = all.filter((count) => count <= mostQuestions);
  const mean = all.reduce((sum, count) => sum + Math.min(count, mostQuestions + 1), 0) / all.length;
  out(
    `${policy.padEnd(12)} found ${found.length} of ${all.length}; mean questions (not found = ${mostQuestions + 1}) ${mean.toFixed(2)}`,
  );
}
for (const [name, cases] of [
  ['opening post', judged],
  ['after three questions', later],
] as const) {
  const bins = reliability(firstPlaces(cases), [0, 0.2, 0.4, 0.6, 0.8, 1]);
  out(
    `${name}: first ${hitRate(cases, 1).toFixed(2)}, in three ${hitRate(cases, 3).toFixed(2)}, log loss ${logLoss(cases).toFixed(2)} nats, Brier ${brierScore(cases).toFixed(2)}, calibration error ${expectedCalibrationError(bins).toFixed(3)}`,
  );
  for (const bin of bins)
    out(
      `   ${bin.from.toFixed(1)}..${bin.to.toFixed(1)}  n ${String(bin.count).padStart(3)}  said ${bin.confidence.toFixed(2)}  right ${bin.accuracy.toFixed(2)}`,
    );
}
