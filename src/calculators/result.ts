// What every calculator gives back: a value with what it was made from, or one sentence why there is none.

/** No value, and why, in one sentence that a layperson understands. */
export interface Refusal {
  readonly valid: false;
  readonly because: string;
}

/** A value and whatever else the calculation brought to light, or a refusal. Never NaN and never infinite. */
export type Result<Value = number, More = unknown> = ({ readonly valid: true; readonly value: Value } & More) | Refusal;

export function refuse(because: string): Refusal {
  return { valid: false, because };
}
