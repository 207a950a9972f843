// The records page, and what a person may ask for: everything that is kept of them, or that it goes. bay.tsx mounts it.
import type { Hono } from 'hono';
import { Problem } from '../vocabulary/problems.ts';
import type { BayDeps } from './bay-deps.ts';
import { sayPage } from './bay-frame.tsx';
import { type BayContext, type BayEnvironment, findAnswer, moderator } from './guards.ts';
import { recordsPage } from './records-page.tsx';
import { readOwnFields } from './session.ts';

const entriesShown = 60;

export function recordActs(routes: Hono<BayEnvironment>, deps: BayDeps): void {
  const { store, clock } = deps;

  routes.get('/records', async (context) => {
    const person = moderator(context);
    if (person.communities !== null)
      throw new Problem('forbidden', 'The records are for moderators of all communities.');
    const before = /^\d{1,15}$/.test(context.req.query('before') ?? '') ? Number(context.req.query('before')) : null;
    const about = (context.req.query('about') ?? '').slice(0, 120) || null;
    const entries = await store.listAudit({ before, about }, entriesShown + 1);
    const verdict = context.req.query('check') === 'yes' ? await store.verifyAudit(null) : null;
    const shown = entries.slice(0, entriesShown);
    const next = entries.length > entriesShown ? (shown.at(-1)?.entry ?? null) : null;
    return context.html(recordsPage({ person, entries: shown, verdict, about, next }));
  });

  routes.post('/answers/:id/export', async (context) => {
    const { person, channel, author } = await writerOf(context);
    const all = await store.exportPerson(channel, author, clock(), person.name);
    context.header('Content-Disposition', 'attachment; filename="everything-of-one-writer.json"');
    return context.json(all);
  });

  routes.post('/answers/:id/erase-writer', async (context) => {
    const { person, channel, author, field } = await writerOf(context);
    if (field('sure') !== 'yes') throw new Problem('invalid', 'Nothing was erased: tick the box if it is meant.');
    const posts = await store.erasePerson(channel, author, clock(), person.name);
    return context.html(sayPage('Erased', [`Everything of that writer is gone, ${posts} post(s).`], person));
  });

  async function writerOf(context: BayContext) {
    const person = moderator(context);
    const field = await readOwnFields(context, person);
    const answer = await findAnswer(context, deps);
    const author = await store.readAuthor(answer.postId);
    if (author === null) throw new Problem('not-found', 'The post is gone.');
    return { person, channel: answer.channel, author, field };
  }
}
