// Whether a code was said to be stored, pending, permanent or history. read-codes.ts calls it.
import type { CodeFinding } from '../vocabulary/findings.ts';
import type { CodeMention } from './code-mention.ts';
import type { Token } from './tokens.ts';

const statusWords: ReadonlyMap<string, NonNullable<CodeFinding['status']>> = new Map([
  ['pending', 'pending'],
  ['stored', 'stored'],
  ['confirmed', 'stored'],
  ['permanent', 'permanent'],
  ['history', 'history'],
  ['historic', 'history'],
  ['historical', 'history'],
]);

/** Status said of a code: right behind it or behind the list that it begins, else as the heading of the list that it stands in. */
export function statusOf(tokens: readonly Token[], mention: CodeMention): CodeFinding['status'] {
  for (let index = mention.last; index < mention.last + 24; index += 1) {
    const token = tokens[index];
    if (!token || token.kind === 'newline' || /^[.;]$/.test(token.text)) break;
    const status = statusWords.get(token.text);
    if (status) {
      if (tokens[index + 1]?.text !== ':' && !/^codes?$/.test(tokens[index + 1]?.text ?? '')) return status;
      break;
    }
    // Over further codes and joining words the status of the whole list is reached ("P0171 and P0174 both stored").
    if (
      !/^([,(/&]|and|both|all|are|is|was|were|as|which|it|shows?|as|a|the|also|p|po|u)$/.test(token.text) &&
      token.kind !== 'number'
    )
      break;
    if (
      token.text === ',' &&
      tokens[index + 1]?.kind === 'word' &&
      !/^(p|po|u|both|all|and)$/.test(tokens[index + 1]!.text)
    )
      break;
  }
  let lines = 0;
  for (let index = mention.token - 1; index >= 0 && mention.token - index < 40; index -= 1) {
    const token = tokens[index]!;
    const status = statusWords.get(token.text);
    if (status && tokens[index - 1]?.text !== 'no' && isHeading(tokens, index)) return status;
    if (token.text === '.' && tokens[index + 1]?.spaced !== false) break;
    if (token.kind === 'newline') {
      lines += 1;
      if (lines > 1 && tokens[index - 1]?.kind === 'newline') break;
    }
  }
  return null;
}

/** Whether a status word leads what follows ("pending: P0420", "stored codes P0171") and does not close what went before. */
function isHeading(tokens: readonly Token[], index: number): boolean {
  const next = tokens[index + 1];
  return (
    next !== undefined &&
    (/^(:|-|=|codes?|dtcs?|dtc|faults?|trouble|code|fault|is|are|in|error|p|po)$/.test(next.text) ||
      next.kind === 'newline')
  );
}
