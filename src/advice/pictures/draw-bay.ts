// Draws the plan view of an engine bay with one sensor (or one bank) marked. picture.ts calls it.
import { type Bank, bayHeight, bayWidth, layOut, type Point } from './bay-geometry.ts';
import type { BaySpec } from './bay-spec.ts';
import { labelHeight, labelWidth, placeLabel } from './place-label.ts';
import { fill, ink, line, paper, picture, round, strong, text } from './svg.ts';

export function drawBay(spec: BaySpec): string {
  const { banks, block, pulleys } = layOut(spec);
  const [x, y, width, height] = block;
  const marked = banks.find((bank) => bank.bank === spec.bank)!;
  return picture(bayWidth, bayHeight, describeBay(spec), [
    text(bayWidth / 2, 22, 'FRONT OF THE CAR (radiator)', { size: 12, bold: true }),
    `<path d="M30 30H370" stroke="${line}" stroke-width="3"/>`,
    ...banks.map((bank) => drawExhaust(bank)),
    `<rect x="${round(x)}" y="${round(y)}" width="${round(width)}" height="${round(height)}" rx="8" fill="${fill}" stroke="${ink}" stroke-width="2"/>`,
    ...(pulleys
      ? [text(pulleys.x, pulleys.y + 4, spec.mounting === 'transverse' ? pulleyWord(spec) : 'belt end', { size: 11 })]
      : []),
    ...banks.flatMap((bank) => drawBank(bank, bank === marked && spec.sensor === null, banks.length > 1)),
    ...banks.flatMap((bank) =>
      bank.sensors.map((place, index) => drawSensor(place, bank === marked && spec.sensor === index + 1)),
    ),
    ...(spec.sensor === null ? [] : [drawLabel(spec, marked.sensors[spec.sensor - 1]!)]),
    `<path d="M30 306H370" stroke="${line}" stroke-width="3" stroke-dasharray="9 5"/>`,
    text(bayWidth / 2, 324, 'CABIN   (left | right as from the driver’s seat)', { size: 12, bold: true }),
  ]);
}

/** The picture in words. */
export function describeBay(spec: BaySpec): string {
  const what = spec.sensor === null ? `bank ${spec.bank}` : `bank ${spec.bank} sensor ${spec.sensor}`;
  const kind = { inline: 'in-line', v: 'V', flat: 'flat', rotary: 'rotary' }[spec.layout];
  const how = spec.mounting === 'transverse' ? 'across the car' : 'lengthwise';
  const behind = spec.sensor === null ? '' : spec.sensor === 1 ? ', ahead of the catalyst' : ', behind the catalyst';
  const side = sideOf(spec);
  const unsure = spec.exhaust === 'unknown' && (spec.bankOne === 'only' || spec.bankOne === 'front-cylinders');
  return `Engine bay from above, front at the top: ${kind} engine with ${spec.cylinders} ${spec.layout === 'rotary' ? 'rotors' : 'cylinders'} ${how}; ${what} marked${side}${behind}.${unsure ? ' The exhaust may be on the other side.' : ''}`;
}

function sideOf(spec: BaySpec): string {
  const first = spec.bank === 1;
  switch (spec.bankOne) {
    case 'firewall':
      return first ? ' on the cabin side' : ' on the radiator side';
    case 'radiator':
      return first ? ' on the radiator side' : ' on the cabin side';
    case 'right':
      return first ? ' on the right' : ' on the left';
    case 'left':
      return first ? ' on the left' : ' on the right';
    case 'front-cylinders':
      return first ? ' on the first half of the cylinders' : ' on the second half of the cylinders';
    default:
      return '';
  }
}

function pulleyWord(spec: BaySpec): string {
  return spec.bankOne === 'only' && spec.numbering === 'none' ? 'cyl. 1 end' : 'belt end';
}

function drawExhaust(bank: Bank): string {
  const path = bank.exhaust
    .map((point, index) => `${index === 0 ? 'M' : 'L'}${round(point.x)} ${round(point.y)}`)
    .join('');
  const [long, wide] = [46, 24];
  const [width, height] = bank.catalystAcross ? [long, wide] : [wide, long];
  const { x, y } = bank.catalyst;
  return [
    `<path d="${path}" fill="none" stroke="${line}" stroke-width="9" stroke-linejoin="round"/>`,
    `<rect x="${round(x - width / 2)}" y="${round(y - height / 2)}" width="${width}" height="${height}" rx="7" fill="${paper}" stroke="${ink}" stroke-width="2" stroke-dasharray="4 3"/>`,
    text(x, y + 4, 'cat', { size: 11 }),
  ].join('');
}

function drawBank(bank: Bank, marked: boolean, named: boolean): string[] {
  const xs = bank.cylinders.map((cylinder) => cylinder.x);
  const ys = bank.cylinders.map((cylinder) => cylinder.y);
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return [
    ...(marked
      ? [
          `<rect x="${round(left - 19)}" y="${round(top - 19)}" width="${round(right - left + 38)}" height="${round(bottom - top + 38)}" rx="10" fill="none" stroke="${strong}" stroke-width="5"/>`,
        ]
      : []),
    ...bank.cylinders.flatMap((cylinder) => [
      `<circle cx="${round(cylinder.x)}" cy="${round(cylinder.y)}" r="14" fill="${paper}" stroke="${ink}" stroke-width="1.5"/>`,
      ...(cylinder.number === null ? [] : [text(cylinder.x, cylinder.y + 5, String(cylinder.number), { size: 14 })]),
    ]),
    ...(named ? [text(bank.name.x, bank.name.y + 5, `Bank ${bank.bank}`, { bold: true })] : []),
  ];
}

/** The marked sensor is a filled diamond in a ring, the others are small hollow circles: told apart without colour. */
function drawSensor(place: Point, marked: boolean): string {
  const { x, y } = place;
  if (!marked)
    return `<circle cx="${round(x)}" cy="${round(y)}" r="6" fill="${paper}" stroke="${ink}" stroke-width="2"/>`;
  return [
    `<circle cx="${round(x)}" cy="${round(y)}" r="15" fill="${paper}" stroke="${strong}" stroke-width="3"/>`,
    `<path d="M${round(x)} ${round(y - 10)}L${round(x + 10)} ${round(y)}L${round(x)} ${round(y + 10)}L${round(x - 10)} ${round(y)}Z" fill="${strong}"/>`,
  ].join('');
}

/** The sensor's name beside it, where it hides least. */
function drawLabel(spec: BaySpec, place: Point): string {
  const { x, y } = placeLabel(spec, place);
  return [
    `<rect x="${round(x)}" y="${round(y)}" width="${labelWidth}" height="${labelHeight}" rx="5" fill="${strong}"/>`,
    text(x + labelWidth / 2, y + 17, `B${spec.bank} S${spec.sensor}`, { bold: true, size: 14, colour: paper }),
  ].join('');
}
