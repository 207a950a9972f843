// Logs attached on Discord: fetched from Discord's own hosts. The route calls it before a post is taken in.
import { fetchAttachment } from '../../serving/fetch-attachment.ts';
import { mostAttachments, type Post } from '../../vocabulary/post.ts';
import type { DiscordRoutesDeps } from './discord-deps.ts';
import { discordApiUrl } from './discord-settings.ts';
import type { DiscordFile } from './read-interaction.ts';

const ownHosts = new Set(['cdn.discordapp.com', 'media.discordapp.net']);

/** The post with its logs; one that cannot be had is named in the text, so that who reads it knows. Discord repeats nothing. */
export async function withFiles(
  { settings, fetch }: Pick<DiscordRoutesDeps, 'settings' | 'fetch'>,
  post: Post,
  files: readonly DiscordFile[],
): Promise<Post> {
  const isOwnHost = (address: URL) =>
    (address.protocol === 'https:' && ownHosts.has(address.hostname)) ||
    (settings.apiUrl !== discordApiUrl && address.origin === new URL(settings.apiUrl).origin);
  const logs = files
    .filter((file) => !/^(?:image|video|audio)\//.test(file.content_type ?? ''))
    .slice(0, mostAttachments);
  const fetched = await Promise.all(
    logs.map((file) =>
      fetchAttachment(
        { name: file.filename, type: file.content_type ?? '', address: file.url, size: file.size ?? null },
        isOwnHost,
        {},
        fetch,
      ),
    ),
  );
  const attachments = fetched.flatMap((got) => (got.kind === 'fetched' ? [got.attachment] : []));
  const missing = fetched.flatMap((got, index) =>
    got.kind === 'fetched'
      ? []
      : [`[The attached file "${(logs[index]?.filename ?? 'log').slice(0, 80)}" was not read: ${got.because}.]`],
  );
  return {
    ...post,
    text: [post.text, ...missing].join('\n\n'),
    ...(attachments.length === 0 ? {} : { attachments }),
  };
}
