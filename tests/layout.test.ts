// Imports run one way (DEVELOPERS.md, "Who may import whom"). This file holds the table and fails on any other import,
// type imports and cycles included.
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const source = fileURLToPath(new URL('../src', import.meta.url));

/** Area -> areas that it may import besides itself. An area is a folder of src or a file at its top. */
const allowed: Record<string, readonly string[]> = {
  vocabulary: [],
  knowledge: ['vocabulary'],
  calculators: ['vocabulary'],
  register: ['vocabulary', 'knowledge'],
  derivation: ['vocabulary', 'knowledge', 'calculators', 'register'],
  intake: ['vocabulary', 'knowledge', 'calculators'],
  diagnosis: ['vocabulary', 'knowledge', 'calculators'],
  advice: ['vocabulary', 'knowledge', 'calculators', 'register', 'intake/reading.ts', 'diagnosis/diagnosis.ts'],
  reply: ['vocabulary', 'knowledge'],
  'answer.ts': ['vocabulary', 'knowledge', 'derivation', 'intake', 'register', 'diagnosis', 'advice', 'reply'],
  store: ['vocabulary'],
  'channels/channel.ts': ['vocabulary', 'store/store.ts'],
  serving: ['vocabulary', 'store/store.ts', 'channels/channel.ts', 'pages'],
  'turn.ts': ['vocabulary', 'knowledge', 'store/store.ts', 'answer.ts', 'serving'],
  'inbox.ts': ['vocabulary', 'store/store.ts', 'channels/channel.ts', 'serving', 'turn.ts'],
  'background.ts': ['store/store.ts', 'serving', 'turn.ts', 'delivery.ts', 'inbox.ts'],
  'delivery.ts': ['vocabulary', 'store/store.ts', 'channels/channel.ts', 'serving'],
  'channels/forum': ['vocabulary', 'store/store.ts', 'channels/channel.ts', 'serving'],
  'channels/api': ['vocabulary', 'store/store.ts', 'channels/channel.ts', 'serving'],
  'channels/slack': ['vocabulary', 'store/store.ts', 'channels/channel.ts', 'serving', 'pages'],
  'channels/discord': ['vocabulary', 'store/store.ts', 'channels/channel.ts', 'serving', 'pages'],
  pages: ['vocabulary'],
  'channels/web': [
    'vocabulary',
    'knowledge',
    'store/store.ts',
    'channels/channel.ts',
    'pages',
    'serving/decode-text.ts',
  ],
  review: [
    'vocabulary',
    'knowledge',
    'intake/mask-personal-data.ts',
    'answer.ts',
    'store/store.ts',
    'store/bay-store.ts',
    'store/audit-types.ts',
    'store/outcome-types.ts',
    'channels/web/web-deps.ts',
    'channels/channel.ts',
    'pages',
  ],
  imaging: [],
  'settings.ts': ['vocabulary'],
  'answer-apart.ts': ['vocabulary', 'answer.ts', 'answer-thread.ts'],
  'answer-thread.ts': ['answer.ts', 'knowledge'],
  'draft.ts': ['vocabulary', 'knowledge', 'store/store.ts', 'answer.ts'],
  'platforms.ts': [
    'vocabulary',
    'knowledge',
    'answer.ts',
    'store/store.ts',
    'channels',
    'serving',
    'settings.ts',
    'draft.ts',
    'answer.ts',
    'knowledge',
    'app.ts',
    'advice/pictures',
    'imaging/render-png.ts',
  ],
  'app.ts': [
    'serving',
    'vocabulary',
    'knowledge',
    'store/store.ts',
    'store/bay-store.ts',
    'channels',
    'review',
    'turn.ts',
    'delivery.ts',
    'inbox.ts',
    'background.ts',
    'answer.ts',
    'settings.ts',
    'advice/pictures',
    'imaging/render-png.ts',
  ],
  'rerun-by-command.ts': ['vocabulary', 'knowledge', 'answer.ts', 'store/bay-store.ts', 'review/rerun.ts'],
  'admin.ts': ['channels/discord', 'vocabulary', 'store', 'settings.ts', 'serving', 'rerun-by-command.ts'],
  'node.ts': ['*'],
  'worker.ts': ['*'],
  'cli.ts': ['*'],
};

const importPattern =
  /(?:^|\n)\s*(?:import|export)[^'"\n;]{0,2000}?from\s*['"]([^'"\n]{1,200})['"]|import\(\s*['"]([^'"\n]{1,200})['"]\s*\)/g;

function sourceFiles(): string[] {
  return readdirSync(source, { recursive: true, withFileTypes: true })
    .filter((file) => file.isFile() && /\.tsx?$/.test(file.name))
    .map((file) => join(file.parentPath, file.name).slice(source.length + 1));
}

function importsOf(file: string): string[] {
  const text = readFileSync(join(source, file), 'utf8').replaceAll(/\/\*[\s\S]*?\*\//g, '');
  return [
    ...text.replaceAll(/import\s*(type\s*)?\{[^}]*\}/g, (match) => match.replaceAll('\n', ' ')).matchAll(importPattern),
  ]
    .map((match) => match[1] ?? match[2]!)
    .filter((path) => path.startsWith('.'))
    .map((path) => normalize(join(dirname(file), path)));
}

function areaOf(file: string): string | undefined {
  return Object.keys(allowed)
    .filter((area) => file === area || file.startsWith(`${area}/`))
    .sort((a, b) => b.length - a.length)[0];
}

describe('the direction of imports', () => {
  it('gives every source file an area of the table', () => {
    expect(sourceFiles().filter((file) => areaOf(file) === undefined)).toEqual([]);
  });

  it('is kept by every file', () => {
    const wrong = sourceFiles().flatMap((file) => {
      const area = areaOf(file);
      const may = area === undefined ? [] : allowed[area]!;
      return importsOf(file)
        .filter((target) => !target.startsWith('..'))
        .filter((target) => areaOf(target) !== area && !may.includes('*'))
        .filter((target) => !may.some((entry) => target === entry || target.startsWith(`${entry}/`)))
        .map((target) => `src/${file} imports src/${target}`);
    });
    expect(wrong).toEqual([]);
  });

  it('has no cycle', () => {
    const graph = new Map(
      sourceFiles().map((file) => [file, importsOf(file).filter((target) => !target.startsWith('..'))]),
    );
    const state = new Map<string, 'open' | 'done'>();
    const cycles: string[] = [];
    const visit = (file: string, path: string[]) => {
      if (state.get(file) === 'done') return;
      if (state.get(file) === 'open') {
        cycles.push([...path.slice(path.indexOf(file)), file].join(' -> '));
        return;
      }
      state.set(file, 'open');
      for (const target of graph.get(file) ?? []) visit(target, [...path, file]);
      state.set(file, 'done');
    };
    for (const file of graph.keys()) visit(file, []);
    expect(cycles).toEqual([]);
  });

  it('keeps the pure layers free of clock, chance, environment and Node', () => {
    const forbidden = /\bDate\.now\(|\bnew Date\(\)|\bMath\.random\(|\bprocess\.|from 'node:|\bfetch\(/;
    const pure = [
      'vocabulary',
      'calculators',
      'register',
      'derivation',
      'intake',
      'diagnosis',
      'advice',
      'reply',
      'answer.ts',
    ];
    const wrong = sourceFiles()
      .filter((file) => pure.includes(areaOf(file) ?? ''))
      .filter((file) => forbidden.test(readFileSync(join(source, file), 'utf8').replaceAll(/\/\/.*$/gm, '')));
    expect(wrong).toEqual([]);
  });

  it('keeps every file short enough to read', () => {
    const long = sourceFiles().filter((file) => readFileSync(join(source, file), 'utf8').split('\n').length > 351);
    expect(long).toEqual([]);
  });
});
