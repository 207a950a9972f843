import { describe, expect, it } from 'vitest';
import { advised, code, knowledge, request, symptom } from './build.ts';

const about = (...findings: Parameters<typeof advised>[0]) => advised(findings).explanations.map((item) => item.about);

describe('explain', () => {
  it.each([
    ['a topic that is named', [request('how-to', 'what-is-bank-1')], ['what-is-bank-1']],
    ['a code that is asked about', [request('code-meaning', 'P0420')], ['P0420']],
    ['the codes of the case when none is named', [code('P0171'), request('code-meaning')], ['P0171']],
    ['soaking in petrol', [request('cleaning', 'petrol-soak')], ['soaking-in-petrol']],
    ['cleaning a sensor', [request('cleaning', 'oxygen-sensor')], ['cleaning-a-sensor']],
    ['cleaning the air meter', [request('cleaning', 'air-meter')], ['what-is-an-air-meter']],
    ['fooling a sensor', [request('tampering')], ['fooling-the-rear-sensor']],
    ['nothing for a plain question', [code('P0171'), request('diagnosis')], []],
    ['nothing for a code that nobody publishes', [request('code-meaning', 'P1ABC')], []],
    [
      'the harm that the symptom points to',
      [symptom('oil-use'), request('how-to', 'harm-to-sensor-or-catalyst')],
      ['oil-burning-and-sensors'],
    ],
    ['harm in general', [request('how-to', 'harm-to-sensor-or-catalyst')], ['harm-to-sensor-or-catalyst']],
    [
      'no part of another explanation beside it',
      [request('how-to', 'changing-a-sensor'), request('how-to', 'tools-and-torque')],
      ['changing-a-sensor'],
    ],
    ['the catalyst, when that is to go', [request('tampering', 'removing-the-catalyst')], ['removing-the-catalyst']],
    [
      'only what this post asks',
      [request('how-to', 'short-trips', { post: 0 }), request('diagnosis', null, { post: 1 })],
      [],
    ],
  ])('gives %s', (_what, findings, expected) => {
    expect(about(...findings)).toEqual(expected);
  });

  it('gives at most four, each once', () => {
    const plain = knowledge.explanations.filter((entry) => entry.id.startsWith('what-')).slice(0, 8);
    const many = plain.map((entry) => request('how-to', entry.id));
    expect(about(...many, ...many)).toEqual(plain.slice(0, 4).map((entry) => entry.id));
  });

  it('names the source of each', () => {
    for (const item of advised([request('how-to', 'sensor-life'), request('code-meaning', 'P0133')]).explanations) {
      expect(item.source).not.toBe('');
    }
  });

  // Facts of the trade, issue 2 item 13; `from`: common practice unless the line says otherwise.
  it.each([
    ['where-sensors-sit', /since the 1980s[\s\S]*close to the engine[\s\S]*behind the catalyst/],
    ['light-and-a-failing-sensor', /need not light the lamp/],
    [
      'sensor-and-fuel-use',
      /first things to check[\s\S]*rich[\s\S]*black smoke[\s\S]*rough idle, hesitation or judder/,
    ],
    ['misfire-harm', /catalyst/],
    ['failed-test', /sensor, the catalyst or something else[\s\S]*figures tell much/],
    ['sensor-life', /100,000 miles[\s\S]*many go well beyond[\s\S]*Soot builds up even in good use[\s\S]*short trips/],
    ['which-fuel', /claim of the trade, and disputed/],
    ['oil-burning-and-sensors', /does not last until the oil use is cured/],
    ['neglected-car', /full service/],
    ['wiring-first', /before parts/],
    ['cleaning-a-sensor', /faulty front sensor is replaced[\s\S]*wiped dry/],
    ['soaking-in-petrol', /vapour lights[\s\S]*does not bring the sensor back/],
  ])('tells the fact of the trade in %s', (id, fact) => {
    expect(knowledge.explanations.byId.get(id)?.text).toMatch(fact);
  });

  it('never advises what READ-FIRST forbids', () => {
    for (const entry of knowledge.explanations) {
      expect(entry.text).not.toMatch(/\b(soak it|use petrol to|spray (it|some|cleaner) (on|at|around) the running)\b/i);
      expect(entry.text).not.toMatch(/safe to drive/i);
      expect(entry.text).not.toMatch(/\b(passenger|driver)('|’)s side (is|holds)/i);
    }
  });

  it('has no phrase that asks for two different explanations', () => {
    const seen = new Map<string, string>();
    const twice = knowledge.explanations.flatMap((entry) =>
      entry.words.flatMap((word) => {
        const other = seen.get(word);
        seen.set(word, entry.id);
        return other ? [`${word}: ${other} and ${entry.id}`] : [];
      }),
    );
    expect(twice).toEqual([]);
  });
});
