// Under which terms an answer is found: codes, ids of the vocabulary, the car. Never the post's own words, because the index is
// the one place where terms stand unsealed. The store indexes them, the bay's search and its likening of cases ask for them.
import type { AnswerDocument } from './answer-document.ts';
import type { Finding } from './findings.ts';

/** Terms of one answer at most. */
const mostTerms = 120;
/** Causes that count as what the answer said. */
const causesNamed = 3;
/** From this total correction on a mixture counts as lean or rich [%] (judgement: twice what a sound engine shows). */
const farTrim = 10;

/** Lower-case terms, each once; ids as a whole and, where they are of several words, the words too. */
export function searchTerms(document: AnswerDocument): string[] {
  const terms = new Set<string>();
  const add = (term: string) => {
    terms.add(term);
    if (!term.startsWith('no-') && !term.startsWith('outcome-')) for (const word of term.split('-')) terms.add(word);
  };
  for (const finding of document.findings) for (const term of termsOf(finding)) add(term);
  for (const cause of document.causes.slice(0, causesNamed)) add(cause.fault);
  if (document.driving !== 'ok') add(`driving-${document.driving}`);
  return [...terms].filter((term) => /^[a-z0-9.-]{1,60}$/.test(term)).slice(0, mostTerms);
}

/** What two cases are likened by: what was found and the engine, not what the program made of it. */
export function likenessTerms(document: AnswerDocument): string[] {
  const terms = document.findings.filter((finding) => finding.car === 0).flatMap(termsOf);
  return [...new Set(terms)].filter((term) => /^[a-z0-9.-]{1,60}$/.test(term)).slice(0, mostTerms);
}

function termsOf(finding: Finding): string[] {
  switch (finding.kind) {
    case 'code':
      // A code outside the standard stands as it was typed; only what looks like a code is taken.
      return finding.stated !== 'denied' && /^[a-z0-9]{2,10}$/i.test(finding.code) ? [finding.code.toLowerCase()] : [];
    case 'symptom':
      return [finding.stated === 'denied' ? `no-${finding.symptom}` : finding.symptom];
    case 'reading': {
      const isTrim = finding.quantity.endsWith('-trim');
      if (!isTrim || Math.abs(finding.value) < farTrim) return [finding.quantity];
      return [finding.quantity, finding.value > 0 ? 'adds-fuel' : 'takes-fuel-away'];
    }
    case 'engine':
      return [
        finding.layout !== null && finding.cylinders !== null ? `${finding.layout}-${finding.cylinders}` : '',
        finding.displacement === null ? '' : `${finding.displacement.toFixed(1)}l`,
        finding.year === null ? '' : String(finding.year),
        ...(finding.vehicle ?? '').toLowerCase().split(/[^a-z0-9]+/, 6),
      ].filter((term) => term !== '');
    case 'question-answer':
      return [`${finding.question}-${finding.answer}`];
    case 'code-list':
    case 'work-done':
    case 'request':
      return [];
  }
}
