// The one-time link with which a helper or moderator comes into the bay. admin.ts and the demo make it; the bay spends it.
import { hashToken, newToken } from '../pages/tokens.ts';
import type { Role, Store } from '../store/store.ts';
import { Problem } from '../vocabulary/problems.ts';

/** How long a link can be spent [ms]. */
export const linkLivesMs = 60 * 60 * 1000;

/** Names go into pages, logs and commands: letters, digits, blanks and a few marks, 80 characters at most. */
function isPersonName(name: string): boolean {
  return /^[\p{L}\p{N}][\p{L}\p{M}\p{N} ._-]{0,79}$/u.test(name);
}

/** Communities are named by their channel: lower-case letters, digits and hyphens. */
function areCommunities(names: readonly string[]): boolean {
  return names.length > 0 && names.length <= 20 && names.every((name) => /^[a-z0-9][a-z0-9:_-]{0,79}$/i.test(name));
}

/**
 * A link that is not stored yet.
 *
 * @param communities whose posts the person may see and work on; null for all
 * @throws Problem `invalid` for a name or a community that is none
 */
export async function newSignInLink(
  name: string,
  role: Role,
  address: string,
  now: number,
  communities: readonly string[] | null = null,
) {
  if (!isPersonName(name))
    throw new Problem('invalid', 'A name has letters, digits, blanks, dots and hyphens, 80 at most.');
  if (communities !== null && !areCommunities(communities))
    throw new Problem('invalid', 'A community is named by its channel, as in --community web; 20 at most.');
  const token = newToken();
  return {
    address: `${address}/bay/sign-in?token=${token}`,
    stored: { tokenHash: await hashToken(token), name, role, communities, expiresAt: now + linkLivesMs },
  };
}

/** Makes and stores a link. @returns the address to give to that person */
export async function addSignInLink(
  store: Store,
  name: string,
  role: Role,
  address: string,
  now: number,
  communities: readonly string[] | null = null,
): Promise<string> {
  const link = await newSignInLink(name, role, address, now, communities);
  await store.addSignInLink(link.stored);
  return link.address;
}
