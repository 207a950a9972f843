// One line that says what was read as a finding: "LTFT, bank 1, idle: +22 %". The bay writes it beside the marked words.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { quantities } from '../vocabulary/quantities.ts';

/** What a finding says, in plain words; hearsay, other cars and earlier times are said as well. */
export function describeFinding(finding: Finding, knowledge: Knowledge): string {
  const about = [
    finding.stated === 'denied' ? 'denied' : finding.stated === 'unsure' ? 'unsure' : '',
    finding.car > 0 ? `another car (${finding.car})` : '',
    finding.time === 'before' ? 'earlier' : '',
    finding.source === 'hearsay' ? 'heard from others' : finding.source === 'helper' ? 'from a helper' : '',
    finding.source === 'attachment' ? 'from a log' : '',
  ].filter((part) => part !== '');
  return [said(finding, knowledge), ...about].join(', ');
}

function said(finding: Finding, knowledge: Knowledge): string {
  switch (finding.kind) {
    case 'code':
      return [
        finding.code,
        place(finding.bank, finding.sensor),
        finding.status ?? '',
        finding.standard ? '' : 'not a code of the standard',
      ]
        .filter((part) => part !== '')
        .join(', ');
    case 'code-list':
      return finding.complete ? 'all codes given, no others' : 'some codes, perhaps more';
    case 'reading': {
      const { name, unit, decimals } = quantities[finding.quantity];
      const number = (value: number) => String(Number(value.toFixed(decimals)));
      const figure = finding.range
        ? `${number(finding.range[0])} to ${number(finding.range[1])}`
        : `${finding.limit === 'at-least' ? 'at least ' : finding.limit === 'at-most' ? 'at most ' : ''}${number(finding.value)}`;
      return [
        `${name} ${figure}${unit === '1' ? '' : ` ${unit}`}`,
        place(finding.bank, finding.sensor),
        finding.when ?? '',
        finding.unitAssumed ? 'unit assumed' : '',
      ]
        .filter((part) => part !== '')
        .join(', ');
    }
    case 'symptom':
      return [knowledge.symptoms.byId.get(finding.symptom)?.name ?? finding.symptom, finding.when ?? '']
        .filter((part) => part !== '')
        .join(', ');
    case 'engine': {
      const parts = [
        finding.year === null ? '' : String(finding.year),
        finding.vehicle ?? '',
        finding.displacement === null ? '' : `${finding.displacement} L`,
        finding.layout ?? '',
        finding.cylinders === null ? '' : `${finding.cylinders} cylinders`,
        finding.mounting ?? '',
        finding.fuel ?? '',
        finding.airMetering === null ? '' : `by ${finding.airMetering.replace('-', ' ')}`,
        finding.induction ?? '',
      ].filter((part) => part !== '');
      return `engine: ${parts.join(', ')}`;
    }
    case 'work-done': {
      const part = knowledge.parts.byId.get(finding.part)?.name ?? finding.part;
      return [
        `${finding.action}: ${part}`,
        place(finding.bank, finding.sensor),
        finding.result?.replaceAll('-', ' ') ?? '',
      ]
        .filter((piece) => piece !== '')
        .join(', ');
    }
    case 'request':
      return `asks: ${finding.about.replaceAll('-', ' ')}${finding.item ? ` (${finding.item})` : ''}`;
    case 'question-answer': {
      const question = knowledge.questions.byId.get(finding.question);
      const answer = question?.answers.find((candidate) => candidate.id === finding.answer)?.text ?? finding.answer;
      return `${question?.text ?? finding.question} ${answer}`;
    }
  }
}

function place(bank: number | null, sensor: number | null): string {
  return [bank === null ? '' : `bank ${bank}`, sensor === null ? '' : `sensor ${sensor}`]
    .filter((part) => part !== '')
    .join(' ');
}
