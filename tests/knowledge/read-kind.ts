// Reads one kind of knowledge for the data tests, so that a mistake in another kind does not hide what these tests say.
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import type { z } from 'zod';
import { type KindName, kinds } from '../../src/knowledge/kinds.ts';

/** Every entry of one kind, checked by its schema, with the raw text of its file. */
export function readKind<Name extends KindName>(
  name: Name,
): { file: string; text: string; entry: z.infer<(typeof kinds)[Name]['schema']> }[] {
  const kind = kinds[name];
  const folder = fileURLToPath(new URL(`../../knowledge/${kind.folder}`, import.meta.url));
  return readdirSync(folder)
    .filter((file) => file.endsWith('.yaml'))
    .sort()
    .flatMap((file) => {
      const text = readFileSync(`${folder}/${file}`, 'utf8');
      const content: unknown = parse(text);
      return (kind.files === 'many' ? (content as unknown[]) : [content]).map((raw) => ({
        file,
        text,
        entry: kind.schema.parse(raw) as z.infer<(typeof kinds)[Name]['schema']>,
      }));
    });
}
