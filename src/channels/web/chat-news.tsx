// What the chat shows of a conversation: its entries as HTML, what became of each answer, and quick answers to the question
// asked last. The page is written from it, and the script fetches it piece by piece.
import type { Child } from 'hono/jsx';
import { isoMoment, writeMoment } from '../../pages/moments.ts';
import { dropHidden } from '../../pages/readable-text.ts';
import { ReplyHtml } from '../../pages/reply-html.tsx';
import type { ConversationEntry, MessageKind, Store } from '../../store/store.ts';
import type { Picture, Question } from '../../vocabulary/answer-document.ts';

export const webChannel = 'web';

/** Entries that a page shows at most. */
const entryLimit = 200;
/** Replies, counted from the last, that show their pictures: the older ones say the same in words. */
const picturedReplies = 6;

export type Standing = 'corrected' | 'withdrawn';
export const standingWords: Record<Standing, string> = {
  corrected: 'This answer was corrected: read the correction further down.',
  withdrawn: 'This answer was withdrawn: please do not act on it.',
};

export interface Conversation {
  readonly entries: readonly ConversationEntry[];
  /** Answers that no longer stand, by the key of their entry. */
  readonly standing: Readonly<Record<string, Standing>>;
  /** Question of the last reply that can be answered by pressing a button. */
  readonly question: Question | null;
  /** Changes whenever another question is open, or the same one again; empty when none is. */
  readonly questionKey: string;
  readonly waiting: boolean;
  /** Pictures of the latest replies, by the key of their entry. */
  readonly pictures: Readonly<Record<string, readonly Picture[]>>;
}

export async function readChat(store: Store, conversation: string): Promise<Conversation> {
  const entries = await store.readConversation(webChannel, conversation, entryLimit);
  const question = await openQuestion(store, entries);
  return {
    entries,
    standing: standingOf(entries),
    question,
    questionKey: question ? `${keyOf(entries.at(-1)!)} ${question.id}` : '',
    waiting: entries.some((entry) => entry.kind === 'post' && entry.state === 'waiting'),
    pictures: await picturesOf(store, entries),
  };
}

async function picturesOf(store: Store, entries: readonly ConversationEntry[]): Promise<Conversation['pictures']> {
  const replies = entries.flatMap((entry) =>
    entry.kind === 'reply' && entry.postId !== null ? [{ key: keyOf(entry), postId: entry.postId }] : [],
  );
  const pictured = replies
    .slice(-picturedReplies)
    .map(async ({ key, postId }) => [key, (await store.readAnswerOfPost(postId))?.document.pictures ?? []] as const);
  return Object.fromEntries(await Promise.all(pictured));
}

/** `p12` for a post, `m7` for a message: unique in a page. */
export function keyOf(entry: ConversationEntry): string {
  return `${entry.kind === 'post' ? 'p' : 'm'}${entry.id}`;
}

/** The newest post and message: what the script hands back to get only what came later. */
export function cursorOf(entries: readonly ConversationEntry[]): string {
  const newest = (isPost: boolean) =>
    entries.reduce((last, entry) => ((entry.kind === 'post') === isPost ? Math.max(last, entry.id) : last), 0);
  return `${newest(true)}.${newest(false)}`;
}

/** Entries later than a cursor; all of them when it is none of ours. */
export function entriesAfter(entries: readonly ConversationEntry[], cursor: string): ConversationEntry[] {
  const numbers = /^(\d{1,15})\.(\d{1,15})$/.exec(cursor);
  const [post, message] = numbers ? [Number(numbers[1]), Number(numbers[2])] : [0, 0];
  return entries.filter((entry) => entry.id > (entry.kind === 'post' ? post : message));
}

function standingOf(entries: readonly ConversationEntry[]): Record<string, Standing> {
  const standing: Record<string, Standing> = {};
  for (const later of entries) {
    if (later.kind !== 'correction' && later.kind !== 'withdrawal') continue;
    for (const entry of entries)
      if (entry.kind !== 'post' && entry.id < later.id && entry.postId === later.postId && entry.kind !== 'withdrawal')
        standing[keyOf(entry)] = later.kind === 'withdrawal' ? 'withdrawn' : 'corrected';
  }
  return standing;
}

/** The question that the last entry puts; one that the reply had no room for was not asked. */
async function openQuestion(store: Store, entries: readonly ConversationEntry[]): Promise<Question | null> {
  const last = entries.at(-1);
  if (last?.kind !== 'reply' || last.postId === null) return null;
  const question = (await store.readAnswerOfPost(last.postId))?.document.questions[0];
  return question && question.answers.length > 0 && last.text.includes(question.text) ? question : null;
}

const names: Record<MessageKind | 'post', string> = {
  post: 'You',
  reply: 'crosscount',
  'helper-reply': 'A helper',
  correction: 'Correction',
  withdrawal: 'Withdrawn',
};
const looks: Record<MessageKind | 'post', string> = {
  post: 'post',
  reply: 'reply',
  'helper-reply': 'person',
  correction: 'correction',
  withdrawal: 'withdrawal',
};

export function Entry({
  entry,
  standing,
  pictures = [],
}: {
  readonly entry: ConversationEntry;
  readonly standing: Standing | undefined;
  readonly pictures?: readonly Picture[] | undefined;
}) {
  const key = keyOf(entry);
  return (
    <article id={key} class={`entry ${looks[entry.kind]}`} data-standing={standing} aria-labelledby={`${key}-who`}>
      <header>
        <h2 id={`${key}-who`}>{names[entry.kind]}</h2>
        <time datetime={isoMoment(entry.at)}>{writeMoment(entry.at)}</time>
      </header>
      <div>
        {entry.kind === 'post' ? null : (
          <p class="standing" hidden={standing === undefined}>
            {standing === undefined ? '' : standingWords[standing]}
          </p>
        )}
        {entry.kind === 'post' ? (
          <div class="words" dir="auto">
            {dropHidden(entry.text)}
            {entry.attached > 0 ? (
              <p class="attached">{entry.attached === 1 ? 'With a log.' : `With ${entry.attached} logs.`}</p>
            ) : null}
          </div>
        ) : (
          <ReplyHtml markdown={entry.markdown} />
        )}
        {pictures.length > 0 ? <Pictures pictures={pictures} /> : null}
      </div>
    </article>
  );
}

const subjects: Record<Picture['about'], string> = {
  place: 'where it is',
  trims: 'fuel trims',
  signal: 'sensor signal',
  ranking: 'likely causes',
};

/** Open at once when a place was asked for or a log was sent; a press away otherwise. The words above say it all. */
function Pictures({ pictures }: { readonly pictures: readonly Picture[] }) {
  const names = [...new Set(pictures.map((picture) => subjects[picture.about]))].join(', ');
  const isAsked = pictures[0]?.about === 'place' || pictures.some((picture) => picture.about === 'signal');
  return (
    <details class="pictures" open={isAsked}>
      <summary>{`${pictures.length === 1 ? 'Picture' : 'Pictures'}: ${names}`}</summary>
      {pictures.map(({ address, alt, width, height }) => (
        <img class="picture" src={address} alt={alt} width={width} height={height} loading="lazy" />
      ))}
    </details>
  );
}

/** One press sends the answer's own words, with or without the script. */
export function QuickAnswers({ question, event }: { readonly question: Question; readonly event: string }): Child {
  return (
    <form class="quick" method="post" action="/chat/posts" data-send="quick">
      <input type="hidden" name="event" value={event} />
      <fieldset>
        <legend>{question.text}</legend>
        <div class="row">
          {question.answers.map((answer) => (
            <button type="submit" name="text" value={answer.text} class="plain">
              {answer.text}
            </button>
          ))}
        </div>
      </fieldset>
    </form>
  );
}
