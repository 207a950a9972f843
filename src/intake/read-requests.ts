import type { Knowledge } from '../knowledge/knowledge.ts';
import { nothingRead, type ReaderInput, type ReaderResult } from './reader.ts';

export function readRequests(_input: ReaderInput, _knowledge: Knowledge): ReaderResult {
  return nothingRead;
}
