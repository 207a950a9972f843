// `npm run ask`: the terminal's front door. One post on standard input and the answer on standard output, or many posts
// as JSON lines in one process. It needs no database and keeps nothing.
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { answerPost } from './answer.ts';
import type { Knowledge } from './knowledge/knowledge.ts';
import { KnowledgeMistakes, loadKnowledgeFolder } from './knowledge/load-folder.ts';

const usage = `npm run ask                         one post on standard input, the reply on standard output
npm run ask -- --json               the whole answer document instead
npm run ask -- --json-lines         one {"id","text"} a line in, one answer document a line out
npm run ask -- --attach FILE        reads a log beside the post (may be given more than once)
`;

/** Longest log that is read [bytes]. */
const attachmentLimitBytes = 5 * 1024 * 1024;
/** Longest JSON line that is read [UTF-16 units]. */
const lineLimit = 1024 * 1024;

const jsonLine = z.object({ id: z.union([z.string(), z.number()]).optional(), text: z.string() });

async function main(): Promise<number> {
  const options = readOptions();
  if (typeof options === 'string') {
    process.stderr.write(`${options}\n\n${usage}`);
    return 2;
  }
  if (options.help) {
    process.stdout.write(usage);
    return 0;
  }
  const knowledge = loadKnowledgeFolder();
  if (options.jsonLines) {
    await answerLines(knowledge);
    return 0;
  }
  const attachments = options.attach.map(readAttachment);
  const refused = attachments.find((attachment) => typeof attachment === 'string');
  if (refused !== undefined) {
    process.stderr.write(`${refused}\n`);
    return 2;
  }
  if (process.stdin.isTTY)
    process.stderr.write('Type or paste the post, then end it with Ctrl-D on a line of its own.\n');
  const text = await readAll();
  const post = { id: 'ask', text, attachments: attachments.filter((attachment) => typeof attachment !== 'string') };
  const { answer } = answerPost(post, null, knowledge);
  process.stdout.write(options.json ? `${JSON.stringify(answer, null, 2)}\n` : `${answer.reply.text}\n`);
  return 0;
}

function readOptions(): { json: boolean; jsonLines: boolean; attach: string[]; help: boolean } | string {
  try {
    const { values } = parseArgs({
      options: {
        json: { type: 'boolean', default: false },
        'json-lines': { type: 'boolean', default: false },
        attach: { type: 'string', multiple: true, default: [] },
        help: { type: 'boolean', short: 'h', default: false },
      },
    });
    return { json: values.json, jsonLines: values['json-lines'], attach: values.attach, help: values.help };
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

/** The log's text, or one sentence why it was not taken. */
function readAttachment(file: string): { name: string; text: string } | string {
  try {
    const bytes = readFileSync(file);
    if (bytes.byteLength > attachmentLimitBytes) return `${file} is over 5 MiB: send the part around the trouble.`;
    return { name: file.replace(/^.*[\\/]/, ''), text: bytes.toString('utf8') };
  } catch {
    return `${file} cannot be read: check the name and the permissions.`;
  }
}

async function readAll(): Promise<string> {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks).toString('utf8');
}

/** Answers every line in order; a line that cannot be read gets a problem line of its own, so that nothing is lost. */
async function answerLines(knowledge: Knowledge): Promise<void> {
  let number = 0;
  for await (const line of createInterface({ input: process.stdin, crlfDelay: Number.POSITIVE_INFINITY })) {
    number += 1;
    if (line.trim() === '') continue;
    const written = process.stdout.write(`${JSON.stringify(answerLine(line, number, knowledge))}\n`);
    if (!written) await new Promise((resolve) => process.stdout.once('drain', resolve));
  }
}

function answerLine(line: string, number: number, knowledge: Knowledge): unknown {
  const problem = (detail: string) => ({
    id: String(number),
    problem: { type: 'about:blank', title: 'invalid', status: 400, detail },
  });
  if (line.length > lineLimit) return problem('The line is over 1 MiB: shorten the post.');
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return problem('The line is not JSON: send {"id": "...", "text": "..."}.');
  }
  const parsed = jsonLine.safeParse(value);
  if (!parsed.success)
    return problem(
      'The line needs a "text" that is a string, and an "id" that is a string or a number or is left out.',
    );
  return answerPost({ id: String(parsed.data.id ?? number), text: parsed.data.text }, null, knowledge).answer;
}

try {
  process.exitCode = await main();
} catch (error) {
  process.stderr.write(
    `${error instanceof KnowledgeMistakes ? error.message : `ask failed: ${error instanceof Error ? error.stack : String(error)}`}\n`,
  );
  process.exitCode = 1;
}
