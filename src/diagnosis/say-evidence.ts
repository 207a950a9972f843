// The reason that stands beside a weight of evidence: one plain clause, with the number where physics says it in a number.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Fault } from '../knowledge/schema/fault.ts';
import type { Observable, ObservableName } from './observables.ts';
import type { Prediction } from './predict.ts';
import type { ReadingTerm, Term } from './terms.ts';

/** What a term was seen as under the cause in question. */
export interface Seen {
  readonly fault: Fault;
  /** Probability that the cause shows it (yes-no terms). */
  readonly shown: number;
  /** Prediction of the cause as it fits best, and which of the alternatives it is for (readings). */
  readonly prediction: Prediction | null;
  readonly observable: Observable | null;
  readonly banks: number;
}

/** One clause without a full stop: why this finding speaks for or against the cause. */
export function sayEvidence(term: Term, seen: Seen, knowledge: Knowledge): string {
  if (term.kind === 'reading') return sayReading(term, seen);
  if (term.kind === 'yes-no') {
    const often = percent(seen.shown);
    if ('code' in term.about) {
      const { code } = term.about;
      const name = code === 'P0301' ? 'a misfire code of one cylinder' : code === 'P0351' ? 'a coil code' : code;
      if (!term.present) return `${name} is not stored, and it would be in ${often} of such cases`;
      return often === seldom ? `${name} is seldom stored with it` : `${name} is stored in ${often} of such cases`;
    }
    const symptom = knowledge.symptoms.byId.get(term.about.symptom)?.name ?? term.about.symptom.replaceAll('-', ' ');
    if (!term.present) return `no ${symptom}, which comes with it in ${often} of cases`;
    return often === seldom ? `${symptom} seldom comes with it` : `${symptom} comes with it in ${often} of cases`;
  }
  if ('work' in term.about) return `the ${term.about.work} was ${term.about.action} already`;
  if ('suspect' in term.about) return `the ${term.about.suspect} is named in your post`;
  if ('question' in term.about) return `your answer "${term.about.answer}"`;
  return 'no other code is stored';
}

function sayReading({ value, limit, base }: ReadingTerm, seen: Seen): string {
  const { prediction, observable, banks } = seen;
  if (!prediction || !observable) return 'this figure';
  const place = [
    observable.name === 'trim' || observable.name === 'short-trim' || /voltage|lambda|swing/.test(observable.name)
      ? pointNames[observable.point]
      : '',
    banks > 1 && perBank.has(observable.name) ? ` on bank ${observable.bank + 1}` : '',
  ].join('');
  if (base !== undefined) {
    const other = `${pointNames[observable.point]}${banks > 1 ? ` on bank ${observable.bank + 1}` : ''}`;
    return `from ${figure('trim', base)} at idle it would go to about ${figure('trim', base + prediction.middle)}${other}; you read ${figure('trim', base + value)}`;
  }
  const read = `${limit === 'at-least' ? 'at least ' : limit === 'at-most' ? 'at most ' : ''}${figure(observable.name, value)}`;
  return `it would give about ${figure(observable.name, prediction.middle)}${place}; you read ${read}`;
}

const pointNames = [' at idle', ' at 2500 rpm', ' at cruise', ' under load'];
const perBank: ReadonlySet<ObservableName> = new Set([
  'trim',
  'short-trim',
  'front-voltage',
  'front-swing',
  'rear-voltage',
  'rear-swing',
  'front-lambda',
  'switches',
]);

/** A figure on the observable's scale in words. */
function figure(name: ObservableName, value: number): string {
  switch (name) {
    case 'trim':
    case 'short-trim':
    case 'trim-change':
      return `${value >= 0 ? '+' : '-'}${Math.abs(value).toFixed(0)} % correction`;
    case 'front-lambda':
    case 'tail-lambda':
      return `lambda ${value.toFixed(2)}`;
    case 'wide-voltage':
    case 'wide-voltage-fifth':
    case 'front-voltage':
    case 'rear-voltage':
      return `${Math.max(0, value).toFixed(2)} V at the ${name.startsWith('rear') ? 'rear' : 'front'} sensor`;
    case 'pump-current':
      return `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(2)} mA of pump current`;
    case 'front-swing':
    case 'wide-swing':
    case 'rear-swing':
      return `a swing of ${Math.max(0, value).toFixed(1)} V at the ${name.startsWith('rear') ? 'rear' : 'front'} sensor`;
    case 'co':
      return `${Math.max(0, value).toFixed(1)} % CO`;
    case 'co2':
      return `${value.toFixed(1)} % CO2`;
    case 'o2':
      return `${Math.max(0, value).toFixed(1)} % O2`;
    case 'hc':
      return `${round(Math.exp(value) - 15, 10)} ppm HC`;
    case 'nox':
      return `${round(Math.exp(value) - 30, 50)} ppm NOx`;
    case 'air-flow':
      return `${Math.exp(value).toFixed(1)} g/s of air`;
    case 'manifold-pressure':
      return `${value.toFixed(0)} kPa in the manifold`;
    case 'idle-speed':
      return `${round(value, 50)} rpm`;
    case 'coolant':
      return `${value.toFixed(0)} degC coolant`;
    case 'fuel-pressure':
      return `${round(Math.exp(value), 10)} kPa of fuel pressure`;
    case 'heater':
      return value > Math.log(200) ? 'an open heater' : `${Math.exp(value).toFixed(0)} ohm of heater`;
    case 'switches':
    case 'wide-switches':
      return `${Math.max(0, Math.exp(value) - 0.05).toFixed(1)} switches a second`;
    case 'edge-time':
      return `${round(Math.exp(value), 10)} ms an edge`;
    case 'oil':
      return `${Math.max(0, Math.exp(value) - 0.1).toFixed(1)} L of oil per 1000 km`;
    case 'back-pressure':
      return `${Math.max(0, Math.exp(value) - 1).toFixed(0)} kPa of back-pressure`;
    case 'fuel-use':
      return `${value >= 0 ? '+' : '-'}${Math.abs(value).toFixed(0)} % fuel`;
    case 'misfires':
      return `${Math.max(0, Math.exp(value) - 1).toFixed(0)} misfires counted`;
    case 'compression':
      return `${round(value, 50)} kPa of compression`;
  }
}

function round(value: number, to: number): string {
  return String(Math.max(0, Math.round(value / to) * to));
}

function percent(probability: number): string {
  const whole = Math.round(probability * 20) * 5;
  return whole < 5 ? seldom : `about ${Math.min(95, whole)} %`;
}

const seldom = 'few';
