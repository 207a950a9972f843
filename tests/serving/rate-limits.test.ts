// Limits: what a burst may be, when there is room again, and that they neither grow without bound nor touch anybody else.
import { describe, expect, it } from 'vitest';
import { clientAddress } from '../../src/serving/client-address.ts';
import { limits, makeRateLimits, mostBuckets } from '../../src/serving/rate-limits.ts';
import type { Problem } from '../../src/vocabulary/problems.ts';

describe('limits', () => {
  const refusal = (work: () => void): Problem | null => {
    try {
      work();
      return null;
    } catch (error) {
      return error as Problem;
    }
  };

  it('let a burst through and not one more, and say when there is room again', () => {
    const guard = makeRateLimits();
    const { burst, perSecond } = limits.person;
    for (let post = 0; post < burst; post += 1) guard.take({ person: 'a' }, 1000);
    const refused = refusal(() => guard.take({ person: 'a' }, 1000));
    expect(refused).toMatchObject({ code: 'busy', retryAfterSeconds: Math.ceil(1 / perSecond) });
    expect(refusal(() => guard.take({ person: 'a' }, 1000 + refused!.retryAfterSeconds! * 1000))).toBeNull();
    expect(refusal(() => guard.take({ person: 'b' }, 1000))).toBeNull();
  });

  it('take from every bucket or from none', () => {
    const guard = makeRateLimits();
    for (let post = 0; post < limits.person.burst; post += 1) guard.take({ person: 'a' }, 0);
    for (let post = 0; post < limits.workspace.burst; post += 1)
      expect(refusal(() => guard.take({ person: 'a', workspace: 'w' }, 0))).not.toBeNull();
    expect(refusal(() => guard.take({ person: 'b', workspace: 'w' }, 0))).toBeNull();
  });

  it('are neither filled nor emptied by a clock that is set back', () => {
    const guard = makeRateLimits();
    for (let post = 0; post < limits.person.burst; post += 1) guard.take({ person: 'a' }, 3_600_000);
    expect(refusal(() => guard.take({ person: 'a' }, 0))).not.toBeNull();
  });

  it('remember a bounded number of buckets', () => {
    const guard = makeRateLimits();
    for (let address = 0; address < mostBuckets + 100; address += 1) guard.take({ address: String(address) }, 0);
    expect(guard.size).toBe(mostBuckets);
  });
});

describe('the address of a caller', () => {
  it.each([
    // X-Forwarded-For, peer, proxies of ours, address
    [null, '192.0.2.1', 0, '192.0.2.1'],
    ['198.51.100.7', '192.0.2.1', 0, '192.0.2.1'],
    ['198.51.100.7', '192.0.2.1', 1, '198.51.100.7'],
    ['203.0.113.9, 198.51.100.7', '192.0.2.1', 1, '198.51.100.7'],
    ['203.0.113.9, 198.51.100.7, 192.0.2.2', '192.0.2.1', 2, '198.51.100.7'],
    ['', '192.0.2.1', 1, '192.0.2.1'],
    [null, '::ffff:192.0.2.1', 0, '192.0.2.1'],
    [null, '2001:db8:1:2:3:4:5:6', 0, '2001:db8:1:2'],
    [null, '2001:db8:1:2:ffff::1', 0, '2001:db8:1:2'],
    [null, '2001:db8::1', 0, '2001:db8:0:0'],
    [null, '::1', 0, '0:0:0:0'],
    [null, undefined, 0, undefined],
  ])('of %s before %s with %d proxies is %s', (forwarded, peer, proxies, expected) => {
    const headers = new Headers(forwarded === null ? {} : { 'X-Forwarded-For': forwarded });
    expect(clientAddress(headers, peer, proxies)).toBe(expected);
  });
});
