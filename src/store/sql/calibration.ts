// How often the first cause was right: counts over settled cases, those whose conversation was erased since included. Part of the
// SQL store.
import { sql } from 'kysely';
import { z } from 'zod';
import type { BayStore, Communities } from '../bay-store.ts';
import type { StoreContext } from './body-keys.ts';
import { inCommunities } from './search.ts';
import { compile } from './tables.ts';

const counts = { cases: z.number(), first: z.number(), three: z.number(), stated: z.number() };

/** Steps of probability: 0 for below 0.1, 9 for 0.9 and above. */
const step = sql`MIN(9, CAST(first_probability * 10 AS INTEGER))`;

type Calibration = Pick<BayStore, 'countByProbability' | 'countByFault' | 'countByCommunity'>;

export function calibration({ connection }: StoreContext): Calibration {
  /** One line for each value of `key` over all settled cases that had a ranking. */
  async function count(key: ReturnType<typeof sql>, communities: Communities): Promise<readonly unknown[]> {
    const columns = sql`channel, fault, fault_place, first_cause, first_probability`;
    const { rows } = await connection.run(
      compile(sql`SELECT ${key} AS key, COUNT(*) AS cases, SUM(fault_place IS NOT NULL AND fault_place = 1) AS first,
          SUM(fault_place IS NOT NULL AND fault_place <= 3) AS three, SUM(first_probability) AS stated
        FROM (SELECT ${columns} FROM outcomes WHERE result = 'fixed' AND fault IS NOT NULL
          UNION ALL SELECT ${columns} FROM past_outcomes)
        WHERE first_probability IS NOT NULL AND ${inCommunities(communities)}
        GROUP BY 1 ORDER BY 1`),
    );
    return rows;
  }

  const named = z.array(z.object({ key: z.string(), ...counts }));
  return {
    async countByProbability(communities) {
      const rows = z.array(z.object({ key: z.number(), ...counts })).parse(await count(step, communities));
      return rows.map(({ key, ...rest }) => ({ step: key, ...rest }));
    },
    async countByFault(communities) {
      const rows = named.parse(await count(sql`fault`, communities));
      return rows.map(({ key, ...rest }) => ({ fault: key, ...rest }));
    },
    async countByCommunity(communities) {
      const rows = named.parse(await count(sql`channel`, communities));
      return rows.map(({ key, ...rest }) => ({ community: key, ...rest }));
    },
  };
}
