// A whole reply of one control unit -> the figures in it: live data (41), freeze frame (42), monitor tests (46).
import { type Result, refuse } from '../result.ts';
import { type Decoded, decodeParameter } from './decode-parameter.ts';
import { parameterOf, type SensorLayout } from './parameters.ts';

export interface DecodedParameter {
  readonly parameter: number;
  readonly figures: readonly Decoded[];
}

/** Data bytes of the bit fields, so that a reply of several parameters can be stepped through. */
const bitFieldLength: ReadonlyMap<number, number> = new Map([
  [0x00, 4],
  [0x01, 4],
  [0x02, 2],
  [0x03, 2],
  [0x12, 1],
  [0x13, 1],
  [0x1c, 1],
  [0x1d, 1],
  [0x1e, 1],
  [0x20, 4],
  [0x40, 4],
  [0x41, 4],
  [0x4f, 4],
  [0x51, 1],
  [0x60, 4],
]);

/**
 * @param payload beginning with 41 (parameter, data, parameter, data, ...) or 42 (parameter, frame number, data, ...)
 * @returns each scaled parameter with its figures; bit fields have no figures and are stepped over. What follows an unknown parameter cannot be
 *          told apart and is left out, as is padding. Refused when nothing could be read
 * Source: sae-j1979.
 */
export function decodeReply(
  payload: readonly number[],
  layout: SensorLayout = 'two-banks',
): Result<DecodedParameter[], { frame: number | null }> {
  const service = payload[0];
  if (service !== 0x41 && service !== 0x42) return refuse('This is no reply with live data or a freeze frame.');
  const header = service === 0x42 ? 2 : 1;
  const value: DecodedParameter[] = [];
  let frame: number | null = null;
  for (let at = 1; at < payload.length; ) {
    const parameter = payload[at]!;
    const bits = bitFieldLength.get(parameter);
    const length = bits ?? parameterOf(parameter, layout)?.length;
    if (length === undefined || at + header + length > payload.length) break;
    if (service === 0x42) frame = payload[at + 1]!;
    if (bits === undefined) {
      const decoded = decodeParameter(parameter, payload.slice(at + header, at + header + length), layout);
      if (!decoded.valid) break;
      value.push({ parameter, figures: decoded.value });
    }
    at += header + length;
  }
  return value.length === 0 ? refuse('The reply holds no parameter that I can read.') : { valid: true, value, frame };
}
