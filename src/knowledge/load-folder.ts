// Reads knowledge/ from disk (Node only): the front doors on one machine, the bundle writer and the tests use it.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { assembleKnowledge, type Knowledge, type KnowledgeEntries } from './knowledge.ts';
import { type KnowledgeFile, readKnowledgeFiles } from './read-files.ts';

export const knowledgeFolder = fileURLToPath(new URL('../../knowledge', import.meta.url));

/** Raised with every mistake of the folder, one a line. */
export class KnowledgeMistakes extends Error {
  readonly mistakes: readonly string[];
  constructor(mistakes: readonly string[]) {
    super(`the knowledge base has ${mistakes.length} mistake(s):\n${mistakes.join('\n')}`);
    this.name = 'KnowledgeMistakes';
    this.mistakes = mistakes;
  }
}

/** Loads and checks the whole folder. @throws KnowledgeMistakes listing all mistakes of one run */
export function loadKnowledgeFolder(folder = knowledgeFolder): Knowledge {
  const { entries, version } = loadKnowledgeEntries(folder);
  return assembleKnowledge(entries, version);
}

/** The checked entries and their version, as the bundle holds them. @throws KnowledgeMistakes */
export function loadKnowledgeEntries(folder = knowledgeFolder): { entries: KnowledgeEntries; version: string } {
  const { entries, mistakes } = readKnowledgeFiles(readFolder(folder));
  if (!entries) throw new KnowledgeMistakes(mistakes);
  const version = createHash('sha256').update(JSON.stringify(entries)).digest('hex').slice(0, 12);
  return { entries, version };
}

/** Every YAML file of the folder with its path below it. */
export function readFolder(folder: string): KnowledgeFile[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((file) => file.isFile() && /\.ya?ml$/.test(file.name))
    .map((file) => {
      const full = join(file.parentPath, file.name);
      return { path: full.slice(folder.length + 1).replaceAll('\\', '/'), text: readFileSync(full, 'utf8') };
    });
}
