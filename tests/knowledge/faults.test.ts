// The fault data as a whole: complete, weighed alike, safe to print, and of the size that physics allows.
import { MF } from 'mf-parser';
import { describe, expect, it } from 'vitest';
import type { Fault } from '../../src/knowledge/schema/fault.ts';
import { readKind } from './read-kind.ts';

const files = readKind('faults');
const faults = files.map((item) => item.entry);
const byId = new Map(faults.map((fault) => [fault.id, fault]));
const rules = new Map(readKind('safety').map(({ entry }) => [entry.id, entry]));
const steps = faults.flatMap((fault) =>
  [...fault.checks, fault.repair].map((step) => ({ fault: fault.id, ...step, text: `${step.step} ${step.expect}` })),
);

/** The causes that an answer may name. */
const vocabulary = `upstream-sensor-slow upstream-sensor-reads-lean upstream-sensor-reads-rich upstream-sensor-dead
  sensor-heater-failed sensor-wiring downstream-sensor-faulty sensors-crossed wrong-sensor-fitted sensor-fouled-carbon
  sensor-fouled-oil sensor-poisoned exhaust-leak-upstream exhaust-leak-downstream catalyst-worn catalyst-clogged
  vacuum-leak intake-duct-leak air-meter-reads-low air-meter-reads-high map-sensor-faulty air-filter-blocked
  pcv-valve-stuck egr-stuck-open purge-valve-stuck-open secondary-air-stuck-on fuel-delivery-weak fuel-pressure-high
  injector-leaking injector-clogged wrong-fuel oil-fuel-diluted coolant-sensor-reads-cold thermostat-stuck-open ecu-fault
  ignition-misfire mechanical-compression cam-timing-off oil-burning coolant-burning idle-control-faulty
  throttle-sensor-faulty crank-or-cam-sensor-faulty egr-not-flowing ignition-timing-off boost-leak
  carburettor-mixture-off power-supply-fault brakes-dragging no-fault-use-pattern outside-the-trade`.split(/\s+/);

function severity(fault: string, name: string): Fault['severities'][number] {
  const found = byId.get(fault)?.severities.find((item) => item.name === name);
  if (!found) throw new Error(`${fault} has no severity ${name}`);
  return found;
}

function atIdle(value: number | { idle: number } | undefined): number {
  return typeof value === 'object' ? value.idle : (value ?? 0);
}

describe('the set of faults', () => {
  it('holds every cause of the vocabulary and no other', () => {
    expect(faults.map((fault) => fault.id).sort()).toEqual([...vocabulary].sort());
  });

  it('keeps one fault in the file of its name', () => {
    for (const { file, entry } of files) expect(file).toBe(`${entry.id}.yaml`);
  });

  it('shares out about a thousand complaints', () => {
    const sum = faults.reduce((total, fault) => total + fault.prior.per1000, 0);
    expect(sum).toBeGreaterThan(980);
    expect(sum).toBeLessThan(1020);
  });

  it('ranks the common causes as the trade does', () => {
    // from: common practice (the heads of every list for mixture codes, check-engine repairs and catalyst codes)
    const ranked = [...faults].sort((a, b) => b.prior.per1000 - a.prior.per1000).map((fault) => fault.id);
    expect(ranked[0]).toBe('vacuum-leak');
    for (const common of ['ignition-misfire', 'air-meter-reads-low', 'catalyst-worn', 'upstream-sensor-slow']) {
      expect(ranked.indexOf(common), common).toBeLessThan(8);
    }
    for (const rare of ['ecu-fault', 'sensors-crossed', 'secondary-air-stuck-on']) {
      expect(ranked.indexOf(rare), rare).toBeGreaterThan(40);
    }
  });

  it.each(faults.map((fault) => [fault.id, fault] as const))(
    '%s weighs its severities and banks to one',
    (_, fault) => {
      expect(fault.severities.reduce((sum, item) => sum + item.weight, 0)).toBeCloseTo(1, 9);
      expect(fault.banks.one + fault.banks.both + (fault.banks.uneven?.weight ?? 0)).toBeCloseTo(1, 9);
    },
  );

  it('shows every symptom by some fault, beyond the engine light that any code lights', () => {
    const symptoms = readKind('symptoms').map(({ entry }) => entry.id);
    expect(symptoms.length).toBeGreaterThan(20);
    for (const symptom of symptoms.filter((id) => id !== 'check-engine-light')) {
      const shownBy = faults.filter((fault) => (fault.symptoms[symptom] ?? 0) > 0);
      expect(shownBy.length, symptom).toBeGreaterThan(0);
    }
  });

  it('leads along the trade’s chains of causes, never round in a circle', () => {
    const goesOn = (from: string, seen: readonly string[]): void => {
      expect(seen, [...seen, from].join(' -> ')).not.toContain(from);
      for (const next of byId.get(from)?.leadsTo ?? []) goesOn(next.fault, [...seen, from]);
    };
    for (const fault of faults) goesOn(fault.id, []);
    // from: common practice (oil ash on sensor and catalyst, misfire heat, coolant glaze, soot from rich running)
    const chains: [string, string][] = [
      ['oil-burning', 'sensor-fouled-oil'],
      ['oil-burning', 'catalyst-worn'],
      ['ignition-misfire', 'catalyst-worn'],
      ['ignition-misfire', 'catalyst-clogged'],
      ['coolant-burning', 'sensor-poisoned'],
      ['injector-leaking', 'oil-fuel-diluted'],
    ];
    for (const [root, later] of chains) {
      const factor = byId.get(root)?.leadsTo.find((item) => item.fault === later)?.times ?? 1;
      expect(factor, `${root} -> ${later}`).toBeGreaterThan(1);
    }
  });
});

describe('the size of effects', () => {
  it('makes vacuum leaks of the size that air flows through holes of 1 to 3 mm', () => {
    // from: isentropic choked flow through a sharp hole (fluid-mechanics handbooks), discharge coefficient 0.75 to 0.85,
    // 101.3 kPa and 293 K outside, gamma 1.4, R 287 J/(kg K)
    const chokedFlow = (diameterMm: number, coefficient: number): number => {
      const area = (Math.PI / 4) * (diameterMm / 1000) ** 2;
      const function_ = Math.sqrt(1.4 / (287 * 293)) * (2 / 2.4) ** 3;
      return coefficient * area * 101_300 * function_ * 1000;
    };
    const rows: [string, number][] = [
      ['pinhole', 1],
      ['small', 1.5],
      ['medium', 2],
      ['large', 2.8],
    ];
    for (const [name, hole] of rows) {
      const flow = atIdle(severity('vacuum-leak', name).effects.unmeteredAir);
      expect(flow, name).toBeGreaterThan(chokedFlow(hole, 0.7));
      expect(flow, name).toBeLessThan(chokedFlow(hole, 0.9));
    }
  });

  it('lets the same hole pass less when the manifold is near the pressure outside', () => {
    for (const { name, effects } of byId.get('vacuum-leak')?.severities ?? []) {
      const air = effects.unmeteredAir;
      if (typeof air !== 'object') throw new Error(name);
      // choked below 53 % of the outside pressure: the same at idle and at 2500 rpm without load (from: the same handbooks)
      expect(air['2500rpm'], name).toBeCloseTo(air.idle, 6);
      expect(air.load, name).toBeLessThan(air.idle / 2);
    }
  });

  it('changes fuel with the square root of the pressure', () => {
    // from: Bernoulli's law for an orifice
    for (const { name, effects } of byId.get('fuel-pressure-high')?.severities ?? []) {
      const ratio = atIdle(effects.fuelPressureRatio as number);
      expect(atIdle(effects.fuelError), name).toBeCloseTo(Math.sqrt(ratio) - 1, 1.5);
    }
    for (const { name, effects } of byId.get('fuel-delivery-weak')?.severities ?? []) {
      const byPressure = Math.sqrt(atIdle(effects.fuelPressureRatio as number)) - 1;
      const error = effects.fuelError;
      if (typeof error !== 'object') throw new Error(name);
      expect(error.idle, name).toBeGreaterThan(byPressure - 0.02);
      expect(error.load, name).toBeLessThan(byPressure + 0.02);
    }
  });

  it('takes E85 in a car mapped for E10 as the lean fuel that its chemistry makes it', () => {
    // from: molar masses by mf-parser 3.9; densities of petrol 0.745 and ethanol 0.789 kg/L (handbook values, from memory)
    const mass = (formula: string): number => new MF(formula).getInfo().mass;
    const airFor = (carbon: number, hydrogen: number, oxygen: number, molar: number): number =>
      ((carbon + hydrogen / 4 - oxygen / 2) * mass('O2')) / 0.2314 / molar;
    const petrol = airFor(1, 1.85, 0, mass('C') + 1.85 * mass('H'));
    const ethanol = airFor(2, 6, 1, mass('C2H6O'));
    const airPerLitre = (share: number): number => (1 - share) * 0.745 * petrol + share * 0.789 * ethanol;
    const error = atIdle(severity('wrong-fuel', 'fuel for flexible cars').effects.fuelError);
    expect(error).toBeCloseTo(airPerLitre(0.85) / airPerLitre(0.1) - 1, 1.7);
  });

  it('lets one dead cylinder of four miss a quarter of its bank’s firings', () => {
    const shares = (byId.get('ignition-misfire')?.severities ?? []).map((item) => atIdle(item.effects.misfireShare));
    expect(Math.max(...shares)).toBeCloseTo(0.25, 9);
  });

  it.each([
    // from: the direction of each fault in every trade text (common practice)
    ['air-meter-reads-low', 'airMeterError', -1],
    ['air-meter-reads-high', 'airMeterError', 1],
    ['fuel-delivery-weak', 'fuelError', -1],
    ['fuel-pressure-high', 'fuelError', 1],
    ['injector-clogged', 'fuelError', -1],
    ['upstream-sensor-reads-lean', 'sensorBias', 1],
    ['upstream-sensor-reads-rich', 'sensorBias', -1],
    ['coolant-sensor-reads-cold', 'coolantReadingOffset', -1],
  ] as const)('%s moves %s in its direction at every severity', (fault, effect, direction) => {
    for (const { name, effects } of byId.get(fault)?.severities ?? []) {
      const value = effects[effect];
      const values = typeof value === 'object' ? [value.cruise, value.load] : [value ?? 0];
      for (const one of values) expect(Math.sign(one), `${name} ${one}`).toBe(direction);
    }
  });
});

describe('checks and repairs', () => {
  it('make up at least one check for every fault, and each tells guilty from innocent', () => {
    for (const fault of faults) {
      expect(fault.checks.length, fault.id).toBeGreaterThan(0);
      for (const check of fault.checks) {
        expect(check.guilty, check.step).toBeDefined();
        expect(check.innocent, check.step).toBeDefined();
        expect(check.guilty!, `${fault.id}: ${check.step}`).toBeGreaterThan(check.innocent! * 1.5);
      }
    }
  });

  it('stand under a rule of the safety table that fits who does them', () => {
    for (const step of steps) {
      const rule = rules.get(step.safety);
      expect(rule, `${step.fault}: ${step.safety}`).toBeDefined();
      expect(step.effort === 'workshop', `${step.fault}: ${step.step}`).toBe(rule!.who === 'workshop');
    }
  });

  it('never have an owner spray or feed anything but the air-meter cleaner', () => {
    for (const step of steps.filter((item) =>
      /spray|propane|carb(urettor)? cleaner|brake cleaner|solvent/i.test(item.text),
    )) {
      expect(['clean-air-meter', 'spray-at-engine', 'wipe-downstream-sensor'], step.text).toContain(step.safety);
    }
  });

  it('have hoses pinched or capped with the engine off and cool', () => {
    for (const step of steps.filter((item) => /\b(pinch|cap the|block the|plug the hose)/i.test(item.text))) {
      if (step.effort === 'workshop') continue;
      expect(step.safety, step.text).toBe('pinch-or-cap-hose');
      expect(step.text).toMatch(/engine off and (cool|cold)/i);
    }
  });

  it('leave the fuel system, back-pressure, recirculation and drained oil to a workshop', () => {
    const workshopOnly =
      /fuel pressure|fuel-pressure|pressure gauge|back-pressure|drain the tank|recirculation|blank(ing)? plate|oil and filter changed/i;
    for (const step of steps.filter((item) => workshopOnly.test(item.text))) {
      expect(step.effort, `${step.fault}: ${step.text}`).toBe('workshop');
    }
  });

  it('keep an owner’s hands off a running engine', () => {
    for (const step of steps.filter((item) => item.safety === 'look-and-listen-running')) {
      expect(step.text, step.fault).not.toMatch(/\b(open|loosen|pull|take off|unplug|touch|try|squeeze)\b/i);
    }
    for (const step of steps.filter(
      (item) => item.effort !== 'workshop' && /\bcap\b|\bunplug|\bpull\b/i.test(item.step),
    )) {
      expect(step.step, step.fault).toMatch(/(engine|key|exhaust) (off|cold)|never open a hot cap/i);
    }
  });

  it('have a passenger read the screen wherever a figure is taken on the road', () => {
    const onTheRoad = steps.filter(
      (item) => /^read /i.test(item.step) && /cruise|under (steady )?load/i.test(item.step),
    );
    expect(onTheRoad.length).toBeGreaterThan(0);
    for (const step of onTheRoad) {
      expect(step.step, step.fault).toMatch(/passenger/i);
      expect(step.safety, step.fault).toBe('drive-and-observe');
    }
  });

  it('never speak of torches, soaking, removing the catalyst for good, or fooling the rear sensor', () => {
    for (const step of steps) expect(step.text).not.toMatch(/torch|soak|simulator|spacer|gut the|delete the/i);
  });

  it('replace a front sensor and never clean it', () => {
    for (const step of steps.filter((item) => item.safety === 'replace-upstream-sensor')) {
      expect(step.text).not.toMatch(/\bclean (it|the sensor|the element)/i);
    }
  });

  it('tell the driver to go gently where the fault itself harms engine, catalyst or people', () => {
    // from: common practice (misfire and rich running overheat the catalyst; leaks of exhaust, coolant and fuel are dangerous)
    for (const harmful of [
      'ignition-misfire',
      'coolant-burning',
      'exhaust-leak-upstream',
      'catalyst-clogged',
      'fuel-pressure-high',
      'injector-leaking',
      'sensors-crossed',
      'brakes-dragging',
    ]) {
      expect(byId.get(harmful)?.driving, harmful).not.toBe('ok');
    }
  });
});
