// Reads a post and writes its symptoms as a short note: "+stall -misfire ?low-power", in the order of the text.

import { readPost } from '../../src/intake/read-post.ts';
import { loadKnowledgeFolder } from '../../src/knowledge/load-folder.ts';
import { emptyCase } from '../../src/vocabulary/case.ts';

const knowledge = loadKnowledgeFolder();
const marks = { present: '+', denied: '-', unsure: '?' } as const;

/**
 * @param withWhen adds the condition: "+stall@idle"
 * @returns symptoms of the car asked about; `~` before one of an earlier time, `"` behind one told by somebody else
 */
export function readSymptomNotes(text: string, withWhen = false): string {
  return readPost(text, emptyCase, knowledge)
    .findings.flatMap((finding) =>
      finding.kind === 'symptom' && finding.car === 0
        ? [
            `${finding.time === 'before' ? '~' : ''}${marks[finding.stated]}${finding.symptom}${withWhen && finding.when ? `@${finding.when}` : ''}${finding.source === 'hearsay' ? '"' : ''}`,
          ]
        : [],
    )
    .join(' ');
}
