// What a plan view of the engine bay shows, and its short name in an address:
// `bay.v6.t.firewall.u.r.odd.close.separate.front.memory.b1s2`. The name holds all of it, so that the picture can be drawn again without
// keeping anything.

const layouts = ['inline', 'v', 'narrow', 'flat', 'w', 'rotary'] as const;
const bankOnes = ['only', 'firewall', 'radiator', 'right', 'left', 'front-cylinders', 'unknown'] as const;
const exhausts = ['firewall', 'radiator', 'right', 'left', 'unknown'] as const;
const ends = ['right', 'left', 'unknown'] as const;
const numberings = ['odd', 'row', 'none'] as const;
const catalysts = ['under-floor', 'close', 'pre'] as const;
const pipes = ['separate', 'y-pipe', 'crossover'] as const;
const engineEnds = ['front', 'rear'] as const;
const sureness = ['maker', 'memory', 'rule'] as const;

export interface BaySpec {
  /** `narrow`: a narrow V with one cylinder head. */
  readonly layout: (typeof layouts)[number];
  /** Rotors of a rotary engine. */
  readonly cylinders: number;
  readonly mounting: 'transverse' | 'longitudinal';
  /** Where bank 1 lies; `only` for one bank; `unknown` marks the sensor on both banks and says so. */
  readonly bankOne: (typeof bankOnes)[number];
  /** Side on which the exhaust of a single row leaves; `unknown` is drawn on one side and said. */
  readonly exhaust: (typeof exhausts)[number];
  /** End at which cylinder 1 is, of an engine across the car. */
  readonly one: (typeof ends)[number];
  /** How cylinders are numbered over two banks: odd and even, one row after the other, or not known. */
  readonly numbering: (typeof numberings)[number];
  /** Where the first catalyst sits: in the floor, close to or in the manifold, or a small one there and the main one in the floor. */
  readonly catalyst: (typeof catalysts)[number];
  /** Two banks: a pipe each; joined ahead of the catalyst (one rear sensor); joined ahead of the only front sensor. */
  readonly pipes: (typeof pipes)[number];
  readonly engineAt: (typeof engineEnds)[number];
  /** Where the drawing comes from: a maker's text, memory, or the rule for the layout. */
  readonly sure: (typeof sureness)[number];
  readonly bank: number;
  /** The sensor to mark; null marks the bank. */
  readonly sensor: number | null;
}

const pattern =
  /^bay\.([a-z]+)(\d{1,2})\.([tl])\.([a-z-]+)\.([a-z]+)\.([a-z]+)\.([a-z]+)\.([a-z-]+)\.([a-z-]+)\.([a-z]+)\.([a-z]+)\.b([12])(?:s([12]))?$/;

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
    spec.catalyst,
    spec.pipes,
    spec.engineAt,
    spec.sure,
    `b${spec.bank}${sensor}`,
  ].join('.');
}

/** Null for anything that `nameBay` does not write of a bay that can be drawn. */
export function readBay(name: string): BaySpec | null {
  const found = pattern.exec(name);
  if (!found) return null;
  const [, layout, count, mounting, bankOne, exhaust, one, numbering, catalyst, pipe, at, sure, bank, sensor] = found;
  const spec = {
    layout: oneOf(layouts, layout),
    cylinders: Number(count),
    mounting: mounting === 't' ? ('transverse' as const) : ('longitudinal' as const),
    bankOne: oneOf(bankOnes, bankOne),
    exhaust: oneOf(exhausts, exhaust),
    one: oneOf(ends, one),
    numbering: oneOf(numberings, numbering),
    catalyst: oneOf(catalysts, catalyst),
    pipes: oneOf(pipes, pipe),
    engineAt: oneOf(engineEnds, at),
    sure: oneOf(sureness, sure),
    bank: Number(bank),
    sensor: sensor === undefined ? null : Number(sensor),
  };
  return isComplete(spec) && canBeDrawn(spec) ? spec : null;
}

/** Whether the parts go together: a bank that the engine has, cylinders that divide, a side that its mounting has, a sensor that its pipes leave. */
export function canBeDrawn(spec: BaySpec): boolean {
  const { layout, cylinders, mounting, bankOne, bank, sensor } = spec;
  const isOneRow = layout === 'inline' || layout === 'narrow' || layout === 'rotary';
  if (layout === 'flat' && mounting === 'transverse') return false;
  if (cylinders < 1 || cylinders > (isOneRow ? 6 : spec.pipes === 'separate' ? 12 : 10)) return false;
  if (bankOne === 'only') {
    if (bank !== 1 || spec.pipes !== 'separate' || !(isOneRow || layout === 'flat')) return false;
    return layout !== 'flat' || (cylinders % 2 === 0 && cylinders <= 6);
  }
  if (cylinders % 2 === 1 || (spec.engineAt === 'rear' && mounting === 'transverse')) return false;
  if (bankOne === 'front-cylinders' ? !isOneRow || layout === 'rotary' : isOneRow) return false;
  if (bankOne === 'unknown' && (bank !== 1 || sensor === null)) return false;
  const across = bankOne === 'firewall' || bankOne === 'radiator';
  if (across ? mounting !== 'transverse' : (bankOne === 'right' || bankOne === 'left') && mounting === 'transverse')
    return false;
  if (bankOne === 'front-cylinders' && spec.pipes !== 'separate') return false;
  if (spec.pipes === 'crossover' && bank === 2) return false;
  return !(spec.pipes === 'y-pipe' && bank === 2 && sensor === 2);
}

function oneOf<Word extends string>(words: readonly Word[], word: string | undefined): Word | null {
  return words.find((item) => item === word) ?? null;
}

type Complete<Spec> = { [Key in keyof Spec]: Key extends 'sensor' ? Spec[Key] : Exclude<Spec[Key], null> };

function isComplete<Spec extends { sensor: number | null }>(spec: Spec): spec is Spec & Complete<Spec> {
  return Object.entries(spec).every(([key, value]) => key === 'sensor' || value !== null);
}
