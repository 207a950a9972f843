// Socket Mode against a socket on loopback: stored first, acknowledged then, and opened again when it closes.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { slackSocket } from '../../../src/channels/slack/slack-socket.ts';
import { Problem } from '../../../src/vocabulary/problems.ts';
import { type FakeSocket, fakeSocket } from '../../fake-platform/fake-socket.ts';
import { slackEvent } from '../../fake-platform/slack-platform.ts';
import { aSlack, mention, type SlackUnderTest } from './a-slack.ts';

let tested: SlackUnderTest;
let socket: FakeSocket;
let close: () => Promise<void>;

beforeEach(async () => {
  socket = await fakeSocket();
  tested = await aSlack({ settings: { appToken: 'xapp-1' } });
  tested.platform.alwaysTrouble(null);
  tested.platform.openSocket(socket.address);
  close = await slackSocket(tested.routesDeps(), 'xapp-1');
});
afterEach(async () => {
  await close();
  await socket.stop();
  await tested.stop();
});

const envelope = (payload: Record<string, unknown>, type = 'events_api') => ({
  envelope_id: crypto.randomUUID(),
  type,
  payload,
  accepts_response_payload: type === 'slash_commands',
});

describe('the socket of Slack', () => {
  it('acknowledges an event when its post is stored, and the answer goes out', async () => {
    const sent = envelope(slackEvent(mention('P0171')));
    socket.send(sent);
    expect(await socket.acknowledged(sent.envelope_id)).toMatchObject({ envelope_id: sent.envelope_id });
    await tested.settle();
    expect(tested.platform.messages).toHaveLength(1);
  });

  it('answers two copies of one envelope once', async () => {
    const sent = envelope(slackEvent(mention('P0171')));
    socket.send(sent);
    socket.send(sent);
    await socket.acknowledged(sent.envelope_id);
    await tested.settle();
    expect(tested.platform.messages).toHaveLength(1);
  });

  it('does not acknowledge what could not be stored', async () => {
    const original = tested.store.acceptPost;
    Object.assign(tested.store, {
      acceptPost: async () => {
        throw new Problem('unavailable', 'the disk is full');
      },
    });
    const sent = envelope(slackEvent(mention('P0171')));
    socket.send(sent);
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(socket.acknowledgements()).not.toContain(sent.envelope_id);
    Object.assign(tested.store, { acceptPost: original });
    socket.send(sent);
    await socket.acknowledged(sent.envelope_id);
  });

  it('answers a slash command through the socket', async () => {
    const sent = envelope(
      {
        command: '/crosscount',
        text: 'help',
        user_id: 'U1',
        channel_id: 'C1',
        team_id: 'T1',
        response_url: `${tested.platform.address}/response/1`,
        trigger_id: 't',
      },
      'slash_commands',
    );
    socket.send(sent);
    expect(await socket.acknowledged(sent.envelope_id)).toMatchObject({ payload: { response_type: 'ephemeral' } });
  });

  it('is opened again when Slack closes it, and takes up where it was', async () => {
    socket.send({ type: 'disconnect', reason: 'refresh_requested' });
    await socket.connected(2);
    const sent = envelope(slackEvent(mention('P0171')));
    socket.send(sent);
    await socket.acknowledged(sent.envelope_id);
  });
});
