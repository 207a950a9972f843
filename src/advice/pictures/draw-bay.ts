// Draws the plan view of an engine bay with one sensor (or one bank) marked. picture.ts calls it.
import { layOut } from './bay-geometry.ts';
import { type Bank, type BayGeometry, bay, type Catalyst, catalystHalf, type Point } from './bay-parts.ts';
import type { BaySpec } from './bay-spec.ts';
import { labelHeight, labelWidth, placeLabel } from './place-label.ts';
import { capital, fill, ink, line, paper, picture, round, strong, text } from './svg.ts';

export function drawBay(spec: BaySpec): string {
  const drawn = layOut(spec);
  const { banks, block, pulleys } = drawn;
  const [x, y, width, height] = block;
  const isMarked = (bank: Bank) => spec.bankOne === 'unknown' || bank.bank === spec.bank;
  const mark = (bank: Bank, index: number) => spec.sensor === index + 1 && isMarked(bank);
  return picture(bay.width, bay.height, describeBay(spec), [
    text(bay.width / 2, 25, capital(`${spec.bankOne === 'unknown' ? 'sensor' : whatOf(spec)}${titleOf(spec)}`), {
      size: 16,
      bold: true,
    }),
    text(bay.width / 2, 46, spec.engineAt === 'front' ? 'FRONT OF THE CAR' : 'towards the front: CABIN', { size: 13 }),
    arrow(bay.width / 2 - 100, 42, 'up'),
    arrow(bay.width / 2 + 100, 42, 'up'),
    `<path d="M24 54H376" stroke="${line}" stroke-width="3"${spec.engineAt === 'front' ? '' : ' stroke-dasharray="9 5"'}/>`,
    ...banks.map((bank) => drawRuns(bank)),
    `<rect x="${round(x)}" y="${round(y)}" width="${round(width)}" height="${round(height)}" rx="9" fill="${fill}" stroke="${ink}" stroke-width="2"/>`,
    ...(pulleys ? [text(pulleys.x, pulleys.y + 4, 'belt end', { size: 12 })] : []),
    ...banks.flatMap((bank) => bank.catalysts.map(drawCatalyst)),
    ...banks.flatMap((bank) =>
      drawCylinders(spec, bank, spec.sensor === null && bank.bank === spec.bank, banks.length > 1),
    ),
    ...banks.flatMap((bank) =>
      bank.sensors.flatMap((place, index) => (place && !mark(bank, index) ? [drawSensor(place, index + 1)] : [])),
    ),
    ...banks.flatMap((bank) =>
      bank.sensors.flatMap((place, index) => (place && mark(bank, index) ? [drawMark(drawn, spec, place)] : [])),
    ),
    `<path d="M24 378H376" stroke="${line}" stroke-width="3"${spec.engineAt === 'front' ? ' stroke-dasharray="9 5"' : ''}/>`,
    arrow(30, 392, 'left'),
    text(42, 397, 'LEFT', { size: 13, anchor: 'start' }),
    text(bay.width / 2, 397, spec.engineAt === 'front' ? 'CABIN' : 'REAR OF THE CAR', { size: 13 }),
    text(358, 397, 'RIGHT', { size: 13, anchor: 'end' }),
    arrow(370, 392, 'right'),
    text(bay.width / 2, 415, 'From above; left and right as from the driver’s seat.', { size: 12 }),
    text(bay.width / 2, 431, sureWords(spec), { size: 12 }),
  ]);
}

/** The picture in words. */
export function describeBay(spec: BaySpec): string {
  const kind = { inline: 'in-line', v: 'V', narrow: 'narrow V', flat: 'flat', w: 'W', rotary: 'rotary' }[spec.layout];
  const how = spec.mounting === 'transverse' ? 'across the car' : 'lengthwise';
  const parts = spec.layout === 'rotary' ? 'rotors' : 'cylinders';
  const behind =
    spec.sensor === null ? '' : spec.sensor === 1 ? ', ahead of the catalyst' : ', behind the first catalyst';
  const where = spec.engineAt === 'front' ? 'Engine bay' : 'Engine behind the seats,';
  const marked =
    spec.bankOne === 'unknown'
      ? `sensor ${spec.sensor} marked on both banks, since it is not known which one is bank 1${behind}`
      : `${whatOf(spec)} marked${sideOf(spec)}${behind}`;
  return `${where} seen from above, front of the car at the top: ${kind} engine with ${spec.cylinders} ${parts} ${how}; ${marked}. ${sureWords(spec)}`;
}

function whatOf(spec: BaySpec): string {
  return spec.sensor === null ? `bank ${spec.bank}` : `bank ${spec.bank} sensor ${spec.sensor}`;
}

function titleOf(spec: BaySpec): string {
  return spec.bankOne === 'unknown'
    ? ` ${spec.sensor}: on one of two banks`
    : sideOf(spec)
        .replace(/ (?:on|in) the /, ': ')
        .replace(/(right|left)$/, '$1 side')
        .replace(' of the cylinders', '');
}

function sideOf(spec: BaySpec): string {
  const isFirst = spec.bank === 1;
  if (spec.sensor !== null && (spec.pipes === 'crossover' || (spec.pipes === 'y-pipe' && spec.sensor === 2)))
    return ' in the joined pipe of both banks';
  switch (spec.bankOne) {
    case 'firewall':
      return isFirst ? ' on the cabin side' : ' on the radiator side';
    case 'radiator':
      return isFirst ? ' on the radiator side' : ' on the cabin side';
    case 'right':
      return isFirst ? ' on the right' : ' on the left';
    case 'left':
      return isFirst ? ' on the left' : ' on the right';
    case 'front-cylinders':
      return isFirst ? ' on the belt-end half of the cylinders' : ' on the gearbox-end half of the cylinders';
    default:
      return '';
  }
}

/** Where the drawing comes from, so that nobody takes a rule for a photograph. */
function sureWords(spec: BaySpec): string {
  if (spec.bankOne === 'unknown') return 'Which bank is 1 must be looked up for this engine.';
  const isUnsureSide = spec.exhaust === 'unknown' && spec.layout !== 'flat' && isOneRow(spec);
  if (isUnsureSide) return 'A sketch: the exhaust may be on the other side.';
  return {
    maker: 'A sketch, after the maker’s text; pipes differ by year.',
    memory: 'A sketch from memory: check the service information.',
    rule: 'A sketch by the usual rule for such an engine.',
  }[spec.sure];
}

function isOneRow(spec: BaySpec): boolean {
  return spec.bankOne === 'only' || spec.bankOne === 'front-cylinders';
}

function drawRuns(bank: Bank): string {
  return bank.runs
    .map((run) => {
      const path = run.map((point, index) => `${index === 0 ? 'M' : 'L'}${round(point.x)} ${round(point.y)}`).join('');
      return `<path d="${path}" fill="none" stroke="${line}" stroke-width="10" stroke-linejoin="round"/>`;
    })
    .join('');
}

/** The catalyst that the sensors watch has a firm rim and its name; a second one is dashed. */
function drawCatalyst({ x, y, across, isFirst }: Catalyst): string {
  const { long, wide } = catalystHalf;
  const [halfWidth, halfHeight] = across ? [long, wide] : [wide, long];
  const dashes = isFirst ? '' : ' stroke-dasharray="4 3"';
  return [
    `<rect x="${round(x - halfWidth)}" y="${round(y - halfHeight)}" width="${2 * halfWidth}" height="${2 * halfHeight}" rx="7" fill="${paper}" stroke="${ink}" stroke-width="2"${dashes}/>`,
    text(x, y + 4, isFirst ? 'cat' : '2nd', { size: 12 }),
  ].join('');
}

function drawCylinders(spec: BaySpec, bank: Bank, marked: boolean, named: boolean): string[] {
  const xs = bank.cylinders.map((cylinder) => cylinder.x);
  const ys = bank.cylinders.map((cylinder) => cylinder.y);
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return [
    ...(marked
      ? [
          `<rect x="${round(left - 21)}" y="${round(top - 21)}" width="${round(right - left + 42)}" height="${round(bottom - top + 42)}" rx="11" fill="none" stroke="${strong}" stroke-width="5"/>`,
        ]
      : []),
    ...bank.cylinders.flatMap((cylinder) => [
      drawCylinder(spec, cylinder),
      ...(cylinder.number === null ? [] : [text(cylinder.x, cylinder.y + 5, String(cylinder.number), { size: 14 })]),
    ]),
    ...(named
      ? [text(bank.name.x, bank.name.y + 5, `Bank ${spec.bankOne === 'unknown' ? '?' : bank.bank}`, { bold: true })]
      : []),
  ];
}

function drawCylinder(spec: BaySpec, { x, y }: Point): string {
  const look = `fill="${paper}" stroke="${ink}" stroke-width="1.5"`;
  if (spec.layout !== 'rotary') return `<circle cx="${round(x)}" cy="${round(y)}" r="14.5" ${look}/>`;
  // A rotor: three curved flanks.
  return `<path d="M${round(x)} ${round(y - 17)}Q${round(x + 17)} ${round(y - 9)} ${round(x + 15)} ${round(y + 9)}Q${round(x)} ${round(y + 20)} ${round(x - 15)} ${round(y + 9)}Q${round(x - 17)} ${round(y - 9)} ${round(x)} ${round(y - 17)}Z" ${look}/>`;
}

/** A sensor that was not asked for: a small hollow circle with its number. */
function drawSensor({ x, y }: Point, number: number): string {
  return [
    `<circle cx="${round(x)}" cy="${round(y)}" r="9" fill="${paper}" stroke="${ink}" stroke-width="1.5"/>`,
    text(x, y + 4.2, String(number), { size: 12 }),
  ].join('');
}

/** The asked-for sensor: a filled diamond in a ring, with its name beside it. Told apart without colour. */
function drawMark(drawn: BayGeometry, spec: BaySpec, { x, y }: Point): string {
  const label = placeLabel(drawn, { x, y });
  const name = spec.bankOne === 'unknown' ? `S${spec.sensor} ?` : `B${spec.bank} S${spec.sensor}`;
  return [
    `<circle cx="${round(x)}" cy="${round(y)}" r="15" fill="${paper}" stroke="${strong}" stroke-width="3"/>`,
    `<path d="M${round(x)} ${round(y - 10)}L${round(x + 10)} ${round(y)}L${round(x)} ${round(y + 10)}L${round(x - 10)} ${round(y)}Z" fill="${strong}"/>`,
    `<rect x="${round(label.x)}" y="${round(label.y)}" width="${labelWidth}" height="${labelHeight}" rx="6" fill="${strong}"/>`,
    text(label.x + labelWidth / 2, label.y + 18, name, { bold: true, size: 15, colour: paper }),
  ].join('');
}

function arrow(x: number, y: number, towards: 'up' | 'left' | 'right'): string {
  const path = { up: 'l5 9h-10z', left: 'l9 -5v10z', right: 'l-9 -5v10z' }[towards];
  return `<path d="M${x} ${towards === 'up' ? y - 5 : y}${path}" fill="${ink}"/>`;
}
