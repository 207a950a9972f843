// The short form of the endurance runs: a few seconds each against the started program. `npm run endure` does the same for long.
import { describe, expect, it } from 'vitest';
import { runNode, testKey } from '../runtime/program.ts';
import { pause } from './forum-program.ts';
import {
  duplicates,
  killAfterAcknowledgement,
  killAfterReplyWasTaken,
  killWhileStarting,
  load,
  outage,
  reorder,
  restartStorm,
} from './scenarios.ts';

const long = 240_000;

/** Starts the program and kills it after so long, listening or not. */
async function startAndKill(environment: Record<string, string>, afterMs: number): Promise<void> {
  const program = runNode('src/node.ts', [], { PORT: '0', CROSSCOUNT_KEY: testKey, ...environment });
  await pause(afterMs);
  program.process.kill('SIGKILL');
  await program.ended;
}

describe('what was accepted is answered once', () => {
  it(
    'when the program is killed between acknowledgement and reply',
    async () => {
      const { lost, twice, accepted, slowestFirstReplyMs } = await killAfterAcknowledgement(4);
      expect({ lost, twice, accepted }).toEqual({ lost: [], twice: [], accepted: 4 });
      // After the program listens again; generous, for a machine that does other things too.
      expect(slowestFirstReplyMs).toBeLessThan(15_000);
    },
    long,
  );

  it(
    'when it is killed after the forum took the reply and before it heard so',
    async () => {
      expect(await killAfterReplyWasTaken(2)).toEqual({ accepted: 2, lost: [], twice: [] });
    },
    long,
  );

  it(
    'when it is killed while it starts and migrates',
    async () => {
      expect(await killWhileStarting(4, startAndKill)).toBe('ok');
    },
    long,
  );

  it(
    'when every event comes four times',
    async () => {
      expect(await duplicates(40, 4)).toEqual({ accepted: 40, lost: [], twice: [], refused: 0 });
    },
    long,
  );

  it(
    'when posts of a conversation come shuffled, and the case is as if they had come in order',
    async () => {
      expect(await reorder(4, 6)).toEqual({ accepted: 24, lost: [], twice: [], refused: 0, different: [] });
    },
    long,
  );

  it(
    'when the forum fails in every way for a while',
    async () => {
      const { lost, twice, accepted, callsPerItem, drainMs } = await outage(20, 3);
      expect({ lost, twice, accepted }).toEqual({ lost: [], twice: [], accepted: 20 });
      expect(callsPerItem).toBeLessThanOrEqual(20);
      expect(drainMs).toBeLessThan(120_000);
    },
    long,
  );

  it(
    'when it is stopped and started under load',
    async () => {
      const { lost, twice, slowestStopMs } = await restartStorm(2);
      expect({ lost, twice }).toEqual({ lost: [], twice: [] });
      expect(slowestStopMs).toBeLessThan(10_000);
    },
    long,
  );

  it(
    'at twenty events a second',
    async () => {
      const { lost, twice, statuses } = await load(20, 4);
      expect({ lost, twice, statuses }).toEqual({ lost: [], twice: [], statuses: { 202: 80 } });
    },
    long,
  );
});
