// What a post asks for, and about which thing. Invented posts; expectations are common practice: what a helper would turn to first.
import { describe, expect, it } from 'vitest';
import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();

function requestsOf(text: string): string[] {
  return readPost(text, emptyCase, knowledge).findings.flatMap((finding) =>
    finding.kind === 'request' ? [finding.item === null ? finding.about : `${finding.about} ${finding.item}`] : [],
  );
}

const rows: ReadonlyArray<readonly [string, string]> = [
  ['Where is bank 1 sensor 2 on my 2004 Camry?', 'location bank-1-sensor-2'],
  ['Which side is bank 2?', 'location bank-2'],
  ['where do I find the upstream sensor', 'location upstream-sensor'],
  ['can you tell me where the purge valve is', 'location purge-valve'],
  ['whats p0420', 'code-meaning P0420'],
  ['Will I damage it if I drive 200 miles home?', 'driving'],
  ['How do I test the MAF?', 'how-to air-meter'],
  ['how to remove a seized O2 sensor', 'how-to oxygen-sensor'],
  ['what tool do I need for the lambda sensor', 'how-to oxygen-sensor'],
  ['Can I clean the O2 sensor in petrol?', 'cleaning petrol-soak'],
  ['should I soak the lambda probe in gasoline', 'cleaning petrol-soak'],
  ['Is it worth cleaning the oxygen sensor?', 'cleaning oxygen-sensor'],
  ['Can I use a spacer on the rear O2 sensor to turn the light off?', 'tampering'],
  ['An O2 simulator would pass the test', 'tampering'],
  ['Thinking of deleting the cat', 'tampering removing-the-catalyst'],
  ['I want to gut the cat, legal?', 'tampering removing-the-catalyst'],
  ['should I drill a hole in the converter', 'tampering removing-the-catalyst'],
  ['how do I trick the computer into thinking the cat is fine', 'tampering'],
  ['would a defouler stop the code', 'tampering'],
  ['which spacer makes the rear sensor think the cat is ok?', 'tampering'],
  ['is there a tester who will look the other way?', 'tampering hiding-a-fault'],
  ['how do I turn the light off before the smog test?', 'tampering light-off-before-a-test'],
  ['I feel dizzy in the garage with the engine running', 'how-to overcome-by-fumes'],
  ['The brake pedal sinks to the floor. P0420.', 'how-to brakes-failing'],
  ["I'm 15 and want to learn, P0171", 'how-to young-helper'],
  ['will that ruin the new sensor?', 'how-to harm-to-sensor-or-catalyst'],
  ['Can I drive it?', 'driving'],
  ['Is it ok to drive 300 miles?', 'driving'],
  ['is it safe to keep driving with a flashing light', 'driving'],
  ['can I carry on to work', 'driving'],
  ['What does P0420 mean?', 'code-meaning P0420'],
  ['what does PO171 mean', 'code-meaning P0171'],
  ['what is the limit for CO at fast idle?', 'limits'],
  ['what is a normal long term fuel trim', 'limits'],
  ['How did you get lambda 0.94?', 'diagnosis arithmetic'],
  ['My car idles rough.', 'diagnosis'],
  ['It idles rough, any ideas?', 'diagnosis'],
  ['Why is it stalling?', 'diagnosis'],
  ['where should I start looking?', 'diagnosis'],
  ['previous owner gutted the cat', 'tampering catalyst-already-removed'],
  ['I do not want to cheat the emissions test', 'diagnosis'],
];

describe('requests', () => {
  it.each(rows)('reads what %j asks', (text, expected) => {
    expect(requestsOf(text)).toContain(expected);
  });

  it.each([
    'I cleaned the MAF sensor yesterday, no change',
    'carburettor spacer gasket replaced',
    'the wheel spacers rub',
    'a smoke test found nothing',
  ])('reads no cleaning and no tampering into %j', (text) => {
    expect(requestsOf(text).filter((request) => /^(?:cleaning|tampering)/.test(request))).toEqual([]);
  });

  it('takes a later post without a question as no new request', () => {
    const findings = readPost('It also stalls.', { ...emptyCase, posts: 1 }, knowledge).findings;
    expect(findings.filter((finding) => finding.kind === 'request')).toEqual([]);
  });
});
