// The quantities that a reading may have, each in its one unit, with the range that physics and instruments allow.
// Intake converts to these units at the door; everything behind it reads them as they stand.

/** What a quantity is: its unit, the range that a true reading can have, and how many decimals are worth showing. */
export interface QuantityDefinition {
  /** Unit of every value inside the program. */
  readonly unit: string;
  /** Lowest and highest value that a real instrument on a real car can show; outside is a conflict, not a finding. */
  readonly possible: readonly [number, number];
  readonly decimals: number;
  /** Plain name for replies. */
  readonly name: string;
}

export const quantities = {
  'short-term-trim': { unit: '%', possible: [-100, 100], decimals: 1, name: 'short-term fuel trim' },
  'long-term-trim': { unit: '%', possible: [-100, 100], decimals: 1, name: 'long-term fuel trim' },
  'total-trim': { unit: '%', possible: [-100, 150], decimals: 1, name: 'total fuel trim' },
  'sensor-voltage': { unit: 'V', possible: [-1, 16], decimals: 2, name: 'sensor voltage' },
  'pump-current': { unit: 'mA', possible: [-128, 128], decimals: 3, name: 'pump current' },
  lambda: { unit: '1', possible: [0.5, 12], decimals: 3, name: 'lambda' },
  'air-fuel-ratio': { unit: 'kg/kg', possible: [5, 60], decimals: 1, name: 'air-fuel ratio' },
  'gas-co': { unit: '% vol', possible: [0, 15], decimals: 2, name: 'CO' },
  'gas-co2': { unit: '% vol', possible: [0, 20], decimals: 1, name: 'CO2' },
  'gas-o2': { unit: '% vol', possible: [0, 25], decimals: 2, name: 'O2' },
  'gas-hc': { unit: 'ppm vol', possible: [0, 30_000], decimals: 0, name: 'HC' },
  'gas-nox': { unit: 'ppm vol', possible: [0, 10_000], decimals: 0, name: 'NOx' },
  'air-flow': { unit: 'g/s', possible: [0, 700], decimals: 2, name: 'air flow' },
  'manifold-pressure': { unit: 'kPa', possible: [5, 400], decimals: 0, name: 'manifold pressure' },
  'engine-speed': { unit: '1/min', possible: [0, 20_000], decimals: 0, name: 'engine speed' },
  'vehicle-speed': { unit: 'km/h', possible: [0, 450], decimals: 0, name: 'road speed' },
  'coolant-temperature': { unit: 'degC', possible: [-50, 215], decimals: 0, name: 'coolant temperature' },
  'intake-temperature': { unit: 'degC', possible: [-50, 215], decimals: 0, name: 'intake air temperature' },
  'engine-load': { unit: '%', possible: [0, 400], decimals: 0, name: 'engine load' },
  'throttle-position': { unit: '%', possible: [0, 110], decimals: 1, name: 'throttle position' },
  'fuel-pressure': { unit: 'kPa', possible: [0, 40_000], decimals: 0, name: 'fuel pressure' },
  'heater-resistance': { unit: 'ohm', possible: [0, 10_000_000], decimals: 1, name: 'heater resistance' },
  'battery-voltage': { unit: 'V', possible: [0, 60], decimals: 1, name: 'battery voltage' },
  'fuel-consumption': { unit: 'L/100 km', possible: [0.5, 120], decimals: 1, name: 'fuel consumption' },
  distance: { unit: 'km', possible: [0, 3_000_000], decimals: 0, name: 'distance' },
  'catalyst-temperature': { unit: 'degC', possible: [-50, 1400], decimals: 0, name: 'catalyst temperature' },
  'ignition-advance': { unit: 'deg', possible: [-64, 64], decimals: 1, name: 'ignition advance' },
  switches: { unit: '1/s', possible: [0, 50], decimals: 1, name: 'switches per second' },
  'oil-consumption': { unit: 'L/1000 km', possible: [0, 20], decimals: 2, name: 'oil consumption' },
  displacement: { unit: 'L', possible: [0.05, 30], decimals: 1, name: 'displacement' },
  compression: { unit: 'kPa', possible: [0, 6000], decimals: 0, name: 'compression' },
  'back-pressure': { unit: 'kPa', possible: [0, 300], decimals: 1, name: 'exhaust back-pressure' },
  'edge-time': { unit: 'ms', possible: [0, 60_000], decimals: 0, name: 'edge time' },
  'misfire-count': { unit: '1', possible: [0, 1_000_000], decimals: 0, name: 'misfire count' },
  'gas-mass': { unit: 'g/km', possible: [0, 1000], decimals: 2, name: 'gas by distance' },
} as const satisfies Record<string, QuantityDefinition>;

export type Quantity = keyof typeof quantities;
export const quantityIds = Object.keys(quantities) as [Quantity, ...Quantity[]];

/** Conditions under which something was read or noticed; absent when the writer did not say. */
export const conditions = [
  'cold',
  'idle',
  '2500rpm',
  'cruise',
  'load',
  'cruise-steady',
  'overrun',
  'key-on',
  'after-refuelling',
] as const;
export type Condition = (typeof conditions)[number];
