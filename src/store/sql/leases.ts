// When a post or a message may be taken. The inbox and the outbox of the SQL store share it.
import { sql } from 'kysely';

/** Clocks of two machines may differ by this much before one takes the other's for set back [ms]. */
const clockToleranceMs = 60_000;

/**
 * A condition on a row's lease: over, or from a time that has not come yet. The latter happens when the clock was set back; without
 * it a row leased for seconds would stand still for as long as the clock went back.
 */
export function isFree(now: number) {
  return sql`(lease_until <= ${now} OR lease_from > ${now + clockToleranceMs})`;
}
