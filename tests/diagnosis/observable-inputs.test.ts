import { describe, expect, it } from 'vitest';
import { modelCase } from '../../src/diagnosis/case-model.ts';
import { driveMonitors, mixtureDriverCount } from '../../src/diagnosis/code-setting.ts';
import { type Observable, observableNames } from '../../src/diagnosis/observables.ts';
import { predict } from '../../src/diagnosis/predict.ts';
import { driveSymptoms } from '../../src/diagnosis/symptom-drivers.ts';
import { engine, inlineTwoLitre, knowledge, vSix } from './said.ts';

const worlds = [
  modelCase([vSix], knowledge),
  modelCase([inlineTwoLitre], knowledge),
  modelCase([engine({ layout: 'v', cylinders: 6, airMetering: 'manifold-pressure' })], knowledge),
].map((model) => ({ banks: model.engine.banks, world: model.worlds[0]! }));

/** Every 7th pair of singles, each with the healthy engine too: enough to meet every two kinds of fault. */
function* somePairs(nobody: number): Generator<readonly [number, number]> {
  for (let index = 0; index < nobody * nobody; index += 7) yield [index % nobody, Math.floor(index / nobody)];
  for (let single = 0; single <= nobody; single += 1) yield [single, nobody];
}

describe('what a prediction depends on', () => {
  // A predictor that reads an effect which observable-inputs.ts does not list for it gives another figure in the full state.
  it.each(observableNames)('is listed whole for %s', (name) => {
    for (const { banks, world } of worlds) {
      const observables: Observable[] = Array.from({ length: banks * 4 }, (_, index) => ({
        name,
        bank: Math.floor(index / 4),
        point: index % 4,
      }));
      const columns = observables.map((observable) => world.table.columns([observable])[0]!);
      const expected = { middle: 0, spread: 1 };
      for (const [first, second] of somePairs(world.table.nobody)) {
        const state = world.table.stateOf(first, second);
        observables.forEach((observable, index) => {
          predict(state, observable, world.around, expected);
          const { classes, middle, spread } = columns[index]!;
          const at = classes.of[first]! * classes.count + classes.of[second]!;
          const label = `${name} ${observable.bank} ${observable.point}: ${first} with ${second}`;
          // Products and sums in another order: equal to the last digits.
          if (!(Math.abs(middle[at]! - expected.middle) < 1e-9 && Math.abs(spread[at]! - expected.spread) < 1e-9))
            expect.fail(`${label}: ${middle[at]} for ${expected.middle}, ${spread[at]} for ${expected.spread}`);
        });
      }
    }
  });

  it('is listed whole for every mixture driver', () => {
    for (const { world } of worlds) {
      const driven = new Float64Array(mixtureDriverCount);
      const grids = Array.from(driven.keys(), (driver) => world.table.driver(driver));
      for (const [first, second] of somePairs(world.table.nobody)) {
        const state = world.table.stateOf(first, second);
        driveSymptoms(state, driven);
        driveMonitors(state, driven);
        grids.forEach(({ classes, value }, driver) => {
          const at = classes.of[first]! * classes.count + classes.of[second]!;
          if (!(Math.abs(value[at]! - driven[driver]!) < 1e-9))
            expect.fail(`driver ${driver}: ${first} with ${second}: ${value[at]} for ${driven[driver]}`);
        });
      }
    }
  });
});
