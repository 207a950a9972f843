// What the case knows of the engine and car, put together from every statement about it. case-view.ts calls it.
import type { EngineFinding, Finding } from '../vocabulary/findings.ts';

/** Null where nobody said it. */
export type EngineProfile = Pick<
  EngineFinding,
  'layout' | 'cylinders' | 'displacement' | 'mounting' | 'fuel' | 'vehicle' | 'year'
>;

/** The latest statement on each point wins; denied ones and those about an earlier engine are left out. */
export function knownEngine(findings: readonly Finding[]): EngineProfile {
  const profile: EngineProfile = {
    layout: null,
    cylinders: null,
    displacement: null,
    mounting: null,
    fuel: null,
    vehicle: null,
    year: null,
  };
  const said = findings.filter(
    (finding): finding is EngineFinding =>
      finding.kind === 'engine' && finding.time === 'now' && finding.stated !== 'denied' && finding.car === 0,
  );
  for (const finding of said) {
    profile.layout = finding.layout ?? profile.layout;
    profile.cylinders = finding.cylinders ?? profile.cylinders;
    profile.displacement = finding.displacement ?? profile.displacement;
    profile.mounting = finding.mounting ?? profile.mounting;
    profile.fuel = finding.fuel ?? profile.fuel;
    profile.vehicle = finding.vehicle ?? profile.vehicle;
    profile.year = finding.year ?? profile.year;
  }
  return profile;
}
