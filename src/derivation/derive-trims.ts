// Total trims of each bank and condition, the two banks against each other, and the split into a leak and a general error.
import { bankDifference } from '../calculators/bank-difference.ts';
import { expectedAirFlow } from '../calculators/expected-air-flow.ts';
import { leakSplit } from '../calculators/leak-split.ts';
import { totalTrim } from '../calculators/total-trim.ts';
import { trimCodeDue } from '../calculators/trim-code-due.ts';
import type { Derived } from '../vocabulary/answer-document.ts';
import type { Condition } from '../vocabulary/quantities.ts';
import { assumed, type DerivedInput, inputOf, settle, stand } from './draft.ts';
import { figure, inWords, placeInWords, signed } from './plain.ts';
import { conditionsOf, latest, type View } from './view.ts';

/** One total trim as the later calculations need it. */
interface Total {
  readonly bank: number | null;
  readonly when: Condition | null;
  /** Plain sum, and as the engine gets it [%]. */
  readonly sum: number;
  readonly product: number;
  readonly inputs: readonly DerivedInput[];
}

const trimQuantities = ['short-term-trim', 'long-term-trim', 'total-trim'] as const;

/** A trim this far out is what readers show for a bank that the engine does not have [%]. Source: sae-j1979 (99.2 is all bits set). */
const absentBank = 98;

export function deriveTrims(view: View): Derived[] {
  const totals: Total[] = [];
  const results: Derived[] = [];
  const banks = [...new Set(view.readings.filter(isTrim).map((reading) => reading.bank))];
  for (const when of conditionsOf(view, trimQuantities)) {
    for (const bank of banks) {
      const derived = deriveTotal(view, bank, when, totals);
      if (derived) results.push(derived);
    }
  }
  return [...results, ...deriveBankDifference(totals), ...deriveLeakSplits(view, totals)];
}

function isTrim(reading: View['readings'][number]): boolean {
  return (trimQuantities as readonly string[]).includes(reading.quantity) && Math.abs(reading.value) < absentBank;
}

function deriveTotal(view: View, bank: number | null, when: Condition | null, totals: Total[]): Derived | null {
  const at = { bank, when };
  const present = { ...view, readings: view.readings.filter(isTrim) };
  const stated = latest(present, 'total-trim', at);
  const shortTerm = latest(present, 'short-term-trim', at);
  // A learned trim without a condition is often given once for all; a short one belongs to its moment.
  const longTerm = latest(present, 'long-term-trim', at);
  if (stated) {
    const inputs = [inputOf(stated)];
    totals.push({ ...at, sum: stated.value, product: stated.value, inputs });
    return stand(stated.value, {
      calculator: 'total-trim',
      unit: '%',
      source: 'common practice',
      inputs,
      ...at,
      says: sayTrim(bank, when, stated.value),
      steps: [`stated as the total: ${signed(stated.value, 1)} %`, ...sayCodeDue(stated.value)],
    });
  }
  // The short part of a settled engine swings about zero, so the learned part alone is worth saying; the short one alone is not.
  if (longTerm && !shortTerm) {
    const inputs = [inputOf(longTerm)];
    totals.push({ ...at, sum: longTerm.value, product: longTerm.value, inputs });
    return stand(longTerm.value, {
      calculator: 'total-trim',
      unit: '%',
      source: 'common practice',
      inputs,
      ...at,
      says: sayTrim(bank, when, longTerm.value),
      steps: [
        `long-term ${signed(longTerm.value, 1)} % alone; no short-term figure was given, so it counts as 0`,
        ...sayCodeDue(longTerm.value),
      ],
    });
  }
  if (!shortTerm || !longTerm) return null;
  const inputs = [inputOf(shortTerm), inputOf(longTerm)];
  const about = { calculator: 'total-trim', unit: '%', source: 'common practice', inputs, ...at };
  return settle(totalTrim(shortTerm.value, longTerm.value), about, (result) => {
    totals.push({ ...at, sum: result.value, product: result.product, inputs });
    return {
      value: result.value,
      says: sayTrim(bank, when, result.value),
      steps: [
        `short-term ${signed(shortTerm.value, 1)} % + long-term ${signed(longTerm.value, 1)} % = ${signed(result.value, 1)} % in all`,
        `as the engine gets it: (1 ${spaced(shortTerm.value / 100)}) x (1 ${spaced(longTerm.value / 100)}) - 1 = ${signed(result.product, 1)} %`,
        ...sayCodeDue(result.value),
      ],
    };
  });
}

/** Whether a code would be expected, once a correction is large enough for the question to arise. */
function sayCodeDue(total: number): string[] {
  const result = trimCodeDue(total);
  if (!result.valid || result.due === 'no') return [];
  return [
    `makers set the code for a ${result.side} mixture anywhere from 12.5 to 35 %: at this correction it is due ${result.due}, once it lasts`,
  ];
}

function spaced(share: number): string {
  return `${share < 0 ? '-' : '+'} ${figure(Math.abs(share), 3)}`;
}

function sayTrim(bank: number | null, when: Condition | null, total: number): string {
  const place = placeInWords(bank, when, 'overall');
  const size = Math.abs(total);
  // 5 nothing, 8 to 10 look into it: common practice.
  if (size < 5) return `${place}: the fuel correction is ${signed(total, 0)} %, which is normal.`;
  const way = total > 0 ? `adds about ${figure(size, 0)} % fuel` : `takes away about ${figure(size, 0)} % of the fuel`;
  const weight =
    size < 10 ? ', a little out of the ordinary' : size < 25 ? ', which wants looking into' : ', which is a lot';
  return `${place}: the control unit ${way}${weight}.`;
}

function deriveBankDifference(totals: readonly Total[]): Derived[] {
  return [...new Set(totals.map((total) => total.when))].flatMap((when) => {
    const one = totals.find((total) => total.when === when && total.bank === 1);
    const two = totals.find((total) => total.when === when && total.bank === 2);
    if (!one || !two) return [];
    const about = {
      calculator: 'bank-difference',
      unit: '%',
      source: 'common practice',
      when,
      inputs: [...one.inputs, ...two.inputs],
    };
    return [
      settle(bankDifference(one.sum, two.sum), about, (result) => ({
        value: result.value,
        says: {
          opposite: 'The two banks are corrected in opposite directions, as they are when their sensors are swapped.',
          'one-bank': `Bank ${result.bank} stands apart from the other, so look for a cause on that bank.`,
          both: 'Both banks are off by about the same, so look for a cause that both share.',
          none: 'The two banks are alike and neither is far off.',
        }[result.pattern],
        steps: [
          `bank 1 ${signed(one.sum, 1)} % less bank 2 ${signed(two.sum, 1)} % = ${signed(result.value, 1)} %`,
          `their mean: ${signed(result.shared, 1)} %`,
        ],
      })),
    ];
  });
}

/** Flow relative to idle where neither a reading nor a displacement is known: the design's 3, 9 and 15 g/s and 50 under load (judgement). */
const usualFlow: Partial<Record<Condition, number>> = {
  idle: 3,
  '2500rpm': 9,
  cruise: 15,
  'cruise-steady': 15,
  load: 50,
};
const usualDisplacement = 2;
/** How far a healthy engine's flow lies from the usual one, as a share (judgement: half the width of the usual bands). */
const usualSpread = 0.25;

/** The split for each bank that has totals at two or more operating points. */
function deriveLeakSplits(view: View, totals: readonly Total[]): Derived[] {
  if (view.engine.airMetering === 'manifold-pressure') return [];
  const banks = [...new Set(totals.map((total) => total.bank))];
  const twoBanks = banks.some((bank) => bank === 2);
  return banks.flatMap((bank) => {
    const usable = totals.filter(
      (total) => total.bank === bank && total.when !== null && usualFlow[total.when] !== undefined,
    );
    if (new Set(usable.map((total) => usualFlow[total.when!])).size < 2) return [];
    const flows = usable.map((total) => flowAt(view, total.when!, total.product, twoBanks));
    const isRead = flows.every((flow) => flow.read);
    const points = usable.map((total, index) => ({
      trim: total.product,
      flow: flows[index]!.flow,
      flowSpread: flows[index]!.read ? 0 : usualSpread,
    }));
    const about = {
      calculator: 'leak-split',
      unit: 'g/s',
      source: 'judgement',
      bank,
      inputs: [...usable.flatMap((total) => total.inputs), ...flows.map((flow) => flow.input)],
    };
    return [
      settle(leakSplit(points), about, (result) => {
        const first = usable[0]!;
        const fixedPart = (100 * result.value) / points[0]!.flow;
        return {
          value: result.value,
          says: saySplit(result.verdict, bank, sayLeak(result.value, points, isRead), result.share),
          steps: [
            ...points.map(
              (point, index) =>
                `${inWords(usable[index]!.when)}: ${signed(point.trim, 1)} % = leak / ${figure(point.flow, 2)} g/s + share`,
            ),
            `leak = ${figure(result.value, 2)} +/- ${figure(result.leakSpread, 2)} g/s, share = ${signed(result.share, 1)} +/- ${figure(result.shareSpread, 1)} %`,
            `so ${inWords(first.when)} ${signed(fixedPart, 1)} % comes from the fixed part`,
            ...(isRead
              ? []
              : [
                  `air flow was not given everywhere: taken as usual for ${figure(view.engine.displacement ?? usualDisplacement, 1)} litres, so the g/s are rough`,
                ]),
          ],
        };
      }),
    ];
  });
}

/** The leak in g/s; with guessed flows the span between what the split gives and what the smallest flow alone would. */
function sayLeak(leak: number, points: ReadonlyArray<{ trim: number; flow: number }>, isRead: boolean): string {
  const least = points.reduce((best, point) => (point.flow < best.flow ? point : best));
  const [low, high] = [leak, (least.trim * least.flow) / 100].sort((a, b) => a - b);
  return isRead || figure(low!, 1) === figure(high!, 1) ? figure(leak, 1) : `${figure(low!, 1)} to ${figure(high!, 1)}`;
}

function saySplit(verdict: string, bank: number | null, leak: string, share: number): string {
  const where = bank === null ? '' : ` on bank ${bank}`;
  switch (verdict) {
    case 'leak':
      return `The correction${where} is largest where the air flow is small: that is how a fixed leak of about ${leak} g/s of air looks.`;
    case 'leak-and-share':
      return `Part of the correction${where} looks like an air leak of about ${leak} g/s, and ${signed(share, 0)} % is there at every speed as well.`;
    case 'extra-fuel':
      return `Fuel is taken away${where} mostly where the air flow is small: that is how fuel arriving by itself (a leaking injector, purge) looks.`;
    case 'extra-fuel-and-share':
      return `Some fuel seems to arrive by itself${where} at small air flow, and ${signed(share, 0)} % is there at every speed as well.`;
    case 'share':
      return `The correction${where} is about the same at every speed: that speaks for air metering, fuel pressure or the sensor rather than for an air leak.`;
    default:
      return `The corrections${where} at different speeds show neither an air leak nor a general error.`;
  }
}

/** Metered flow of one bank: as read, or what an engine of that size would show. */
function flowAt(
  view: View,
  when: Condition,
  product: number,
  twoBanks: boolean,
): { flow: number; read: boolean; input: DerivedInput } {
  const share = twoBanks ? 0.5 : 1;
  const reading = latest(view, 'air-flow', { when });
  if (reading && reading.value > 0.5) return { flow: reading.value * share, read: true, input: inputOf(reading) };
  const displacement = view.engine.displacement ?? usualDisplacement;
  const expected = when === 'idle' || when === '2500rpm' ? expectedAirFlow(displacement, when) : null;
  const whole = expected?.valid ? expected.value : (usualFlow[when]! * displacement) / usualDisplacement;
  // What the cylinders take is known here, and the meter misses what leaks in: metered = whole / (1 + t) for a leak.
  const metered = (whole * share) / (1 + Math.max(0, product) / 100);
  return { flow: metered, read: false, input: assumed(`usual air flow ${inWords(when)}`, metered, 'g/s') };
}
