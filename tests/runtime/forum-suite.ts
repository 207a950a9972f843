// A forum around the started program, the same on both runtimes: what is accepted is answered once, in the thread, signed.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createdEvent, deliverTo, delivery, type FakeForum, fakeForum, forumSecret } from '../fake-platform/forum.ts';
import type { Program } from './program.ts';

export interface ForumRun {
  readonly program: Program;
  /** Moves accepted posts on where nothing does so by itself. */
  readonly sweep: () => Promise<unknown>;
  /** What a minute brings: messages that were postponed are tried again. */
  readonly minute: () => Promise<unknown>;
}

export function forumSuite(name: string, start: (settings: Record<string, string>) => Promise<ForumRun>): void {
  // Generous: the machine may have other things to do.
  describe(name, { timeout: 120_000 }, () => {
    let forum: FakeForum;
    let run: ForumRun;
    beforeAll(async () => {
      forum = await fakeForum();
      run = await start({ FORUM_SECRET: forumSecret, FORUM_REPLY_URL: forum.replyUrl });
    });
    afterAll(async () => {
      await run?.program.stop();
      await forum?.stop();
    });

    const post = (number: number, thread: string, text: string) =>
      createdEvent({ post: `${thread} ${number}`, thread, author: `author of ${thread}`, text });
    const send = (event: unknown, id?: string) =>
      deliverTo(run.program.address, delivery(event, id === undefined ? {} : { id }));
    const settled = async (thread: string, replies: number) => {
      for (let wait = 0; wait < 1000; wait += 1) {
        await run.sweep();
        if (forum.shown(thread).length >= replies) break;
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
      // A second reply would show up by now.
      await new Promise((resolve) => setTimeout(resolve, 300));
      await run.sweep();
      return forum.shown(thread);
    };

    it('answers a post once with a signed reply in its thread, and a second post of the thread on top of the first', async () => {
      expect((await send(post(1, 'two posts', 'P0171 and rough idle, LTFT +18 at idle'))).status).toBe(202);
      await settled('two posts', 1);
      expect((await send(post(2, 'two posts', 'It is a 2.0 litre inline four.'))).status).toBe(202);
      const replies = await settled('two posts', 2);
      expect(replies.map((reply) => reply.post)).toEqual(['two posts 1', 'two posts 2']);
      expect(replies[0]!.text).toContain('vacuum leak');
    });

    it('takes four copies for one, together or under another delivery', async () => {
      const event = post(1, 'copies', 'P0172, black smoke');
      const answers = await Promise.all([
        send(event, 'copy'),
        send(event, 'copy'),
        send(event, 'copy'),
        send(event, 'copy other'.replace(' ', '-')),
      ]);
      expect(answers.every(({ status }) => status === 200 || status === 202)).toBe(true);
      expect(await settled('copies', 1)).toHaveLength(1);
    });

    it('refuses what is unsigned, malformed or too deep, alike on both runtimes', async () => {
      const unsigned = { ...delivery(post(1, 'no', 'x')), headers: { 'Content-Type': 'application/json' } };
      const statuses = [
        await deliverTo(run.program.address, unsigned),
        await send('{'),
        await send('[]'),
        await send('['.repeat(1000)),
      ].map(({ status }) => status);
      expect(statuses).toEqual([401, 400, 422, 400]);
    });

    it('corrects in place and withdraws', async () => {
      await send(post(1, 'edits', 'rough idle'));
      await settled('edits', 1);
      const edit = {
        type: 'post.edited',
        timestamp: new Date().toISOString(),
        data: { post: 'edits 1', text: 'Black smoke and P0172, it smells of fuel' },
      };
      expect((await send(edit)).status).toBe(202);
      for (let wait = 0; forum.taken.filter((reply) => reply.thread === 'edits').length < 2 && wait < 1000; wait += 1) {
        await run.sweep();
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
      expect(forum.shown('edits')).toMatchObject([{ type: 'reply.corrected', post: 'edits 1' }]);
      const gone = { type: 'post.deleted', timestamp: new Date().toISOString(), data: { post: 'edits 1' } };
      expect((await send(gone)).status).toBe(202);
      for (let wait = 0; forum.shown('edits').length > 0 && wait < 1000; wait += 1) {
        await run.sweep();
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
      expect(forum.shown('edits')).toEqual([]);
    });

    it('reads an attached log', async () => {
      const rows = Array.from({ length: 40 }, (_, row) => `${row},750,${18 + (row % 3)},0.2`).join('\n');
      const event = createdEvent({
        post: 'log 1',
        thread: 'log',
        author: 'a',
        text: 'P0171. Log attached.',
        attachments: [
          {
            name: 'drive.csv',
            text: `Time (s),Engine speed (rpm),Long term fuel trim bank 1 (%),O2 B1S1 (V)\n${rows}`,
          },
        ],
      });
      expect((await send(event)).status).toBe(202);
      expect((await settled('log', 1))[0]?.text).toMatch(/19 %/);
    });

    it('sends again after a refusal that may pass, and holds the thread in order meanwhile', async () => {
      let calls = 0;
      forum.server.behave = (call) => {
        if (!call.body.includes('"later"')) return undefined;
        calls += 1;
        return calls === 1 ? { kind: 'status', status: 503, headers: { 'Retry-After': '1' } } : undefined;
      };
      await send(post(1, 'later', 'P0171'));
      await send(post(2, 'later', 'and rough idle'));
      for (let wait = 0; forum.shown('later').length < 2 && wait < 300; wait += 1) {
        await run.minute();
        await new Promise((resolve) => setTimeout(resolve, 100));
      }
      const replies = await settled('later', 2);
      expect(replies.map((reply) => reply.post)).toEqual(['later 1', 'later 2']);
      forum.server.behave = () => undefined;
    });
  });
}
