// The reason that stands beside a weight of evidence: one plain clause, with the number where physics says it in a number.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Observable } from './observables.ts';
import type { Prediction } from './predict.ts';
import { sayReading } from './say-reading.ts';
import type { FactorTerm, Term, YesNoTerm } from './terms.ts';

/** What a term was seen as under the cause in question. */
export interface Seen {
  /** Weight of evidence for the cause [bits]; its sign decides the wording. */
  readonly bits: number;
  /** Probability that the cause shows it (yes-no terms). */
  readonly shown: number;
  /** Prediction of the cause as it fits best, and which of the alternatives it is for (readings). */
  readonly prediction: Prediction | null;
  readonly observable: Observable | null;
  /** Correction at idle under the cause as it fits best, on the bank of the observable [%]. */
  readonly idle: number;
  readonly banks: number;
}

/** One clause without a full stop: why this finding speaks for or against the cause. */
export function sayEvidence(term: Term, seen: Seen, knowledge: Knowledge): string {
  if (term.kind === 'reading') {
    return seen.prediction && seen.observable
      ? sayReading(term, { ...seen, prediction: seen.prediction, observable: seen.observable })
      : 'this figure';
  }
  return term.kind === 'yes-no' ? sayMark(term, seen, knowledge) : sayFactor(term, seen);
}

function sayMark(term: YesNoTerm, { shown, bits }: Seen, knowledge: Knowledge): string {
  const often = percent(shown);
  const half = shown <= 0.5;
  const name =
    'code' in term.about
      ? codeName(term.about.code)
      : (knowledge.symptoms.byId.get(term.about.symptom)?.name ?? term.about.symptom.replaceAll('-', ' '));
  const verb = 'code' in term.about ? 'is stored with it' : 'comes with it';
  const seldom = 'code' in term.about ? 'is seldom stored with it' : 'seldom comes with it';
  if (term.present) {
    if (often === null) return `${name} ${seldom}`;
    if (bits >= 0) return `${name} ${verb} in ${often} of cases`;
    return half
      ? `${name} ${verb} in only ${often} of cases`
      : `${name} ${verb} in ${often} of cases, with others more often`;
  }
  const absent = 'code' in term.about ? `${name} is not stored` : `no ${name}`;
  if (often === null) return `${absent}, as is usual with it`;
  if (bits >= 0) return `${absent}: it comes with it in ${half ? 'only ' : ''}${often} of cases`;
  return `${absent}, and it comes with it in ${often} of cases`;
}

function codeName(code: string): string {
  if (code === 'P0301') return 'a misfire code of one cylinder';
  if (code === 'P0351') return 'a coil code';
  return code === 'P0201' ? 'an injector code' : code;
}

function sayFactor({ about }: FactorTerm, { bits }: Seen): string {
  if ('work' in about) {
    return bits > 0 ? `there was work on the ${about.work} before` : `the ${about.work} was ${about.action} already`;
  }
  if ('suspect' in about) return `the ${about.suspect} is named in your post`;
  if ('question' in about) return `your answer "${about.answer}"`;
  return bits > 0 ? 'no other code is stored, as is usual with it' : 'it would usually store another code as well';
}

/** Rounded to five; null where it is next to nothing. */
function percent(probability: number): string | null {
  const whole = Math.round(probability * 20) * 5;
  return whole < 5 ? null : `about ${Math.min(95, whole)} %`;
}
