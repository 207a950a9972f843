// Simulated conversations: how many questions until the true fault is first and above 80 %, asking by gain over effort, in a fixed
// order and at random among the same questions that an owner may safely answer; and what the program's own rule for stopping gives
// away. `npx tsx tests/accuracy/conversations.ts [cars] [seed]`.
import { type CaseModel, modelCase } from '../../src/diagnosis/case-model.ts';
import { chooseQuestions, rankQuestions } from '../../src/diagnosis/choose-questions.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { inlineTwoLitre, knowledge } from '../diagnosis/said.ts';
import { type Car, carOf, codesShown, drawFault, firstPost, generator, reply } from './simulate.ts';

const cars = Number(process.argv[2] ?? 60);
const next = generator(Number(process.argv[3] ?? 20251125));
const mostQuestions = 12;
const sure = 0.8;
const empty = modelCase([inlineTwoLitre], knowledge);

const policies = ['by gain', 'fixed order', 'at random'] as const;
type Policy = (typeof policies)[number];

interface Ended {
  /** Questions asked until the true fault was first and sure; null when it never was. */
  readonly needed: number | null;
  readonly model: CaseModel;
}

/** Asks until the true fault is first and sure, or no question is left, or enough were asked. */
function converse(car: Car, opening: readonly Finding[], policy: Policy, seed: number): Ended {
  const draw = generator(seed);
  const asked: Array<{ question: string; post: number }> = [];
  let findings = [...opening];
  for (let turn = 0; ; turn += 1) {
    const model = modelCase(findings, knowledge);
    if (isFound(model, car)) return { needed: turn, model };
    const open = rankQuestions(model, asked, 0).map(({ question }) => question);
    const inOrder = policy === 'by gain' ? open : [...open].sort((a, b) => (a.id < b.id ? -1 : 1));
    const question = inOrder[policy === 'at random' ? Math.floor(draw() * inOrder.length) : 0];
    if (turn === mostQuestions || question === undefined) return { needed: null, model };
    asked.push({ question: question.id, post: turn });
    findings = [...findings, ...reply(car, question, knowledge, draw)];
  }
}

/** Asks what the program would ask, as long as it would. */
function untilItStops(car: Car, opening: readonly Finding[], seed: number): { asked: number; model: CaseModel } {
  const draw = generator(seed);
  const asked: Array<{ question: string; post: number }> = [];
  let findings = [...opening];
  for (;;) {
    const model = modelCase(findings, knowledge);
    const [first] = chooseQuestions(model, asked);
    if (!first || asked.length === mostQuestions) return { asked: asked.length, model };
    asked.push({ question: first.id, post: asked.length });
    findings = [...findings, ...reply(car, knowledge.questions.byId.get(first.id)!, knowledge, draw)];
  }
}

function ranking(model: CaseModel): number[] {
  const { probability } = model.attributed;
  return [...probability.keys()].sort((a, b) => probability[b]! - probability[a]!);
}

function isFound(model: CaseModel, car: Car): boolean {
  const first = ranking(model)[0]!;
  return model.faults[first]!.id === car.fault && model.attributed.probability[first]! > sure;
}

const counts = new Map<Policy, Array<number | null>>(policies.map((policy) => [policy, []]));
const missed: string[] = [];
const stopped: Array<{ asked: number; place: number; probability: number }> = [];
for (let index = 0; index < cars; index += 1) {
  const car = carOf(empty, drawFault(empty, next), next);
  const opening = [inlineTwoLitre, ...firstPost(car, knowledge, codesShown(car, empty, knowledge), next)];
  const seed = Math.floor(next() * 1e9);
  for (const policy of policies) {
    const { needed, model } = converse(car, opening, policy, seed);
    counts.get(policy)!.push(needed);
    if (policy === 'by gain' && needed === null) {
      const first = ranking(model)[0]!;
      const severity = car.world.hypotheses.singles[car.single]!.severity;
      const share = (fault: number) => `${(100 * model.attributed.probability[fault]!).toFixed(0)} %`;
      const truth = model.faults.findIndex((fault) => fault.id === car.fault);
      missed.push(`  ${car.fault} (${severity}) ${share(truth)}, first ${model.faults[first]!.id} ${share(first)}`);
    }
  }
  const { asked, model } = untilItStops(car, opening, seed);
  const place = ranking(model).findIndex((fault) => model.faults[fault]!.id === car.fault);
  stopped.push({ asked, place, probability: Math.max(...model.attributed.probability) });
}

const out = (line: string) => process.stdout.write(`${line}\n`);
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
out(
  `${cars} cars drawn from the prior; asked until the true fault is first and above 80 %, at most ${mostQuestions} questions`,
);
for (const policy of policies) {
  const all = counts.get(policy)!;
  const found = all.filter((count) => count !== null);
  out(
    `${policy.padEnd(12)} found ${found.length} of ${all.length}; mean questions (not found = ${mostQuestions + 1}) ${mean(all.map((count) => count ?? mostQuestions + 1)).toFixed(2)}`,
  );
}
const share = (deep: number) => stopped.filter((item) => item.place < deep).length / stopped.length;
out(
  `as the program stops by itself: ${mean(stopped.map((item) => item.asked)).toFixed(2)} questions, true fault first in ${share(1).toFixed(2)}, in three ${share(3).toFixed(2)}, mean first place ${mean(stopped.map((item) => item.probability)).toFixed(2)}`,
);
out('not found by gain, the true fault and what stood first:');
for (const line of missed) out(line);
