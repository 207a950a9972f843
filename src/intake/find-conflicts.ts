// Finds findings of one case that cannot both hold, and the question that settles each. read-post.ts calls it on what a post says.
import type { Conflict } from '../vocabulary/answer-document.ts';
import type { Finding, ReadingFinding } from '../vocabulary/findings.ts';
import { quantities } from '../vocabulary/quantities.ts';

/** How far two trims of one bank and condition may lie apart before one of them must be another bank's or time's [%] (judgement). */
const trimSpread = 20;
/** CO2 and CO together cannot exceed this in a petrol engine's exhaust [% vol]: burning petrol without spare air gives about 15 % CO2 (common practice). */
const mostCarbon = 18;

/** Conflicts among findings about the owner's car at the present; each names the findings that clash. At most ten. */
export function findConflicts(findings: readonly Finding[]): Conflict[] {
  const current = findings.filter(
    (finding) => finding.car === 0 && finding.time === 'now' && finding.source !== 'hearsay',
  );
  return [
    ...codesDenied(current),
    ...secondBank(current),
    ...twoTrims(current),
    ...tooMuchCarbon(current),
    ...lambdaAgainstOxygen(current),
    ...saidAndDenied(current),
  ].slice(0, 10);
}

/** "No codes" beside a code. */
function codesDenied(findings: readonly Finding[]): Conflict[] {
  const none = findings.find(
    (finding) =>
      finding.kind === 'code-list' &&
      finding.complete &&
      !/only|other|else|all|just|further|more|except|besides|beyond|apart|aside|bar\b|but/i.test(finding.quote),
  );
  const code = findings.find((finding) => finding.kind === 'code' && finding.stated === 'present');
  if (!none || !code || code.kind !== 'code') return [];
  return [
    {
      findings: [none.id, code.id],
      quote: null,
      says: `The post says that there are no codes, and it names ${code.code}.`,
      question: `Is ${code.code} stored now, or was it read at an earlier time?`,
    },
  ];
}

/** A second bank on an engine that has one. */
function secondBank(findings: readonly Finding[]): Conflict[] {
  const single = findings.find(
    (finding) => finding.kind === 'engine' && finding.layout === 'inline' && (finding.cylinders ?? 9) <= 4,
  );
  const second = findings.find(
    (finding) =>
      (finding.kind === 'reading' || finding.kind === 'code') && finding.bank === 2 && finding.stated === 'present',
  );
  if (!single || !second) return [];
  return [
    {
      findings: [single.id, second.id],
      quote: null,
      says: `\u201c${second.quote.slice(0, 80)}\u201d is of bank 2, and an inline engine with up to four cylinders has one bank.`,
      question:
        'Which engine does the car have, and could the bank number be meant for the sensor position (sensor 2, behind the catalyst)?',
    },
  ];
}

function twoTrims(findings: readonly Finding[]): Conflict[] {
  const first = new Map<string, ReadingFinding>();
  const conflicts: Conflict[] = [];
  for (const finding of findings) {
    if (
      finding.kind !== 'reading' ||
      finding.when === null ||
      finding.range !== null ||
      !/^(short|long)-term-trim$/.test(finding.quantity)
    )
      continue;
    const key = `${finding.quantity} ${finding.bank} ${finding.when} ${finding.post}`;
    const other = first.get(key);
    if (!other) first.set(key, finding);
    else if (Math.abs(other.value - finding.value) > trimSpread && conflicts.length < 3) {
      const { name } = quantities[finding.quantity];
      conflicts.push({
        findings: [other.id, finding.id],
        quote: null,
        says: `Two figures for ${name} under the same condition: ${other.value} % and ${finding.value} %.`,
        question: `Are ${other.value} % and ${finding.value} % of two banks, or of two times? Which is which?`,
      });
    }
  }
  return conflicts;
}

function tooMuchCarbon(findings: readonly Finding[]): Conflict[] {
  const readings = findings.filter((finding): finding is ReadingFinding => finding.kind === 'reading');
  for (const monoxide of readings) {
    if (monoxide.quantity !== 'gas-co') continue;
    const dioxide = readings.find(
      (other) => other.quantity === 'gas-co2' && other.when === monoxide.when && other.post === monoxide.post,
    );
    if (dioxide && monoxide.value + dioxide.value > mostCarbon) {
      return [
        {
          findings: [monoxide.id, dioxide.id],
          quote: null,
          says: `CO ${monoxide.value} % and CO2 ${dioxide.value} % together are more than the exhaust of a petrol engine can hold.`,
          question: 'Could you read the CO and CO2 figures off the test sheet once more?',
        },
      ];
    }
  }
  return [];
}

/** How far a stated lambda may lie above the one that the oxygen allows (judgement: cells drift by 0.5 % O2, about 0.03 lambda). */
const lambdaSpread = 0.12;

/** A lean lambda without the oxygen that a lean mixture leaves over (excess air: lambda is about 1 + O2 / (20.95 - O2)). */
function lambdaAgainstOxygen(findings: readonly Finding[]): Conflict[] {
  const readings = findings.filter((finding): finding is ReadingFinding => finding.kind === 'reading');
  for (const lambda of readings) {
    if (lambda.quantity !== 'lambda' || lambda.value < 1 + lambdaSpread) continue;
    const oxygen = readings.find(
      (other) => other.quantity === 'gas-o2' && other.when === lambda.when && other.post === lambda.post,
    );
    if (!oxygen || oxygen.value > 20) continue;
    const allowed = 1 + oxygen.value / (20.95 - oxygen.value);
    if (lambda.value - allowed > lambdaSpread) {
      return [
        {
          findings: [lambda.id, oxygen.id],
          quote: null,
          says: `Lambda ${lambda.value} needs far more oxygen in the exhaust than ${oxygen.value} %: with that, lambda is about ${allowed.toFixed(2)}.`,
          question: 'Could you read lambda and O2 off the test sheet once more, or say which one is certain?',
        },
      ];
    }
  }
  return [];
}

function saidAndDenied(findings: readonly Finding[]): Conflict[] {
  const conflicts: Conflict[] = [];
  const said = new Map<string, Finding>();
  for (const finding of findings)
    if (finding.kind === 'symptom' && finding.stated === 'present')
      said.set(`${finding.symptom} ${finding.when}`, finding);
  for (const finding of findings) {
    if (finding.kind !== 'symptom' || finding.stated !== 'denied' || conflicts.length >= 3) continue;
    const other = said.get(`${finding.symptom} ${finding.when}`);
    if (other && other.post === finding.post) {
      conflicts.push({
        findings: [other.id, finding.id],
        quote: null,
        says: `\u201c${other.quote.slice(0, 80)}\u201d and \u201c${finding.quote.slice(0, 80)}\u201d say opposite things.`,
        question: `Which holds now: \u201c${other.quote.slice(0, 80)}\u201d or \u201c${finding.quote.slice(0, 80)}\u201d?`,
      });
    }
  }
  return conflicts;
}
