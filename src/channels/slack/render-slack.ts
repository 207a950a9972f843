// A reply as Slack messages: sections of mrkdwn within Slack's limits, quick answers as buttons, one picture. The sender calls it.

import { cutText } from '../../serving/cut-text.ts';
import { escapeSlack, slackFromMarkdown } from './slack-text.ts';

/**
 * Most text in one message [UTF-16 units]. Slack refuses a message above a size that it does not document: blocks with 11,341
 * characters were refused, with 9,597 accepted. Source: bolt-js issue 2867
 */
export const textBudget = 9_000;
/** Slack's own limits. Source: slack-block-kit (node-slack-sdk, block-kit types) */
const sectionLimit = 3_000;
const buttonTextLimit = 75;
const buttonValueLimit = 2_000;
const mostButtons = 25;
const altLimit = 2_000;
/** The plain words that go with the blocks, for notifications and screen readers. */
const plainLimit = 3_000;

export type SlackBlock = Readonly<Record<string, unknown>>;

/** One message: the plain words and the blocks that show them. */
export interface SlackPart {
  readonly text: string;
  readonly blocks: readonly SlackBlock[];
}

interface QuickAnswerButton {
  readonly label: string;
  /** Comes back with the press; at most 2,000 characters. */
  readonly value: string;
}

export interface SlackExtras {
  /** Our own address, whose links work; left out, none does. */
  readonly address?: string | null;
  readonly buttons: readonly QuickAnswerButton[];
  readonly picture: { readonly source: PictureSource; readonly alt: string } | null;
}
export type PictureSource = { readonly image_url: string } | { readonly slack_file: { readonly id: string } };

/**
 * Renders a reply, as one message whenever it fits; buttons and picture stand in the last.
 *
 * @param budget most text in one message; half of it when Slack found the whole too long
 */
export function renderSlack(markdown: string, extras: SlackExtras, budget = textBudget): SlackPart[] {
  const pieces = cutText(slackFromMarkdown(markdown, extras.address ?? null), budget);
  return pieces.map((piece, index) => {
    const sections = cutText(piece, sectionLimit).map(sectionOf);
    const isLast = index === pieces.length - 1;
    return {
      text: cutText(piece, plainLimit)[0] ?? '',
      blocks: isLast ? [...sections, ...pictureOf(extras), ...buttonsOf(extras)] : sections,
    };
  });
}

/** `verbatim` keeps Slack from turning addresses and names in the text into links. */
export function sectionOf(text: string): SlackBlock {
  return { type: 'section', text: { type: 'mrkdwn', text, verbatim: true } };
}

/** A small line below. */
export function contextOf(text: string): SlackBlock {
  return {
    type: 'context',
    elements: [{ type: 'mrkdwn', text: cutText(text, sectionLimit)[0] ?? ' ', verbatim: true }],
  };
}

function pictureOf({ picture }: SlackExtras): SlackBlock[] {
  return picture === null ? [] : [{ type: 'image', alt_text: picture.alt.slice(0, altLimit), ...picture.source }];
}

function buttonsOf({ buttons }: SlackExtras): SlackBlock[] {
  const elements = buttons
    .filter((button) => button.value.length <= buttonValueLimit)
    .slice(0, mostButtons)
    .map((button, index) => ({
      type: 'button',
      action_id: `answer-${index}`,
      text: { type: 'plain_text', text: shorten(button.label, buttonTextLimit), emoji: false },
      value: button.value,
    }));
  return elements.length === 0 ? [] : [{ type: 'actions', block_id: 'quick-answers', elements }];
}

export function shorten(text: string, limit: number): string {
  if (text.length <= limit) return text;
  const cut = text.slice(0, limit - 1);
  return `${/[\ud800-\udbff]$/.test(cut) ? cut.slice(0, -1) : cut}\u2026`;
}

/** Blocks of a message whose question was answered: the buttons give way to what was said. */
export function settleButtons(blocks: readonly SlackBlock[], says: string): SlackBlock[] {
  return [...blocks.filter((block) => block.block_id !== 'quick-answers'), contextOf(escapeSlack(says))];
}
