// What the outbox hears of a call to Slack. The sender and the private replies translate with it.
import type { SendOutcome } from '../channel.ts';
import type { SlackResult } from './slack-api.ts';

/** @param platformId id of the message, when the call made one */
export function slackOutcome(result: SlackResult, platformId: string | null): SendOutcome {
  switch (result.kind) {
    case 'ok':
      return { kind: 'sent', platformId };
    case 'rejected':
      // Every error that does not pass by itself is final; those that do are `unknown` already.
      return { kind: 'refused', because: `Slack refuses: ${result.error}` };
    case 'wait':
      return { kind: 'retry', afterMs: result.afterMs, because: result.because };
    case 'unreached':
      return { kind: 'retry', afterMs: null, because: result.because };
    case 'unknown':
      return { kind: 'unknown', because: result.because };
  }
}
