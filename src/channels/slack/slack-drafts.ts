// A helper's draft on Slack: the menu entry of a message opens a window with the evidence and the proposed words; sent, they go
// into the thread. The listeners call it.
import { z } from 'zod';
import { cutText } from '../../serving/cut-text.ts';
import { draftNotes } from '../../serving/draft-notes.ts';
import { type HelperDrafts, helperDrafts, helperReplyLimit, platformPerson } from '../../serving/helper-drafts.ts';
import type { AnswerDocument } from '../../vocabulary/answer-document.ts';
import { isFromBot, postOf, slackMessage } from './read-slack.ts';
import { contextOf, sectionOf, shorten } from './render-slack.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';
import { withFiles } from './slack-files.ts';
import { slackChannelName } from './slack-settings.ts';
import { slackFromMarkdown } from './slack-text.ts';

export const draftModal = 'helper-draft';

const id = z.string().regex(/^[A-Z0-9]{1,30}$/);
const entry = z.object({
  trigger_id: z.string().max(500),
  team: z.object({ id }),
  channel: z.object({ id }),
  message: slackMessage,
});
const submission = z.object({
  team: z.object({ id }),
  user: z.object({ id, name: z.string().max(200).nullish(), username: z.string().max(200).nullish() }),
  view: z.object({
    private_metadata: z.string().max(3000),
    state: z.object({
      values: z.object({ reply: z.object({ words: z.object({ value: z.string().max(10_000).nullish() }) }) }),
    }),
  }),
});

const draftsOf = (deps: SlackRoutesDeps): HelperDrafts => helperDrafts({ ...deps, channel: slackChannelName });

/** Opens the window at once (its permission lasts 3 s), then fills it. Runs after the acknowledgement. */
export async function openDraft(deps: SlackRoutesDeps, body: unknown): Promise<void> {
  const read = entry.safeParse(body);
  if (!read.success) return;
  const { team, channel, message, trigger_id: trigger } = read.data;
  const answer = await deps.workspaces.tokenOf(team.id);
  if (answer.kind !== 'token') return;
  const { botToken } = answer.token;
  const opened = await deps.api.call('views.open', botToken, {
    trigger_id: trigger,
    view: windowOf([sectionOf('Working out this post \u2026')], null),
  });
  if (opened.kind !== 'ok') {
    deps.log.warn('slack window not opened', { outcome: opened.kind });
    return;
  }
  const view = z.object({ view: z.object({ id: z.string() }) }).safeParse(opened.body);
  if (!view.success) return;
  const fill = (filled: ReturnType<typeof windowOf>) =>
    deps.api.call('views.update', botToken, { view_id: view.data.view.id, view: filled });
  if (isFromBot(message)) {
    await fill(windowOf([sectionOf('A program wrote this message; there is nothing to work out.')], null));
    return;
  }
  try {
    const isDirect = channel.id.startsWith('D');
    const plain = postOf(message, { team: team.id, channel: channel.id, isDirect }, answer.token.botUser);
    const post = await withFiles(deps, team.id, plain, message.files ?? [], Number.POSITIVE_INFINITY);
    const draft = await draftsOf(deps).open(post);
    await fill(filledWindow(draft.id, draft.document));
  } catch (error) {
    await fill(windowOf([sectionOf('The post could not be worked out just now. Try the menu entry again.')], null));
    throw error;
  }
}

/** @returns what to show under the words when they cannot be sent; null when they are on their way */
export async function sendDraft(deps: SlackRoutesDeps, body: unknown): Promise<string | null> {
  const read = submission.safeParse(body);
  if (!read.success) return 'Slack sent the window in a form that is not known.';
  const { user, view } = read.data;
  const words = view.state.values.reply.words.value ?? '';
  const by = platformPerson(user.username ?? user.name ?? '', 'Slack', user.id);
  return draftsOf(deps).send(view.private_metadata, words, by);
}

function filledWindow(draftId: string, document: AnswerDocument) {
  const notes = cutText(slackFromMarkdown(draftNotes(document)), 2_900).map(sectionOf);
  return windowOf(
    [
      ...notes,
      contextOf('Only you see this. What you send stands in the thread as a helper\u2019s reply.'),
      {
        type: 'input',
        block_id: 'reply',
        label: { type: 'plain_text', text: 'Reply' },
        element: {
          type: 'plain_text_input',
          action_id: 'words',
          multiline: true,
          max_length: helperReplyLimit,
          initial_value: shorten(document.reply.text, helperReplyLimit),
        },
      },
    ],
    draftId,
  );
}

/** @param draftId with it the window can be sent */
function windowOf(blocks: ReadonlyArray<Readonly<Record<string, unknown>>>, draftId: string | null) {
  return {
    type: 'modal',
    callback_id: draftModal,
    title: { type: 'plain_text', text: 'Answer this post' },
    close: { type: 'plain_text', text: 'Close' },
    ...(draftId === null ? {} : { submit: { type: 'plain_text', text: 'Send to thread' }, private_metadata: draftId }),
    blocks,
  };
}
