// The example receiver of demo/ beside the started program: a post written on its page is answered in its thread.
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { forumSecret } from '../fake-platform/forum.ts';
import { runNode, startNodeProgram, temporaryFolder } from './program.ts';

it('a post on the example forum gets its reply, checked and shown once', async () => {
  const folder = temporaryFolder();
  const port = 20_000 + Math.floor(Math.random() * 20_000);
  const program = await startNodeProgram({
    CROSSCOUNT_DATABASE: join(folder.path, 'forum.sqlite'),
    FORUM_SECRET: forumSecret,
    FORUM_REPLY_URL: `http://127.0.0.1:${port}/replies`,
  });
  const forum = runNode('demo/forum-receiver.ts', [], {
    FORUM_SECRET: forumSecret,
    CROSSCOUNT: program.address,
    PORT: String(port),
  });
  const address = `http://127.0.0.1:${port}`;
  try {
    for (let wait = 0; !forum.printed().includes('the forum is at') && wait < 600; wait += 1)
      await new Promise((resolve) => setTimeout(resolve, 50));
    const text = 'P0171, rough idle & a hiss <near> the intake. LTFT +18 at idle, +3 at 2500.';
    const posted = await fetch(`${address}/posts`, {
      method: 'POST',
      body: new URLSearchParams({ thread: 'My car', text }),
      redirect: 'manual',
    });
    expect(posted.status).toBe(303);
    let page = '';
    for (let wait = 0; !page.includes('<h3>crosscount</h3>') && wait < 600; wait += 1) {
      await new Promise((resolve) => setTimeout(resolve, 50));
      page = await (await fetch(address)).text();
    }
    expect(page.split('<h3>crosscount</h3>')).toHaveLength(2);
    expect(page).toContain('vacuum leak');
    const forged = await fetch(`${address}/replies`, { method: 'POST', body: '{}', headers: { 'webhook-id': 'x' } });
    expect(forged.status).toBe(401);
  } finally {
    forum.process.kill('SIGKILL');
    await program.stop();
    folder.remove();
  }
}, 120_000);

it('the example forum says which setting it lacks', async () => {
  const forum = runNode('demo/forum-receiver.ts', [], {});
  expect(await forum.ended).toBe(2);
  expect(forum.printed()).toMatch(/^Set FORUM_SECRET .+\n$/);
}, 60_000);
