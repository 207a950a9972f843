// `npm run bundle`: writes the checked knowledge base as one JSON file for the Workers runtime, which has no folder to read.
// wrangler runs it before every build; worker.ts imports the file.
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { KnowledgeMistakes, loadKnowledgeEntries } from './load-folder.ts';

const place = fileURLToPath(new URL('../../build/knowledge-bundle.json', import.meta.url));

try {
  const { entries, version } = loadKnowledgeEntries();
  mkdirSync(dirname(place), { recursive: true });
  writeFileSync(place, JSON.stringify({ version, entries }));
  process.stdout.write(`knowledge ${version} bundled\n`);
} catch (error) {
  if (!(error instanceof KnowledgeMistakes)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
}
