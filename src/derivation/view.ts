// The findings that may be calculated with, and how to look among them. derive.ts makes one view for `now` and one for `before`.
import type { EngineFinding, Finding, ReadingFinding } from '../vocabulary/findings.ts';
import type { Condition, Quantity } from '../vocabulary/quantities.ts';

export interface View {
  /** Readings of the car asked about that were stated as they are, oldest first. */
  readonly readings: readonly ReadingFinding[];
  /** All that is known of the engine, the latest word on each field. */
  readonly engine: Pick<
    EngineFinding,
    'displacement' | 'fuel' | 'vehicle' | 'year' | 'airMetering' | 'induction' | 'cylinders'
  >;
  /** The words of all findings about the car, in lower case, for recognising a test programme by its name. */
  readonly words: string;
}

export function viewFindings(findings: readonly Finding[], time: Finding['time']): View {
  const ours = findings.filter((finding) => finding.car === 0);
  const readings = ours.filter(
    (finding): finding is ReadingFinding =>
      finding.kind === 'reading' &&
      finding.stated === 'present' &&
      finding.time === time &&
      Number.isFinite(finding.value),
  );
  const engine: { -readonly [Key in keyof View['engine']]: View['engine'][Key] } = {
    displacement: null,
    fuel: null,
    vehicle: null,
    year: null,
    airMetering: null,
    induction: null,
    cylinders: null,
  };
  for (const finding of ours) {
    if (finding.kind === 'engine' && finding.stated !== 'denied')
      for (const key of Object.keys(engine) as Array<keyof typeof engine>)
        Object.assign(engine, { [key]: finding[key] ?? engine[key] });
    if (finding.kind === 'reading' && finding.quantity === 'displacement' && finding.stated === 'present')
      engine.displacement ??= finding.value;
  }
  return { readings, engine, words: ours.map((finding) => finding.quote.toLowerCase()).join(' \n ') };
}

/** The latest reading of a quantity under a condition and of a bank; `null` matches readings that name none. */
export function latest(
  view: View,
  quantity: Quantity,
  where: { readonly when?: Condition | null; readonly bank?: number | null; readonly sensor?: number | null } = {},
): ReadingFinding | undefined {
  return view.readings.findLast(
    (reading) =>
      reading.quantity === quantity &&
      (where.when === undefined || reading.when === where.when) &&
      (where.bank === undefined || reading.bank === where.bank) &&
      (where.sensor === undefined || reading.sensor === where.sensor),
  );
}

/** Every condition under which any of the quantities was read, `null` for none stated, in order of appearance. */
export function conditionsOf(view: View, quantities: readonly Quantity[]): Array<Condition | null> {
  return [...new Set(view.readings.filter((reading) => quantities.includes(reading.quantity)).map(({ when }) => when))];
}
