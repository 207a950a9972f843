// How long a diagnosis takes: by number of findings, by number of faults, cold and warm, and beside a
// general library on the same small network. Prints a table; run with `npx tsx tests/bench/diagnosis.bench.ts`.
import * as bayes from 'bayesjs';
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { diagnose } from '../../src/diagnosis/diagnose.ts';
import { directLikelihood } from '../../src/diagnosis/direct-likelihood.ts';
import { assembleKnowledge, type Knowledge } from '../../src/knowledge/knowledge.ts';
import { loadKnowledgeEntries } from '../../src/knowledge/load-folder.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { code, denied, engine, inlineTwoLitre, input, knowledge, reading, symptom, vSix } from '../diagnosis/said.ts';

/** Median processor time of a run [ms], after a first run that fills the kept tables; wall time would measure the neighbours. */
function medianMs(run: () => void, times = 15): number {
  run();
  const taken = Array.from({ length: times }, () => {
    const start = process.cpuUsage();
    run();
    return process.cpuUsage(start).user / 1000;
  }).sort((a, b) => a - b);
  return taken[Math.floor(times / 2)]!;
}

const manyFindings: readonly Finding[] = [
  vSix,
  code('P0171'),
  code('P0174'),
  symptom('rough-idle'),
  reading('total-trim', 22, { when: 'idle', bank: 1 }),
  reading('total-trim', 20, { when: 'idle', bank: 2 }),
  reading('total-trim', 6, { when: '2500rpm', bank: 1 }),
  reading('total-trim', 5, { when: '2500rpm', bank: 2 }),
  symptom('hesitation'),
  symptom('stall'),
  denied('black-smoke'),
  reading('sensor-voltage', 0.65, { sensor: 2, bank: 1, when: 'idle' }),
  reading('sensor-voltage', 0.66, { sensor: 2, bank: 2, when: 'idle' }),
  symptom('poor-fuel-economy'),
  symptom('hissing'),
  code('P0300'),
  reading('total-trim', 3, { when: 'cruise', bank: 1 }),
  reading('total-trim', 4, { when: 'cruise', bank: 2 }),
  reading('coolant-temperature', 91),
  reading('gas-co', 0.1, { when: 'idle' }),
  reading('gas-hc', 40, { when: 'idle' }),
  reading('gas-co2', 15, { when: 'idle' }),
  reading('gas-o2', 0.3, { when: 'idle' }),
  reading('manifold-pressure', 38, { when: 'idle' }),
  reading('air-flow', 3.9, { when: 'idle' }),
  denied('blue-smoke'),
  denied('exhaust-noise'),
  symptom('high-idle'),
  reading('engine-speed', 950, { when: 'idle' }),
  denied('fuel-smell'),
];

// The library is CommonJS: its names are there directly under the tests' loader, below `default` under plain Node.
const { addNode, infer } = ((bayes as { default?: typeof bayes }).default ?? bayes) as typeof bayes;

const lines: string[] = [];
const say = (line: string) => lines.push(line);

say('findings  weighing ms  whole diagnosis ms');
for (const count of [1, 3, 10, 20, 30]) {
  const findings = manyFindings.slice(0, count);
  const weighing = medianMs(() => modelCase(findings, knowledge));
  const whole = medianMs(() => diagnose(input(findings), knowledge));
  say(`${String(count).padStart(8)}  ${weighing.toFixed(1).padStart(11)}  ${whole.toFixed(1).padStart(18)}`);
}

say('');
say('faults  weighing ms (30 findings)');
const { entries } = loadKnowledgeEntries();
for (const share of [0.25, 0.5, 0.75, 1]) {
  const count = Math.round(entries.faults.length * share);
  const smaller: Knowledge = assembleKnowledge(
    { ...entries, faults: entries.faults.slice(0, count) },
    `first ${count}`,
  );
  say(`${String(count).padStart(6)}  ${medianMs(() => modelCase(manyFindings, smaller)).toFixed(1)}`);
}

// Processor time of the first post of each kind of engine, in a process that has answered others: tables still to be made.
say('');
say('first post of an engine kind, 30 findings and 6: processor ms');
for (const [name, first] of [
  ['V6, air meter', vSix],
  ['V8, air meter', engine({ layout: 'v', cylinders: 8, displacement: 4.6, airMetering: 'air-meter' })],
  ['V6, manifold pressure', engine({ layout: 'v', cylinders: 6, displacement: 3, airMetering: 'manifold-pressure' })],
  ['in-line 2.0, air meter', engine({ layout: 'inline', cylinders: 4, displacement: 2, airMetering: 'air-meter' })],
  ['nothing known of it', engine({})],
] as const) {
  const [many, few] = [manyFindings.length, 6].map((count) => {
    const fresh = assembleKnowledge(entries, `fresh ${name} ${count}`);
    const start = process.cpuUsage();
    diagnose(input([first, ...manyFindings.slice(1, count)]), fresh);
    return process.cpuUsage(start).user / 1000;
  });
  say(`${name.padEnd(24)} ${many!.toFixed(0).padStart(4)}  ${few!.toFixed(0).padStart(4)}`);
}

// The same question put to a general library: two faults at all severities with their pairs, every term of a post as a mark.
const small = assembleKnowledge(
  { ...entries, faults: entries.faults.filter((fault) => ['vacuum-leak', 'fuel-delivery-weak'].includes(fault.id)) },
  'two faults',
);
const post = [
  inlineTwoLitre,
  ...manyFindings.slice(1, 12).filter((finding) => !('bank' in finding && finding.bank === 2)),
];
const { hypotheses, table, terms, single, pair } = modelCase(post, small).worlds[0]!;
const { singles } = hypotheses;
const all = singles.flatMap((one, a) => [
  { of: [a], prior: single[one.fault]! * one.share },
  ...singles.flatMap((other, b) =>
    b > a && other.fault !== one.fault ? [{ of: [a, b], prior: pair[1]! * one.share * other.share }] : [],
  ),
]);
const sum = all.reduce((total, item) => total + item.prior, 0);
const prior = Object.fromEntries(all.map((item) => [item.of.join(), item.prior / sum]));
const likelihood = all.map((item) => directLikelihood(terms, table, item.of));
let network: bayes.INetwork = addNode({}, { id: 'cause', states: Object.keys(prior), parents: [], cpt: prior });
terms.forEach((_, term) => {
  const most = Math.max(...likelihood.map((row) => row[term]!));
  const cpt = all.map((item, index) => {
    const seen = likelihood[index]![term]! / most;
    return Object.fromEntries([
      ['when', { cause: item.of.join() }],
      ['then', { seen, not: 1 - seen }],
    ]);
  });
  network = addNode(network, { id: `mark${term}`, states: ['seen', 'not'], parents: ['cause'], cpt: cpt as never });
});
const given = Object.fromEntries(terms.map((_, term) => [`mark${term}`, 'seen']));
const query = { cause: all[0]!.of.join() };
// The library remembers what it worked out for a network: each run gets a network that it has not seen.
const library = medianMs(() => infer(structuredClone(network), query, given), 5);
const own = medianMs(() => modelCase(post, small), 25);
say('');
say(`the same network, ${all.length} causes and pairs, ${terms.length} terms:`);
say(`  general library, one probability: ${library.toFixed(2)} ms`);
say(
  `  this program, all probabilities, findings compiled: ${own.toFixed(2)} ms (${(library / own).toFixed(0)} times as fast)`,
);

process.stdout.write(`${lines.join('\n')}\n`);
