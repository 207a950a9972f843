// The web chat: the page at `/`, the posts it takes and the entries it hands out. app.ts mounts it at `/`, assets included.
import { type Context, Hono } from 'hono';
import { csrf } from 'hono/csrf';
import { assets } from '../../pages/assets.ts';
import { hashToken, newToken } from '../../pages/tokens.ts';
import { decodeText } from '../../serving/decode-text.ts';
import { type Attachment, attachmentLimitBytes } from '../../vocabulary/post.ts';
import { Problem } from '../../vocabulary/problems.ts';
import {
  type Conversation,
  cursorOf,
  Entry,
  entriesAfter,
  keyOf,
  QuickAnswers,
  readChat,
  standingWords,
  webChannel,
} from './chat-news.tsx';
import { chatPage } from './chat-page.tsx';
import { dropConversationCookie, keepConversationCookie, readConversationCookie } from './conversation-cookie.ts';
import type { WebDeps } from './web-deps.ts';

/** Longest post that the chat takes [UTF-16 units]; of that the first 100,000 are read, and the answer says so. */
export const chatTextLimit = 300_000;

const nothingYet: Conversation = {
  entries: [],
  standing: {},
  question: null,
  questionKey: '',
  waiting: false,
  pictures: {},
};

export function webChat({ store, clock, submit, secureCookies, exportPerson }: WebDeps): Hono {
  const chat = new Hono();
  chat.route('/assets', assets());
  chat.use('/chat/*', csrf());

  const read = async (context: Context): Promise<Conversation> => {
    const conversation = await readConversationCookie(context, secureCookies);
    return conversation === null ? nothingYet : readChat(store, conversation);
  };

  const page = async (
    context: Context,
    refused: { says: string; text: string } | null,
    status: 200 | 400 | 413 | 503,
  ) => {
    context.header('Cache-Control', 'no-store');
    return context.html(chatPage({ conversation: await read(context), event: newToken(), refused }), status);
  };

  chat.get('/', (context) => page(context, null, 200));

  chat.get('/chat/entries', async (context) => {
    context.header('Cache-Control', 'no-store');
    const conversation = await read(context);
    const after = context.req.query('after') ?? '';
    // The script still shows what was erased in another window.
    const gone = conversation.entries.length === 0 && after !== '0.0' && after !== '';
    return context.json({ ...newsOf(conversation, after), gone });
  });

  chat.post('/chat/posts', async (context) => {
    context.header('Cache-Control', 'no-store');
    const wantsNews = (context.req.header('Accept') ?? '').includes('application/json');
    const form = await readForm(context);
    // Browsers send a form's line ends as CR LF and a script's as LF; the event must be the same by both roads.
    const text = form.text.replaceAll('\r\n', '\n');
    const mistake = form.refused ?? mistakeIn(text, form.log);
    if (mistake) {
      if (wantsNews) throw mistake;
      return page(context, { says: mistake.message, text }, mistake.code === 'too-large' ? 413 : 400);
    }
    if (isForgetMe(text) && form.log === null) {
      await erase(context);
      return wantsNews ? context.json({ ...newsOf(nothingYet, ''), gone: true }) : context.redirect('/', 303);
    }
    const conversation = await keepConversationCookie(context, secureCookies);
    try {
      await submit({
        // Scoped by conversation and words: a stale page that sends new words under an old event loses nothing.
        eventId: `${conversation.slice(0, 32)}-${await hashToken(`${conversation} ${form.event} ${text} ${form.log?.text ?? ''}`)}`,
        channel: webChannel,
        conversation,
        author: conversation,
        text,
        callerId: null,
        ...(form.log ? { attachments: [form.log] } : {}),
      });
    } catch (error) {
      if (!(error instanceof Problem) || error.code === 'internal') throw error;
      // Kept but not answered yet: the entry shows as waiting. Not kept at all: say so, with the words still in the form.
      const { entries } = await readChat(store, conversation);
      const kept = entries.some((entry) => entry.kind === 'post' && entry.state === 'waiting' && entry.text === text);
      if (!kept) {
        if (wantsNews) throw error;
        return page(context, { says: `It could not be sent just now: ${error.message}`, text }, 503);
      }
    }
    if (wantsNews) return context.json(newsOf(await readChat(store, conversation), form.after));
    return context.redirect('/#text', 303);
  });

  chat.post('/chat/new', (context) => {
    dropConversationCookie(context, secureCookies);
    return context.redirect('/', 303);
  });

  chat.post('/chat/erase', async (context) => {
    await erase(context);
    return context.redirect('/', 303);
  });

  // A conversation of the web chat is its writer's name there.
  chat.post('/chat/export', async (context) => {
    context.header('Cache-Control', 'no-store');
    const conversation = await readConversationCookie(context, secureCookies);
    if (conversation === null || !exportPerson) throw new Problem('not-found', 'There is no conversation here.');
    context.header('Content-Disposition', 'attachment; filename="my-conversation.json"');
    return context.json(await exportPerson(webChannel, conversation));
  });

  async function erase(context: Context): Promise<void> {
    const conversation = await readConversationCookie(context, secureCookies);
    if (conversation !== null) await store.eraseConversation(webChannel, conversation, clock());
    dropConversationCookie(context, secureCookies);
  }

  return chat;
}

/** The whole post and nothing else; words within a post, quoted or not, erase nothing. */
const isForgetMe = (text: string) => /^\s{0,9}\/?forget[ -]me[.!]?\s{0,9}$/i.test(text);

function mistakeIn(text: string, log: Attachment | null): Problem | null {
  if (text.trim() === '' && log === null) return new Problem('invalid', 'The post is empty: write what the car does.');
  if (text.length > chatTextLimit)
    return new Problem('too-large', 'The post is over 300,000 characters: send the part that matters.');
  return null;
}

/** The script's view of what came after its cursor. */
function newsOf(conversation: Conversation, after: string) {
  const { entries, standing, question, questionKey, waiting, pictures } = conversation;
  const event = newToken();
  return {
    entries: entriesAfter(entries, after).map((entry) => ({
      key: keyOf(entry),
      html: String(<Entry entry={entry} standing={standing[keyOf(entry)]} pictures={pictures[keyOf(entry)]} />),
    })),
    standing,
    standingWords,
    quick: question ? String(<QuickAnswers question={question} event={event} />) : '',
    question: questionKey,
    waiting,
    cursor: cursorOf(entries),
    event,
  };
}

interface ChatForm {
  readonly text: string;
  readonly event: string;
  readonly after: string;
  readonly log: Attachment | null;
  /** Why the file that was chosen cannot be taken. */
  readonly refused: Problem | null;
}

/** Fields of a form; a missing one is empty, a second value is not taken. */
async function readForm(context: Context): Promise<ChatForm> {
  let fields: Record<string, unknown>;
  try {
    fields = await context.req.parseBody();
  } catch {
    throw new Problem('invalid', 'The form cannot be read.');
  }
  const field = (name: string) => (typeof fields[name] === 'string' ? fields[name] : '');
  const chosen = fields.log instanceof File && fields.log.size > 0 ? await readFile(fields.log) : null;
  return {
    text: field('text'),
    event: field('event').slice(0, 200),
    after: field('after').slice(0, 40),
    log: chosen instanceof Problem ? null : chosen,
    refused: chosen instanceof Problem ? chosen : null,
  };
}

async function readFile(file: File): Promise<Attachment | Problem> {
  const name = file.name.replace(/[\p{Cc}\p{Cf}/\\]/gu, '').slice(0, 200) || 'log';
  if (file.size > attachmentLimitBytes)
    return new Problem('too-large', `${name} is over 5 MiB: send the part that matters.`);
  const text = decodeText(new Uint8Array(await file.arrayBuffer()));
  if (text === null) return new Problem('invalid', `${name} is not a text file: send the log as text or CSV.`);
  return { name, type: file.type.slice(0, 100), text };
}
