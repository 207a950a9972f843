// Puts one calculator's result into the form of the answer document. Every file of this folder ends in it.
import type { Result } from '../calculators/result.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { ReadingFinding } from '../vocabulary/findings.ts';
import { quantities } from '../vocabulary/quantities.ts';

export type DerivedInput = Derived['inputs'][number];

/** What a result needs besides the calculator's own answer. */
export interface Draft {
  readonly calculator: string;
  readonly unit: string;
  readonly source: string;
  readonly inputs: readonly DerivedInput[];
  readonly bank?: number | null;
  readonly when?: string | null;
  readonly says: string;
  readonly steps: readonly string[];
}

/** A result that stands. The id is `calculator`, with bank and condition where they tell results apart. */
export function stand(value: number, draft: Draft): Derived {
  return { ...whole(draft), result: value, valid: true, because: null };
}

/** A calculation that was asked for by the figures and could not be done; it is shown with its reason. */
export function fail(because: string, draft: Omit<Draft, 'says' | 'steps'>): Derived {
  return { ...whole({ ...draft, says: because, steps: [] }), result: null, valid: false, because };
}

/** `stand` or `fail`, whichever the calculator's answer asks for. */
export function settle<Value, More>(
  result: Result<Value, More>,
  about: Omit<Draft, 'says' | 'steps'>,
  tell: (result: { readonly valid: true; readonly value: Value } & More) => {
    readonly value: number;
    readonly says: string;
    readonly steps: readonly string[];
  },
): Derived {
  if (!result.valid) return fail(result.because, about);
  const { value, says, steps } = tell(result);
  return stand(value, { ...about, says, steps });
}

function whole(draft: Draft): Omit<Derived, 'result' | 'valid' | 'because'> {
  const bank = draft.bank ?? null;
  const when = draft.when ?? null;
  return {
    id: [draft.calculator, bank === null ? '' : `b${bank}`, when ?? ''].filter((part) => part !== '').join('.'),
    calculator: draft.calculator,
    inputs: [...draft.inputs],
    unit: draft.unit,
    says: draft.says,
    steps: draft.steps.map((step) => step.slice(0, 400)),
    bank,
    when,
    source: draft.source,
  };
}

/** A reading as an input of a calculation. */
export function inputOf(reading: ReadingFinding): DerivedInput {
  return { name: quantities[reading.quantity].name, value: reading.value, unit: unitOf(reading), finding: reading.id };
}

/** A figure that nobody stated, as an input. */
export function assumed(name: string, value: number, unit: string): DerivedInput {
  return { name, value, unit, finding: null };
}

function unitOf(reading: ReadingFinding): string {
  return quantities[reading.quantity].unit;
}
