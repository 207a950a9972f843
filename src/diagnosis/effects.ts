// What one fault does, as numbers that compose: two faults act together by multiplying the first block of their numbers and
// adding the second. hypotheses.ts makes one `Effects` for every (fault, bank, severity); state.ts composes two of them.
import type { FaultEffects } from '../knowledge/schema/fault.ts';
import { bankCount, cellCount, cellOf, pointCount, points } from './operating-points.ts';

/** Offsets into the block that multiplies; all are 1 on a healthy engine. */
export const times = {
  /** per cell */
  ductKeep: 0,
  meter: cellCount,
  fuel: 2 * cellCount,
  firing: 3 * cellCount,
  alive: 4 * cellCount,
  /** per bank */
  catalyst: 5 * cellCount,
  storage: 5 * cellCount + bankCount,
  heater: 5 * cellCount + 2 * bankCount,
  rearHeater: 5 * cellCount + 3 * bankCount,
  rearAlive: 5 * cellCount + 4 * bankCount,
  /** per point */
  filling: 5 * cellCount + 5 * bankCount,
  fuelPressure: 5 * cellCount + 5 * bankCount + pointCount,
  freshCharge: 5 * cellCount + 5 * bankCount + 2 * pointCount,
  /** one each */
  fuelUse: 5 * cellCount + 5 * bankCount + 3 * pointCount,
  straight: 5 * cellCount + 5 * bankCount + 3 * pointCount + 1,
} as const;
export const timesLength = times.straight + 1;

/** Offsets into the block that adds; all are 0 on a healthy engine. */
export const plus = {
  /** per cell */
  leak: 0,
  extraFuel: cellCount,
  bias: 2 * cellCount,
  exhaustAir: 3 * cellCount,
  /** per bank */
  lag: 4 * cellCount,
  rearBias: 4 * cellCount + bankCount,
  tailpipeAir: 4 * cellCount + 2 * bankCount,
  /** per point */
  backPressure: 4 * cellCount + 3 * bankCount,
  pressureError: 4 * cellCount + 3 * bankCount + pointCount,
  /** one each */
  idleSpeed: 4 * cellCount + 3 * bankCount + 2 * pointCount,
  oil: 4 * cellCount + 3 * bankCount + 2 * pointCount + 1,
  coolantBurn: 4 * cellCount + 3 * bankCount + 2 * pointCount + 2,
  coolantReading: 4 * cellCount + 3 * bankCount + 2 * pointCount + 3,
  coolantDrop: 4 * cellCount + 3 * bankCount + 2 * pointCount + 4,
} as const;
export const plusLength = plus.coolantDrop + 1;

export interface Effects {
  readonly times: Float64Array;
  readonly plus: Float64Array;
}

/** How the control unit learns how much air there is. */
export type Metering = 'air-meter' | 'manifold-pressure';

/** Shares of the fault's effects per bank: 1 and 1 for both alike, 1 and 0 for one bank, 0.7 and 0.3 where it is uneven. */
export type BankShares = readonly [number, number];

/** Warm coolant [degC] of a healthy engine. */
export const warmCoolant = 90;

/** A healthy engine: nothing multiplied, nothing added. */
export function noEffects(): Effects {
  return { times: new Float64Array(timesLength).fill(1), plus: new Float64Array(plusLength) };
}

type ByPoint = number | Record<(typeof points)[number], number> | undefined;
function at(value: ByPoint, point: number): number {
  return value === undefined ? 0 : typeof value === 'number' ? value : value[points[point]!];
}

/**
 * Turns a severity of a fault file into composable numbers.
 *
 * @param banks    1 or 2; with 1, all of the fault acts on bank 1
 * @param shares   per bank; flows [g/s] are split by them, errors act in full on every bank with a share above 0
 * @param metering with manifold pressure a leak is measured (it raises idle speed), and recirculated gas is taken for air
 */
export function effectsOf(fault: FaultEffects, banks: number, shares: BankShares, metering: Metering): Effects {
  const out = noEffects();
  const pressure = metering === 'manifold-pressure';
  const total = shares[0] + shares[1];
  for (let bank = 0; bank < bankCount; bank += 1) {
    const flowShare = banks === 1 ? (bank === 0 ? 1 : 0) : (shares[bank] ?? 0) / total;
    const acts = banks === 1 ? (bank === 0 ? 1 : 0) : (shares[bank] ?? 0) > 0 ? 1 : 0;
    for (let point = 0; point < pointCount; point += 1) {
      const cell = cellOf(bank, point);
      const leak = at(fault.unmeteredAir, point) * flowShare;
      const recirculated = at(fault.exhaustGasRecirculated, point);
      const loss = at(fault.fillingLoss, point);
      out.plus[plus.leak + cell] = leak * (pressure ? measuredLeakLeftOver : 1);
      out.times[times.ductKeep + cell] = pressure ? 1 : 1 - at(fault.ductLeak, point);
      out.times[times.meter + cell] = pressure
        ? (1 + at(fault.manifoldPressureError, point)) * (1 + Math.max(0, recirculated)) * (1 + fillingSeenAsAir * loss)
        : 1 + at(fault.airMeterError, point);
      out.times[times.fuel + cell] = 1 + acts * at(fault.fuelError, point);
      out.plus[plus.extraFuel + cell] = at(fault.extraFuel, point) * flowShare;
      const falseAir = acts * at(fault.exhaustAirAtSensor, point);
      out.plus[plus.exhaustAir + cell] = falseAir;
      out.plus[plus.bias + cell] = acts * at(fault.sensorBias, point) + falseAir * (fault.exhaustAirLocality ?? 1);
      out.times[times.firing + cell] = 1 - acts * Math.min(0.95, at(fault.misfireShare, point));
      out.times[times.alive + cell] = acts * (fault.sensorDead ?? 0) > 0.5 ? 0 : 1;
    }
    out.times[times.catalyst + bank] = acts ? (fault.catalystEfficiency ?? 1) : 1;
    out.times[times.storage + bank] = acts ? (fault.oxygenStorage ?? 1) : 1;
    out.times[times.heater + bank] = acts * (fault.heaterDead ?? 0) > 0.5 ? 0 : 1;
    out.times[times.rearHeater + bank] = acts * (fault.rearHeaterDead ?? 0) > 0.5 ? 0 : 1;
    out.times[times.rearAlive + bank] = acts * (fault.rearSensorDead ?? 0) > 0.5 ? 0 : 1;
    out.plus[plus.lag + bank] = acts * (fault.sensorLag ?? 0);
    out.plus[plus.rearBias + bank] = acts * (fault.rearSensorBias ?? 0);
    out.plus[plus.tailpipeAir + bank] = acts * at(fault.exhaustAirAtTailpipe, 0);
  }
  for (let point = 0; point < pointCount; point += 1) {
    out.times[times.filling + point] = 1 - at(fault.fillingLoss, point);
    out.times[times.fuelPressure + point] =
      fault.fuelPressureRatio === undefined ? 1 : at(fault.fuelPressureRatio, point);
    out.times[times.freshCharge + point] = 1 - at(fault.exhaustGasRecirculated, point);
    out.plus[plus.backPressure + point] = at(fault.backPressure, point);
    out.plus[plus.pressureError + point] = at(fault.manifoldPressureError, point);
  }
  out.times[times.fuelUse] = 1 + (fault.fuelUse ?? 0);
  out.times[times.straight] = (fault.sensorsSwapped ?? 0) > 0.5 ? 0 : 1;
  out.plus[plus.idleSpeed] = (fault.idleSpeedOffset ?? 0) * (pressure || (fault.unmeteredAir ?? 0) === 0 ? 1 : 1 / 3);
  out.plus[plus.oil] = fault.oilBurn ?? 0;
  out.plus[plus.coolantBurn] = fault.coolantBurn ?? 0;
  out.plus[plus.coolantReading] = fault.coolantReadingOffset ?? 0;
  out.plus[plus.coolantDrop] = fault.coolantTemperature === undefined ? 0 : warmCoolant - fault.coolantTemperature;
  return out;
}

/** Part of a leak that an engine with manifold-pressure metering does not see (judgement: trims stay within about 5 %). */
const measuredLeakLeftOver = 0.15;

/** Part of a loss of filling that manifold pressure takes for air: back-pressure keeps burnt gas in the cylinder (judgement). */
const fillingSeenAsAir = 0.4;
