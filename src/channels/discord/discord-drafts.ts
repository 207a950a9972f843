// A helper's draft on Discord: the menu entry of a message shows the evidence and the proposed words to the helper alone; changed
// in a window and sent, they go into the channel as a reply. The route calls it.
import { cutText } from '../../serving/cut-text.ts';
import { draftNotes } from '../../serving/draft-notes.ts';
import { type HelperDrafts, helperDrafts, helperReplyLimit, platformPerson } from '../../serving/helper-drafts.ts';
import type { DiscordRoutesDeps } from './discord-deps.ts';
import { withFiles } from './discord-files.ts';
import { discordChannelName } from './discord-settings.ts';
import { discordFromMarkdown } from './discord-text.ts';
import { type MessageCommand, personIn, postOfMessage, type WindowSent } from './read-interaction.ts';
import { noMentions, rowsOf } from './render-discord.ts';

const descriptionLimit = 3_900;

const draftsOf = (deps: DiscordRoutesDeps): HelperDrafts => helperDrafts({ ...deps, channel: discordChannelName });

/** Fills the private place that the acknowledgement holds open. Runs after it. */
export async function showDraft(deps: DiscordRoutesDeps, interaction: MessageCommand): Promise<void> {
  const fill = (body: unknown) =>
    deps.api({
      method: 'PATCH',
      path: `/webhooks/${deps.settings.applicationId}/${interaction.token}/messages/@original`,
      body,
      botToken: null,
    });
  const read = postOfMessage(interaction, deps.clock());
  if (!read || read.isFromBot) {
    await fill(privately('A program wrote this message; there is nothing to work out.'));
    return;
  }
  try {
    const post = await withFiles(deps, read.post, read.files);
    const { id, document } = await draftsOf(deps).open(post);
    const [notes = ''] = cutText(discordFromMarkdown(draftNotes(document)), descriptionLimit);
    await fill({
      content: 'Only you see this. What you send stands in the channel as a helper\u2019s reply.',
      embeds: [{ title: 'What it rests on', description: notes }],
      components: rowsOf([{ label: 'Edit and send', id: `draft|${id}`, style: 'main' }]),
      allowed_mentions: noMentions,
    });
  } catch (error) {
    await fill(privately('The post could not be worked out just now. Try the menu entry again.'));
    throw error;
  }
}

/** The window with the proposed words, as the answer to the press; a private word when the draft is over. */
export async function draftWindow(deps: DiscordRoutesDeps, id: string) {
  const proposal = await draftsOf(deps).proposal(id);
  if (proposal === null)
    return answerPrivately(
      'This draft was sent already or is over an hour old: open it again from the menu of the post.',
    );
  return windowOf(`draft|${id}`, 'Answer this post', 'Reply', proposal.slice(0, helperReplyLimit), helperReplyLimit);
}

/** Sends the helper's words. @returns the answer to the window */
export async function sendDraft(deps: DiscordRoutesDeps, interaction: WindowSent, id: string) {
  const words = interaction.data.components[0]?.components[0]?.value ?? '';
  const person = personIn(interaction);
  const says = await draftsOf(deps).send(id, words, platformPerson(person.name, 'Discord', person.id));
  if (says !== null) return answerPrivately(says);
  return { type: 7, data: { content: 'Sent.', embeds: [], components: [], allowed_mentions: noMentions } };
}

/** A message that its reader alone sees, as the answer to an interaction. */
export function answerPrivately(text: string) {
  return { type: 4, data: { content: text.slice(0, 2000), flags: 64, allowed_mentions: noMentions } };
}

/** A window with one field for text. Source: discord-components (modals: title 45, text input 4000) */
export function windowOf(id: string, title: string, label: string, value: string, longest: number) {
  const field = { type: 4, custom_id: 'words', style: 2, label, required: true, max_length: longest };
  return {
    type: 9,
    data: {
      custom_id: id,
      title,
      components: [{ type: 1, components: [value === '' ? field : { ...field, value }] }],
    },
  };
}

function privately(text: string) {
  return { content: text, embeds: [], components: [], allowed_mentions: noMentions };
}
