// Composes the one answer that an owner reads, in plain words and within one chat turn, and the case that the next post
// builds on (what was asked, said and shown).
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Caution } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import { nextStep, rememberedStepLength } from '../vocabulary/next-step.ts';
import { type Block, fitBlocks, writeMarkdown, writeText } from './blocks.ts';
import { currentRequests, hasEvidence, type ReplyDraft } from './draft.ts';
import { sayArithmetic } from './say-arithmetic.ts';
import { sayCauses, sayMove, sayTogether } from './say-causes.ts';
import {
  chooseCautions,
  sayCautions,
  sayDriving,
  sayExplanations,
  sayNextCheck,
  sayQuestion,
  sayWhere,
} from './say-next.ts';
import { sayNothingToRead, sayTellMore } from './say-nothing.ts';
import { sayConflicts, sayFit, sayReadings } from './say-readings.ts';

export interface ComposedReply {
  readonly text: string;
  readonly markdown: string;
  /** The draft's cautions with `shown` decided. */
  readonly cautions: Caution[];
}

/**
 * @param draft   the answer document without its reply
 * @param current the case with this post's findings
 * @returns the reply, and the case to store
 */
export function composeReply(
  draft: ReplyDraft,
  current: Case,
  knowledge: Knowledge,
): { reply: ComposedReply; next: Case } {
  const post = current.posts - 1;
  const requests = currentRequests(draft, post);
  const asks = (about: string) => requests.some((request) => request.about === about);
  const evidence = hasEvidence(draft);
  const outside = draft.causes[0]?.fault === 'outside-the-trade' && draft.causes[0].probability >= 0.5;
  const asksToKnow = ['location', 'code-meaning', 'cleaning', 'tampering', 'how-to', 'limits'].some(asks);
  // Who asks how to change a sensor wants to know where it is.
  const asksWhere =
    asks('location') ||
    requests.some((request) => request.about === 'how-to' && draft.where.some(({ item }) => item === request.item));
  const cautions = chooseCautions(draft.cautions, (id) => knowledge.cautions.byId.get(id)?.stopSign ?? false, current);

  const nothing =
    evidence || requests.some((request) => request.about !== 'diagnosis') ? null : sayNothingToRead(draft.notes);
  const ranks = evidence && !outside && !nothing;
  const asked = ranks ? (draft.questions[0] ?? null) : null;
  const step = ranks ? nextStep(draft.plan, current) : null;
  const driving = sayDriving(draft, asks('driving'));

  // Somebody who may harm themselves gets these words alone; the car can wait.
  const isInDanger = requests.some((request) => request.item === 'if-you-are-in-danger');
  const blocks: Array<Block | null> = isInDanger
    ? [sayExplanations(draft, true)]
    : nothing
      ? [draft.driving === 'stop' ? driving : null, nothing, sayCautions(cautions, draft.driving)]
      : [
          draft.driving === 'stop' ? driving : null,
          sayCut(draft),
          sayLanguage(draft),
          draft.driving !== 'stop' && asks('driving') ? driving : null,
          sayArithmetic(
            draft,
            requests,
            (source) => knowledge.sources.byId.get(source.split(',')[0]!)?.title ?? source,
          ),
          sayExplanations(draft, asksToKnow),
          asksWhere ? sayWhere(draft, true) : null,
          sayFit(draft),
          sayConflicts(draft),
          ranks ? sayMove(draft, current.ranking) : null,
          ranks ? sayReadings(draft) : null,
          ranks ? sayCauses(draft) : null,
          ranks ? sayTogether(draft, (fault) => knowledge.faults.byId.get(fault)?.name ?? fault) : null,
          !evidence && !asksToKnow && !outside ? sayTellMore() : null,
          sayNextCheck(step),
          ranks && !asksWhere ? sayWhere(draft, false) : null,
          ranks ? sayQuestion(draft) : null,
          sayCautions(cautions, draft.driving),
          draft.driving !== 'stop' && ranks && !asks('driving') ? driving : null,
          ranks ? sayDeferral() : null,
        ];

  const fitted = fitBlocks(blocks.filter((block): block is Block => block !== null));
  const next: Case = {
    ...current,
    asked: asked ? [...current.asked, { question: asked.id, post }] : current.asked,
    cautionsShown: [
      ...new Set([...current.cautionsShown, ...cautions.filter((item) => item.shown).map((item) => item.id)]),
    ],
    stepsShown: step
      ? [...new Set([...current.stepsShown, step.step.slice(0, rememberedStepLength)])]
      : current.stepsShown,
    ranking: ranks
      ? draft.causes.slice(0, 12).map(({ fault, probability }) => ({ fault, probability }))
      : current.ranking,
  };
  return { reply: { text: writeText(fitted), markdown: writeMarkdown(fitted), cautions }, next };
}

function sayCut(draft: ReplyDraft): Block | null {
  const note = draft.notes.find((item) => item.kind === 'truncated');
  return note ? { title: null, lines: [note.says], short: null, weight: 99 } : null;
}

/** Codes and figures can be read in a post of another language; its words cannot. */
function sayLanguage(draft: ReplyDraft): Block | null {
  if (!draft.notes.some((item) => item.kind === 'other-language')) return null;
  return {
    title: null,
    lines: ['I can only read English words so far: what follows comes from the codes and figures in your post alone.'],
    short: null,
    weight: 96,
  };
}

function sayDeferral(): Block {
  return {
    title: null,
    lines: [
      'This is general guidance from what you wrote; whoever can see and measure the car decides, and local rules come first.',
    ],
    short: ['General guidance only; whoever can measure the car decides, and local rules come first.'],
    weight: 50,
  };
}
