// Says where the parts are that a post asks about, that its codes name and that the likeliest causes concern. advise.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Where } from '../vocabulary/answer-document.ts';
import type { CaseView } from './case-view.ts';
import { describeCylinderOne } from './describe-cylinder-one.ts';
import { describeSensor, describeSensorRow } from './describe-sensor.ts';
import { fillFromRegister } from './fill-from-register.ts';
import { matchEngine } from './match-engine.ts';

/** At most this many places in one answer. */
const mostPlaces = 6;
/** A cause below this is not worth a place of its own. */
const likelyEnough = 0.15;

/** Places in the order of need: asked for in this post, asked before, named by a code, parts of the likeliest causes. */
export function locate(view: CaseView, knowledge: Knowledge): Where[] {
  // A window's fuse is no business of ours, whatever else the words look like.
  if (view.requests.some((request) => request.item === 'body-electrics-out-of-scope')) return [];
  const filled = fillFromRegister(view.engine, hasTwoBanks(view, knowledge), knowledge);
  const engine = matchEngine(filled.profile, knowledge, filled.offered);
  const without = matchEngine(view.engine, knowledge);
  // The register is named only where the answer would be another without it.
  const register = {
    choices: filled.choices,
    says:
      without.by === engine.by && without.bankOne === engine.bankOne && without.banks === engine.banks
        ? null
        : filled.says,
  };
  let proofSaid = false;
  const places = itemsToLocate(view, knowledge).flatMap((item): Where[] => {
    const sensor = sensorOfItem(item);
    if (sensor) {
      if (sensor.bank === null) return [describeSensorRow(item, sensor.sensor, engine)];
      const where = describeSensor(item, sensor.bank, sensor.sensor, engine, !proofSaid, register);
      proofSaid = true;
      return [where];
    }
    if (item === 'cylinder-1') return [describeCylinderOne(engine)];
    const place = knowledge.places.byId.get(item);
    if (!place) return [];
    return [{ item, text: place.text, certainty: place.certainty, picture: null, source: place.source }];
  });
  return places.slice(0, mostPlaces);
}

/** Whether a code names bank 2. */
function hasTwoBanks(view: CaseView, knowledge: Knowledge): boolean {
  return view.codes.some((finding) => (finding.bank ?? knowledge.codes.byId.get(finding.code)?.bank) === 2);
}

function itemsToLocate(view: CaseView, knowledge: Knowledge): string[] {
  const asked = (requests: CaseView['requests']) =>
    requests
      .filter(
        ({ about, item }) =>
          about === 'location' || (about === 'how-to' && item !== null && sensorOfItem(item) !== null),
      )
      .map((request) => request.item);
  const asksFor = (topic: string) => view.requests.some((request) => request.item === topic);
  const located = asked(view.requests);
  const now = asksFor('where-is-cylinder-1')
    ? ['cylinder-1', ...located.filter((item) => item !== null)]
    : asksFor('driver-or-passenger-side') && !located.some((item) => item?.startsWith('bank-'))
      ? ['bank-1', ...located]
      : located;
  const fromCodes = view.codes.flatMap((finding) => {
    const entry = knowledge.codes.byId.get(finding.code);
    const bank = finding.bank ?? entry?.bank ?? null;
    const sensor = finding.sensor ?? entry?.sensor ?? null;
    return bank !== null && sensor !== null ? [`bank-${bank}-sensor-${sensor}`] : [];
  });
  const fromCauses = view.causes
    .filter((cause) => cause.probability >= likelyEnough)
    .slice(0, 2)
    .flatMap((cause) => {
      const part = knowledge.faults.byId.get(cause.fault)?.part;
      if (part === 'upstream-sensor' || part === 'oxygen-sensor') return [`bank-${cause.bank ?? 1}-sensor-1`];
      if (part === 'downstream-sensor') return [`bank-${cause.bank ?? 1}-sensor-2`];
      return part ? [part] : [];
    });
  // "Where is it?" without naming a thing means what the codes name, or else the sensors in general.
  const unnamed = now.includes(null) && fromCodes.length === 0 ? ['oxygen-sensor'] : [];
  const named = [...now, ...asked(view.earlierRequests)].filter((item): item is string => item !== null);
  return [...new Set([...named, ...unnamed, ...fromCodes, ...fromCauses])];
}

/** Bank and sensor of an item: `bank-2-sensor-1`, `bank-2`, `sensor-2`, `upstream-sensor`, `oxygen-sensor`; null for other parts. */
function sensorOfItem(item: string): { bank: number | null; sensor: number | null } | null {
  const both = /^bank-([1-4])(?:-sensor-([1-4]))?$/.exec(item);
  if (both) return { bank: Number(both[1]), sensor: both[2] === undefined ? null : Number(both[2]) };
  const sensor = /^sensor-([1-4])$/.exec(item);
  if (sensor) return { bank: null, sensor: Number(sensor[1]) };
  if (item === 'upstream-sensor') return { bank: null, sensor: 1 };
  if (item === 'downstream-sensor') return { bank: null, sensor: 2 };
  return item === 'oxygen-sensor' ? { bank: null, sensor: null } : null;
}
