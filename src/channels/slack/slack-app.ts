// Bolt with our listeners: what each event, command, press and menu entry of Slack leads to. The routes and the socket feed it.
import { App, LogLevel } from '@slack/bolt';
import { z } from 'zod';
import { describeError } from '../../serving/log.ts';
import { Problem } from '../../vocabulary/problems.ts';
import { quietLogger } from './quiet-logger.ts';
import { installedIn, readSlackEvent, slackEnvelope } from './read-slack.ts';
import { answerByButton } from './slack-buttons.ts';
import { takeCommand } from './slack-command.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';
import { draftModal, openDraft, sendDraft } from './slack-drafts.ts';
import { withFiles } from './slack-files.ts';
import type { SlackReceiver } from './slack-receiver.ts';
import { slackChannelName } from './slack-settings.ts';

/** Ids that the manifest (demo/slack-app-manifest.yaml) and the modal carry. */
export const draftShortcut = 'work-out';

export function slackApp(deps: SlackRoutesDeps, receiver: SlackReceiver): App {
  const { inbox, workspaces, log } = deps;
  const app = new App({
    receiver,
    // Tokens are asked for where something is sent: an event can be stored without one.
    authorize: async ({ teamId, enterpriseId }) => ({
      ...(teamId === undefined ? {} : { teamId }),
      ...(enterpriseId === undefined ? {} : { enterpriseId }),
    }),
    ignoreSelf: false,
    convoStore: false,
    logger: quietLogger(log),
    logLevel: LogLevel.WARN,
  });

  const take = async (body: unknown, attempt: number): Promise<void> => {
    const envelope = slackEnvelope.safeParse(body);
    if (!envelope.success) return;
    const team = installedIn(envelope.data);
    const intent = readSlackEvent(envelope.data);
    if (intent.kind === 'revise') await inbox.revise(intent.revision);
    if (intent.kind === 'withdraw') await inbox.withdraw(slackChannelName, intent.eventId);
    if (intent.kind !== 'post') return;
    const { post, files, isFollowUp } = intent;
    if (isFollowUp && !(await isAsker(deps, post.conversation, post.author))) return;
    if (post.text.trim() === '' && files.length === 0) return;
    await inbox.accept(await withFiles(deps, team, post, files, attempt));
    if (!isFollowUp) await rememberAsker(deps, team, post.conversation, post.author);
  };

  for (const name of ['message', 'app_mention'])
    app.event(name, async ({ body, context }) => take(body, context.retryNum ?? 0));

  app.event('app_uninstalled', async ({ body }) => workspaces.remove(body.team_id));
  app.event('tokens_revoked', async ({ body, event }) => {
    if ((event.tokens?.bot ?? []).length > 0) await workspaces.remove(body.team_id);
  });

  app.command(/^\/.{1,40}$/, async ({ body, ack }) => {
    const { says, after } = await takeCommand(deps, body);
    await ack({ response_type: 'ephemeral', text: says });
    await after();
  });

  app.action(/^answer-\d{1,2}$/, async ({ body, ack }) => {
    const after = await answerByButton(deps, body);
    await ack();
    await after();
  });

  app.shortcut({ callback_id: draftShortcut, type: 'message_action' }, async ({ body, ack }) => {
    await ack();
    await openDraft(deps, body);
  });

  app.view({ callback_id: draftModal, type: 'view_submission' }, async ({ body, ack }) => {
    const mistake = await sendDraft(deps, body);
    if (mistake === null) await ack();
    else await ack({ response_action: 'errors', errors: { reply: mistake } });
  });

  app.error(async (error) => {
    if (!(('original' in error ? error.original : error) instanceof Problem))
      log.error('slack listener failed', describeError(error));
    throw error;
  });
  return app;
}

const asked = z.object({ author: z.string() });

/** Who began a thread may go on in it without naming the bot again. */
async function isAsker({ store, clock }: SlackRoutesDeps, conversation: string, author: string): Promise<boolean> {
  const found = await store.readRecord(slackChannelName, 'asker', conversation, clock());
  return found !== null && asked.parse(JSON.parse(found.body)).author === author;
}

async function rememberAsker(
  { store, clock }: SlackRoutesDeps,
  workspace: string,
  conversation: string,
  author: string,
) {
  const body = JSON.stringify({ author });
  await store.writeRecord(
    { channel: slackChannelName, kind: 'asker', key: conversation, workspace, conversation, body, expiresAt: null },
    0,
    clock(),
  );
}
