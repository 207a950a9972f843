// Sends messages of the outbox to Slack: into the thread, with buttons and a picture; corrections in place; looked up by their
// marker before a second try. Delivery calls it through the Channel.
import type { Log } from '../../serving/log.ts';
import { openQuestion, replyPicture } from '../../serving/shown-with-reply.ts';
import type { OutboxMessage, Store, StoredAnswer } from '../../store/store.ts';
import type { Channel, FindOutcome, SendOutcome } from '../channel.ts';
import { findParts } from './find-slack.ts';
import { type PictureSource, renderSlack, type SlackExtras, type SlackPart, textBudget } from './render-slack.ts';
import { readPrivateTarget, sendPrivately } from './send-privately.ts';
import type { SlackApi, SlackResult } from './slack-api.ts';
import { slackOutcome } from './slack-outcome.ts';
import { type RenderPicture, slackPicture } from './slack-picture.ts';
import { readPlace, threadOf } from './slack-place.ts';
import type { SlackSending } from './slack-sending.ts';
import { type SlackSettings, slackChannelName } from './slack-settings.ts';
import type { Workspaces } from './workspaces.ts';

export interface SlackSenderDeps {
  readonly settings: SlackSettings;
  readonly api: SlackApi;
  readonly workspaces: Workspaces;
  readonly store: Pick<Store, 'readAnswerOfPost'>;
  readonly clock: () => number;
  readonly log: Log;
  /** PNG of one of our pictures; null when there is no such picture. */
  readonly renderPicture: RenderPicture;
}

const withdrawnWords = '**This answer was withdrawn: please do not act on it.**';
const correctedWords = '**This answer was corrected: what counts now stands further down.**';

export function slackSender(deps: SlackSenderDeps): Pick<Channel, 'send' | 'find'> {
  const { api, workspaces, store } = deps;

  async function prepare(message: OutboxMessage): Promise<SlackSending | SendOutcome> {
    const place = readPlace(message.conversation);
    if (!place) return { kind: 'refused', because: 'the conversation is none of Slack' };
    const answer = await workspaces.tokenOf(place.team);
    if (answer.kind === 'none') return { kind: 'refused', because: answer.because };
    if (answer.kind === 'later') return { kind: 'retry', afterMs: null, because: answer.because };
    return { token: answer.token.botToken, place, message };
  }

  /** A dead token stops its whole workspace, so that nothing more is tried there. */
  async function outcomeOf(sending: SlackSending, result: SlackResult, platformId: string | null) {
    if (result.kind === 'rejected' && deadToken.test(result.error)) await workspaces.remove(sending.place.team);
    return slackOutcome(result, platformId);
  }

  /** Posts the parts that are not there yet, in order. */
  async function post(
    sending: SlackSending,
    parts: readonly SlackPart[],
    there: readonly string[],
  ): Promise<SendOutcome> {
    const ids = [...there];
    for (const [index, part] of parts.entries()) {
      if (index < there.length) continue;
      const result = await api.call('chat.postMessage', sending.token, {
        ...commonFields(sending.place.channel, part),
        thread_ts: threadOf(sending.place),
        unfurl_links: false,
        unfurl_media: false,
        metadata: markerOf(sending.message.marker, index, parts.length),
      });
      if (result.kind !== 'ok') return outcomeOf(sending, result, null);
      ids.push(String(result.body.ts ?? ''));
    }
    return { kind: 'sent', platformId: ids.join(',') };
  }

  /** Puts the parts in the place of messages that stand, and takes away those that are too many. */
  async function replace(
    sending: SlackSending,
    parts: readonly SlackPart[],
    old: readonly string[],
  ): Promise<SendOutcome> {
    const { channel } = sending.place;
    for (const [index, ts] of old.entries()) {
      const part = parts[index];
      const result = part
        ? await api.call('chat.update', sending.token, { ...commonFields(channel, part), ts })
        : await api.call('chat.delete', sending.token, { channel, ts });
      if (result.kind === 'rejected' && result.error === 'message_not_found') continue;
      if (result.kind !== 'ok') return outcomeOf(sending, result, null);
    }
    return post(sending, parts, old.slice(0, parts.length));
  }

  async function sendTo(sending: SlackSending, there: readonly string[]): Promise<SendOutcome> {
    const { message } = sending;
    const answer = message.postId === null ? null : await store.readAnswerOfPost(message.postId);
    const old = message.replaces?.platformId?.split(',') ?? [];
    if (message.kind === 'withdrawal' && answer === null) return replace(sending, [], old);
    // What replaces a reply after its post was changed is the reply itself; a moderator's word comes as a message of its own.
    const inPlace = message.kind === 'correction' && old.length > 0 && answer?.document.reply.text === message.text;
    if (!inPlace && old.length > 0 && answer !== null) {
      const marked = await replace(sending, renderSlack(markOld(message, answer), noExtras), old);
      if (marked.kind !== 'sent') return marked;
    }
    const deliver = (parts: readonly SlackPart[]) =>
      inPlace ? replace(sending, parts, old) : post(sending, parts, there);
    return withEscapes(sending, answer, deliver);
  }

  /** Slack refuses whole messages for their picture or their size: once more without the one, or in smaller pieces. */
  async function withEscapes(
    sending: SlackSending,
    answer: StoredAnswer | null,
    deliver: (parts: readonly SlackPart[]) => Promise<SendOutcome>,
  ): Promise<SendOutcome> {
    const { message } = sending;
    const extras = extrasOf(message, answer, await pictureFor(sending, answer), deps.settings.address);
    let outcome = await deliver(renderSlack(message.markdown, extras));
    if (outcome.kind === 'refused' && /\binvalid_blocks\b/.test(outcome.because) && extras.picture !== null)
      outcome = await deliver(renderSlack(message.markdown, { ...extras, picture: null }));
    if (outcome.kind === 'refused' && /\bmsg_blocks_too_long\b|\bmsg_too_long\b/.test(outcome.because))
      outcome = await deliver(renderSlack(message.markdown, { ...extras, picture: null }, textBudget / 2));
    return outcome;
  }

  async function pictureFor(sending: SlackSending, answer: StoredAnswer | null) {
    const picture = answer && isReply(sending.message, answer) ? replyPicture(answer.document) : null;
    if (picture === null) return null;
    const source = await slackPicture(deps, sending.token, picture.path);
    return source && { source, alt: picture.alt };
  }

  return {
    async send(message) {
      const sending = await prepare(message);
      if ('kind' in sending) return sending;
      const target = readPrivateTarget(message);
      if (target) {
        const answer = message.postId === null ? null : await store.readAnswerOfPost(message.postId);
        const parts = renderSlack(message.markdown, extrasOf(message, answer, null, deps.settings.address));
        return sendPrivately(deps, sending, target, parts);
      }
      if (!message.unsure) return sendTo(sending, []);
      // Of a message in several parts the first ones may stand.
      const found = await findParts(api, sending);
      return sendTo(sending, found.kind === 'looked' ? found.ids : []);
    },

    async find(message): Promise<FindOutcome> {
      const sending = await prepare(message);
      if ('kind' in sending) return { kind: 'unsure', because: 'there is no token to look with' };
      // What was shown to one person alone cannot be looked up.
      if (readPrivateTarget(message)) return { kind: 'absent' };
      const found = await findParts(api, sending);
      if (found.kind === 'unsure') return found;
      return found.isWhole ? { kind: 'found', platformId: found.ids.join(',') } : { kind: 'absent' };
    },
  };
}

const noExtras: SlackExtras = { buttons: [], picture: null };
const deadToken = /^(?:invalid_auth|account_inactive|token_revoked|not_authed|token_expired|team_access_not_granted)$/;

function isReply(message: OutboxMessage, answer: StoredAnswer): boolean {
  return message.kind === 'reply' || message.text === answer.document.reply.text;
}

function extrasOf(
  message: OutboxMessage,
  answer: StoredAnswer | null,
  picture: { source: PictureSource; alt: string } | null,
  address: string | null,
): SlackExtras {
  const question = answer && isReply(message, answer) ? openQuestion(answer.document, message.text) : null;
  const buttons = (question?.answers ?? []).map((option) => ({
    label: option.text,
    value: JSON.stringify({ c: message.conversation, q: question!.id, t: option.text }),
  }));
  return { buttons, picture, address };
}

function markOld(message: OutboxMessage, answer: StoredAnswer): string {
  const says = message.kind === 'withdrawal' ? withdrawnWords : correctedWords;
  return `${says}\n\n${answer.document.reply.markdown}`;
}

function commonFields(channel: string, part: SlackPart) {
  return { channel, text: part.text, blocks: part.blocks, parse: 'none', link_names: false };
}

/** What `findParts` looks for. */
function markerOf(marker: string, part: number, of: number) {
  return { event_type: `${slackChannelName}_reply`, event_payload: { reply_id: marker, part, of } };
}
