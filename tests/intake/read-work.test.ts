// Work done and what came of it. Invented posts; expectations are common practice: what a mechanic would put on the job card.
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { readWork } from '../../src/intake/read-work.ts';
import { foldText } from '../../src/intake/readable-text.ts';
import { splitClauses } from '../../src/intake/split-clauses.ts';
import { splitTokens } from '../../src/intake/tokens.ts';
import { wordsOf } from '../../src/intake/words.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();

/** What the reader of work alone finds. */
function workOf(text: string): string[] {
  const readable = foldText(text);
  const tokens = splitTokens(readable.folded);
  const clauses = splitClauses(readable, tokens, wordsOf(tokens, readable.cased));
  const input = { text: readable, tokens, clauses, post: 0, nextId: () => 'f1', previous: emptyCase, taken: [] };
  return readWork(input, knowledge).findings.flatMap((finding) =>
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
  ['The MAF looked dusty. I cleaned it yesterday', ['cleaned air-meter']],
  ['rear O2 sensor replaced in March', ['replaced downstream-sensor']],
  [
    'replaced:\n- plugs\n- coils\n- PCV valve',
    ['replaced spark-plugs', 'replaced ignition-coils', 'replaced pcv-valve'],
  ],
  [
    "it's got a new MAF, new TPS and a new IAC",
    ['replaced air-meter', 'replaced throttle-sensor', 'replaced throttle-body'],
  ],
  ['The O2 sensors are new', ['replaced oxygen-sensor']],
  ['The timing belt was done at 60k', ['replaced timing-chain']],
  ['timing belt and water pump done last summer', ['replaced timing-chain', 'replaced cooling-system']],
  ['I did an oil change and new air filter', ['replaced engine-oil', 'replaced air-filter']],
  [
    'Just had it serviced: plugs, oil, air filter',
    ['replaced spark-plugs', 'replaced engine-oil', 'replaced air-filter'],
  ],
  ['After the plug change it started misfiring', ['replaced spark-plugs (started-trouble)']],
  [
    'the shop has thrown a coil, plugs and an injector at it',
    ['replaced ignition-coils', 'replaced spark-plugs', 'replaced injectors'],
  ],
  ['Been through three O2 sensors in a year', ['replaced oxygen-sensor']],
  ['on my third O2 sensor', ['replaced oxygen-sensor']],
  [
    "I've put in an oxygen sensor, a fuel filter and a thermostat",
    ['replaced oxygen-sensor', 'replaced fuel-filter', 'replaced thermostat'],
  ],
  ['A MAF was put in last week', ['replaced air-meter']],
  ['About two months ago I changed the coils', ['replaced ignition-coils']],
  ['This weekend I changed the plugs', ['replaced spark-plugs']],
  ['I got the thermostat replaced in May', ['replaced thermostat']],
  ['I bought a coil and fitted it', ['replaced ignition-coils']],
  ['Had to change the fuel pump in spring', ['replaced fuel-pump']],
  ['I had my mechanic check the fuel pressure', ['tested fuel-pump']],
  [
    'Parts replaced so far - MAF, TPS, plugs',
    ['replaced air-meter', 'replaced throttle-sensor', 'replaced spark-plugs'],
  ],
  ['The parts replaced were the back box and the cat', ['replaced exhaust-pipe', 'replaced catalyst']],
  ['- new plugs and wires', ['replaced spark-plugs', 'replaced ignition-leads']],
  ['The cat was recalled and it was replaced', ['replaced catalyst']],
  ['The whole brake system was replaced a year ago', ['replaced brakes']],
  ['A rebuilt engine was put in', ['replaced engine']],
  ['rebuilt the carb', ['repaired carburettor']],
  ['I tried cleaning the MAF but it made no difference', ['cleaned air-meter (no-change)']],
  ['ran two tanks with injector cleaner', ['cleaned injectors']],
  ['Cleaned the MAF with brake cleaner', ['cleaned air-meter']],
  ['the pcv has been cleaned and the hose renewed', ['cleaned pcv-valve', 'replaced vacuum-hose']],
  ['There was a leak in the exhaust. I plugged the leak', ['repaired exhaust-pipe']],
  ['crack in the exhaust manifold, welded it', ['repaired exhaust-manifold']],
  ['The gas cap was loose so I tightened it', ['repaired fuel-cap']],
  ['P0301 and P0304. I wiped them yesterday', ['reset learned-values']],
  ['they updated the software', ['reset control-unit']],
  ['knocked the insides out of the cat', ['disconnected catalyst']],
  ['Had a smoke test done and no leaks were found', ['tested vacuum-hose (found-good)']],
  [
    'coils fine, compression good on all four',
    ['tested ignition-coils (found-good)', 'tested compression (found-good)'],
  ],
  ['Compression test came back fine', ['tested compression (found-good)']],
  [
    'MAF, plugs and coolant sensor all look great',
    ['tested air-meter (found-good)', 'tested spark-plugs (found-good)', 'tested coolant-sensor (found-good)'],
  ],
  ['Switch tested at the control unit plug', []],
  ['It measures air with a MAF', []],
  ['Does an engine use oil when it gets old?', []],
  ['The sensors were plugged in backwards', []],
  ['Fire took the plug wires and the fuel lines', []],
  ['He suggested I replaced the plugs first', []],
  ['they recommended I have the throttle body cleaned', []],
  ['New plugs bought today', []],
  ['Lambda was in range, CO was not', []],
  ['The engine note changed', []],
  ['The cat had to be replaced, they say', []],
  ['It got plugs and coils in spring', ['replaced spark-plugs', 'replaced ignition-coils']],
  ['I ended up changing all six coils', ['replaced ignition-coils']],
  ['The battery is two months old', ['replaced battery']],
  ['cracked exhaust manifold was swapped for a good used one', ['replaced exhaust-manifold']],
  ['pulled the plugs and they look fine', ['tested spark-plugs (found-good)']],
  ['no vacuum leaks found with smoke', ['tested vacuum-hose (found-good)']],
  ['went round all the vacuum lines with propane', ['tested vacuum-hose']],
  ['had the valve cover gaskets redone', ['replaced valve-cover']],
  ['cleared it with my reader, P0420 came back', ['reset learned-values (no-change)']],
  ['had the light reset at the parts store', ['reset learned-values']],
  ['do I replace the sensor or the cat first', []],
  ['should have replaced the plugs years ago', []],
  ['the plugs need replacing', []],
  ['before I throw a new sensor at it', []],
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
