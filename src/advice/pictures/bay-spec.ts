// What a plan view of the engine bay shows, and its short name in an address: `bay.v6.t.firewall.u.r.odd.b1s2`. The name holds all
// of it, so that the picture can be drawn again without keeping anything.
import type { EngineMatch } from '../match-engine.ts';

export interface BaySpec {
  readonly layout: 'inline' | 'v' | 'flat' | 'rotary';
  readonly cylinders: number;
  readonly mounting: 'transverse' | 'longitudinal';
  /** Where bank 1 lies; `only` for one bank. */
  readonly bankOne: 'only' | 'firewall' | 'radiator' | 'right' | 'left' | 'front-cylinders';
  /** Side on which the exhaust of a single row leaves; `unknown` is drawn on one side and said. */
  readonly exhaust: 'firewall' | 'radiator' | 'right' | 'left' | 'unknown';
  /** End at which cylinder 1 is, of an engine across the car. */
  readonly one: 'right' | 'left' | 'unknown';
  /** How cylinders are numbered over two banks: odd and even, one row after the other, or not known. */
  readonly numbering: 'odd' | 'row' | 'none';
  readonly bank: number;
  /** The sensor to mark; null marks the bank. */
  readonly sensor: number | null;
}

/** The picture for a matched engine; null when the engine, its mounting or its side is not known well enough to draw it. */
export function bayOf(engine: EngineMatch, bank: number, sensor: number | null): BaySpec | null {
  const family = engine.families[0];
  const layout = family?.layout ?? engine.layout?.layout;
  const { mounting, bankOne } = engine;
  if (!layout || layout === 'w' || engine.by === 'several' || engine.by === 'none' || mounting === null) return null;
  if (bankOne === 'unknown' || engine.confidence < 0.6 || bank > (engine.banks ?? 1) || bank > 2) return null;
  if (sensor !== null && sensor > 2) return null;
  const cylinders = engine.cylinders ?? (layout === 'inline' ? 4 : layout === 'rotary' ? 2 : null);
  if (cylinders === null || (engine.banks === 2 && cylinders % 2 === 1)) return null;
  const end = family?.cylinderOneEnd ?? 'unknown';
  return {
    layout,
    cylinders,
    mounting,
    bankOne,
    exhaust: family?.exhaustSide ?? 'unknown',
    one: end === 'unknown' ? 'unknown' : pulleysLeft.has(family?.id ?? '') === (end === 'pulley') ? 'left' : 'right',
    numbering: numberingOf(family?.bankOneCylinders ?? null),
    bank,
    sensor,
  };
}

/** Families whose pulleys point to the left of the car; all others across the car have them on the right. Source: from memory. */
const pulleysLeft: ReadonlySet<string> = new Set(['honda-old-fours']);

function numberingOf(cylinders: string | null): BaySpec['numbering'] {
  if (cylinders === null) return 'none';
  if (/^(1-3|odd)/.test(cylinders)) return 'odd';
  return /^1-[24]/.test(cylinders) ? 'row' : 'none';
}

export function nameBay(spec: BaySpec): string {
  const sensor = spec.sensor === null ? '' : `s${spec.sensor}`;
  return [
    'bay',
    `${spec.layout}${spec.cylinders}`,
    spec.mounting[0],
    spec.bankOne,
    spec.exhaust,
    spec.one,
    spec.numbering,
    `b${spec.bank}${sensor}`,
  ].join('.');
}

const pattern =
  /^bay\.(inline|v|flat|rotary)(\d{1,2})\.([tl])\.(only|firewall|radiator|right|left|front-cylinders)\.(firewall|radiator|right|left|unknown)\.(right|left|unknown)\.(odd|row|none)\.b([12])(?:s([12]))?$/;

/** Null for anything that `nameBay` does not write. */
export function readBay(name: string): BaySpec | null {
  const found = pattern.exec(name);
  if (!found) return null;
  const cylinders = Number(found[2]);
  const bankOne = found[4] as BaySpec['bankOne'];
  const bank = Number(found[8]);
  if (cylinders < 1 || cylinders > 12) return null;
  if (bankOne === 'only' ? bank !== 1 : cylinders % 2 === 1) return null;
  return {
    layout: found[1] as BaySpec['layout'],
    cylinders,
    mounting: found[3] === 't' ? 'transverse' : 'longitudinal',
    bankOne,
    exhaust: found[5] as BaySpec['exhaust'],
    one: found[6] as BaySpec['one'],
    numbering: found[7] as BaySpec['numbering'],
    bank,
    sensor: found[9] === undefined ? null : Number(found[9]),
  };
}
