// Logs attached to a Slack message: fetched from Slack's own hosts with the bot's token. The listeners call it before a post is
// taken in.
import { fetchAttachment } from '../../serving/fetch-attachment.ts';
import { mostAttachments, type Post } from '../../vocabulary/post.ts';
import { Problem } from '../../vocabulary/problems.ts';
import type { SlackFile } from './read-slack.ts';
import type { SlackRoutesDeps } from './slack-deps.ts';

/** Slack's third and fourth delivery of an event: what cannot be fetched now will not come. */
const lastChancesFrom = 2;

/**
 * The post with its logs; a log that cannot be had is named in the text, so that who reads it knows.
 *
 * @param attempt Slack's number of the repeat; 0 for the first delivery
 * @throws Problem `unavailable` when Slack should deliver the event again because its file did not come
 */
export async function withFiles(
  deps: Pick<SlackRoutesDeps, 'workspaces' | 'settings' | 'fetch'>,
  team: string,
  post: Post,
  files: readonly SlackFile[],
  attempt: number,
): Promise<Post> {
  if (files.length === 0) return post;
  const answer = await deps.workspaces.tokenOf(team);
  const token = answer.kind === 'token' ? answer.token.botToken : '';
  const ownHost = new URL(deps.settings.apiUrl);
  const isOwnHost = (address: URL) =>
    (address.protocol === 'https:' &&
      (address.hostname === 'files.slack.com' || address.hostname === 'slack-files.com')) ||
    (address.origin === ownHost.origin && ownHost.hostname !== 'slack.com');
  const fetched = await Promise.all(
    files.slice(0, mostAttachments).map(async (file) => ({
      name: (file.name ?? 'log').slice(0, 80),
      got: await fetchAttachment(
        {
          name: file.name ?? 'log',
          type: file.mimetype ?? '',
          address: file.url_private_download ?? '',
          size: file.size ?? null,
        },
        isOwnHost,
        { Authorization: `Bearer ${token}` },
        deps.fetch,
      ),
    })),
  );
  if (attempt < lastChancesFrom && fetched.some(({ got }) => got.kind === 'failed'))
    throw new Problem('unavailable', 'An attached log could not be fetched yet; send the event again.');
  const attachments = fetched.flatMap(({ got }) => (got.kind === 'fetched' ? [got.attachment] : []));
  // A photograph is no lost log.
  const missing = fetched.flatMap(({ name, got }, index) =>
    got.kind === 'fetched' || /^(?:image|video|audio)\//.test(files[index]?.mimetype ?? '')
      ? []
      : [`[The attached file "${name}" was not read: ${got.because}.]`],
  );
  return {
    ...post,
    text: [post.text, ...missing].join('\n\n'),
    ...(attachments.length === 0 ? {} : { attachments }),
  };
}
