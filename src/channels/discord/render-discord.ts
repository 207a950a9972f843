// A reply as Discord messages: content or one embed within Discord's limits, quick answers as buttons, one picture. The sender and
// the drafts call it.
import { cutText } from '../../serving/cut-text.ts';
import { discordFromMarkdown } from './discord-text.ts';

/** Discord's own limits. Source: discord-message, discord-components (docs: resources/message, components/reference) */
const contentLimit = 2_000;
const descriptionLimit = 4_096;
const labelLimit = 80;
const buttonsARow = 5;
const mostRows = 5;
const altLimit = 1_024;

export type DiscordBody = Readonly<Record<string, unknown>>;

export interface DiscordButton {
  readonly label: string;
  /** Comes back with the press; at most 100 characters. */
  readonly id: string;
  readonly style?: 'main' | 'plain';
}

export interface DiscordExtras {
  /** Our own address, whose links work; left out, none does. */
  readonly address?: string | null;
  readonly buttons: readonly DiscordButton[];
  readonly picture: { readonly png: Uint8Array<ArrayBuffer>; readonly alt: string } | null;
}

/** No mention in any message of ours reaches anybody. */
export const noMentions = { parse: [], replied_user: false } as const;
/** Addresses in a reply open no previews. Source: discord-message (flag SUPPRESS_EMBEDS) */
export const suppressEmbeds = 4;

/**
 * The bodies of the messages that hold a reply, nearly always one: as content where that fits, else as an embed. Buttons and
 * picture belong to the last.
 */
export function renderDiscord(markdown: string, extras: DiscordExtras): DiscordBody[] {
  const text = discordFromMarkdown(markdown, extras.address ?? null);
  const fits = text.length <= contentLimit;
  const pieces = fits ? [text.trim() === '' ? '\u2026' : text] : cutText(text, descriptionLimit);
  return pieces.map((piece, index) => {
    const isLast = index === pieces.length - 1;
    return {
      // An edit leaves what it does not name, so both are named.
      content: fits ? piece : '',
      embeds: fits ? [] : [{ description: piece }],
      allowed_mentions: noMentions,
      components: isLast ? rowsOf(extras.buttons) : [],
      ...(fits ? { flags: suppressEmbeds } : {}),
      ...(isLast && extras.picture !== null
        ? { attachments: [{ id: 0, filename: 'picture.png', description: extras.picture.alt.slice(0, altLimit) }] }
        : {}),
    };
  });
}

/** Buttons in rows of five, twenty-five at most. */
export function rowsOf(buttons: readonly DiscordButton[]) {
  const shown = buttons.slice(0, buttonsARow * mostRows);
  const rows = [];
  for (let at = 0; at < shown.length; at += buttonsARow)
    rows.push({
      type: 1,
      components: shown.slice(at, at + buttonsARow).map((button) => ({
        type: 2,
        style: button.style === 'main' ? 1 : 2,
        label: shorten(button.label),
        custom_id: button.id,
      })),
    });
  return rows;
}

function shorten(label: string): string {
  if (label.length <= labelLimit) return label;
  const cut = label.slice(0, labelLimit - 1);
  return `${/[\ud800-\udbff]$/.test(cut) ? cut.slice(0, -1) : cut}\u2026`;
}
