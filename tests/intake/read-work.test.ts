// Work done and what came of it. Invented posts; expectations are common practice: what a mechanic would put on the job card.
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();

function workOf(text: string): string[] {
  return readPost(text, emptyCase, knowledge).findings.flatMap((finding) =>
    finding.kind === 'work-done'
      ? [`${finding.action} ${finding.part}${finding.result ? ` (${finding.result})` : ''}`]
      : [],
  );
}

const rows: ReadonlyArray<readonly [string, readonly string[]]> = [
  ['I replaced the spark plugs.', ['replaced spark-plugs']],
  [
    'Replaced plugs, coils and the PCV valve',
    ['replaced spark-plugs', 'replaced ignition-coils', 'replaced pcv-valve'],
  ],
  ['Spark plugs and air filter were changed last month', ['replaced spark-plugs', 'replaced air-filter']],
  ['fitted a new cat two weeks ago', ['replaced catalyst']],
  ['It has new plugs and a new fuel filter', ['replaced spark-plugs', 'replaced fuel-filter']],
  ['put in a new thermostat', ['replaced thermostat']],
  ['Did the plugs, wires, cap and rotor', ['replaced spark-plugs', 'replaced ignition-leads', 'replaced distributor']],
  ['I cleaned the MAF, no change.', ['cleaned air-meter (no-change)']],
  ['cleaned the throttle body and it fixed it for a week', ['cleaned throttle-body (helped)']],
  ['Fuel pump tested fine', ['tested fuel-pump (found-good)']],
  ['Checked the coolant temp sensor, it was bad', ['tested coolant-sensor (found-bad)']],
  ['cleared the codes twice', ['reset learned-values']],
  ['I disconnected the battery overnight', ['disconnected battery']],
  ['unplugged the MAF', ['disconnected air-meter']],
  ['swapped coil 1 with coil 3', ['swapped ignition-coils']],
  ['The exhaust was welded', ['repaired exhaust-pipe']],
  ['took the cat out years ago', ['disconnected catalyst']],
  ['After I replaced the fuel pump it started stalling.', ['replaced fuel-pump (started-trouble)']],
  ['The garage replaced the upstream sensor', ['replaced upstream-sensor']],
  ['It was the oxygen sensor they said, so I changed it', ['replaced oxygen-sensor']],
  ['The MAF was filthy. I cleaned it yesterday', ['cleaned air-meter']],
  ['rear O2 sensor replaced in March', ['replaced downstream-sensor']],
  [
    'replaced:\n- plugs\n- coils\n- PCV valve',
    ['replaced spark-plugs', 'replaced ignition-coils', 'replaced pcv-valve'],
  ],
];

const nothing: readonly string[] = [
  'Should I replace the sensor?',
  'I will change the plugs tomorrow',
  'I am about to fit a new cat',
  'Do I need a new MAF?',
  'It needs a new cat',
  'I plan to clean the MAF this weekend',
  "Haven't replaced the plugs yet",
  'Have you replaced the sensor?',
  'my mechanic recommends replacing the cat',
  'thinking of replacing the coils',
  'The price of a new sensor is silly',
  'I have ordered a new MAF',
  'would cleaning the MAF help?',
  'The plugs have never been replaced',
  'It has had a check engine light for a year',
  'Replacing the rear sensor looks easy',
];

describe('work done', () => {
  it.each(rows)('reads %j', (text, expected) => expect(workOf(text)).toEqual(expected));
  it.each(nothing)('reads no work into %j', (text) => expect(workOf(text)).toEqual([]));

  it('keeps the bank and sensor that the part is named with', () => {
    const found = readPost('replaced the O2 sensor bank 1 sensor 2', emptyCase, knowledge).findings;
    expect(found.find((finding) => finding.kind === 'work-done')).toMatchObject({
      part: 'downstream-sensor',
      bank: 1,
      sensor: 2,
    });
  });
});
