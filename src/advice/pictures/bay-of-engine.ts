// From a matched engine to the plan view that may be drawn of it; null where too little is known for an honest one.
// describe-sensor.ts calls it.
import type { EngineMatch } from '../match-engine.ts';
import { type BaySpec, canBeDrawn } from './bay-spec.ts';

/** Below this the side is not drawn as a fact; judgement, as in describe-sensor.ts. */
const sureEnough = 0.6;

/** The picture for a matched engine; null when the engine, its mounting or its cylinders are not known well enough to draw it. */
export function bayOfEngine(engine: EngineMatch, bank: number, sensor: number | null): BaySpec | null {
  const family = engine.families[0];
  const kind = family?.layout ?? engine.layout?.layout;
  const { mounting } = engine;
  if (!kind || engine.by === 'several' || engine.by === 'none' || mounting === null) return null;
  const isNarrow = kind === 'v' && (engine.bankOne === 'only' || engine.bankOne === 'front-cylinders');
  const layout = isNarrow || engine.layout?.id === 'v-narrow' ? 'narrow' : kind;
  const cylinders = engine.cylinders ?? (layout === 'inline' ? 4 : layout === 'rotary' ? 2 : null);
  if (cylinders === null) return null;
  const unsure = engine.bankOne === 'unknown' || (engine.bankOne !== 'only' && engine.confidence < sureEnough);
  const end = family?.cylinderOneEnd ?? 'unknown';
  const spec: BaySpec = {
    layout,
    cylinders,
    mounting,
    bankOne: unsure ? 'unknown' : engine.bankOne,
    exhaust: agreed(engine.families.map((item) => item.exhaustSide)) ?? 'unknown',
    one: end === 'unknown' ? 'unknown' : (family?.pulleys === 'left') === (end === 'pulley') ? 'left' : 'right',
    numbering: unsure ? 'none' : numberingOf(family?.bankOneCylinders ?? null),
    catalyst: agreed(engine.families.map((item) => item.catalyst)) ?? 'under-floor',
    pipes: agreed(engine.families.map((item) => item.pipes)) ?? 'separate',
    engineAt: family?.engineAt ?? 'front',
    sure: family === undefined ? 'rule' : family.source === 'from memory' ? 'memory' : 'maker',
    // Which bank it is cannot be told where the side is unknown: both are marked.
    bank: unsure ? 1 : bank,
    sensor,
  };
  return bank <= (engine.banks ?? 1) && (sensor === null || sensor <= 2) && canBeDrawn(spec) ? spec : null;
}

/** What all say; null when they differ or none says it. */
function agreed<Word extends string>(words: ReadonlyArray<Word | 'unknown'>): Word | null {
  const [first, ...others] = new Set(words);
  return first === undefined || first === 'unknown' || others.length > 0 ? null : first;
}

function numberingOf(cylinders: string | null): BaySpec['numbering'] {
  if (cylinders === null) return 'none';
  if (/^(1-3|odd)/.test(cylinders)) return 'odd';
  return /^1-[24]/.test(cylinders) ? 'row' : 'none';
}
