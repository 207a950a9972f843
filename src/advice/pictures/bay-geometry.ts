// Where everything lies in the plan view, as numbers: cylinders, exhaust runs, catalysts and sensors of each bank. Seen from above,
// the front of the car at the top, so that right in the picture is right as seen from the driver's seat. draw-bay.ts draws it and
// tests measure it; bay-across.ts and bay-lengthwise.ts place the two mountings.
import { layAcross } from './bay-across.ts';
import { layLengthwise } from './bay-lengthwise.ts';
import type { BayGeometry } from './bay-parts.ts';
import type { BaySpec } from './bay-spec.ts';

export function layOut(spec: BaySpec): BayGeometry {
  return spec.mounting === 'transverse' ? layAcross(spec) : layLengthwise(spec);
}
