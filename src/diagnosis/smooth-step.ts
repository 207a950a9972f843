// The one smooth step of the model: how a probability grows when a quantity passes a limit.

/**
 * 0.5 at `limit`, 0.85 one `width` above it, 0.15 one below. Algebraic instead of exponential: its tails are heavier, as owners'
 * and makers' limits really scatter, and it costs a tenth.
 */
export function smoothStep(value: number, limit: number, width: number): number {
  const x = (value - limit) / width;
  return 0.5 + (0.5 * x) / Math.sqrt(1 + x * x);
}
