// The program's log: JSON lines on standard output, with the time in UTC and never a word of a post. Every part that reports
// something receives a Log; the front doors make it.
import pino from 'pino';
import { z } from 'zod';
import { Problem } from '../vocabulary/problems.ts';

/** Ids, counts, names and durations; no text that a person wrote. */
export type LogFields = Readonly<Record<string, string | number | boolean | null | readonly string[]>>;

export interface Log {
  info(event: string, fields?: LogFields): void;
  warn(event: string, fields?: LogFields): void;
  error(event: string, fields?: LogFields): void;
}

export function makeLog(level: 'info' | 'silent' = 'info'): Log {
  // `browser` is for the Workers runtime: whole objects to its own log, which indexes their fields.
  const logger = pino({
    level,
    base: null,
    timestamp: pino.stdTimeFunctions.isoTime,
    browser: { asObject: true },
  });
  return {
    info: (event, fields = {}) => logger.info(fields, event),
    warn: (event, fields = {}) => logger.warn(fields, event),
    error: (event, fields = {}) => logger.error(fields, event),
  };
}

/**
 * What may be logged of an error. Messages of foreign errors can quote a post (JSON.parse does), so only those of Problems and
 * of the database are kept; of all others the name, the place in the program, and of a failed check the fields.
 */
export function describeError(error: unknown): LogFields {
  if (!(error instanceof Error)) return { error: typeof error };
  const frames = (error.stack ?? '')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line.startsWith('at '))
    .slice(0, 8);
  const code = 'code' in error && typeof error.code === 'string' ? { code: error.code.slice(0, 60) } : {};
  const says = error instanceof Problem ? { says: error.message } : {};
  const fields =
    error instanceof z.ZodError
      ? { fields: error.issues.slice(0, 10).map((issue) => `${issue.path.join('.')}: ${issue.code}`) }
      : {};
  const cause =
    error.cause instanceof Error
      ? { cause: `${error.cause.name} ${String(describeError(error.cause).code ?? '')}` }
      : {};
  return { error: error.name, ...code, ...says, ...fields, ...cause, frames };
}
