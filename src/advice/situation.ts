// Judges whether a situation of the knowledge base holds in a case. Cautions and driving rules call it.
import type { Situation } from '../knowledge/schema/situation.ts';
import type { CaseView } from './case-view.ts';

/** True when every part that the situation names holds. */
export function holds(situation: Situation, view: CaseView): boolean {
  const { symptoms, anySymptom, codes, reading, fault, request, work, answer, vehicleWords } = situation;
  return (
    (symptoms?.every((id) => view.symptoms.has(id)) ?? true) &&
    (anySymptom?.some((id) => view.symptoms.has(id)) ?? true) &&
    (!codes || view.codes.some((found) => codes.some((start) => found.code.startsWith(start)))) &&
    (!reading ||
      view.readings.some((found) => found.quantity === reading.quantity && isBeyond(found.value, reading))) &&
    (!fault || view.causes.some((cause) => fault.anyOf.includes(cause.fault) && cause.probability >= fault.atLeast)) &&
    (!request || view.requests.some((found) => isAsked(found, request))) &&
    (!work || view.work.some((found) => isDone(found, work))) &&
    (!answer || answer.is.includes(view.answers.get(answer.question) ?? '')) &&
    (!vehicleWords || hasVehicleWord(view, vehicleWords))
  );
}

function isBeyond(value: number, limit: NonNullable<Situation['reading']>): boolean {
  return (
    (limit.atLeast === undefined || value >= limit.atLeast) && (limit.atMost === undefined || value <= limit.atMost)
  );
}

function isAsked(found: CaseView['requests'][number], asked: NonNullable<Situation['request']>): boolean {
  if (asked.about && !asked.about.includes(found.about)) return false;
  if (!asked.items) return true;
  return asked.items.some((start) => named(start, found.item));
}

/** An item is meant as it stands, or by its beginning where that ends in a hyphen (`bank-`). */
function named(item: string | null, found: string | null): boolean {
  if (item === null || found === null) return item === found;
  return item.endsWith('-') ? found.startsWith(item) : found === item;
}

function isDone(found: CaseView['work'][number], asked: NonNullable<Situation['work']>): boolean {
  return (
    (!asked.actions || asked.actions.includes(found.action)) &&
    asked.parts.some((start) => found.part.startsWith(start))
  );
}

function hasVehicleWord(view: CaseView, words: readonly string[]): boolean {
  const said = `${view.engine.vehicle ?? ''} ${view.engine.fuel ?? ''}`.toLowerCase();
  return words.some((word) => said.split(/[^a-z0-9]/).includes(word) || (word.includes(' ') && said.includes(word)));
}
