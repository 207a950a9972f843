// Every calculator in one list, in the order of a diagnosis: gas, trims, air, consumption, units. The bench and the tests run
// down it, and DEVELOPERS.md sends whoever adds one here. Callers import the calculator they need from its own file.
import { bankDifference } from './bank-difference.ts';
import { consumptionLoss } from './consumption-loss.ts';
import { convertUnit } from './convert-unit.ts';
import { correctedCo } from './corrected-co.ts';
import { expectedAirFlow } from './expected-air-flow.ts';
import { gasDilution } from './gas-dilution.ts';
import { gasFromLambda } from './gas-from-lambda.ts';
import { gasPattern } from './gas-pattern.ts';
import { lambdaFromGas } from './lambda-from-gas.ts';
import { lambdaFromOxygen } from './lambda-from-oxygen.ts';
import { leakSplit } from './leak-split.ts';
import { mixturePenalty } from './mixture-penalty.ts';
import type { Result } from './result.ts';
import { totalTrim } from './total-trim.ts';
import { trimCodeDue } from './trim-code-due.ts';

export interface Calculator {
  readonly id: string;
  /** What it answers. */
  readonly answers: string;
  /** One ordinary calculation, for the bench and for a look at the result. */
  readonly example: () => Result<unknown, unknown>;
}

const gas = { co: 3, co2: 12.6, o2: 0.3, hc: 250 };

export const calculators: readonly Calculator[] = [
  { id: 'lambda-from-gas', answers: 'lambda from CO, CO2, O2 and HC', example: () => lambdaFromGas(gas) },
  { id: 'lambda-from-oxygen', answers: 'lambda from oxygen alone', example: () => lambdaFromOxygen(2) },
  { id: 'corrected-co', answers: 'CO without the air in the sample', example: () => correctedCo(1.5, 11) },
  { id: 'gas-dilution', answers: 'how much of the sample is air', example: () => gasDilution(gas) },
  { id: 'gas-pattern', answers: 'what all gases say together', example: () => gasPattern(gas) },
  { id: 'gas-from-lambda', answers: 'the gases at a lambda', example: () => gasFromLambda(0.9) },
  { id: 'total-trim', answers: 'short and long trim together', example: () => totalTrim(8, 12) },
  { id: 'bank-difference', answers: 'the banks against each other', example: () => bankDifference(20, 2) },
  {
    id: 'leak-split',
    answers: 'an air leak told from a general error',
    example: () =>
      leakSplit([
        { trim: 25, flow: 2.4 },
        { trim: 7.1, flow: 8.4 },
        { trim: 4.2, flow: 14.4 },
      ]),
  },
  { id: 'trim-code-due', answers: 'whether a mixture code is due', example: () => trimCodeDue(28) },
  { id: 'expected-air-flow', answers: 'the air flow of a healthy engine', example: () => expectedAirFlow(2, 'idle') },
  { id: 'consumption-loss', answers: 'extra fuel and its cost', example: () => consumptionLoss(8, 9.2, 15_000, 1.8) },
  { id: 'mixture-penalty', answers: 'extra fuel of a rich mixture', example: () => mixturePenalty(0.9) },
  { id: 'convert-unit', answers: 'a figure in another unit', example: () => convertUnit(25, 'mpg US', 'L/100 km') },
];
