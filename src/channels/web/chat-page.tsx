// The chat page: conversation, quick answers, the form to write with, and what a reader should know. web-chat.tsx serves it.
import type { Child } from 'hono/jsx';
import { writePage } from '../../pages/page.tsx';
import { type Conversation, cursorOf, Entry, keyOf, QuickAnswers } from './chat-news.tsx';

export interface ChatPageParts {
  readonly conversation: Conversation;
  /** Event id of the next post from this page. */
  readonly event: string;
  /** What could not be done, and the words that were not sent; null when all is well. */
  readonly refused: { readonly says: string; readonly text: string } | null;
}

export function chatPage({ conversation, event, refused }: ChatPageParts): string {
  const { entries, standing, question, questionKey, waiting, pictures } = conversation;
  return writePage({
    kind: 'chat',
    title: 'crosscount: fuel mixture and oxygen sensors',
    header: (
      <form method="post" action="/chat/new">
        <button type="submit" class="plain">
          New conversation
        </button>
      </form>
    ),
    main: (
      <>
        <h1>Fuel mixture and oxygen sensors</h1>
        {entries.length === 0 ? <Opening /> : null}
        <div
          id="log"
          role="log"
          aria-live="polite"
          aria-label="Conversation"
          data-cursor={cursorOf(entries)}
          data-waiting={waiting ? 'yes' : 'no'}
        >
          {entries.map((entry) => (
            <Entry entry={entry} standing={standing[keyOf(entry)]} pictures={pictures[keyOf(entry)]} />
          ))}
        </div>
        <div id="quick" data-question={questionKey}>
          {question ? <QuickAnswers question={question} event={event} /> : null}
        </div>
        <WriteForm event={event} text={refused?.text ?? ''}>
          <p id="status" role="status" class={refused ? 'status failed' : 'status'}>
            {statusOf(refused?.says ?? null, waiting)}
          </p>
        </WriteForm>
      </>
    ),
    footer: <Foot conversed={entries.length > 0} />,
  });
}

function statusOf(refusal: string | null, waiting: boolean): string {
  return refusal ?? (waiting ? 'Your post is kept; the answer is on its way. Load this page again to see it.' : '');
}

function WriteForm({
  event,
  text,
  children,
}: {
  readonly event: string;
  readonly text: string;
  readonly children: Child;
}) {
  return (
    <form
      id="write"
      class="write"
      method="post"
      action="/chat/posts"
      enctype="multipart/form-data"
      data-send="typed"
      aria-label="Write a post"
    >
      <input type="hidden" name="event" value={event} />
      <label for="text">What does the car do? Or what is there to add or correct?</label>
      <textarea id="text" name="text" rows={5} dir="auto" aria-describedby="text-hint">
        {/* A browser drops one line feed at the start of a text area. */}
        {`\n${text}`}
      </textarea>
      <div class="row">
        <button type="submit">Send</button>
        <span id="text-hint" class="hint">
          Ctrl and Enter sends. Please leave out names, number plates and addresses.
        </span>
      </div>
      <p class="log-file">
        <label for="file">Add a log or a data list (text or CSV, at most 5 MiB)</label>
        <input id="file" name="log" type="file" accept=".csv,.tsv,.txt,.log,text/plain,text/csv" />
      </p>
      <progress id="progress" class="progress" max={100} value={0} hidden={true} aria-label="Sending the log" />
      {children}
    </form>
  );
}

function Opening() {
  return (
    <section id="opening" class="opening" aria-labelledby="opening-title">
      <h2 id="opening-title">What helps most</h2>
      <ul>
        <li>The engine: size, cylinders, in line or V, and the car's year.</li>
        <li>Every stored code, or that there is none.</li>
        <li>Fuel trims at idle and at a steady 2500 rpm, warm engine; sensor voltages or lambda if you have them.</li>
        <li>What you notice, what you do not, and what has been done already.</li>
      </ul>
      <p class="note grave">
        <strong>Stop and switch off first</strong> if the engine light flashes, if you smell fuel, if exhaust comes into
        the car, or if something glows or smokes. The car can wait.
      </p>
    </section>
  );
}

function Foot({ conversed }: { readonly conversed: boolean }) {
  return (
    <>
      <p>
        Answers come from a program that computes from what you write. They are general guidance; whoever can see and
        measure the car decides, and local rules come first. A person may read along and correct an answer.
      </p>
      <p>A cookie that means nothing elsewhere brings your conversation back on this browser.</p>
      <details id="erase" hidden={!conversed}>
        <summary>What is kept of me; erase it</summary>
        <form method="post" action="/chat/export">
          <button type="submit" class="plain">
            Give me all of it as a file
          </button>
        </form>
        <p>
          Erasing removes your posts and all answers to them for good; sending &quot;forget me&quot; does the same.
          Copies in backups go when those are deleted.
        </p>
        <form method="post" action="/chat/erase">
          <button type="submit" class="grave">
            Erase it now
          </button>
        </form>
      </details>
    </>
  );
}
