// The questions as a whole: safe to ask, plain to answer, and each able to tell causes apart.
import { describe, expect, it } from 'vitest';
import { contextConditions } from '../../src/diagnosis/context.ts';
import { readKind } from './read-kind.ts';

const questions = readKind('questions').map(({ file, entry }) => ({ file, ...entry }));
const rules = new Map(readKind('safety').map(({ entry }) => [entry.id, entry]));
const faults = readKind('faults').map(({ entry }) => entry);
const byId = new Map(questions.map((question) => [question.id, question]));

const tables = questions.flatMap((question) =>
  question.model.by === 'table' ? [{ id: question.id, answers: question.answers, model: question.model }] : [],
);

/** How much more likely an answer is under a fault than under causes that the table does not name. */
function ratio(question: string, answer: string, fault: string): number {
  const model = byId.get(question)?.model;
  if (model?.by !== 'table') throw new Error(`${question} has no table`);
  const row = model.faults[fault] ?? model.otherwise;
  return row[answer]! / model.otherwise[answer]!;
}

describe('asking safely', () => {
  it('keeps one question in the file of its name', () => {
    for (const question of questions) expect(question.file).toBe(`${question.id}.yaml`);
  });

  it('asks of an owner only what the safety table lets an owner do', () => {
    for (const question of questions) {
      const rule = rules.get(question.safety);
      expect(rule, `${question.id}: ${question.safety}`).toBeDefined();
      expect(rule!.who === 'owner', question.id).toBe(question.effort !== 'workshop');
    }
  });

  it('names the engine’s state wherever hands go near it', () => {
    for (const question of questions.filter((item) => item.effort !== 'workshop')) {
      const engine = rules.get(question.safety)!.engine;
      if (engine === 'off-and-cool' || engine === 'off-and-cold') {
        if (['minutes', 'tools'].includes(question.effort) && question.id !== 'air-metering') {
          expect(question.text, question.id).toMatch(
            /engine (stone )?(off|cold)|stone cold|key off|after stopping|how much oil/i,
          );
        }
      }
      if (engine === 'running-outdoors') {
        expect(question.text, question.id).toMatch(
          /outdoors|idling|held at|on the reader|does the reader|reader \(or/i,
        );
      }
    }
  });

  it('never asks an owner to spray, heat, lift, open a fuel line, pull a lead, or drive and read', () => {
    for (const question of questions.filter((item) => item.effort !== 'workshop')) {
      expect(question.text, question.id).not.toMatch(
        /propane|brake cleaner|carb cleaner|blow-?torch|solvent|jack up|under the car|fuel line|fuel rail/i,
      );
      if (/spray/i.test(question.text)) expect(question.safety, question.id).toBe('clean-air-meter');
      if (/pinch|\bcap the\b/i.test(question.text)) expect(question.text, question.id).toMatch(/engine off and cool/i);
    }
    expect(byId.get('trims-under-load')?.text).toMatch(/passenger.*never the driver/i);
  });

  it('asks for no plate, VIN, name or address', () => {
    for (const question of questions) {
      expect(question.text, question.id).not.toMatch(/\bVIN\b|registration number|your name|address|phone/i);
    }
  });
});

describe('answers', () => {
  it('are two or more, or figures that the model predicts', () => {
    for (const question of questions) {
      if (question.model.by === 'readings') expect(question.answers, question.id).toEqual([]);
      else expect(question.answers.length, question.id).toBeGreaterThanOrEqual(2);
    }
  });

  it('of a symptom are yes first and no second', () => {
    for (const question of questions.filter((item) => item.model.by === 'symptom')) {
      expect(question.answers.length, question.id).toBe(2);
    }
  });

  it('share no id and no phrase within a question', () => {
    for (const question of questions) {
      const ids = question.answers.map((answer) => answer.id);
      const phrases = question.answers.flatMap((answer) => answer.phrases);
      expect(new Set(ids).size, question.id).toBe(ids.length);
      expect(phrases.length - new Set(phrases).size, `${question.id}: ${phrases.join(', ')}`).toBe(0);
    }
  });

  it('give every answer a phrase, in lower case', () => {
    for (const question of questions) {
      for (const answer of question.answers) {
        expect(answer.phrases.length, `${question.id} ${answer.id}`).toBeGreaterThan(0);
        for (const phrase of answer.phrases) expect(phrase).toBe(phrase.toLowerCase());
      }
    }
  });

  it('that say how the car is used are named so that the conditions of the car are found', () => {
    const ids = byId.get('trips')!.answers.map((answer) => answer.id);
    expect(Object.keys(contextConditions)).toEqual(expect.arrayContaining(['short-trips', 'cold-season']));
    expect(ids.filter((id) => /short/.test(id)).length).toBeGreaterThan(0);
    expect(ids.filter((id) => /winter/.test(id)).length).toBeGreaterThan(0);
  });
});

describe('what an answer is worth', () => {
  it('gives every row as probabilities that none of the answers lacks', () => {
    for (const { id, answers, model } of tables) {
      for (const [fault, row] of [['otherwise', model.otherwise] as const, ...Object.entries(model.faults)]) {
        expect(Object.keys(row).sort(), `${id} ${fault}`).toEqual(answers.map((answer) => answer.id).sort());
        // none is zero: an owner can always be mistaken
        for (const share of Object.values(row)) expect(share, `${id} ${fault}`).toBeGreaterThan(0);
        expect(
          Object.values(row).reduce((sum, share) => sum + share, 0),
          `${id} ${fault}`,
        ).toBeCloseTo(1, 6);
      }
    }
  });

  it('can at least double or halve the odds of some fault', () => {
    for (const { id, answers, model } of tables) {
      const best = Math.max(
        ...Object.keys(model.faults).flatMap((fault) =>
          answers.map((answer) => Math.max(ratio(id, answer.id, fault), 1 / ratio(id, answer.id, fault))),
        ),
      );
      expect(best, id).toBeGreaterThanOrEqual(2);
    }
  });

  it('reaches every fault that a question could settle', () => {
    const named = new Set(tables.flatMap(({ model }) => Object.keys(model.faults)));
    const reached = faults.filter((fault) => named.has(fault.id)).map((fault) => fault.id);
    const beyond = faults.map((fault) => fault.id).filter((id) => !reached.includes(id));
    expect(beyond).toEqual(['outside-the-trade']);
  });

  it.each([
    // question, answer, fault, least and most ratio; from: common practice of workshops, sizes a judgement
    ['cold-tick', 'fades', 'exhaust-leak-upstream', 6, 10],
    ['rear-sensor', 'swinging', 'catalyst-worn', 4, 7],
    ['rear-sensor', 'high', 'upstream-sensor-reads-lean', 5, 9],
    ['rear-sensor', 'low', 'upstream-sensor-reads-rich', 5, 9],
    ['front-sensor', 'slow', 'upstream-sensor-slow', 4, 8],
    ['front-sensor', 'middle', 'upstream-sensor-dead', 8, 25],
    ['refuel-start', 'yes', 'purge-valve-stuck-open', 10, 14],
    ['refuel-began', 'yes', 'wrong-fuel', 8, 13],
    ['duct-look', 'yes', 'intake-duct-leak', 20, 40],
    ['duct-look', 'no', 'intake-duct-leak', 0.1, 0.2],
    ['cap-purge', 'moves', 'purge-valve-stuck-open', 12, 18],
    ['cap-purge', 'same', 'purge-valve-stuck-open', 0.1, 0.2],
    ['oil-cap', 'suction', 'pcv-valve-stuck', 7, 12],
    ['regulator-hose', 'wet', 'fuel-pressure-high', 30, 80],
    ['swap-coil', 'moves', 'ignition-misfire', 10, 20],
    ['unplug-bank', 'other', 'sensors-crossed', 30, 100],
    ['coolant-cold-start', 'differ', 'coolant-sensor-reads-cold', 15, 40],
    ['warm-up', 'cool', 'thermostat-stuck-open', 10, 20],
    ['oil-level', 'above', 'oil-fuel-diluted', 10, 20],
    ['oil-level', 'low', 'oil-burning', 6, 15],
    ['smoke-colour', 'blue', 'oil-burning', 15, 50],
    ['smoke-colour', 'white', 'coolant-burning', 12, 80],
    ['smoke-colour', 'black', 'coolant-sensor-reads-cold', 5, 15],
    ['clean-air-meter', 'fall', 'air-meter-reads-low', 8, 15],
    ['codes-stored', 'none', 'sensor-heater-failed', 0.05, 0.2],
    ['tailpipe-look', 'soot', 'upstream-sensor-reads-lean', 1.5, 2.6],
  ] as const)('%s "%s" weighs %s between %d and %d', (question, answer, fault, least, most) => {
    const weight = ratio(question, answer, fault);
    expect(weight).toBeGreaterThanOrEqual(least);
    expect(weight).toBeLessThanOrEqual(most);
  });
});
