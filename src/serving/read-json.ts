// Request bodies as JSON, safely: type, size of nesting and bytes are checked before anything is parsed. Routes that take JSON
// call it; the size of the body is limited before, in app.ts.
import type { z } from 'zod';
import { Problem } from '../vocabulary/problems.ts';

/** Deepest nesting of arrays and objects that is read. */
const jsonDepthLimit = 64;

/**
 * Reads a request's body as JSON of the given shape.
 *
 * @throws Problem `invalid` saying what was found and what to send, without quoting the body
 */
export async function readJson<Schema extends z.ZodType>(request: Request, schema: Schema): Promise<z.infer<Schema>> {
  checkJsonHeaders(request.headers, 'invalid');
  return parseJson(await receiveBody(request), schema, 'invalid');
}

/** @throws Problem `invalid` as `readJson`, and with the code given for JSON that has another shape */
export function parseJson<Schema extends z.ZodType>(
  bytes: Uint8Array,
  schema: Schema,
  wrongShape: 'invalid' | 'wrong-shape',
): z.infer<Schema> {
  const text = decode(bytes);
  if (text.trim() === '') throw new Problem('invalid', 'The body is empty: send JSON.');
  if (isDeeperThan(text, jsonDepthLimit))
    throw new Problem('invalid', `The JSON is nested deeper than ${jsonDepthLimit} levels: send a flatter body.`);
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    // The parser's own message quotes the text, so it goes nowhere.
    throw new Problem('invalid', 'The body is not JSON: check quotes, commas and brackets.');
  }
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const issues = parsed.error.issues.slice(0, 5).map((issue) => `${issue.path.join('.') || 'body'}: ${issue.message}`);
  throw new Problem(wrongShape, `The body does not fit: ${issues.join('; ')}`.slice(0, 500));
}

/** @throws Problem with the code given when the body is announced as anything but uncompressed JSON in UTF-8 */
export function checkJsonHeaders(headers: Headers, code: 'invalid' | 'wrong-type'): void {
  const [type = '', ...parameters] = (headers.get('content-type') ?? '').toLowerCase().split(';', 10);
  if (!/^application\/([a-z0-9.+-]{1,60}\+)?json$/.test(type.trim()))
    throw new Problem(code, 'Send the body as application/json.');
  const charset = parameters.map((parameter) => parameter.trim()).find((parameter) => parameter.startsWith('charset='));
  if (charset !== undefined && !['utf-8', '"utf-8"', 'utf8'].includes(charset.slice('charset='.length)))
    throw new Problem(code, 'Send the body in UTF-8.');
  const encoding = headers.get('content-encoding')?.trim().toLowerCase() ?? 'identity';
  if (encoding !== 'identity' && encoding !== '') throw new Problem(code, 'Send the body uncompressed.');
}

/** The bytes of a body. @throws Problem `invalid` when it breaks off */
export async function receiveBody(request: Request): Promise<Uint8Array> {
  try {
    return new Uint8Array(await request.arrayBuffer());
  } catch {
    throw new Problem('invalid', 'The body broke off.');
  }
}

function decode(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new Problem('invalid', 'The body is not UTF-8 text.');
  }
}

/** Whether arrays and objects nest deeper than `limit`; one pass, without parsing (JSON.parse takes any depth). */
export function isDeeperThan(text: string, limit: number): boolean {
  let depth = 0;
  let inString = false;
  for (let at = 0; at < text.length; at += 1) {
    const unit = text.charCodeAt(at);
    if (inString) {
      if (unit === 0x5c /* \ */) at += 1;
      else if (unit === 0x22 /* " */) inString = false;
    } else if (unit === 0x22) inString = true;
    else if (unit === 0x5b /* [ */ || unit === 0x7b /* { */) {
      depth += 1;
      if (depth > limit) return true;
    } else if (unit === 0x5d /* ] */ || unit === 0x7d /* } */) depth -= 1;
  }
  return false;
}
