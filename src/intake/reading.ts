// What reading one post yields, before it is merged into the case.
import type { Conflict, Note } from '../vocabulary/answer-document.ts';
import type { Finding } from '../vocabulary/findings.ts';

/** A log that came with a post: its findings have no span and the source `attachment`. */
export interface Attachment {
  readonly name: string;
  readonly text: string;
}

export interface PostReading {
  /** New findings, in the order of the text; ids continue the case's. */
  readonly findings: readonly Finding[];
  /** Words that could not hold together with others or with physics. */
  readonly conflicts: readonly Conflict[];
  /** Ids of earlier findings of the case that this post corrects, with the new finding's id. */
  readonly replaces: ReadonlyArray<{ readonly old: string; readonly by: string }>;
  /** Suspects that this post names, as ids of knowledge/mentions: no findings, only a nudge to the odds. */
  readonly mentions: readonly string[];
  readonly notes: readonly Note[];
  /** True when the post says nothing about a car at all. */
  readonly offTopic: boolean;
}
