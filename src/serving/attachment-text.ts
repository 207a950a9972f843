// Bytes of an attached log as text, at the door: the routes and channels that receive files call it, so that everything behind
// them deals in text.
import { Problem } from '../vocabulary/problems.ts';

/**
 * Decodes UTF-8, or UTF-16 with a byte-order mark; what is in neither is read as Windows-1252, which never fails.
 *
 * @throws Problem `invalid` for what is no text (pictures, archives): text holds no NUL
 */
export function attachmentText(bytes: Uint8Array): string {
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (first === 0xfe && second === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  if (bytes.includes(0))
    throw new Problem('invalid', 'The attached file is not text: send the log as CSV or plain text.');
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
