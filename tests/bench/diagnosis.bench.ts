// How long a diagnosis takes: by number of findings, by number of faults, cold and warm, and beside a
// general library on the same small network. Prints a table; run with `npx tsx tests/bench/diagnosis.bench.ts`.
import * as bayes from 'bayesjs';
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { diagnose } from '../../src/diagnosis/diagnose.ts';
import { assembleKnowledge, type Knowledge } from '../../src/knowledge/knowledge.ts';
import { loadKnowledgeEntries } from '../../src/knowledge/load-folder.ts';
import type { Finding } from '../../src/vocabulary/findings.ts';
import { code, denied, input, knowledge, reading, symptom, vSix } from '../diagnosis/said.ts';

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

const fresh = assembleKnowledge(entries, 'fresh');
const before = performance.now();
modelCase(manyFindings, fresh);
say(`first post of an engine of two banks (tables still to be made): ${(performance.now() - before).toFixed(0)} ms`);

// The same question put to a general library: one node of all causes and pairs, one mark.
const causes = knowledge.faults.slice(0, 10).map((fault) => fault.id);
const states = [
  ...causes,
  ...causes.flatMap((one, index) => causes.slice(index + 1).map((other) => `${one} ${other}`)),
];
const even = Object.fromEntries(states.map((state) => [state, 1 / states.length]));
let network: bayes.INetwork = addNode({}, { id: 'cause', states, parents: [], cpt: even });
for (let mark = 0; mark < 5; mark += 1) {
  const rows = states.map((state, index) =>
    Object.fromEntries([
      ['when', { cause: state }],
      [
        'then',
        { said: 0.1 + (0.8 * ((index * 7 + mark) % 11)) / 10, not: 0.9 - (0.8 * ((index * 7 + mark) % 11)) / 10 },
      ],
    ]),
  );
  network = addNode(network, { id: `mark${mark}`, states: ['said', 'not'], parents: ['cause'], cpt: rows as never });
}
const given = Object.fromEntries(Array.from({ length: 5 }, (_, mark) => [`mark${mark}`, 'said']));
const started = performance.now();
infer(network, { cause: states[0]! }, given);
say('');
say(
  `general library, one probability of ${states.length} causes and pairs without severities, 5 marks: ${(performance.now() - started).toFixed(0)} ms`,
);
const tenMarks = manyFindings.filter((finding) => finding.kind === 'symptom').slice(0, 10);
say(
  `this program, all 51 faults and their pairs with severities and banks, 10 symptoms: ${medianMs(() => modelCase([vSix, ...tenMarks], knowledge)).toFixed(1)} ms`,
);

process.stdout.write(`${lines.join('\n')}\n`);
