// What the owner is told when a moderator has changed an answer's standing. bay.tsx sends it with the change.
import type { DueMessage, ReviewState, StoredAnswer } from '../store/store.ts';

/**
 * @param text   the corrected answer, when it is corrected
 * @param reason why, when it is withdrawn
 * @returns the message; null when nothing changes for the owner
 */
export function sayReview(
  answer: StoredAnswer,
  state: ReviewState,
  text: string,
  reason: string,
  marker: string,
): DueMessage | null {
  const to = { channel: answer.channel, conversation: answer.conversation, postId: answer.postId, marker };
  const message = (kind: 'correction' | 'withdrawal', words: string) => ({ ...to, kind, text: words, markdown: words });
  switch (state) {
    case 'corrected':
      return message('correction', `A moderator corrects the earlier answer. What counts now:\n\n${text}`);
    case 'withdrawn':
      return message(
        'withdrawal',
        `A moderator has withdrawn the earlier answer: please do not act on it. The reason: ${reason}`,
      );
    case 'standing':
      // An owner who was told otherwise before must hear that it stands after all.
      return answer.review.state === 'corrected' || answer.review.state === 'withdrawn'
        ? message('correction', 'A moderator looked again: the first answer to this post stands after all.')
        : null;
    case 'unreviewed':
      return null;
  }
}
