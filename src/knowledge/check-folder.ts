// `npm run knowledge`: checks the knowledge folder (or the one named) and prints every mistake, one a line.
import { KnowledgeMistakes, knowledgeFolder, loadKnowledgeFolder } from './load-folder.ts';

try {
  const knowledge = loadKnowledgeFolder(process.argv[2] ?? knowledgeFolder);
  process.stdout.write(
    `knowledge ${knowledge.version}: ${knowledge.faults.length} faults, ${knowledge.symptoms.length} symptoms, ${knowledge.codes.length} codes, ` +
      `${knowledge.questions.length} questions, ${knowledge.engines.length} engine families, ${knowledge.cases.length} example cases, no mistakes\n`,
  );
} catch (error) {
  if (!(error instanceof KnowledgeMistakes)) throw error;
  process.stderr.write(`${error.mistakes.join('\n')}\n${error.mistakes.length} mistake(s)\n`);
  process.exitCode = 1;
}
