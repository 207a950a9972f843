// Socket Mode, for those whose program has no public address: the same events over a connection that we open. Node alone; its
// front door starts it.
import { LogLevel, SocketModeReceiver } from '@slack/bolt';
import { describeError } from '../../serving/log.ts';
import { quietLogger } from './quiet-logger.ts';
import { slackApp } from './slack-app.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';
import { slackReceiver } from './slack-receiver.ts';

interface SocketEvent {
  readonly body: Readonly<Record<string, unknown>>;
  readonly ack: (response?: Readonly<Record<string, unknown>>) => Promise<void>;
  readonly retry_num?: number;
  readonly retry_reason?: string;
}

/** @returns ends the connection */
export async function slackSocket(deps: SlackRoutesDeps, appToken: string): Promise<() => Promise<void>> {
  const receiver = slackReceiver();
  slackApp(deps, receiver);
  // Bolt's own receiver would acknowledge an event before it is stored, so only its connection is used.
  const { client } = new SocketModeReceiver({
    appToken,
    logLevel: LogLevel.ERROR,
    logger: quietLogger(deps.log),
    installerOptions: { clientOptions: { slackApiUrl: `${deps.settings.apiUrl}/` } },
  });
  client.removeAllListeners('slack_event');
  client.on('slack_event', (event: SocketEvent) => {
    void take(event).catch((error: unknown) => deps.log.error('slack socket failed', describeError(error)));
  });

  async function take({ body, ack, retry_num: retryNum, retry_reason: retryReason }: SocketEvent): Promise<void> {
    const processing = receiver.process({
      body,
      ...(retryNum === undefined ? {} : { retryNum }),
      ...(retryReason === undefined ? {} : { retryReason }),
    });
    try {
      const answer = await processing.answer;
      // What could not be stored is not acknowledged: Slack delivers it again.
      await ack(typeof answer === 'string' ? { text: answer } : answer);
    } finally {
      await processing.done.catch(() => undefined);
    }
  }

  await client.start();
  deps.log.info('slack socket open', {});
  return () => client.disconnect();
}
