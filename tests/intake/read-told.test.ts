// Answers given before anyone asked. Invented posts; the expectation is what a mechanic would note (common practice).
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { type Case, emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();
const told = (text: string, previous: Case = emptyCase) =>
  readPost(text, previous, knowledge).findings.flatMap((finding) =>
    finding.kind === 'question-answer' ? [`${finding.question} ${finding.answer}`] : [],
  );

const rows: ReadonlyArray<readonly [string, readonly string[]]> = [
  ['3 miles a day to work and back, mpg is awful', ['trips short']],
  ['I only do short trips', ['trips short']],
  ['my commute is mostly motorway', ['trips mixed']],
  ['The engine never warms up properly', ['warm-up cool']],
  ['it takes forever to warm up', ['warm-up cool']],
  ['the needle drops on the highway and the heater blows cold', ['warm-up cool']],
  ['It warms up normally', ['warm-up normal']],
  ['The plugs were all black and sooty', ['plugs-look all-black']],
  ['plugs looked nice and brown', ['plugs-look alike']],
  ['the problem started right after I filled up', ['refuel-began yes']],
  ['it has been getting worse over the last few months', ['onset gradual']],
  ['it suddenly started yesterday', ['onset sudden']],
  ['mice chewed the wiring', ['chewed-wires yes']],
  ['The dipstick smells of petrol', ['oil-level above']],
  ['it stalls suddenly at lights', []],
  ['hard to start after filling up', []],
  ['Does it warm up properly when you drive it?', []],
  ["The plugs aren't black", []],
  ["My friend's Golf never warms up. Mine does.", []],
  ['The mechanic says it never warms up', []],
  ['the trim creeps up to 25 %', []],
  ['a wrong fuel mixture', []],
];

describe('answers that a post gives unasked', () => {
  it.each(rows)('are read from %j', (text, expected) => expect(told(text)).toEqual(expected));

  it('give way to what the case holds already', () => {
    const first = readPost('I only do short trips', emptyCase, knowledge).findings;
    const later: Case = { ...emptyCase, posts: 1, findings: [...first] };
    expect(told('mostly motorway miles lately', later)).toEqual([]);
  });
});
