// The HTTP route of Discord's interactions: proved, read, stored, and answered with a place that the reply fills later. app.ts
// mounts it at /discord.
import { type Context, Hono } from 'hono';
import { describeError } from '../../serving/log.ts';
import { isDeeperThan } from '../../serving/read-json.ts';
import type { Post } from '../../vocabulary/post.ts';
import { Problem } from '../../vocabulary/problems.ts';
import { askName, draftName, forgetName, privacyName } from './discord-commands.ts';
import type { DiscordRoutesDeps } from './discord-deps.ts';
import { answerPrivately, draftWindow, sendDraft, showDraft, windowOf } from './discord-drafts.ts';
import { withFiles } from './discord-files.ts';
import { discordChannelName } from './discord-settings.ts';
import {
  anyInteraction,
  type ChatCommand,
  channelIn,
  ephemeralFlag,
  type Interaction,
  type MessageCommand,
  personIn,
  ping,
  postIn,
  postOfCommand,
  targetOf,
} from './read-interaction.ts';
import { isFromDiscord } from './verify-discord.ts';

const depthLimit = 64;
const moreLimit = 4_000;

const privacyWords =
  'I keep what you write to me, encrypted, so that a question can go on and a moderator can check the answers. ' +
  'I read only what you give to a command, a button or a window, and messages that a helper hands me by the menu entry. ' +
  '`/forget-me` erases everything of yours.';

/** What to answer an interaction with, and the work that goes on after it. */
interface Answer {
  readonly body: Readonly<Record<string, unknown>>;
  readonly after?: () => Promise<void>;
}

export function discordRoutes(deps: DiscordRoutesDeps): Hono {
  const routes = new Hono();
  routes.post('/interactions', async (context) => {
    const body = new Uint8Array(await context.req.raw.arrayBuffer());
    const proof = {
      body,
      timestamp: context.req.header('X-Signature-Timestamp') ?? null,
      signature: context.req.header('X-Signature-Ed25519') ?? null,
    };
    if (!(await isFromDiscord(proof, deps.settings.publicKey, deps.clock())))
      throw new Problem('unauthorised', 'The signature is missing, wrong or too old.');
    const value = readBody(body);
    if (ping.safeParse(value).success) return context.json({ type: 1 });
    const read = anyInteraction.safeParse(value);
    if (!read.success) throw new Problem('invalid', 'This kind of interaction is not known here.');
    const { body: answer, after } = await answerTo(deps, read.data);
    if (after) keepAlive(context, deps, after);
    return context.json(answer);
  });
  return routes;
}

/** Discord repeats nothing, so who wrote must hear when it could not be taken in. */
async function answerTo(deps: DiscordRoutesDeps, interaction: Interaction): Promise<Answer> {
  try {
    return await dispatch(deps, interaction);
  } catch (error) {
    if (!(error instanceof Problem) || error.code === 'internal') throw error;
    deps.log.warn('discord interaction refused', describeError(error));
    return { body: answerPrivately(`That did not work, nothing was kept: ${error.message}`) };
  }
}

async function dispatch(deps: DiscordRoutesDeps, interaction: Interaction): Promise<Answer> {
  if (interaction.type === 2) {
    if (!isMessageCommand(interaction)) return command(deps, interaction);
    return { body: { type: 5, data: { flags: ephemeralFlag } }, after: () => showDraft(deps, interaction) };
  }
  const [kind = '', subject = '', index = ''] = interaction.data.custom_id.split('|', 3);
  if (interaction.type === 5) {
    if (kind === 'draft') return { body: await sendDraft(deps, interaction, subject) };
    const words = interaction.data.components[0]?.components[0]?.value.trim() ?? '';
    return goOn(deps, interaction, subject, `interaction/${interaction.id}`, () => words);
  }
  switch (kind) {
    case 'draft':
      return { body: await draftWindow(deps, subject) };
    case 'more':
      return {
        body: windowOf(`more|${subject}`, 'Tell more about the car', 'What else is there to say?', '', moreLimit),
      };
    default:
      // A second press, on whatever answer, is the same event: the first one counts.
      return goOn(deps, interaction, subject, `answer/${subject}`, (document) => {
        return document.questions[0]?.answers[Number(index)]?.text ?? '';
      });
  }
}

function isMessageCommand(interaction: ChatCommand | MessageCommand): interaction is MessageCommand {
  return interaction.data.type === 3;
}

async function command(deps: DiscordRoutesDeps, interaction: ChatCommand): Promise<Answer> {
  switch (interaction.data.name) {
    case askName: {
      const { post, files } = postOfCommand(interaction, deps.clock());
      if (post.text.trim() === '' && files.length === 0) return { body: answerPrivately('Write what the car does.') };
      const isPrivate = (interaction.data.options ?? []).some((one) => one.name === 'private' && one.value === true);
      return take(deps, await withFiles(deps, post, files), isPrivate);
    }
    case forgetName:
      return { body: { type: 5, data: { flags: ephemeralFlag } }, after: () => forget(deps, interaction) };
    case privacyName:
      return { body: answerPrivately(privacyWords) };
    default:
      return {
        body: answerPrivately(
          `This command is not known any more. Try /${askName}, or "${draftName}" in the menu of a message.`,
        ),
      };
  }
}

/** Goes on with the conversation of an earlier reply, known by its post. */
async function goOn(
  deps: DiscordRoutesDeps,
  interaction: Extract<Interaction, { type: 3 | 5 }>,
  subject: string,
  eventId: string,
  wordsOf: (
    document: NonNullable<Awaited<ReturnType<DiscordRoutesDeps['store']['readAnswerOfPost']>>>['document'],
  ) => string,
): Promise<Answer> {
  const answer = /^\d{1,15}$/.test(subject) ? await deps.store.readAnswerOfPost(Number(subject)) : null;
  const server = interaction.guild_id ?? '@me';
  const isHere =
    answer?.channel === discordChannelName && answer.conversation.startsWith(`${server}/${channelIn(interaction).id}/`);
  const text = answer && isHere ? wordsOf(answer.document) : '';
  if (!answer || text === '') return { body: answerPrivately('That question is over: ask again with /ask.') };
  const isPrivate = ((interaction.message?.flags ?? 0) & ephemeralFlag) !== 0;
  const target = targetOf(interaction, isPrivate, deps.clock());
  return take(deps, postIn(interaction, { eventId, conversation: answer.conversation, text, target }), isPrivate);
}

/** Stores the post, then holds a place open for its reply. */
async function take(deps: DiscordRoutesDeps, post: Post, isPrivate: boolean): Promise<Answer> {
  const { postId, fresh } = await deps.inbox.accept(post);
  if (postId === null) return { body: answerPrivately('This was erased.') };
  if (!fresh) return { body: answerPrivately('That was answered already.') };
  return { body: { type: 5, ...(isPrivate ? { data: { flags: ephemeralFlag } } : {}) } };
}

async function forget(deps: DiscordRoutesDeps, interaction: ChatCommand): Promise<void> {
  const removed = await deps.store.erasePerson(discordChannelName, personIn(interaction).id, deps.clock());
  deps.log.info('person erased on request', { channel: discordChannelName, posts: removed });
  await deps.api({
    method: 'PATCH',
    path: `/webhooks/${deps.settings.applicationId}/${interaction.token}/messages/@original`,
    body: {
      content: `Done: ${removed} of your posts are erased, with the answers to them. My replies in channels stay until they are deleted there.`,
    },
    botToken: null,
  });
}

/** On Workers what runs after the response must be announced; on Node it goes on by itself. */
function keepAlive(context: Context, deps: DiscordRoutesDeps, work: () => Promise<void>): void {
  const running = work().catch((error: unknown) => deps.log.error('discord work failed', describeError(error)));
  let execution: Context['executionCtx'];
  try {
    execution = context.executionCtx;
  } catch {
    return;
  }
  execution.waitUntil(running);
}

function readBody(bytes: Uint8Array): unknown {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Problem('invalid', 'The body is not UTF-8 text.');
  }
  if (isDeeperThan(text, depthLimit)) throw new Problem('invalid', 'The body is nested too deep.');
  try {
    return JSON.parse(text);
  } catch {
    throw new Problem('invalid', 'The body is not JSON.');
  }
}
