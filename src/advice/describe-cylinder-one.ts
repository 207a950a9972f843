// Where cylinder 1 is on that engine, from outside, with the viewpoint and how sure that is. locate.ts calls it.
import type { Where } from '../vocabulary/answer-document.ts';
import type { EngineMatch } from './match-engine.ts';
import { viewpoint } from './say-engine.ts';

/** Cylinder 1 of the matched engine: the family's own end or row where it is known, else the rule for the layout. */
export function describeCylinderOne(engine: EngineMatch): Where {
  const { text, certainty } = sayCylinderOne(engine);
  return { item: 'cylinder-1', text, certainty, picture: null, source: engine.source };
}

function sayCylinderOne(engine: EngineMatch): Pick<Where, 'text' | 'certainty'> {
  const [family] = engine.families;
  const rule = engine.layout
    ? `On ${engine.layout.name} cylinder 1 is ${engine.layout.cylinderOne}.`
    : 'Cylinder 1 is at the belt or chain end on most in-line engines, and in the row whose front cylinder sits a little farther forward on most V engines.';
  const proof = 'Numbers cast on the intake, printed on the coils or on the label under the bonnet settle it.';
  if (!family || engine.by !== 'family') {
    const ask = engine.layout ? '' : ' Tell me make, model, year and engine, and I can be more exact.';
    return { text: `${rule} ${proof}${ask}`, certainty: engine.layout?.certainty ?? 'ask' };
  }
  const memory = family.source === 'from memory' ? ' This is from memory: check the service information.' : '';
  const name = `the ${family.maker} ${family.family}`;
  if (engine.banks === 1 && family.cylinderOneEnd !== 'unknown') {
    const end =
      family.cylinderOneEnd === 'gearbox'
        ? 'at the gearbox end, the end away from the belt or chain'
        : 'at the belt or chain end, farthest from the gearbox';
    const side = engine.mounting === 'transverse' ? sideOfEnd(family.pulleys, family.cylinderOneEnd) : '';
    const front =
      engine.mounting === 'longitudinal' && family.cylinderOneEnd === 'pulley' ? ', nearest the radiator' : '';
    return { text: `Cylinder 1 on ${name} is ${end}${side}${front}.${memory} ${proof}`, certainty: 'likely' };
  }
  const rows: Partial<Record<EngineMatch['bankOne'], string>> = {
    firewall: 'in the row at the firewall, next to the cabin',
    radiator: 'in the row behind the radiator',
    right: `in the right row ${viewpoint}`,
    left: `in the left row ${viewpoint}`,
    'front-cylinders': 'the first from the belt or chain end',
  };
  const row = rows[engine.bankOne];
  if (!row || engine.confidence < 0.6) return { text: `${rule} ${proof}`, certainty: 'ask' };
  const end = engine.bankOne === 'front-cylinders' ? '' : ', the one nearest the belt or chain end on nearly all';
  return { text: `Cylinder 1 on ${name} is ${row}${end}.${memory} ${proof}`, certainty: 'likely' };
}

function sideOfEnd(pulleys: 'left' | 'right', end: 'pulley' | 'gearbox'): string {
  const side = (pulleys === 'left') === (end === 'pulley') ? 'left' : 'right';
  return `, on the ${side} of the car ${viewpoint}`;
}
