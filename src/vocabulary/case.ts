// A case: what one conversation has established so far. Each post turns (case, text) into (next case, answer).
import { z } from 'zod';
import { conflict } from './answer-document.ts';
import { finding, knowledgeId } from './findings.ts';

export const conversationCase = z.object({
  /** How many posts have been read; the next post has this index. */
  posts: z.number().int().min(0),
  /** The findings that stand, oldest first. */
  findings: z.array(finding),
  /** Findings that a later statement or a person replaced, kept for the record. */
  replaced: z.array(z.object({ finding, by: z.string().max(40) })),
  conflicts: z.array(conflict),
  /** Suspects that the posts have named, as ids of knowledge/mentions. */
  mentions: z.array(knowledgeId).max(200).default([]),
  /** Questions that a reply has put to the owner, in order; the last turn's come last. */
  asked: z.array(z.object({ question: knowledgeId, post: z.number().int().min(0) })),
  /** Cautions already shown in this conversation. */
  cautionsShown: z.array(knowledgeId),
  /** Steps of the plan already put to the owner. */
  stepsShown: z.array(z.string().max(400)),
  /** The ranking as of the last reply, so that the next one can say what moved. */
  ranking: z.array(z.object({ fault: knowledgeId, probability: z.number().min(0).max(1) })),
});
export type Case = z.infer<typeof conversationCase>;

/** The case before anything was said. */
export const emptyCase: Case = {
  posts: 0,
  findings: [],
  replaced: [],
  conflicts: [],
  mentions: [],
  asked: [],
  cautionsShown: [],
  stepsShown: [],
  ranking: [],
};
