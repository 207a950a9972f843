// The environment: defaults, every kind of mistake in one clear line, and no value of a secret in any of them.
import { describe, expect, it } from 'vitest';
import { readSettings } from '../src/settings.ts';

const key = 'MDEyMzQ1Njc4OWFiY2RlZjAxMjM0NTY3ODlhYmNkZWY=';

const settingsOf = (environment: Record<string, string>) => {
  const read = readSettings(environment);
  if ('mistakes' in read) throw new Error(read.mistakes.join('\n'));
  return read.settings;
};

describe('settings', () => {
  it('takes an issuer whole or not at all, and a folder to try knowledge from', () => {
    const issuer = { OIDC_ISSUER: 'https://issuer.test', OIDC_CLIENT_ID: 'bay', OIDC_CLIENT_SECRET: 's'.repeat(20) };
    expect(settingsOf({ ...issuer, CROSSCOUNT_TRIAL: 'trial' }).values).toMatchObject({
      ...issuer,
      CROSSCOUNT_TRIAL: 'trial',
    });
    for (const name of Object.keys(issuer)) {
      const read = readSettings({ ...issuer, [name]: '' });
      expect('mistakes' in read ? read.mistakes : []).toEqual([expect.stringContaining(`${name} must be set too`)]);
    }
    expect('mistakes' in readSettings({ ...issuer, OIDC_ISSUER: 'issuer' })).toBe(true);
  });

  it('have the defaults of the contract when nothing is set', () => {
    // From: vocabulary.md, "Running it", Environment.
    expect(settingsOf({})).toMatchObject({
      host: '127.0.0.1',
      port: 8787,
      key: null,
      clockOffsetMs: 0,
      secureCookies: false,
    });
  });

  it('take an empty value for unset', () => {
    expect(settingsOf({ PORT: '', CROSSCOUNT_KEY: '', SLACK_BOT_TOKEN: '' })).toMatchObject({ port: 8787, key: null });
  });

  it('turn every channel off that has no secrets and say which are missing', () => {
    expect(settingsOf({}).channelsOff).toEqual({
      slack: 'SLACK_SIGNING_SECRET and SLACK_BOT_TOKEN are not set',
      discord: 'DISCORD_PUBLIC_KEY and DISCORD_APPLICATION_ID and DISCORD_BOT_TOKEN are not set',
      forum: 'FORUM_SECRET and FORUM_REPLY_URL are not set',
    });
    const forum = { FORUM_SECRET: `whsec_${key}`, FORUM_REPLY_URL: 'https://forum.example/hook' };
    expect(settingsOf(forum).channelsOff.forum).toBeUndefined();
  });

  it.each([
    ['one workspace', { SLACK_SIGNING_SECRET: 's'.repeat(32), SLACK_BOT_TOKEN: 'xoxb-1-abcdef' }],
    [
      'several workspaces',
      { SLACK_SIGNING_SECRET: 's'.repeat(32), SLACK_CLIENT_ID: '1.2', SLACK_CLIENT_SECRET: 'c'.repeat(32) },
    ],
    ['Socket Mode', { SLACK_APP_TOKEN: 'xapp-1-abcdef', SLACK_BOT_TOKEN: 'xoxb-1-abcdef' }],
  ])('turn Slack on for %s', (_, environment) => {
    expect(settingsOf(environment as Record<string, string>).channelsOff.slack).toBeUndefined();
  });

  it('name what is missing of the set that was begun furthest', () => {
    const read = readSettings({ SLACK_SIGNING_SECRET: 's'.repeat(32), SLACK_CLIENT_ID: '1.2' });
    expect('mistakes' in read && read.mistakes).toEqual([
      'SLACK_CLIENT_SECRET must be set too, or none of SLACK_SIGNING_SECRET, SLACK_CLIENT_ID, SLACK_CLIENT_SECRET: the channel slack needs all.',
    ]);
  });

  it('ask for secure cookies exactly when the address is https', () => {
    expect(settingsOf({ CROSSCOUNT_ADDRESS: 'https://cars.example/' })).toMatchObject({
      address: 'https://cars.example',
      secureCookies: true,
    });
    expect(settingsOf({ CROSSCOUNT_ADDRESS: 'http://cars.example' }).secureCookies).toBe(false);
  });

  it.each([
    ['PORT', '0', true],
    ['PORT', '65535', true],
    ['PORT', '65536', false],
    ['PORT', '-1', false],
    ['PORT', '80a', false],
    ['PORT', ' 80', false],
    ['PORT', '8e3', false],
    ['HOST', '::1', true],
    ['HOST', 'a b', false],
    ['CROSSCOUNT_KEY', key, true],
    ['CROSSCOUNT_KEY', key.slice(1), false],
    ['CROSSCOUNT_KEY', `${key}=`, false],
    ['CROSSCOUNT_NOW', '-60000', true],
    ['CROSSCOUNT_NOW', '1.5', false],
    ['CROSSCOUNT_NOW', 'soon', false],
    ['CROSSCOUNT_ADDRESS', 'cars.example', false],
    ['CROSSCOUNT_ADDRESS', 'javascript:alert(1)', false],
    ['SLACK_API_URL', 'http://127.0.0.1:9', true],
    ['SLACK_API_URL', 'ftp://127.0.0.1', false],
    ['FORUM_REPLY_URL', 'file:///etc/passwd', false],
  ])('%s=%s fits: %s', (name, value, fits) => {
    const read = readSettings({
      ...(name === 'FORUM_REPLY_URL' ? { FORUM_SECRET: `whsec_${key}` } : {}),
      [name]: value,
    });
    if (fits) expect(read).toHaveProperty('settings');
    else {
      if (!('mistakes' in read)) throw new Error('no mistake was found');
      expect(read.mistakes).toHaveLength(1);
      expect(read.mistakes[0]).toMatch(new RegExp(`^${name} is set but does not fit: it must .+\\.$`));
    }
  });

  it('report all mistakes in one run and show no value', () => {
    const read = readSettings({
      PORT: 'SECRETA',
      CROSSCOUNT_KEY: 'SECRETB',
      DISCORD_PUBLIC_KEY: 'SECRETC',
      SLACK_BOT_TOKEN: 'SECRETD',
    });
    if (!('mistakes' in read)) throw new Error('no mistake was found');
    const text = read.mistakes.join('\n');
    for (const name of ['PORT', 'CROSSCOUNT_KEY', 'DISCORD_PUBLIC_KEY', 'SLACK_BOT_TOKEN', 'SLACK_SIGNING_SECRET'])
      expect(text).toContain(name);
    expect(text).not.toContain('SECRET'.concat('A'));
    expect(text).not.toMatch(/SECRET[A-D]/);
    expect(text).toContain('DISCORD_APPLICATION_ID and DISCORD_BOT_TOKEN must be set too');
  });
});
