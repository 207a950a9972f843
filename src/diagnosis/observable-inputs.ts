// What each predicted quantity and each mixture driver depends on, so that it need be worked out only once for all faults that
// act on it alike. A predictor that reads more than is listed here fails tests/diagnosis/observable-inputs.test.ts.
import type { Inputs } from './effect-classes.ts';
import { plus, times } from './effects.ts';
import type { Observable } from './observables.ts';
import { bankCount, cellOf, pointCount } from './operating-points.ts';

const everyBank = Array.from({ length: bankCount }, (_, bank) => bank);
const everyPoint = Array.from({ length: pointCount }, (_, point) => point);

/** What the settling of one cell reads (settleCell of state.ts). */
export function cellInputs(cell: number): Inputs {
  return {
    times: [
      ...[times.ductKeep, times.meter, times.fuel, times.firing, times.alive].map((at) => at + cell),
      times.straight,
    ],
    plus: [plus.leak, plus.extraFuel, plus.bias].map((at) => at + cell),
    cells: [],
  };
}

/** The settled mixture of cells, with what readings of it look at besides: misfires and a dead sensor. */
function mixture(cells: readonly number[]): Inputs {
  return { times: cells.flatMap((cell) => [times.firing + cell, times.alive + cell]), plus: [], cells };
}

function also(inputs: Inputs, more: Partial<Inputs>): Inputs {
  return {
    times: [...inputs.times, ...(more.times ?? [])],
    plus: [...inputs.plus, ...(more.plus ?? [])],
    cells: inputs.cells,
  };
}
const nothing: Inputs = { times: [], plus: [], cells: [] };

/** The effects that the prediction of an observable reads. */
export function inputsOf({ name, bank, point }: Observable): Inputs {
  const cell = cellOf(bank, point);
  const cells = everyBank.map((each) => cellOf(each, point));
  switch (name) {
    case 'trim':
    case 'short-trim':
    case 'front-lambda':
    case 'front-voltage':
    case 'wide-voltage':
    case 'wide-voltage-fifth':
    case 'pump-current':
      return mixture([cell]);
    case 'trim-change':
      return mixture([cell, cellOf(bank, 0)]);
    case 'front-swing':
    case 'switches':
      return also(mixture([cell]), { plus: [plus.lag + bank] });
    case 'rear-voltage':
      return also(mixture([cell]), {
        times: [times.storage + bank, times.rearAlive + bank],
        plus: [plus.exhaustAir + cell, plus.rearBias + bank],
      });
    case 'rear-swing':
      return { times: [times.storage + bank, times.rearAlive + bank], plus: [], cells: [] };
    case 'tail-lambda':
      return also(mixture(cells), { plus: [...falseAir(cells)] });
    case 'co':
    case 'co2':
    case 'o2':
    case 'hc':
    case 'nox':
      return also(mixture(cells), {
        times: [...everyBank.map((each) => times.catalyst + each), times.freshCharge + point],
        plus: [...falseAir(cells), plus.oil],
      });
    case 'air-flow':
      return {
        times: [...cells.flatMap((each) => [times.ductKeep + each, times.meter + each]), times.filling + point],
        plus: cells.map((each) => plus.leak + each),
        cells: [],
      };
    case 'manifold-pressure':
      return {
        times: [times.freshCharge + point, times.filling + point],
        plus: [...cells.map((each) => plus.leak + each), plus.pressureError + point],
        cells: [],
      };
    case 'wide-swing':
    case 'wide-switches':
      return nothing;
    case 'idle-speed':
      return also(nothing, { plus: [plus.idleSpeed] });
    case 'coolant':
      return also(nothing, { plus: [plus.coolantReading, plus.coolantDrop] });
    case 'fuel-pressure':
      return also(nothing, { times: [times.fuelPressure + point] });
    case 'heater':
      return also(nothing, { times: [times.heater + bank, times.rearHeater + bank] });
    case 'edge-time':
      return also(nothing, { plus: [plus.lag + bank] });
    case 'oil':
      return also(nothing, { plus: [plus.oil] });
    case 'back-pressure':
      return also(nothing, { plus: [plus.backPressure + point] });
    case 'fuel-use':
      return also(mixture(everyBank.flatMap((each) => everyPoint.map((at) => cellOf(each, at)))), {
        times: [times.filling + 2, times.fuelUse],
        plus: [plus.coolantDrop],
      });
    case 'misfires':
      return also(nothing, { times: [times.firing + cell] });
    case 'compression':
      return also(nothing, { times: [times.filling] });
  }
}

function falseAir(cells: readonly number[]): number[] {
  return [...cells.map((cell) => plus.exhaustAir + cell), ...everyBank.map((bank) => plus.tailpipeAir + bank)];
}

/** Which points each symptom driver looks at (symptom-drivers.ts), and each monitor of a bank (code-setting.ts). */
const symptomScopes = ['idle', 'drive', 'idle', 'drive', 'all', 'all'] as const;
const monitorScopes = ['all', 'all', 'idle', 'idle', 'drive', 'drive'] as const;
const pointsOf = { idle: [0], drive: everyPoint.slice(1), all: everyPoint } as const;

/** The effects that a mixture driver reads: those of symptoms on every bank, the monitors of a bank on their own. */
export function driverInputs(driver: number): Inputs {
  const monitor = driver - symptomScopes.length;
  const banks = monitor < 0 ? everyBank : [Math.floor(monitor / monitorScopes.length)];
  const scope = monitor < 0 ? symptomScopes[driver]! : monitorScopes[monitor % monitorScopes.length]!;
  return {
    // A monitor rests while the bank's sensor is dead.
    times: monitor < 0 ? [] : banks.map((bank) => times.alive + cellOf(bank, 0)),
    plus: [],
    cells: banks.flatMap((bank) => pointsOf[scope].map((point) => cellOf(bank, point))),
  };
}
