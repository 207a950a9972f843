// Every mistake in a knowledge file is reported with file, line, field, what was found, what is allowed and what to do.
// broken/ holds one planted mistake a file, with the words that its message must contain; small/ is a folder without one.
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { assembleKnowledge } from '../../src/knowledge/knowledge.ts';
import { readFolder } from '../../src/knowledge/load-folder.ts';
import { type KnowledgeFile, readKnowledgeFiles } from '../../src/knowledge/read-files.ts';

const small = readFolder(fileURLToPath(new URL('small', import.meta.url)));
const brokenFolder = fileURLToPath(new URL('broken', import.meta.url));

interface Planted {
  readonly name: string;
  readonly file: KnowledgeFile;
  readonly words: readonly string[];
}

const planted: Planted[] = readdirSync(brokenFolder).map((name) => {
  const text = readFileSync(`${brokenFolder}/${name}`, 'utf8');
  const [, path] = /^# replaces: (.*)$/m.exec(text)!;
  const [, words] = /^# expect: (.*)$/m.exec(text)!;
  return { name, file: { path: path!, text }, words: words!.split(' | ') };
});

function withFile(file: KnowledgeFile): KnowledgeFile[] {
  return [...small.filter((other) => other.path !== file.path), file];
}

describe('reading knowledge files', () => {
  it('reads a folder without a mistake and finds entries by id', () => {
    const { entries, mistakes } = readKnowledgeFiles(small);
    expect(mistakes).toEqual([]);
    const knowledge = assembleKnowledge(entries!, 'test');
    expect(knowledge.faults.byId.get('vacuum-leak')?.prior.per1000).toBe(115);
    expect(knowledge.codes.byId.get('P0171')?.bank).toBe(1);
  });

  it('has at least ten planted mistakes to find', () => {
    expect(planted.length).toBeGreaterThanOrEqual(10);
  });

  it.each(planted)('reports the planted mistake of $name, and nothing else', ({ file, words }) => {
    const { entries, mistakes } = readKnowledgeFiles(withFile(file));
    expect(entries).toBeNull();
    const direct = mistakes.filter((mistake) => mistake.startsWith(`knowledge/${file.path}:`));
    expect(direct).toHaveLength(1);
    for (const word of words) expect(direct[0]).toContain(word);
  });

  it('reports all mistakes of all files in one run', () => {
    const bad = planted.filter((item) =>
      ['out-of-range.yaml', 'unknown-source.yaml', 'table-row.yaml'].includes(item.name),
    );
    const files = bad.reduce<KnowledgeFile[]>(
      (list, item) => [...list.filter((other) => other.path !== item.file.path), item.file],
      small,
    );
    const { mistakes } = readKnowledgeFiles(files);
    for (const item of bad) expect(mistakes.some((mistake) => mistake.includes(item.words[0]!))).toBe(true);
  });

  it('takes an empty file and a file of nonsense without throwing', () => {
    for (const text of ['', '[', '- - -', '\u0000', 'a: &a [*a]', '? {'.repeat(200)]) {
      expect(() => readKnowledgeFiles(withFile({ path: 'faults/x.yaml', text }))).not.toThrow();
    }
  });
});
