// Text to and from Slack's markup: what people typed stays what it was, and nothing in a reply comes alive.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { renderSlack, textBudget } from '../../../src/channels/slack/render-slack.ts';
import { escapeSlack, plainFromSlack, slackFromMarkdown } from '../../../src/channels/slack/slack-text.ts';
import { cutText } from '../../../src/serving/cut-text.ts';
import { hostileTexts } from '../../hostile-texts.ts';

describe('what people typed on Slack', () => {
  // From: Slack, "Formatting text for app surfaces": the three entities and the special forms.
  it.each([
    ['<@UBOT> P0171, idle', 'P0171, idle'],
    ['trims &gt; 10 % &amp; rising, lambda &lt; 1', 'trims > 10 % & rising, lambda < 1'],
    ['ask <@U123|mara> or <@U456>', 'ask @mara or @someone'],
    ['in <#C1|garage>', 'in #garage'],
    ['<!here> <!channel> <!subteam^S1|helpers>', '@here @channel helpers'],
    [
      'see <https://log.example/a|my log> and <https://x.example>',
      'see my log (https://log.example/a) and https://x.example',
    ],
    ['a < b and c > d', 'a < b and c > d'],
    ['&amp;lt; stays written', '&lt; stays written'],
  ])('%s is read as %s', (typed, plain) => {
    expect(plainFromSlack(typed, 'UBOT')).toBe(plain);
  });

  it('comes back as it was after escaping and reading', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 200 }), (text) => {
        const trimmed = text.replace(/^[ \t]+/, '');
        expect(plainFromSlack(escapeSlack(trimmed), null)).toBe(trimmed);
      }),
    );
  });

  it('is read in linear time', () => {
    const time = (text: string) => {
      const started = performance.now();
      plainFromSlack(text, 'UBOT');
      return performance.now() - started;
    };
    for (const piece of ['<', '<@', '<<>', '&', '<!', '|', '<a|'])
      expect(time(piece.repeat(100_000 / piece.length))).toBeLessThan(250);
  });
});

describe('a reply on Slack', () => {
  it('has bold words and lists in mrkdwn', () => {
    expect(slackFromMarkdown('**Likely:** a leak\n\n- hoses\n- gasket\n\n1. look & listen')).toBe(
      '*Likely:* a leak\n\n\u2022 hoses\n\u2022 gasket\n\n1. look &amp; listen',
    );
    expect(slackFromMarkdown('2 ** 3 and open')).toBe('2 ** 3 and open');
    expect(slackFromMarkdown('a ** b ** c')).toBe('a  *b*  c');
  });

  // From: Slack, "Formatting text for app surfaces": mentions and links exist only as <...>.
  const mentions = [
    '@everyone',
    '@here',
    '<@1>',
    '<@U123>',
    '<@&1>',
    '<!channel>',
    '<!here|x>',
    '<!subteam^S1>',
    '<https://x.example|@channel>',
    '\uff20everyone',
    '@\u200beveryone',
    '<\u200b!channel>',
    '&lt;!channel&gt;',
    '<!date^1^{date}|x>',
  ];
  it('never holds a live mention or link, whatever a person wrote', () => {
    for (const text of [...mentions, ...hostileTexts]) {
      const parts = renderSlack(`You wrote "${text}" and **${text}**`, { buttons: [], picture: null });
      for (const part of parts) expect(JSON.stringify(part)).not.toMatch(/[<>]/);
    }
  });

  it("links to the program's own pages and to nothing else", () => {
    const text =
      'Say so: https://cars.example/outcome?token=a_b-c. Or https://other.example/ & https://cars.example.evil/x';
    expect(slackFromMarkdown(text, 'https://cars.example')).toBe(
      'Say so: <https://cars.example/outcome?token=a_b-c>. Or https://other.example/ &amp; https://cars.example.evil/x',
    );
    expect(slackFromMarkdown(text, null)).not.toContain('<');
  });

  it('stays one message while it fits, and is cut into whole pieces where it does not', () => {
    const reply = Array.from({ length: 12 }, (_, index) => `**${index}** ${'words and words '.repeat(9)}`).join('\n\n');
    expect(renderSlack(reply, { buttons: [], picture: null })).toHaveLength(1);
    const long = Array.from({ length: 40 }, () => reply).join('\n\n');
    const parts = renderSlack(long, { buttons: [{ label: 'yes', value: 'y' }], picture: null });
    expect(parts.length).toBeGreaterThan(1);
    for (const part of parts) {
      const sections = part.blocks.filter((block) => block.type === 'section') as Array<{ text: { text: string } }>;
      // From: node-slack-sdk, block-kit types: 3,000 characters a section; the total from bolt-js issue 2867.
      expect(Math.max(...sections.map((section) => section.text.text.length))).toBeLessThanOrEqual(3000);
      expect(sections.reduce((sum, section) => sum + section.text.text.length, 0)).toBeLessThanOrEqual(textBudget);
    }
    expect(parts.map((part) => part.blocks.some((block) => block.type === 'actions'))).toEqual([
      ...parts.slice(1).map(() => false),
      true,
    ]);
  });

  it('is never cut inside an entity or a pair, and loses nothing but blanks', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('&', '<', '\u{1f697}', 'a', ' ', '\n', '\n\n', 'word '), { maxLength: 120 }),
        fc.integer({ min: 12, max: 40 }),
        (pieces, limit) => {
          const text = escapeSlack(pieces.join(''));
          const cut = cutText(text, limit);
          for (const piece of cut) {
            expect(piece.length).toBeLessThanOrEqual(limit);
            expect(piece).not.toMatch(/[\ud800-\udbff]$|^[\udc00-\udfff]/);
            expect(piece.replace(/&(?:amp|lt|gt);/g, '')).not.toContain('&');
          }
          expect(cut.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
        },
      ),
      { numRuns: 500 },
    );
  });

  it('keeps to the limits of buttons', () => {
    const buttons = Array.from({ length: 40 }, (_, index) => ({
      label: `${index} ${'x'.repeat(100)}`,
      value: `${index}`,
    }));
    const [part] = renderSlack('Which?', { buttons, picture: null });
    const actions = part!.blocks.find((block) => block.type === 'actions') as {
      elements: Array<{ text: { text: string } }>;
    };
    expect(actions.elements).toHaveLength(25);
    expect(Math.max(...actions.elements.map((one) => one.text.text.length))).toBeLessThanOrEqual(75);
  });
});
