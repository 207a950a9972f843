// Under which running condition a figure was taken: said of it in its segment, else standing for the segment or the lines.
import type { Condition, Quantity } from '../vocabulary/quantities.ts';
import { type ConditionScopes, conditionScopes } from './condition-scopes.ts';
import type { ConditionMark } from './conditions.ts';
import type { Segment } from './figures.ts';
import type { Choice } from './quantity-fit.ts';
import type { ReaderInput } from './reader.ts';

export interface ConditionState {
  readonly heading: Condition | null;
  readonly scopes: ConditionScopes;
  /** Condition that an engine speed of the same table row implies. */
  fromSpeed: Condition | null;
}

/** A fresh state for a segment; `heading` is what the lines above left standing. */
export function conditionState(input: ReaderInput, segment: Segment, heading: Condition | null): ConditionState {
  return { heading, scopes: conditionScopes(input.tokens, segment), fromSpeed: null };
}

/** Quantities that a running condition says nothing about. */
const without: ReadonlySet<Quantity> = new Set([
  'distance',
  'displacement',
  'fuel-consumption',
  'oil-consumption',
  'vehicle-speed',
  'compression',
  'heater-resistance',
  'misfire-count',
]);

const testQuantities: ReadonlySet<Quantity> = new Set(['gas-co', 'gas-co2', 'gas-o2', 'gas-hc', 'gas-nox', 'lambda']);

/** Condition of one measure of a segment; null when the writer did not say. */
export function chooseCondition(
  input: ReaderInput,
  segment: Segment,
  index: number,
  choice: Choice,
  state: ConditionState,
): Condition | null {
  if (without.has(choice.quantity)) return null;
  if (choice.quantity === 'engine-speed') return speedCondition(input, segment, index, choice, state);
  const said = state.scopes.said[index];
  if (said) return said;
  const measure = segment.measures[index]!;
  const others = segment.conditions.filter((mark) => !(mark.first <= measure.first && measure.first < mark.last));
  // Figures of one exhaust test were taken together: "CO 0.85 at fast idle, lambda 1.01".
  const test = testQuantities.has(choice.quantity)
    ? others.filter((mark) => mark.last <= measure.first).at(-1)
    : undefined;
  return test?.when ?? state.fromSpeed ?? state.heading;
}

/** An engine speed is itself the condition; only a word that stands right beside it says more ("fast idle (2371 rpm)"). */
function speedCondition(
  input: ReaderInput,
  segment: Segment,
  index: number,
  choice: Choice,
  state: ConditionState,
): Condition | null {
  const measure = segment.measures[index]!;
  const says = (mark: ConditionMark) => !mark.measured && /^(idle|2500rpm|cold)$/.test(mark.when);
  const behind = segment.conditions.find(
    (mark) => says(mark) && mark.first >= measure.last && mark.first - measure.last <= 2,
  );
  // "Idle 1500 rpm when cold": what is said of the warm-up says more than the name.
  if (behind) return behind.when;
  const before = segment.conditions.findLast(
    (mark) => says(mark) && mark.last <= measure.first && measure.first - mark.last <= 3,
  );
  if (before && !state.scopes.claimed.has(before)) return before.when;
  if (
    segment.conditions.some((mark) => mark.first <= measure.first && measure.first < mark.last && mark.when === 'idle')
  )
    return 'idle';
  // "idle 3/15, 1500 rpm 2/9": a speed that opens the next figure is no idle.
  const opens = (segment.measures[index + 1]?.first ?? Number.POSITIVE_INFINITY) - measure.last <= 1;
  if (measure.high <= 1600 && !opens && segment.conditions.some((mark) => mark.when === 'idle')) return 'idle';
  if (choice.mention && /^idl/.test(input.tokens[choice.mention.first]!.text)) return 'idle';
  return state.fromSpeed;
}
