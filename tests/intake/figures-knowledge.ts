// The part of the knowledge base that the readers of figures use, loaded by itself so that their tests do not depend on the rest.
import { assembleKnowledge, type Knowledge, type KnowledgeEntries } from '../../src/knowledge/knowledge.ts';
import { knowledgeFolder, readFolder } from '../../src/knowledge/load-folder.ts';
import { readKnowledgeFiles } from '../../src/knowledge/read-files.ts';

/** Makes, quantity and condition words, codes and their words with all sources. */
export function loadFiguresKnowledge(): Knowledge {
  const { entries, mistakes } = readKnowledgeFiles(
    readFolder(knowledgeFolder).filter((file) =>
      /^(makes|quantities|conditions|codes|code-words|sources)\//.test(file.path),
    ),
  );
  if (!entries) throw new Error(mistakes.join('\n'));
  return assembleKnowledge(entries as KnowledgeEntries, 'figures');
}
