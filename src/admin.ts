// `npm run admin -- <command>`: what the person who runs the program can look at and do, on one machine. It opens the same
// database file as the server, also while that runs.
import { existsSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { readSettings, type Settings } from './settings.ts';
import { type OpenedStore, openStore } from './store/sqlite/open-store.ts';
import type { OutboxMessage, PostState, Role } from './store/store.ts';
import { sha256, toBase64 } from './store/vault.ts';
import { Problem } from './vocabulary/problems.ts';

const usage = `npm run admin -- inbox [--state waiting|failed|answered] [--words]
                                    posts in that state (waiting when not named), oldest first
npm run admin -- outbox [--words]          messages that are due
npm run admin -- undeliverable [--words]   messages that were given up
npm run admin -- sign-in NAME [--role helper|moderator]
                                    prints a sign-in link that works once, within an hour
npm run admin -- erase --channel C --conversation X    everything of one conversation
npm run admin -- erase --channel C --author X          everything of one writer
npm run admin -- backup FILE               a copy of the database, also while the server runs

Words of people are shown only with --words. Longest list: 500 lines.
`;

const linkLivesMs = 60 * 60 * 1000;
const listLimit = 500;

const options = {
  state: { type: 'string', default: 'waiting' },
  role: { type: 'string', default: 'moderator' },
  channel: { type: 'string' },
  conversation: { type: 'string' },
  author: { type: 'string' },
  words: { type: 'boolean', default: false },
  help: { type: 'boolean', short: 'h', default: false },
} as const;

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
    case 'outbox':
    case 'undeliverable': {
      const state: OutboxMessage['state'] = command === 'outbox' ? 'due' : 'undeliverable';
      const messages = await store.listMessages(state, listLimit);
      return messages.map((message) =>
        line(
          [message.messageId, time(message.createdAt), message.channel, message.kind, `attempts ${message.attempts}`],
          values.words ? message.text : null,
        ),
      );
    }
    case 'sign-in': {
      if (!argument || argument.length > 80) throw new WrongUse('sign-in needs a name of at most 80 characters.');
      const token = toBase64(crypto.getRandomValues(new Uint8Array(32)))
        .replaceAll('+', '-')
        .replaceAll('/', '_')
        .replaceAll('=', '');
      const role = roleOf(values.role);
      await store.addSignInLink({ tokenHash: await sha256(token), name: argument, role, expiresAt: now + linkLivesMs });
      const address = settings.address ?? `http://${settings.host}:${settings.port}`;
      return [
        `${address}/bay/sign-in?token=${token}`,
        `for ${argument} as ${role}; works once, until ${time(now + linkLivesMs)}`,
      ];
    }
    case 'erase': {
      const { channel, conversation, author } = values;
      if (!channel || (conversation === undefined) === (author === undefined))
        throw new WrongUse('erase needs --channel, and either --conversation or --author.');
      const posts =
        conversation === undefined
          ? await store.erasePerson(channel, author!, now)
          : await store.eraseConversation(channel, conversation, now);
      return [`erased ${posts} post(s); copies made earlier (backups) still hold them until you delete those`];
    }
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

function postState(given: string): PostState {
  if (given === 'waiting' || given === 'answered' || given === 'failed') return given;
  throw new WrongUse('--state is waiting, answered or failed.');
}

function roleOf(given: string): Role {
  if (given === 'helper' || given === 'moderator') return given;
  throw new WrongUse('--role is helper or moderator.');
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
  const wrongUse = error instanceof WrongUse || (error instanceof TypeError && 'code' in error);
  if (!wrongUse && !(error instanceof Problem)) throw error;
  process.stderr.write(`${error.message}\n${wrongUse ? `\n${usage}` : ''}`);
  process.exitCode = wrongUse ? 2 : 1;
}
