// How often one person, conversation, workspace or address may hand something in: token buckets in the memory of this process (on
// Workers of one isolate, so there a limit is per isolate), bounded in number. The inbox and the open routes ask it.
import { Problem } from '../vocabulary/problems.ts';

export type LimitKind = 'person' | 'conversation' | 'workspace' | 'address';
export type LimitKeys = { readonly [Kind in LimitKind]?: string | undefined };

/** Posts at once, and posts a second in the long run. All judgement: far above what people write, below what hurts the others. */
export const limits: Readonly<Record<LimitKind, { readonly burst: number; readonly perSecond: number }>> = {
  person: { burst: 120, perSecond: 1 },
  conversation: { burst: 240, perSecond: 2 },
  workspace: { burst: 6000, perSecond: 100 },
  address: { burst: 3000, perSecond: 50 },
};

/** Buckets that are remembered; the one that was used longest ago is forgotten first. */
export const mostBuckets = 20_000;

const says: Record<LimitKind, string> = {
  person: 'That many posts in so short a time are too many for one person',
  conversation: 'That many posts in so short a time are too many for one conversation',
  workspace: 'That many posts in so short a time are too many for one workspace',
  address: 'That many requests in so short a time are too many for one address',
};

export interface RateLimits {
  /**
   * Takes one from every bucket named, or from none.
   * @throws Problem `busy` with the whole seconds after which the emptiest bucket has one again
   */
  take(keys: LimitKeys, now: number): void;
  /** Buckets in memory. */
  readonly size: number;
}

export function makeRateLimits(): RateLimits {
  const buckets = new Map<string, { left: number; at: number }>();

  const filled = (kind: LimitKind, name: string, now: number) => {
    const { burst, perSecond } = limits[kind];
    const bucket = buckets.get(name);
    // A clock that was set back fills nothing and empties nothing.
    return bucket ? Math.min(burst, bucket.left + (Math.max(0, now - bucket.at) / 1000) * perSecond) : burst;
  };

  return {
    take(keys, now) {
      const asked = (Object.keys(limits) as LimitKind[])
        .filter((kind) => keys[kind] !== undefined)
        .map((kind) => ({ kind, name: `${kind} ${keys[kind]}`, left: filled(kind, `${kind} ${keys[kind]}`, now) }));
      const short = asked
        .filter(({ left }) => left < 1)
        .map(({ kind, left }) => ({ kind, seconds: Math.max(1, Math.ceil((1 - left) / limits[kind].perSecond)) }))
        .sort((a, b) => b.seconds - a.seconds)[0];
      if (short) {
        const { kind, seconds } = short;
        throw new Problem('busy', `${says[kind]}: try again in ${seconds} s.`, { retryAfterSeconds: seconds });
      }
      for (const { name, left } of asked) {
        buckets.delete(name);
        buckets.set(name, { left: left - 1, at: now });
      }
      while (buckets.size > mostBuckets) buckets.delete(buckets.keys().next().value!);
    },
    get size() {
      return buckets.size;
    },
  };
}
