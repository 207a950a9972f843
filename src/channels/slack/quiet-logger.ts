// The logger that bolt and its socket get: their own messages may quote an event, so only that there was one is logged.
import { LogLevel } from '@slack/bolt';
import { describeError, type Log } from '../../serving/log.ts';

export function quietLogger(log: Log) {
  const about = (given: readonly unknown[]) => {
    const error = given.find((one) => one instanceof Error);
    return error === undefined ? {} : describeError(error);
  };
  return {
    debug: () => undefined,
    info: () => undefined,
    warn: (...given: unknown[]) => log.warn('bolt warns', about(given)),
    error: (...given: unknown[]) => log.warn('bolt reports an error', about(given)),
    setLevel: () => undefined,
    getLevel: () => LogLevel.WARN,
    setName: () => undefined,
  };
}
