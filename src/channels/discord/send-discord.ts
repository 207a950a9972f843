// Sends messages of the outbox to Discord: into the place that the interaction holds open, else into the channel; corrections in
// place. Delivery calls it through the Channel.
import { openQuestion, replyPicture } from '../../serving/shown-with-reply.ts';
import type { OutboxMessage, StoredAnswer } from '../../store/store.ts';
import type { Channel, FindOutcome, SendOutcome } from '../channel.ts';
import type { DiscordApi, DiscordCall, DiscordResult } from './discord-api.ts';
import type { DiscordDeps } from './discord-deps.ts';
import { type DiscordPlace, type DiscordTarget, idAt, readPlace, readTarget } from './discord-place.ts';
import { type DiscordBody, type DiscordExtras, renderDiscord } from './render-discord.ts';

/** An interaction's token works for 15 minutes; a minute less for clocks that differ [ms]. Source: discord-interactions */
const tokenLivesMs = 14 * 60_000;
/** Discord's numbers of errors. Source: discord-opcodes (docs: topics/opcodes-and-status-codes) */
const tokenGone = new Set([10_062, 10_015, 50_027]);
const messageGone = 10_008;
const alreadyAcknowledged = 40_060;
const wrongForm = 50_035;

const withdrawnWords = '**This answer was withdrawn: please do not act on it.**';
const correctedWords = '**This answer was corrected: what counts now stands further down.**';

interface Sending {
  readonly message: OutboxMessage;
  readonly place: DiscordPlace;
  readonly target: DiscordTarget | null;
  readonly bodies: readonly DiscordBody[];
  readonly png: Uint8Array<ArrayBuffer> | null;
}

export function discordSender(deps: DiscordDeps & { readonly api: DiscordApi }): Pick<Channel, 'send' | 'find'> {
  const { settings, api, store, clock, log } = deps;
  const { botToken, applicationId } = settings;
  /** The bot's token was refused: nothing more is sent with it until the program starts anew, or Discord bans the address. */
  let isTokenDead = false;
  /** Channels that the bot may not write in. */
  const closed = new Set<string>();

  /** A call with the bot's token, unless it is known to be in vain. */
  async function asBot(channel: string, call: Omit<DiscordCall, 'botToken'>): Promise<DiscordResult> {
    if (isTokenDead) return { kind: 'rejected', status: 401, code: 0 };
    if (closed.has(channel)) return { kind: 'rejected', status: 403, code: 50_001 };
    const result = await api({ ...call, botToken });
    if (result.kind === 'rejected' && result.status === 401) isTokenDead = true;
    if (result.kind === 'rejected' && result.status === 403) closed.add(channel);
    return result;
  }

  const byInteraction = (token: string, end: string) => `/webhooks/${applicationId}/${token}/messages/${end}`;

  /** Fills the place that the deferred answer holds; the same twice over leaves one message. */
  async function fillPlace({ bodies, png }: Sending, token: string): Promise<DiscordResult> {
    const [first, ...more] = bodies;
    const filled = await api({
      method: 'PATCH',
      path: byInteraction(token, '@original'),
      body: first,
      png: more.length === 0 ? png : null,
      botToken: null,
    });
    for (const [index, body] of filled.kind === 'ok' ? more.entries() : []) {
      const isLast = index === more.length - 1;
      const path = `/webhooks/${applicationId}/${token}`;
      const result = await api({ method: 'POST', path, body, png: isLast ? png : null, botToken: null });
      if (result.kind !== 'ok') return result;
    }
    return filled;
  }

  /** Messages of the channel; Discord itself drops a second copy with the same nonce within some minutes. */
  async function postTo(channel: string, { message, bodies, target, png }: Sending): Promise<DiscordResult> {
    let last: DiscordResult = { kind: 'unknown', because: 'there was nothing to send' };
    for (const [index, body] of bodies.entries()) {
      const reference = target?.reference;
      last = await asBot(channel, {
        method: 'POST',
        path: `/channels/${channel}/messages`,
        body: {
          ...body,
          nonce: await nonceOf(message.marker, index),
          enforce_nonce: true,
          ...(reference ? { message_reference: { message_id: reference, fail_if_not_exists: false } } : {}),
        },
        png: index === bodies.length - 1 ? png : null,
      });
      if (last.kind !== 'ok') return last;
    }
    return last;
  }

  /** After its token's time a private reply goes to its writer's direct messages. */
  async function directChannel(user: string): Promise<DiscordResult> {
    return asBot('@me', { method: 'POST', path: '/users/@me/channels', body: { recipient_id: user } });
  }

  async function postAfterwards(sending: Sending): Promise<DiscordResult> {
    const { target, place } = sending;
    if (!target?.isPrivate) return postTo(place.channel, sending);
    const opened = await directChannel(target.user);
    return opened.kind === 'ok' && typeof opened.body.id === 'string' ? postTo(opened.body.id, sending) : opened;
  }

  /** Changes a message that stands, by its interaction while that lasts, else as the bot. */
  async function edit(sending: Sending, platformId: string, body: DiscordBody | null): Promise<DiscordResult> {
    const [channel = '', id = ''] = platformId.split('/', 2);
    const method = body === null ? ('DELETE' as const) : ('PATCH' as const);
    const call = { method, ...(body === null ? {} : { body }) };
    const token = freshToken(sending.target, clock());
    if (token !== null) {
      const result = await api({ ...call, path: byInteraction(token, id), botToken: null });
      if (!isTokenGone(result)) return result;
    }
    return asBot(channel, { ...call, path: `/channels/${channel}/messages/${id}` });
  }

  async function sendNew(sending: Sending): Promise<SendOutcome> {
    const token = sending.message.kind === 'reply' ? freshToken(sending.target, clock()) : null;
    if (token !== null) {
      const result = await fillPlace(sending, token);
      if (!isTokenGone(result)) return outcomeOf(result);
    }
    return outcomeOf(await postAfterwards(sending));
  }

  async function sendLater(sending: Sending, answer: StoredAnswer | null, old: string): Promise<SendOutcome> {
    const { message } = sending;
    if (answer === null) return outcomeOf(await edit(sending, old, null), 'gone is well');
    if (answer.document.reply.text === message.text) {
      const result = await edit(sending, old, sending.bodies[0] ?? null);
      return isMessageGone(result) ? sendNew(sending) : outcomeOf(result);
    }
    // A moderator's word comes as a message of its own, and the old one says so.
    const says = message.kind === 'withdrawal' ? withdrawnWords : correctedWords;
    const marked = renderDiscord(`${says}\n\n${answer.document.reply.markdown}`, { buttons: [], picture: null });
    const result = await edit(sending, old, marked[0] ?? null);
    if (result.kind !== 'ok' && result.kind !== 'rejected') return outcomeOf(result);
    return sendNew(sending);
  }

  function outcomeOf(
    result: DiscordResult,
    gone: 'gone is well' | 'gone is an error' = 'gone is an error',
  ): SendOutcome {
    switch (result.kind) {
      case 'ok':
        return { kind: 'sent', platformId: platformIdOf(result.body) };
      case 'wait':
        return { kind: 'retry', afterMs: result.afterMs, because: 'Discord asks for patience' };
      case 'unreached':
        return { kind: 'retry', afterMs: null, because: 'Discord cannot be reached' };
      case 'unknown':
        return { kind: 'unknown', because: result.because };
      case 'rejected':
        if (result.code === alreadyAcknowledged) return { kind: 'sent', platformId: null };
        if (gone === 'gone is well' && result.status === 404) return { kind: 'sent', platformId: null };
        if (result.code === wrongForm) log.error('discord refuses the form of a message', { status: result.status });
        return { kind: 'refused', because: `Discord refuses: status ${result.status}, code ${result.code}` };
    }
  }

  async function prepare(message: OutboxMessage): Promise<{ sending: Sending; answer: StoredAnswer | null } | null> {
    const place = readPlace(message.conversation);
    if (!place) return null;
    const answer = message.postId === null ? null : await store.readAnswerOfPost(message.postId);
    const extras = await extrasOf(deps, message, answer);
    const bodies = renderDiscord(message.markdown, { ...extras, address: settings.address });
    const target = readTarget(message.place);
    return { sending: { message, place, target, bodies, png: extras.picture?.png ?? null }, answer };
  }

  return {
    async send(message) {
      const prepared = await prepare(message);
      if (!prepared) return { kind: 'refused', because: 'the conversation is none of Discord' };
      const { sending, answer } = prepared;
      const old = message.replaces?.platformId ?? null;
      if (old !== null) return sendLater(sending, answer, old);
      // What never stood cannot be taken away.
      if (message.kind === 'withdrawal' && answer === null) return { kind: 'sent', platformId: null };
      return sendNew(sending);
    },

    async find(message): Promise<FindOutcome> {
      const prepared = await prepare(message);
      if (!prepared) return { kind: 'absent' };
      const { place, target, bodies } = prepared.sending;
      // Changing a place or a message twice is no harm.
      if (message.replaces || freshToken(target, clock()) !== null || target?.isPrivate) return { kind: 'absent' };
      // A minute for clocks that differ.
      const after = idAt(message.createdAt - 60_000);
      const result = await asBot(place.channel, {
        method: 'GET',
        path: `/channels/${place.channel}/messages?limit=100&after=${after}`,
      });
      // Without the right to read, the nonce alone guards.
      if (result.kind === 'rejected') return { kind: 'absent' };
      if (result.kind !== 'ok') return { kind: 'unsure', because: 'Discord did not list the channel' };
      const ours = findOwn(result.body.list, applicationId, bodies.at(-1));
      return ours === null ? { kind: 'absent' } : { kind: 'found', platformId: ours };
    },
  };
}

async function extrasOf(
  deps: DiscordDeps,
  message: OutboxMessage,
  answer: StoredAnswer | null,
): Promise<DiscordExtras> {
  if (!answer || answer.document.reply.text !== message.text) return { buttons: [], picture: null };
  const question = openQuestion(answer.document, message.text);
  const quick = (question?.answers ?? []).slice(0, 20).map((option, index) => ({
    label: option.text,
    id: `answer|${answer.postId}|${index}`,
  }));
  const shown = replyPicture(answer.document);
  const png = shown && (await deps.renderPicture(shown.path));
  return {
    buttons: [...quick, { label: 'Tell more', id: `more|${answer.postId}`, style: 'main' }],
    picture: shown && png ? { png, alt: shown.alt } : null,
  };
}

function freshToken(target: DiscordTarget | null, now: number): string | null {
  return target?.token && now - target.since < tokenLivesMs ? target.token : null;
}

const isTokenGone = (result: DiscordResult) =>
  result.kind === 'rejected' && (tokenGone.has(result.code) || result.status === 401);
const isMessageGone = (result: DiscordResult) => result.kind === 'rejected' && result.code === messageGone;

function platformIdOf(body: Readonly<Record<string, unknown>>): string | null {
  return typeof body.id === 'string' && typeof body.channel_id === 'string' ? `${body.channel_id}/${body.id}` : null;
}

/** At most 25 characters that are always the same for one message. Source: discord-message (nonce) */
async function nonceOf(marker: string, part: number): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(`${marker} ${part}`)));
  return [...hash.subarray(0, 12)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

function findOwn(list: unknown, applicationId: string, body: DiscordBody | undefined): string | null {
  if (!Array.isArray(list) || !body) return null;
  const embeds = JSON.stringify(body.embeds);
  for (const one of list as ReadonlyArray<Record<string, unknown>>) {
    const author = one.author as { id?: unknown } | undefined;
    const shown = ((one.embeds ?? []) as Array<{ description?: unknown }>).map(({ description }) => ({ description }));
    if (author?.id === applicationId && one.content === body.content && JSON.stringify(shown) === embeds)
      return platformIdOf(one);
  }
  return null;
}
