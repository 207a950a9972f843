// The other way: figures -> bytes of a live-data parameter, for tests and for feeding simulated control units.
import { type Result, refuse } from '../result.ts';
import { parameterOf, type SensorLayout } from './parameters.ts';

/**
 * @param id     parameter number
 * @param values one for each of its figures, in the table's units; null for a figure that has a "none" value
 * @returns the data bytes; each figure is rounded to the nearest step, and one outside what the bytes can hold is refused
 * Source: sae-j1979.
 */
export function encodeParameter(
  id: number,
  values: ReadonlyArray<number | null>,
  layout: SensorLayout = 'two-banks',
): Result<number[]> {
  const parameter = parameterOf(id, layout);
  if (!parameter) return refuse('That parameter is not one of the standard ones that I can write.');
  if (values.length !== parameter.fields.length)
    return refuse('There must be one value for each figure of the parameter.');
  const bytes = new Array<number>(parameter.length).fill(0);
  for (const [index, item] of parameter.fields.entries()) {
    const value = values[index]!;
    const most = item.bytes === 2 ? 65_535 : 255;
    const raw = value === null ? item.absent : Math.round(((value - item.add) * item.divide) / item.multiply);
    if (raw === null) return refuse(`${item.name} has no way to say that there is none.`);
    if (!(raw >= 0 && raw <= most)) return refuse(`${item.name} does not fit into its bytes.`);
    if (item.bytes === 2) bytes[item.at] = raw >> 8;
    bytes[item.at + item.bytes - 1] = raw & 255;
  }
  return { valid: true, value: bytes };
}
