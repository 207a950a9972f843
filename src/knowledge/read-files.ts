// Knowledge files (YAML text) -> checked entries, or every mistake in one run as `file:line field: found X; allowed Y; do Z`.
import { isMap, isScalar, isSeq, LineCounter, type Node, type ParsedNode, parseDocument } from 'yaml';
import type { z } from 'zod';
import type { Kind, Mistake } from './kind.ts';
import { type KindName, kinds } from './kinds.ts';
import type { KnowledgeEntries } from './knowledge.ts';

export interface KnowledgeFile {
  /** Path below knowledge/, with forward slashes: `faults/vacuum-leak.yaml`. */
  readonly path: string;
  readonly text: string;
}

type Path = ReadonlyArray<string | number>;
interface Located {
  readonly file: string;
  readonly entry: { id: string };
  readonly lineOf: (path: Path) => number;
}

/**
 * Reads and checks all files.
 *
 * @returns `entries` sorted by id when there is no mistake, else null; `mistakes` one line each, in file order
 */
export function readKnowledgeFiles(files: readonly KnowledgeFile[]): {
  entries: KnowledgeEntries | null;
  mistakes: string[];
} {
  const mistakes: string[] = [];
  const report = (file: string, line: number, mistake: Mistake) => {
    const field = mistake.path.length === 0 ? '(file)' : mistake.path.join('.');
    mistakes.push(
      `knowledge/${file}:${line} ${field}: found ${mistake.found}; allowed ${mistake.allowed}; ${mistake.advice}`,
    );
  };

  const located = new Map<KindName, Located[]>();
  for (const name of Object.keys(kinds) as KindName[]) located.set(name, []);

  for (const file of [...files].sort((a, b) => (a.path < b.path ? -1 : 1))) {
    const folder = file.path.split('/')[0]!;
    const name = (Object.keys(kinds) as KindName[]).find((key) => kinds[key].folder === folder);
    if (!name || !/^[a-z0-9-]+\/[a-z0-9-]+\.yaml$/.test(file.path)) {
      report(file.path, 1, {
        path: [],
        found: 'a file of no known kind',
        allowed: `<kind>/<id>.yaml with kind one of ${Object.values(kinds)
          .map((kind) => kind.folder)
          .join(', ')}`,
        advice: 'move or rename the file',
      });
      continue;
    }
    located.get(name)!.push(...readOneFile(file, kinds[name] as unknown as Kind, report));
  }

  for (const name of Object.keys(kinds) as KindName[]) {
    const kind = kinds[name] as unknown as Kind;
    const seen = new Map<string, Located>();
    for (const item of located.get(name)!) {
      const first = seen.get(item.entry.id);
      if (first) {
        report(item.file, item.lineOf(['id']), {
          path: ['id'],
          found: `${item.entry.id} a second time`,
          allowed: `one entry per id (the first is in knowledge/${first.file}:${first.lineOf(['id'])})`,
          advice: 'rename or remove one of them',
        });
      }
      seen.set(item.entry.id, item);
      for (const mistake of kind.mistakes?.(item.entry) ?? []) report(item.file, item.lineOf(mistake.path), mistake);
      for (const reference of kind.references(item.entry)) {
        const target = (Object.keys(kinds) as KindName[]).find((key) => kinds[key].folder === reference.to)!;
        const known = located.get(target)!;
        if (!known.some((other) => other.entry.id === reference.id)) {
          report(item.file, item.lineOf(reference.path), {
            path: reference.path,
            found: reference.id,
            allowed: `an id of knowledge/${reference.to}${nearest(
              reference.id,
              known.map((other) => other.entry.id),
            )}`,
            advice: `correct the id, or add it to knowledge/${reference.to} first`,
          });
        }
      }
    }
  }

  if (mistakes.length > 0) return { entries: null, mistakes };
  const entries = Object.fromEntries(
    (Object.keys(kinds) as KindName[]).map((name) => [
      name,
      located
        .get(name)!
        .map((item) => item.entry)
        .sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0)),
    ]),
  ) as unknown as KnowledgeEntries;
  return { entries, mistakes: [] };
}

function readOneFile(
  file: KnowledgeFile,
  kind: Kind,
  report: (file: string, line: number, mistake: Mistake) => void,
): Located[] {
  const lines = new LineCounter();
  const document = parseDocument(file.text, { lineCounter: lines, uniqueKeys: true });
  for (const error of document.errors) {
    report(file.path, lines.linePos(error.pos[0]).line || 1, {
      path: [],
      found: `text that is not YAML (${error.code})`,
      allowed: 'YAML 1.2 with each key once',
      advice: 'look at indentation, quotes and doubled keys on this line',
    });
  }
  if (document.errors.length > 0) return [];

  const contents = document.contents as ParsedNode | null;
  const value: unknown = document.toJS({ maxAliasCount: 100 });
  if (kind.files === 'many' && !Array.isArray(value)) {
    report(file.path, 1, {
      path: [],
      found: 'one entry',
      allowed: 'a list of entries',
      advice: 'begin each entry with "- id:"',
    });
    return [];
  }
  const list: Array<[unknown, Path]> =
    kind.files === 'many'
      ? (value as unknown[]).map((entry, index) => [entry, [index]] as [unknown, Path])
      : [[value, []]];

  return list.flatMap(([entry, base]) => {
    const lineOf = (path: Path) => lines.linePos(positionOf(contents, [...base, ...path])).line || 1;
    const checked = kind.schema.safeParse(entry);
    if (!checked.success) {
      for (const issue of checked.error.issues)
        reportIssue(issue, entry, (path, mistake) => report(file.path, lineOf(path), mistake));
      return [];
    }
    const expectedId = file.path.split('/')[1]!.replace(/\.yaml$/, '');
    if (kind.files === 'one' && checked.data.id !== expectedId) {
      report(file.path, lineOf(['id']), {
        path: ['id'],
        found: checked.data.id,
        allowed: `${expectedId}, the file's name`,
        advice: 'make the id and the file name the same',
      });
    }
    return [{ file: file.path, entry: checked.data, lineOf }];
  });
}

function reportIssue(issue: z.core.$ZodIssue, entry: unknown, report: (path: Path, mistake: Mistake) => void): void {
  const path = issue.path.map((part) => (typeof part === 'symbol' ? String(part) : part));
  if (issue.code === 'unrecognized_keys') {
    for (const key of issue.keys) {
      report([...path, key], {
        path: [...path, key],
        found: 'a field that this kind does not have',
        allowed: 'the fields that the first lines of the folder’s files name',
        advice: 'correct the spelling or remove the field',
      });
    }
    return;
  }
  const value = path.reduce<unknown>(
    (inner, part) => (inner as Record<string | number, unknown> | undefined)?.[part],
    entry,
  );
  report(path, {
    path,
    found: value === undefined ? 'nothing' : JSON.stringify(value).slice(0, 80),
    allowed: allowedBy(issue),
    advice: value === undefined ? 'add the field' : 'change the value',
  });
}

function allowedBy(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_value':
      return issue.values.map(String).join(', ');
    case 'too_small':
      return `${issue.origin === 'number' ? '' : `${issue.origin} of `}at least ${issue.minimum}`;
    case 'too_big':
      return `${issue.origin === 'number' ? '' : `${issue.origin} of `}at most ${issue.maximum}`;
    case 'invalid_type':
      return issue.expected;
    case 'invalid_format':
      return `text of the form ${issue.format === 'regex' ? String(issue.pattern) : issue.format}`;
    case 'invalid_union':
      return `one of the forms: ${[...new Set(issue.errors.flat().map(allowedBy))].slice(0, 4).join(' | ')}`;
    default:
      return issue.message;
  }
}

/** Offset of the node at a path, or of its nearest parent that exists. */
function positionOf(root: Node | null, path: Path): number {
  let node: Node | null = root;
  let position = startOf(root);
  for (const part of path) {
    if (isMap(node)) {
      const pair = node.items.find((item) => isScalar(item.key) && String(item.key.value) === String(part));
      if (!pair) return position;
      position = startOf(pair.key as Node);
      node = pair.value as Node | null;
    } else if (isSeq(node)) {
      node = (node.items[Number(part)] as Node | undefined) ?? null;
      if (!node) return position;
      position = startOf(node);
    } else {
      return position;
    }
  }
  return position;
}

function startOf(node: Node | null): number {
  return node?.range?.[0] ?? 0;
}

/** ", perhaps X" when a known id is within two edits. */
function nearest(id: string, known: readonly string[]): string {
  const close = known.find((other) => Math.abs(other.length - id.length) <= 2 && editDistance(id, other) <= 2);
  return close ? `, perhaps ${close}` : '';
}

function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next[j] = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1));
    }
    row = next;
  }
  return row[b.length]!;
}
