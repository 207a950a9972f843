// A helper works out someone else's post: the private window, the words that go out, and everything that could send them twice.
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { aSlack, direct, mention, newTs, type SlackUnderTest } from './a-slack.ts';

let tested: SlackUnderTest;
beforeEach(async () => {
  tested = await aSlack();
});
afterEach(() => tested.stop());

const payload = (body: Record<string, unknown>) =>
  tested.send(
    new URLSearchParams({ payload: JSON.stringify({ team: { id: 'T1' }, user: { id: 'U7', name: 'mara' }, ...body }) }),
  );

const openMenu = (message: Record<string, unknown>, channel = 'C1') =>
  payload({
    type: 'message_action',
    callback_id: 'work-out',
    trigger_id: `trigger-${Math.random()}`,
    channel: { id: channel, name: 'garage' },
    message: { type: 'message', ...message },
    response_url: `${tested.platform.address}/response/menu`,
  });

const until = async (condition: () => boolean) => {
  for (let round = 0; round < 200 && !condition(); round += 1) await new Promise((resolve) => setTimeout(resolve, 10));
  expect(condition()).toBe(true);
};

interface Window {
  readonly private_metadata?: string;
  readonly submit?: unknown;
  readonly blocks: ReadonlyArray<{ type: string; element?: { initial_value: string }; text?: { text: string } }>;
}
const lastWindow = () => tested.platform.views.at(-1)!.view as unknown as Window;

const submit = (words: string, draft: string, user: Record<string, unknown> = { id: 'U7', name: 'mara' }) =>
  payload({
    type: 'view_submission',
    user,
    view: {
      id: 'V1',
      callback_id: 'helper-draft',
      private_metadata: draft,
      state: { values: { reply: { words: { type: 'plain_text_input', value: words } } } },
    },
  });

const post = (parts: Record<string, unknown> = {}) => ({
  user: 'U1',
  text: 'my car hunts at idle, P0171',
  ts: newTs(),
  ...parts,
});

describe("a helper's draft", () => {
  it('opens at once in private, then shows the evidence and the proposed words, and stores no post', async () => {
    const response = await openMenu(post());
    expect(response.status).toBe(200);
    await until(() => tested.platform.views.length === 2);
    expect(tested.platform.views[0]!.view).not.toHaveProperty('submit');
    const window = lastWindow();
    expect(window.blocks.at(-1)?.element?.initial_value).toBe('post 1 has 27 characters');
    expect(JSON.stringify(window.blocks)).toContain('Read from the post');
    expect(window.private_metadata).toMatch(/^[\w-]{36}$/);
    expect(await tested.store.counts()).toMatchObject({ waiting: 0, answers: 0, due: 0 });
    expect(tested.platform.messages).toEqual([]);
  });

  it("goes into the thread in the helper's words, and the post with its answer into the log", async () => {
    const message = post();
    await openMenu(message);
    await until(() => tested.platform.views.length === 2);
    const response = await submit('Look at the hose behind the throttle.', lastWindow().private_metadata!);
    expect([response.status, await response.text()]).toEqual([200, '']);
    await tested.settle();
    expect(tested.platform.messages.map(({ threadTs, text }) => [threadTs, text])).toEqual([
      [message.ts, 'Look at the hose behind the throttle.'],
    ]);
    const [answer] = await tested.store.listConversationAnswers('slack', `T1/C1/${message.ts}`);
    expect(answer).toMatchObject({ postText: message.text, helper: { state: 'done', by: 'mara (Slack U7)' } });
    // The owner goes on in the thread: the case knows the post.
    await tested.event(mention('no smoke', { thread_ts: message.ts }));
    await tested.settle();
    expect(tested.platform.messages.at(-1)?.text).toBe('*post 2 has 8 characters*');
  });

  it('is sent once, however often the window is', async () => {
    await openMenu(post());
    await until(() => tested.platform.views.length === 2);
    const draft = lastWindow().private_metadata!;
    const answers = await Promise.all(['one', 'one', 'one'].map((words) => submit(words, draft)));
    const bodies = await Promise.all(answers.map((answer) => answer.text()));
    expect(bodies.filter((body) => body === '')).toHaveLength(1);
    expect(bodies.filter((body) => body.includes('It was sent already.'))).toHaveLength(2);
    await tested.settle();
    expect(tested.platform.messages).toHaveLength(1);
  });

  it('by two helpers of one post goes out twice at most, as each of them wrote', async () => {
    const message = post();
    await openMenu(message);
    await until(() => tested.platform.views.length === 2);
    const first = lastWindow().private_metadata!;
    await openMenu(message);
    await until(() => tested.platform.views.length === 4);
    const second = lastWindow().private_metadata!;
    await submit('first words', first);
    await tested.settle();
    expect(await (await submit('second words', second, { id: 'U8', name: 'ole' })).text()).toBe('');
    await tested.settle();
    expect(tested.platform.messages.map(({ text }) => text)).toEqual(['first words', 'second words']);
  });

  it('of a post that the bot answered goes out beside that answer', async () => {
    const asked = mention('P0171');
    await tested.event(asked);
    await tested.settle();
    await openMenu(asked);
    await until(() => tested.platform.views.length === 2);
    await submit('And look at the hose.', lastWindow().private_metadata!);
    await tested.settle();
    expect(tested.platform.messages.map(({ text }) => text)).toEqual([
      '*post 1 has 5 characters*',
      'And look at the hose.',
    ]);
  });

  it.each([
    ['nothing', '   ', 'Write an answer first.'],
    ['only hidden signs', '\u200b\u202e', 'Write an answer first.'],
  ])('with %s is refused in the window', async (_, words, says) => {
    await openMenu(post());
    await until(() => tested.platform.views.length === 2);
    const response = await submit(words, lastWindow().private_metadata!);
    expect(await response.json()).toEqual({ response_action: 'errors', errors: { reply: says } });
  });

  it('is over after an hour, and a forged one never was', async () => {
    await openMenu(post());
    await until(() => tested.platform.views.length === 2);
    const draft = lastWindow().private_metadata!;
    tested.wait(3_600_001);
    for (const id of [draft, 'forged', '', '../../x', crypto.randomUUID()])
      expect(JSON.stringify(await (await submit('words', id)).json())).toContain('over an hour old');
    await tested.settle();
    expect(tested.platform.messages).toEqual([]);
  });

  it('is not made of what a program wrote', async () => {
    await openMenu(post({ bot_id: 'B1' }));
    await until(() => tested.platform.views.length === 2);
    expect(JSON.stringify(lastWindow().blocks)).toContain('A program wrote this');
  });

  it('pings nobody, whatever the helper wrote', async () => {
    await openMenu(direct('P0171'), 'D1');
    await until(() => tested.platform.views.length === 2);
    await submit('<!channel> <@U1> look & see', lastWindow().private_metadata!);
    await tested.settle();
    expect(tested.platform.messages[0]!.text).toBe('&lt;!channel&gt; &lt;@U1&gt; look &amp; see');
  });
});
