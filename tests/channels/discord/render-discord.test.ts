// Replies as Discord messages: within its limits, and nothing that a person wrote comes alive.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { discordApi } from '../../../src/channels/discord/discord-api.ts';
import { discordCommands, registerCommands } from '../../../src/channels/discord/discord-commands.ts';
import { idAt, timeOf } from '../../../src/channels/discord/discord-place.ts';
import { discordFromMarkdown } from '../../../src/channels/discord/discord-text.ts';
import { renderDiscord } from '../../../src/channels/discord/render-discord.ts';
import { applicationId, discordPlatform } from '../../fake-platform/discord-platform.ts';
import { hostileTexts } from '../../hostile-texts.ts';

const none = { buttons: [], picture: null };
/** What Discord shows of escaped words. From: Discord's documentation, message formatting: a backslash before a sign shows the sign. */
const shown = (text: string) => text.replace(/\\([\\*_~|`<>#[\]()@])/g, '$1');

describe('a reply on Discord', () => {
  it('has bold words and lists', () => {
    expect(discordFromMarkdown('**Likely:** a leak\n\n- hoses\n1. look')).toBe(
      '**Likely:** a leak\n\n- hoses\n1. look',
    );
  });

  it.each([
    '@everyone',
    '@here',
    '<@1>',
    '<@&1>',
    '<#1>',
    '<:name:1>',
    '</ask:1>',
    '<t:1>',
    '[label](https://other.example)',
    '||hidden||',
    '`code` ```block```',
    '> quote',
    '# heading',
    '~~struck~~ __under__ *a* _b_',
    '@\u200beveryone',
    '\\@everyone',
  ])('neutralises %s', (text) => {
    const [body] = renderDiscord(`You wrote ${text}`, none);
    const content = String(body!.content);
    expect(content).not.toMatch(/(?<!\\)(?:\\\\)*[<>@[\]()`|~#_]/);
    expect(shown(content)).toBe(`You wrote ${text.replace('\u200b', '')}`);
    expect(body!.allowed_mentions).toEqual({ parse: [], replied_user: false });
  });

  it("leaves links to the program's own pages whole and escapes the rest", () => {
    const text = 'Say so: https://cars.example/outcome?token=a_b-c or @everyone';
    expect(renderDiscord(text, { ...none, address: 'https://cars.example' })[0]!.content).toBe(
      'Say so: https://cars.example/outcome?token=a_b-c or \\@everyone',
    );
  });

  it('names nobody whatever a person wrote, and shows it as it was typed', () => {
    for (const text of hostileTexts)
      for (const body of renderDiscord(`"${text}"`, none)) {
        expect(body.allowed_mentions).toEqual({ parse: [], replied_user: false });
        expect(`${String(body.content)}${JSON.stringify(body.embeds)}`).not.toMatch(/(?<!\\)<[@#:/t]/);
      }
  });

  // From: Discord's documentation, resources/message: 2,000 in content, 4,096 in a description.
  it('fits into one message up to 1,800 characters of any kind, and into several beyond', () => {
    fc.assert(
      fc.property(
        fc.string({ minLength: 1, maxLength: 1800, unit: fc.constantFrom('*', '_', 'a', ' ', '\n', '<') }),
        (text) => {
          const bodies = renderDiscord(text, none);
          expect(bodies).toHaveLength(1);
          expect(String(bodies[0]!.content).length).toBeLessThanOrEqual(2000);
        },
      ),
    );
    const bodies = renderDiscord('long words. '.repeat(2000), none);
    expect(bodies.length).toBeGreaterThan(1);
    for (const { content, embeds } of bodies)
      expect([content, (embeds as Array<{ description: string }>)[0]!.description.length <= 4096]).toEqual(['', true]);
  });

  it('is cut between words and never inside an escape', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom('\\', '*', 'a', '**'), { minLength: 4000, maxLength: 6000 }), (signs) => {
        const bodies = renderDiscord(signs.join(''), none);
        for (const { embeds } of bodies)
          for (const { description } of embeds as Array<{ description: string }>)
            expect(/(?<!\\)(?:\\\\)*\\$/.test(description)).toBe(false);
      }),
      { numRuns: 20 },
    );
  });

  it('has at most five rows of five buttons, labels cut at 80', () => {
    const buttons = Array.from({ length: 40 }, (_, index) => ({ label: 'x'.repeat(100), id: `b${index}` }));
    const rows = renderDiscord('Which?', { buttons, picture: null })[0]!.components as Array<{
      components: Array<{ label: string }>;
    }>;
    expect(rows.map((row) => row.components.length)).toEqual([5, 5, 5, 5, 5]);
    expect(rows[0]!.components[0]!.label).toHaveLength(80);
  });
});

describe('ids of Discord', () => {
  it('hold their time', () => {
    // From: Discord's documentation, reference, snowflakes: the example id and its time.
    expect(timeOf('175928847299117063')).toBe(1_462_015_105_796);
    expect(timeOf(idAt(1_462_015_105_796))).toBe(1_462_015_105_796);
  });
});

describe('the commands of Discord', () => {
  it('are registered all at once, again and again, and refused ones say what to look at', async () => {
    const platform = await discordPlatform();
    const api = discordApi(platform.address, (address, init) => fetch(address, init));
    const settings = { applicationId, botToken: 'good-bot-token-of-tests' };
    for (const server of [null, null, '222222222222222222'])
      expect(await registerCommands(api, settings, server)).toEqual({ registered: discordCommands.length });
    expect([...platform.commands.keys()]).toEqual([
      `/applications/${applicationId}/commands`,
      `/applications/${applicationId}/guilds/222222222222222222/commands`,
    ]);
    expect(await registerCommands(api, { ...settings, botToken: 'wrong' }, null)).toMatchObject({
      because: expect.stringContaining('check DISCORD_APPLICATION_ID and DISCORD_BOT_TOKEN'),
    });
    await platform.stop();
  });
});
