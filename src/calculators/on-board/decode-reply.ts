// A whole reply of one control unit -> the figures in it: live data (41), freeze frame (42), monitor tests (46).
import { type Result, refuse } from '../result.ts';
import { type Decoded, decodeParameter } from './decode-parameter.ts';
import { parameterOf, type SensorLayout } from './parameters.ts';

export interface DecodedParameter {
  readonly parameter: number;
  readonly figures: readonly Decoded[];
}

/** Data bytes of the parameters without a figure here (bit fields, and 5B of hybrids), to step through a reply of several parameters. */
const figurelessLength: ReadonlyMap<number, number> = new Map([
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
  [0x5b, 1],
  [0x60, 4],
]);

/** Data bytes of a parameter, of a bit field too; null when it is not known here. Source: sae-j1979. */
export function parameterLength(id: number, layout: SensorLayout = 'two-banks'): number | null {
  return figurelessLength.get(id) ?? parameterOf(id, layout)?.length ?? null;
}

/**
 * @param payload beginning with 41 (parameter, data, parameter, data, ...) or 42 (parameter, frame number, data, ...)
 * @returns each scaled parameter with its figures; those without figures are stepped over. What follows an unknown parameter cannot be
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
    const length = parameterLength(parameter, layout);
    if (length === null || at + header + length > payload.length) break;
    if (service === 0x42) frame = payload[at + 1]!;
    if (!figurelessLength.has(parameter)) {
      const decoded = decodeParameter(parameter, payload.slice(at + header, at + header + length), layout);
      if (!decoded.valid) break;
      value.push({ parameter, figures: decoded.value });
    }
    at += header + length;
  }
  return value.length === 0 ? refuse('The reply holds no parameter that I can read.') : { valid: true, value, frame };
}
