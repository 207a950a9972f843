// Finds the longest of many phrases at a place in the tokens: names of quantities, units, conditions, makes and models.
// A trie over words, so the time depends on the longest phrase and not on how many there are.
import { splitTokens, type Token } from './tokens.ts';

interface Node<Value> {
  readonly next: Map<string, Node<Value>>;
  value: Value | undefined;
}

export interface PhraseTable<Value> {
  readonly root: Node<Value>;
}

export interface PhraseMatch<Value> {
  readonly value: Value;
  /** Token after the phrase's last. */
  readonly last: number;
}

/** Builds a table; a later entry replaces an earlier one of the same phrase. */
export function buildPhraseTable<Value>(entries: Iterable<readonly [string, Value]>): PhraseTable<Value> {
  const root: Node<Value> = { next: new Map(), value: undefined };
  for (const [phrase, value] of entries) {
    const tokens = splitTokens(phrase.toLowerCase());
    let node = root;
    tokens.forEach((token, index) => {
      if (isJoiner(token)) return;
      const key = keyOf(token, index === 0);
      let next = node.next.get(key);
      if (!next) {
        next = { next: new Map(), value: undefined };
        node.next.set(key, next);
      }
      node = next;
    });
    if (node !== root) node.value = value;
  }
  return { root };
}

/**
 * The longest phrase that begins at token `first`. Hyphens and slashes glued between words are passed over
 * (`air-fuel ratio`, `a/f`), a digit must be glued where the phrase has it glued (`co2`, but not `CO 2.5`).
 */
export function matchPhrase<Value>(
  table: PhraseTable<Value>,
  tokens: readonly Token[],
  first: number,
): PhraseMatch<Value> | null {
  let node = table.root;
  let found: PhraseMatch<Value> | null = null;
  for (let index = first; index < tokens.length; index += 1) {
    const token = tokens[index]!;
    if (index > first && isJoiner(token) && !token.spaced && tokens[index + 1]?.spaced === false) continue;
    const next = node.next.get(keyOf(token, index === first));
    if (!next) break;
    node = next;
    if (node.value !== undefined && !continuesNumber(tokens, index)) found = { value: node.value, last: index + 1 };
  }
  return found;
}

function isJoiner(token: Token): boolean {
  return token.text === '-' || token.text === '/' || token.text === '.' || token.text === '_';
}

/** Digits carry whether they are glued to what stands before them. */
function keyOf(token: Token, isFirst: boolean): string {
  return token.kind === 'number' && !isFirst && !token.spaced ? `_${token.text}` : token.text;
}

/** Whether a digit token at `index` is only the beginning of a decimal number (`CO2.5`). */
function continuesNumber(tokens: readonly Token[], index: number): boolean {
  if (tokens[index]!.kind !== 'number') return false;
  const mark = tokens[index + 1];
  const digits = tokens[index + 2];
  return (
    mark !== undefined &&
    digits !== undefined &&
    (mark.text === '.' || mark.text === ',') &&
    !mark.spaced &&
    !digits.spaced &&
    digits.kind === 'number'
  );
}
