// What a helper sees beside a draft before sending it: why the causes rank as they do, what clashes, and what to take care of.
// The chat platforms show it in private; the bay has pages of its own for it.
import type { AnswerDocument, Cause } from '../vocabulary/answer-document.ts';

const mostCauses = 3;
const mostReasons = 3;
const mostFindings = 12;
/** Longest quote of a finding that is shown [UTF-16 units]. */
const quoteLength = 60;

/** The evidence as markdown (paragraphs, dashes, bold), a few hundred characters and never above 2,500. */
export function draftNotes(document: AnswerDocument): string {
  const paragraphs = [
    readings(document),
    ...document.causes.slice(0, mostCauses).map(causeLines),
    document.fit.handOver.wanted && document.fit.handOver.because !== null
      ? `**A person should look:** ${document.fit.handOver.because}.`
      : '',
    cautionLine(document),
  ];
  return paragraphs
    .filter((paragraph) => paragraph !== '')
    .join('\n\n')
    .slice(0, 2_500);
}

function readings(document: AnswerDocument): string {
  const quotes = document.findings.map((finding) => finding.quote.trim().slice(0, quoteLength)).filter(Boolean);
  const shown = [...new Set(quotes)].slice(0, mostFindings);
  if (shown.length === 0) return '**Read from the post:** nothing that counts as a finding.';
  const more = new Set(quotes).size - shown.length;
  return `**Read from the post:** ${shown.map((quote) => `"${quote}"`).join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

function causeLines(cause: Cause): string {
  const reasons = [
    ...cause.for.slice(0, mostReasons).map((evidence) => `- for: ${evidence.why}`),
    ...cause.against.slice(0, 1).map((evidence) => `- against: ${evidence.why}`),
  ];
  const bank = cause.bank === null ? '' : `, bank ${cause.bank}`;
  return [`**${cause.name}${bank}: ${Math.round(cause.probability * 100)} %**`, ...reasons].join('\n');
}

function cautionLine(document: AnswerDocument): string {
  const shown = document.cautions.filter((caution) => caution.shown).map((caution) => `- ${caution.text}`);
  const driving = document.driving === 'ok' ? [] : [`- driving: ${document.driving}, ${document.drivingBecause}`];
  const lines = [...shown, ...driving];
  return lines.length === 0 ? '' : ['**To take care of:**', ...lines].join('\n');
}
