// `npm run admin -- <command>`: what the person who runs the program can look at and do, on one machine. It opens the same
// database file as the server, also while that runs.
import { existsSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { discordApi } from './channels/discord/discord-api.ts';
import { registerCommands } from './channels/discord/discord-commands.ts';
import { discordApiUrl } from './channels/discord/discord-settings.ts';
import { addSignInLink, linkLivesMs, newSignInLink } from './serving/sign-in-link.ts';
import { readSettings, type Settings } from './settings.ts';
import type { BayStore } from './store/bay-store.ts';
import { type OpenedStore, openStore } from './store/sqlite/open-store.ts';
import { restoreStore } from './store/sqlite/restore-store.ts';
import type { OutboxMessage, PostState, Role, Store } from './store/store.ts';
import { Problem } from './vocabulary/problems.ts';

const usage = `npm run admin -- inbox [--state waiting|failed|answered] [--words]
                                    posts in that state (waiting when not named), oldest first
npm run admin -- outbox [--words]          messages that are due
npm run admin -- undeliverable [--words]   messages that were given up, and why
npm run admin -- redeliver ID              takes one of those back into the outbox
npm run admin -- sign-in NAME [--role helper|moderator] [--community C ...] [--d1]
                                    prints a sign-in link that works once, within an hour; with --d1 the command that
                                    puts it into the database on Workers (set CROSSCOUNT_ADDRESS to the address there)
npm run admin -- erase --channel C --conversation X    everything of one conversation
npm run admin -- erase --channel C --author X          everything of one writer
npm run admin -- export --channel C --author X         everything of one writer, as JSON
npm run admin -- allow "ISSUER SUBJECT" NAME [--role helper|moderator] [--community C ...]
                                    lets somebody in through the sign-in issuer; the bay says the first two to who tries
npm run admin -- disallow "ISSUER SUBJECT"             takes that back and ends the sessions
npm run admin -- grants                    who is let in through the issuer
npm run admin -- rerun [FOLDER]            works all reviewed cases again under that knowledge folder (the present one when
                                    not named) and says what moved; goes on where an interrupted run stopped
npm run admin -- audit [--known ENTRY:HASH]    checks the chain of the audit log, and that an entry noted earlier is there;
                                    prints the last entries
npm run admin -- discord-commands [SERVER]  registers the bot's commands with Discord, for one server when its id is named
npm run admin -- backup FILE               a copy of the database, also while the server runs
npm run admin -- restore FILE              puts such a copy in its place, while the server is stopped

Words of people are shown only with --words. Longest list: 500 lines.
`;

const listLimit = 500;
/** Entries of the audit log that are printed after the check. */
const auditLines = 20;

/** Who acts, for the audit log. */
const byCommand = '(command line)';

const options = {
  state: { type: 'string', default: 'waiting' },
  role: { type: 'string', default: 'moderator' },
  channel: { type: 'string' },
  conversation: { type: 'string' },
  author: { type: 'string' },
  community: { type: 'string', multiple: true },
  known: { type: 'string' },
  d1: { type: 'boolean', default: false },
  words: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const;

async function registerOnDiscord({ values }: Settings, server: string | null): Promise<string> {
  const { DISCORD_APPLICATION_ID: applicationId, DISCORD_BOT_TOKEN: botToken } = values;
  if (applicationId === undefined || botToken === undefined)
    throw new Problem('invalid', 'DISCORD_APPLICATION_ID and DISCORD_BOT_TOKEN must be set');
  if (server !== null && !/^\d{15,25}$/.test(server)) throw new WrongUse('a server is named by its id, a long number');
  const api = discordApi((values.DISCORD_API_URL ?? discordApiUrl).replace(/\/{1,9}$/, ''), (address, init) =>
    fetch(address, init),
  );
  const outcome = await registerCommands(api, { applicationId, botToken }, server);
  if ('because' in outcome) throw new Problem('unavailable', outcome.because);
  return `${outcome.registered} commands are registered ${server === null ? 'everywhere' : `on server ${server}`}`;
}

/** What parseArgs throws for an option that it does not know. */
function isWrongOption(error: unknown): error is TypeError {
  return error instanceof TypeError && 'code' in error && String(error.code).startsWith('ERR_PARSE_ARGS');
}

/** Wrong use of a command: one sentence, then the usage. */
class WrongUse extends Error {}

type Given = ReturnType<typeof parseArgs<{ options: typeof options; allowPositionals: true }>>;

async function run(opened: OpenedStore, { values, positionals }: Given, settings: Settings): Promise<string[]> {
  const { store } = opened;
  const [command, argument] = positionals;
  const now = Date.now() + settings.clockOffsetMs;
  switch (command) {
    case 'inbox': {
      const posts = await store.listPosts(postState(values.state), listLimit);
      return posts.map((post) =>
        line(
          [post.postId, time(post.receivedAt), post.channel, `attempts ${post.attempts}`],
          values.words ? post.text : null,
        ),
      );
    }
    case 'discord-commands':
      return [await registerOnDiscord(settings, argument ?? null)];
    case 'outbox':
    case 'undeliverable': {
      const state: OutboxMessage['state'] = command === 'outbox' ? 'due' : 'undeliverable';
      const messages = await store.listMessages(state, listLimit);
      return messages.map((message) =>
        line(
          [
            message.messageId,
            time(message.createdAt),
            message.channel,
            message.kind,
            `attempts ${message.attempts}`,
            message.because ?? '-',
          ],
          values.words ? message.text : null,
        ),
      );
    }
    case 'redeliver': {
      if (!/^\d{1,15}$/.test(argument ?? '')) throw new WrongUse('redeliver needs the number of the message.');
      const taken = await store.redeliverMessage(Number(argument), now);
      return [taken ? 'it is due again' : 'there is no such message on the undeliverable list'];
    }
    case 'sign-in': {
      if (argument === undefined) throw new WrongUse('sign-in needs a name.');
      const role = roleOf(values.role);
      const address = settings.address ?? `http://${settings.host}:${settings.port}`;
      const until = `for ${argument} as ${role}; works once, until ${time(now + linkLivesMs)}`;
      const communities = values.community ?? null;
      if (!values.d1) return [await addSignInLink(store, argument, role, address, now, communities), until];
      const link = await newSignInLink(argument, role, address, now, communities);
      return [link.address, until, 'It works after this command:', insertCommand(link.stored)];
    }
    case 'erase': {
      const { channel, conversation, author } = values;
      if (!channel || (conversation === undefined) === (author === undefined))
        throw new WrongUse('erase needs --channel, and either --conversation or --author.');
      const posts =
        conversation === undefined
          ? await store.erasePerson(channel, author!, now, byCommand)
          : await store.eraseConversation(channel, conversation, now, byCommand);
      return [`erased ${posts} post(s); copies made earlier (backups) still hold them until you delete those`];
    }
    case 'export': {
      const { channel, author } = values;
      if (!channel || !author) throw new WrongUse('export needs --channel and --author.');
      return [JSON.stringify(await store.exportPerson(channel, author, now, byCommand), null, 2)];
    }
    case 'allow': {
      const name = positionals[2];
      if (argument === undefined || !/^https?:\/\/\S{1,300} \S{1,300}$/.test(argument) || name === undefined)
        throw new WrongUse('allow needs the issuer and the subject in quotes, as the bay shows them, and a name.');
      const communities = values.community ?? null;
      // The rules for names and communities are those of links.
      await newSignInLink(name, roleOf(values.role), '', now, communities);
      await store.putGrant({ subject: argument, name, role: roleOf(values.role), communities }, now, byCommand);
      return [`${name} may come in as ${values.role}`];
    }
    case 'disallow': {
      if (argument === undefined) throw new WrongUse('disallow needs the issuer and the subject in quotes.');
      return [
        (await store.removeGrant(argument, now, byCommand))
          ? 'taken back; sessions ended'
          : 'nobody of that name was let in',
      ];
    }
    case 'grants':
      return (await store.listGrants()).map(({ subject, name, role, communities }) =>
        line([name, role, communities?.join(',') ?? 'all communities', subject], null),
      );
    case 'rerun': {
      // The other commands need neither the knowledge base nor the answer, which take a second to load.
      const { rerunByCommand } = await import('./rerun-by-command.ts');
      return rerunByCommand(store, argument, (text) => process.stderr.write(text));
    }
    case 'audit':
      return checkAudit(store, values.known);
    case 'backup': {
      if (!argument) throw new WrongUse('backup needs the file to write.');
      if (existsSync(argument)) throw new WrongUse(`${argument} exists already: name a new file.`);
      await opened.connection.database.backup(argument);
      return [`copied to ${argument}; it can be read only with the same CROSSCOUNT_KEY, which is not in it`];
    }
    default:
      throw new WrongUse(command ? `there is no command ${command}.` : 'name a command.');
  }
}

/** @throws Problem `conflict` when the log does not hold together */
async function checkAudit(store: BayStore, known: string | undefined): Promise<string[]> {
  const given = /^(\d{1,15}):([\w-]{43})$/.exec(known ?? '');
  if (known !== undefined && !given)
    throw new WrongUse('--known is an entry and its hash, as audit prints them: 12:...');
  const verdict = await store.verifyAudit(given ? { entry: Number(given[1]), hash: given[2]! } : null);
  if (verdict.wrong !== null) throw new Problem('conflict', `the audit log does not hold together: ${verdict.wrong}`);
  const entries = await store.listAudit({ before: null, about: null }, auditLines);
  return [
    ...entries
      .toReversed()
      .map(({ entry, at, who, act, about, details }) =>
        line([entry, time(at), who, act, about, JSON.stringify(details)], null),
      ),
    `${verdict.entries} entries, from ${verdict.first} on, each following from the one before`,
    ...(verdict.last ? [`note this down outside the database: ${verdict.last.entry}:${verdict.last.hash}`] : []),
  ];
}

function postState(given: string): PostState {
  if (given === 'waiting' || given === 'answered' || given === 'failed') return given;
  throw new WrongUse('--state is waiting, answered or failed.');
}

function roleOf(given: string): Role {
  if (given === 'helper' || given === 'moderator') return given;
  throw new WrongUse('--role is helper or moderator.');
}

/** The names and hashes hold no quote, so that neither SQL nor a shell can read them otherwise. */
function insertCommand({
  tokenHash,
  name,
  role,
  communities,
  expiresAt,
}: Parameters<Store['addSignInLink']>[0]): string {
  const values = `'${tokenHash}', '${name}', '${role}', ${expiresAt}, '${communities?.join(' ') ?? '*'}'`;
  return `npx wrangler d1 execute crosscount --remote --command "INSERT INTO sign_in_links (token_hash, name, role, expires_at, communities) VALUES (${values})"`;
}

const time = (ms: number) => new Date(ms).toISOString();

/** One line, whatever the words contain: control characters could move the cursor or colour the screen. */
function line(parts: ReadonlyArray<string | number>, words: string | null): string {
  const shown = words === null ? [] : [JSON.stringify(words.slice(0, 200)).replaceAll(/[\p{Cc}\p{Cf}]/gu, '?')];
  return [...parts, ...shown].join('  ');
}

async function main(): Promise<number> {
  const given = parseArgs({ options, allowPositionals: true });
  if (given.values.help) {
    process.stdout.write(usage);
    return 0;
  }
  const read = readSettings(process.env);
  if ('mistakes' in read) {
    process.stderr.write(`${read.mistakes.join('\n')}\n`);
    return 2;
  }
  const [command, argument] = given.positionals;
  if (command === 'restore') {
    if (argument === undefined) throw new WrongUse('restore needs the file to read.');
    const { counts, before } = await restoreStore(read.settings.database, argument, read.settings.key);
    process.stdout.write(
      `restored ${counts.answers} answer(s)${before === null ? '' : `; the database from before is ${before}`}\n`,
    );
    return 0;
  }
  const opened = await openStore(read.settings.database, read.settings.key);
  try {
    const lines = await run(opened, given, read.settings);
    process.stdout.write(lines.length === 0 ? 'nothing\n' : `${lines.join('\n')}\n`);
    return 0;
  } finally {
    await opened.store.close();
  }
}

try {
  process.exitCode = await main();
} catch (error) {
  const wrongUse = error instanceof WrongUse || isWrongOption(error);
  if (!wrongUse && !(error instanceof Problem)) throw error;
  process.stderr.write(`${error.message}\n${wrongUse ? `\n${usage}` : ''}`);
  process.exitCode = wrongUse ? 2 : 1;
}
