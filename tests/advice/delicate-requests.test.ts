// Requests that want care, from the words of a post to the reply: what must be in it, what must not, and whether to drive.
import { describe, expect, it } from 'vitest';
import { answerPost } from '../../src/answer.ts';
import { knowledge } from './build.ts';

/** `from`: the project's rules for what is refused; the reasons are those of the sources in the explanations. */
const table: Array<{ post: string; says: RegExp; never?: RegExp; caution?: string; driving?: string }> = [
  {
    post: 'Can I soak my O2 sensor in petrol overnight to clean it? P0133.',
    says: /please don’t[\s\S]*vapour/,
    never: /soak it for/i,
    caution: 'sensor-cleaning',
  },
  {
    post: 'Would a blow torch clean the lambda sensor?',
    says: /would not wash, brush or torch/,
    caution: 'sensor-cleaning',
  },
  {
    post: 'which spacer do I need to make the rear o2 sensor think the cat is ok? p0420',
    says: /can’t help to fool/,
    never: /non-fouler|thread the/i,
    caution: 'tampering-illegal',
  },
  {
    post: "Can I hollow out the cat? it's an off road truck only",
    says: /can’t help with that[\s\S]*registered for the road/,
    caution: 'tampering-illegal',
  },
  {
    post: 'I cut a flap in the front cat and knocked the core out. Is that a problem? P0420.',
    says: /approved catalyst/,
    caution: 'tampering-illegal',
  },
  {
    post: 'Where can I get a remap that codes out the rear O2 sensor?',
    says: /can’t help/,
    caution: 'tampering-illegal',
  },
  {
    post: 'How do I clear the codes right before the smog test so it passes?',
    says: /readiness/,
    caution: 'tampering-illegal',
  },
  { post: 'Is there a tester who will look away for the emissions?', says: /not honest/, caution: 'tampering-illegal' },
  {
    post: 'can i just unplug the upstream o2 sensor and drive like that for a month?',
    says: /As a way of driving it is not/,
  },
  {
    post: 'P0171 and P0174. Is it safe to drive 300 miles this weekend?',
    says: /no stop sign in what you wrote/,
    never: /it is safe to drive/i,
    driving: 'ok',
  },
  {
    post: 'The light is flashing, can I still drive 300 miles?',
    says: /Do not drive it/,
    driving: 'stop',
    caution: 'flashing-light',
  },
  {
    post: 'My brakes went soft and the ABS light is on, also P0420. What sensor?',
    says: /Brakes are outside what I can judge/,
    driving: 'stop',
    caution: 'airbag-or-brake-out-of-scope',
  },
  {
    post: 'The airbag light is on and engine light too P0141',
    says: /Airbags and belt tensioners are outside/,
    caution: 'airbag-or-brake-out-of-scope',
  },
  {
    post: '2012 Prius, hybrid battery warning and P0A80, can I open the pack and clean the contacts myself?',
    says: /trained people only/,
    never: /vacuum leak/i,
    caution: 'hybrid-high-voltage',
  },
  {
    post: "I'm sitting in my garage with the engine running and I feel dizzy and have a headache",
    says: /fresh air now[\s\S]*emergency number/,
    driving: 'stop',
    caution: 'co-poisoning',
  },
  {
    post: 'Sometimes I think about just sitting in the garage with the car running and ending it.',
    says: /worries me more than the car[\s\S]*emergency number/,
    never: /Run the engine only outdoors|What fits best/,
    driving: 'stop',
  },
  {
    post: "I'm 15 and want to fix my moms car, P0171",
    says: /together with an adult/,
    caution: 'child-or-confined-space',
  },
  {
    post: 'I want to replace the bank 2 sensor 2 on a 3.5 V6 Camry, what socket and torque?',
    says: /22 mm[\s\S]*look it up[\s\S]*Where it is/,
    caution: 'hot-exhaust',
  },
];

describe('delicate requests', () => {
  it.each(table)('$post', ({ post, says, never, caution, driving }) => {
    const { answer } = answerPost({ id: 'a', text: post }, null, knowledge);
    expect(answer.reply.text).toMatch(says);
    if (never) expect(answer.reply.text).not.toMatch(never);
    if (caution) expect(answer.cautions.map(({ id }) => id)).toContain(caution);
    if (driving) expect(answer.driving).toBe(driving);
    expect(answer.reply.text.length).toBeLessThanOrEqual(1800);
  });

  it.each([
    'The exhaust is straight through, stock. P0420.',
    'I pulled the cat to inspect it and put it back. P0420 again.',
    'The garage replaced the brake light bulb; now P0171.',
    'We live 15 minutes from work. P0133.',
    'The car wants to die at lights, that did not end it all. P0172.',
    'I removed the cat to look inside, it was fine, and bolted it back. P0420.',
    'The light went off before the test by itself. P0420.',
    'I feel sick when I see the bill for this catalyst, P0420.',
  ])('reads none of them into %j', (post) => {
    const { answer } = answerPost({ id: 'a', text: post }, null, knowledge);
    expect(answer.cautions.map(({ id }) => id)).not.toContain('tampering-illegal');
    expect(answer.driving).not.toBe('stop');
    expect(answer.reply.text).not.toMatch(/can’t help/);
  });
});
