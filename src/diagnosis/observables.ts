// What the model can predict of an engine: the observables by name, the scale on which each scatters, and which of them a quantity
// of the vocabulary names. predict.ts predicts them; readings are gathered onto them.
import type { Quantity } from '../vocabulary/quantities.ts';

/** What can be predicted; `swing` is the distance between the extremes of a sensor's voltage. */
export const observableNames = [
  'trim',
  'short-trim',
  'trim-change',
  'front-lambda',
  'front-voltage',
  'front-swing',
  'wide-voltage',
  'wide-voltage-fifth',
  'wide-swing',
  'wide-switches',
  'pump-current',
  'rear-voltage',
  'rear-swing',
  'tail-lambda',
  'co',
  'co2',
  'o2',
  'hc',
  'nox',
  'air-flow',
  'manifold-pressure',
  'idle-speed',
  'coolant',
  'fuel-pressure',
  'heater',
  'switches',
  'edge-time',
  'oil',
  'back-pressure',
  'fuel-use',
  'misfires',
  'compression',
] as const;
export type ObservableName = (typeof observableNames)[number];

/** One predicted quantity at one place. */
export interface Observable {
  readonly name: ObservableName;
  /** 0 or 1. */
  readonly bank: number;
  readonly point: number;
}

/** Predicted values scatter on a logarithmic scale for these. */
const logarithmic: ReadonlySet<ObservableName> = new Set([
  'hc',
  'nox',
  'air-flow',
  'fuel-pressure',
  'heater',
  'switches',
  'wide-switches',
  'edge-time',
  'oil',
  'back-pressure',
  'misfires',
]);
const logOffset: Partial<Record<ObservableName, number>> = {
  hc: 15,
  nox: 30,
  oil: 0.1,
  'back-pressure': 1,
  misfires: 1,
  switches: 0.05,
  'wide-switches': 0.05,
};

/** A reading's value on the scale on which its prediction scatters. */
export function onScale(name: ObservableName, value: number): number {
  return logarithmic.has(name) ? Math.log(Math.max(1e-6, value) + (logOffset[name] ?? 0)) : value;
}

/** The way back from that scale to the quantity's own unit. */
export function offScale(name: ObservableName, value: number): number {
  return logarithmic.has(name) ? Math.max(0, Math.exp(value) - (logOffset[name] ?? 0)) : value;
}

/** The observable that a quantity names, given which sensor it came from; null where the model predicts nothing for it. */
export function observableOf(quantity: Quantity, sensor: number | null): ObservableName | null {
  switch (quantity) {
    case 'total-trim':
    case 'long-term-trim':
      return 'trim';
    case 'short-term-trim':
      return 'short-trim';
    case 'sensor-voltage':
      return sensor !== null && sensor >= 2 ? 'rear-voltage' : 'front-voltage';
    case 'lambda':
      return sensor === 1 ? 'front-lambda' : 'tail-lambda';
    case 'gas-co':
      return 'co';
    case 'gas-co2':
      return 'co2';
    case 'gas-o2':
      return 'o2';
    case 'gas-hc':
      return 'hc';
    case 'gas-nox':
      return 'nox';
    case 'air-flow':
    case 'manifold-pressure':
    case 'fuel-pressure':
    case 'switches':
    case 'edge-time':
    case 'back-pressure':
    case 'compression':
      return quantity;
    case 'pump-current':
      return 'pump-current';
    case 'engine-speed':
      return 'idle-speed';
    case 'coolant-temperature':
      return 'coolant';
    case 'heater-resistance':
      return 'heater';
    case 'oil-consumption':
      return 'oil';
    case 'misfire-count':
      return 'misfires';
    default:
      return null;
  }
}
