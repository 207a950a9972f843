// Every calculator in one list, in the order of a diagnosis: gas, mixture, trims, sensor, air, consumption, on-board data, limits, units.
// The bench and the tests run down it, and DEVELOPERS.md sends whoever adds one here. Callers import a calculator from its own file.

import { airDensity } from './air-density.ts';
import { airMeterVerdict } from './air-meter-verdict.ts';
import { bankDifference } from './bank-difference.ts';
import { blendFuel } from './blend-fuel.ts';
import { carbonDioxideByDistance } from './carbon-dioxide.ts';
import { catalystEfficiency } from './catalyst-efficiency.ts';
import { combustionEfficiency } from './combustion-efficiency.ts';
import { consumptionLoss } from './consumption-loss.ts';
import { convertUnit } from './convert-unit.ts';
import { correctedCo } from './corrected-co.ts';
import { absoluteLoad } from './engine-load.ts';
import { expectedAirFlow } from './expected-air-flow.ts';
import { fuelFlow } from './fuel-flow.ts';
import { fuels } from './fuels.ts';
import { gasDilution } from './gas-dilution.ts';
import { gasFromLambda } from './gas-from-lambda.ts';
import { gasPattern } from './gas-pattern.ts';
import { heaterPower, heaterResistance } from './heater.ts';
import { inServiceVerdict } from './in-service-verdict.ts';
import { lambdaFromGas } from './lambda-from-gas.ts';
import { lambdaFromOxygen } from './lambda-from-oxygen.ts';
import { leakFlow } from './leak-hole.ts';
import { leakSplit } from './leak-split.ts';
import { manifoldPressure } from './manifold-pressure.ts';
import { mixturePenalty } from './mixture-penalty.ts';
import { mixtureFromLambda } from './mixture-ratio.ts';
import { nernstVoltage, voltageFromLambda } from './nernst-voltage.ts';
import { decodeParameter } from './on-board/decode-parameter.ts';
import { decodeReply } from './on-board/decode-reply.ts';
import { encodeParameter } from './on-board/encode-parameter.ts';
import { decodeFuelSystem } from './on-board/enumerated-bytes.ts';
import { joinFrames } from './on-board/join-frames.ts';
import { decodeReadiness } from './on-board/monitor-readiness.ts';
import { decodeMonitorTests } from './on-board/monitor-test.ts';
import { decodeCodes } from './on-board/trouble-code-bytes.ts';
import type { Result } from './result.ts';
import { sensorSignal } from './sensor-signal.ts';
import { signalDelay } from './signal-delay.ts';
import { speedDensityFlow, volumetricEfficiency } from './speed-density-flow.ts';
import { stoichiometricRatio } from './stoichiometric-ratio.ts';
import { storageIndex } from './storage-index.ts';
import { totalTrim } from './total-trim.ts';
import { trimCodeDue } from './trim-code-due.ts';
import { lambdaFromPumpCurrent } from './wide-range-lambda.ts';

export interface Calculator {
  readonly id: string;
  /** What it answers. */
  readonly answers: string;
  /** One ordinary calculation, for the bench and for a look at the result. */
  readonly example: () => Result<unknown, unknown>;
}

const gas = { co: 3, co2: 12.6, o2: 0.3, hc: 250 };
const clean = { co: 0.05, co2: 15.1, o2: 0.1, hc: 15 };
const intake = { displacement: 2, speed: 750, pressure: 35, temperature: 30 };
/** A minute of a healthy sensor at ten samples a second. */
const times = Float64Array.from({ length: 600 }, (_, index) => index / 10);
const front = times.map((time) => 0.45 + 0.4 * Math.sin(4 * time));
const rear = times.map((time) => 0.65 + 0.05 * Math.sin(4 * time - 1));

export const calculators: readonly Calculator[] = [
  { id: 'lambda-from-gas', answers: 'lambda from CO, CO2, O2 and HC', example: () => lambdaFromGas(gas) },
  { id: 'lambda-from-oxygen', answers: 'lambda from oxygen alone', example: () => lambdaFromOxygen(2) },
  { id: 'corrected-co', answers: 'CO without the air in the sample', example: () => correctedCo(1.5, 11) },
  { id: 'gas-dilution', answers: 'how much of the sample is air', example: () => gasDilution(gas) },
  { id: 'gas-pattern', answers: 'what all gases say together', example: () => gasPattern(gas) },
  { id: 'gas-from-lambda', answers: 'the gases at a lambda', example: () => gasFromLambda(0.9) },
  {
    id: 'combustion-efficiency',
    answers: 'the share of the fuel that burnt',
    example: () => combustionEfficiency(gas),
  },
  {
    id: 'catalyst-efficiency',
    answers: 'what the catalyst converts',
    example: () => catalystEfficiency({ ...gas, co: 0.8, co2: 14.4 }, clean),
  },
  {
    id: 'stoichiometric-ratio',
    answers: 'the air that a fuel needs',
    example: () => stoichiometricRatio(fuels['petrol-e10']),
  },
  { id: 'blend-fuel', answers: 'petrol with ethanol', example: () => blendFuel(10) },
  { id: 'mixture-ratio', answers: 'lambda as a ratio', example: () => mixtureFromLambda(0.97) },
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
  { id: 'sensor-signal', answers: 'what a sensor log shows', example: () => sensorSignal(front, times) },
  { id: 'storage-index', answers: 'rear activity against front', example: () => storageIndex(front, rear) },
  { id: 'signal-delay', answers: 'delay of one signal behind another', example: () => signalDelay(front, rear, 0.1) },
  { id: 'nernst-voltage', answers: 'zirconia voltage from oxygen', example: () => nernstVoltage(1e-20, 600) },
  { id: 'voltage-from-lambda', answers: 'zirconia voltage from lambda', example: () => voltageFromLambda(0.97, 700) },
  {
    id: 'wide-range-lambda',
    answers: 'lambda from pump current',
    example: () => lambdaFromPumpCurrent(-0.3, 'lsu-4.9'),
  },
  { id: 'heater-resistance', answers: 'whether a heater is plausible', example: () => heaterResistance(9) },
  { id: 'heater-power', answers: 'what a heater draws', example: () => heaterPower(13.5, 9) },
  { id: 'air-density', answers: 'density of air', example: () => airDensity(100, 25) },
  {
    id: 'speed-density-flow',
    answers: 'air flow from manifold pressure',
    example: () => speedDensityFlow(intake, 0.75),
  },
  {
    id: 'volumetric-efficiency',
    answers: 'how full the cylinders get',
    example: () => volumetricEfficiency(3, intake),
  },
  { id: 'expected-air-flow', answers: 'the air flow of a healthy engine', example: () => expectedAirFlow(2, 'idle') },
  {
    id: 'air-meter-verdict',
    answers: 'whether the air meter is plausible',
    example: () => airMeterVerdict(3, 2, 'idle'),
  },
  { id: 'absolute-load', answers: 'load from air flow', example: () => absoluteLoad(3, 2, 750) },
  { id: 'fuel-flow', answers: 'fuel from air flow and lambda', example: () => fuelFlow(3, 1) },
  { id: 'leak-flow', answers: 'air through a hole', example: () => leakFlow(2, 35) },
  { id: 'manifold-pressure', answers: 'vacuum as absolute pressure', example: () => manifoldPressure(-61) },
  { id: 'consumption-loss', answers: 'extra fuel and its cost', example: () => consumptionLoss(8, 9.2, 15_000, 1.8) },
  { id: 'mixture-penalty', answers: 'extra fuel of a rich mixture', example: () => mixturePenalty(0.9) },
  { id: 'carbon-dioxide', answers: 'carbon dioxide by distance', example: () => carbonDioxideByDistance(8, 2.348) },
  {
    id: 'decode-parameter',
    answers: 'figures from live-data bytes',
    example: () => decodeParameter(0x0c, [0x1a, 0xf8]),
  },
  { id: 'encode-parameter', answers: 'live-data bytes from figures', example: () => encodeParameter(0x0c, [1726]) },
  {
    id: 'join-frames',
    answers: 'a reply from its lines',
    example: () => joinFrames(['7E8 10 0A 43 04 01 08 01 18', '7E8 21 01 19 01 20 00 00 00']),
  },
  {
    id: 'decode-reply',
    answers: 'figures from a whole reply',
    example: () => decodeReply([0x41, 0x0c, 0x1a, 0xf8, 0x05, 0x7b]),
  },
  { id: 'decode-codes', answers: 'trouble codes from bytes', example: () => decodeCodes([0x43, 2, 1, 0x71, 4, 0x20]) },
  {
    id: 'decode-readiness',
    answers: 'self-tests that have finished',
    example: () => decodeReadiness([0x82, 7, 0x65, 4]),
  },
  { id: 'decode-fuel-system', answers: 'open or closed loop', example: () => decodeFuelSystem([2, 0]) },
  {
    id: 'decode-monitor-tests',
    answers: 'the control unit’s own tests',
    example: () => decodeMonitorTests([0x46, 1, 5, 0x10, 0, 0x46, 0, 0, 0, 0x78]),
  },
  {
    id: 'in-service-verdict',
    answers: 'readings against test limits',
    example: () =>
      inServiceVerdict(
        [{ quantity: 'gas-co', when: 'idle', value: 0.2 }],
        [{ quantity: 'gas-co', when: 'idle', low: null, high: 0.3 }],
      ),
  },
  { id: 'convert-unit', answers: 'a figure in another unit', example: () => convertUnit(25, 'mpg US', 'L/100 km') },
];
