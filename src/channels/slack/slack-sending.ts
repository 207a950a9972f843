// One message on its way to Slack: where it goes and with whose token. The sender makes it; the look-up and the private replies take it.
import type { OutboxMessage } from '../../store/store.ts';
import type { SlackPlace } from './slack-place.ts';

export interface SlackSending {
  readonly token: string;
  readonly place: SlackPlace;
  readonly message: OutboxMessage;
}
