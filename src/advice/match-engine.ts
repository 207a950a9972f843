// From what is known of the car to an engine family, or to the rule for its layout. locate.ts calls it; pictures use the result.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { EngineFamily } from '../knowledge/schema/engine-family.ts';
import type { Layout } from '../knowledge/schema/layout.ts';
import type { RegisteredEngine } from '../register/registered-models.ts';
import type { EngineProfile } from './known-engine.ts';

export type BankOneSide = EngineFamily['bankOne'];

/** Where the banks of the engine are, and how sure that is. */
export interface EngineMatch {
  /** `family`: a known engine; `several`: the car came with engines that differ; `layout`: the general rule; `none`: nothing to go on. */
  readonly by: 'family' | 'several' | 'layout' | 'none';
  readonly families: readonly EngineFamily[];
  /** The car's name as the post gives it, in harmless characters; null when not said. */
  readonly vehicle: string | null;
  readonly layout: Layout | null;
  /** Null when not known. */
  readonly banks: number | null;
  readonly bankOne: BankOneSide;
  readonly mounting: 'transverse' | 'longitudinal' | null;
  readonly cylinders: number | null;
  /** Probability that `bankOne` is right. */
  readonly confidence: number;
  readonly source: string;
}

/** Layout entries state their certainty in words; this is the probability that each word stands for. Judgement. */
const certaintyOfLayout = { certain: 0.95, likely: 0.85, ask: 0.5 } as const;

/**
 * Finds the engine. Families that contradict anything said are left out; those left must agree to be taken as known.
 *
 * @param offered engines that the car of that year came with by the register; families that it never had are left out, unless none is left
 */
export function matchEngine(
  profile: EngineProfile,
  knowledge: Knowledge,
  offered: readonly RegisteredEngine[] = [],
): EngineMatch {
  const named = matchFamilies(profile, knowledge);
  const sold = named.filter((family) => offered.some((engine) => isOfFamily(engine, family)));
  const families = sold.length > 0 ? sold : named;
  const vehicle =
    profile.vehicle
      ?.replace(/[^A-Za-z0-9 .-]/g, '')
      .slice(0, 60)
      .trim() || null;
  const first = families[0];
  if (first) {
    const agree = families.every((family) => family.banks === first.banks && family.bankOne === first.bankOne);
    const mountings = new Set(families.map((family) => family.mounting));
    const mounting = profile.mounting ?? (mountings.size === 1 ? first.mounting : null);
    return {
      by: agree ? 'family' : 'several',
      families,
      vehicle,
      layout: chooseLayout({ ...profile, layout: first.layout, cylinders: first.cylinders, mounting }, knowledge),
      banks: agree ? first.banks : null,
      bankOne: agree ? first.bankOne : 'unknown',
      mounting,
      cylinders:
        profile.cylinders ??
        (families.every((family) => family.cylinders === first.cylinders) ? first.cylinders : null),
      confidence: agree ? Math.min(...families.map((family) => family.confidence)) : 0.5,
      source: first.source,
    };
  }
  const layout = chooseLayout(profile, knowledge);
  if (layout) {
    return {
      by: 'layout',
      families: [],
      vehicle,
      layout,
      banks: layout.banks,
      bankOne: layout.side,
      mounting: profile.mounting ?? layout.mounting,
      cylinders: profile.cylinders,
      confidence: certaintyOfLayout[layout.certainty],
      source: layout.source,
    };
  }
  return {
    by: 'none',
    families: [],
    vehicle,
    layout: null,
    banks: null,
    bankOne: 'unknown',
    mounting: profile.mounting,
    cylinders: profile.cylinders,
    confidence: 0,
    source: 'common practice',
  };
}

/** Families whose car or engine name is in the vehicle's name and that contradict nothing said. */
function matchFamilies(profile: EngineProfile, knowledge: Knowledge): EngineFamily[] {
  if (!profile.vehicle) return [];
  const said = ` ${profile.vehicle
    .toLowerCase()
    .replace(/[^a-z0-9.]+/g, ' ')
    .trim()} `;
  const named = (words: readonly string[]) => words.some((word) => said.includes(` ${word} `));
  const byEngine = knowledge.engines.filter((family) => named(family.words) && fits(family, profile));
  return byEngine.length > 0
    ? byEngine
    : knowledge.engines.filter((family) => named(family.cars) && fits(family, profile));
}

/** Model years in the tables are about two years out either way. */
const yearSlack = 1;
/** Badges round engine sizes to a tenth of a litre. */
const sizeSlack = 0.08;

function isOfFamily(engine: RegisteredEngine, family: EngineFamily): boolean {
  return (
    (family.cylinders === null || family.cylinders === engine.cylinders) &&
    (family.displacements.length === 0 ||
      family.displacements.some((size) => Math.abs(size - engine.displacement) <= sizeSlack))
  );
}

function fits(family: EngineFamily, profile: EngineProfile): boolean {
  const { layout, cylinders, displacement, mounting, year } = profile;
  return (
    (layout === null || layout === family.layout) &&
    (cylinders === null || family.cylinders === null || cylinders === family.cylinders) &&
    (mounting === null || family.mounting === null || mounting === family.mounting) &&
    (displacement === null ||
      family.displacements.length === 0 ||
      family.displacements.some((size) => Math.abs(size - displacement) <= sizeSlack)) &&
    (year === null ||
      family.years === null ||
      (year >= family.years[0] - yearSlack && year <= family.years[1] + yearSlack))
  );
}

/** The most specific layout rule that fits; null when the layout is neither said nor to be had from the cylinders. */
function chooseLayout(profile: EngineProfile, knowledge: Knowledge): Layout | null {
  const layout = profile.layout ?? layoutFromCylinders(profile);
  if (!layout) return null;
  const score = (entry: Layout) =>
    (entry.mounting !== null ? 1 : 0) + (profile.cylinders !== null && entry.cylinders.length > 0 ? 2 : 0);
  return (
    [...knowledge.layouts]
      .filter(
        (entry) =>
          entry.layout === layout &&
          (entry.mounting === null || entry.mounting === profile.mounting) &&
          (entry.cylinders.length === 0 || (profile.cylinders !== null && entry.cylinders.includes(profile.cylinders))),
      )
      .sort((a, b) => score(b) - score(a) || (a.id < b.id ? -1 : 1))[0] ?? null
  );
}

/** Fours and fives are in line but for the flat ones, which name themselves; eights and tens are V engines. Sixes are not told. */
function layoutFromCylinders(profile: EngineProfile): Layout['layout'] | null {
  const { cylinders } = profile;
  if (cylinders === null || /subaru|porsche/i.test(profile.vehicle ?? '')) return null;
  if (cylinders <= 5) return 'inline';
  return cylinders === 8 || cylinders === 10 ? 'v' : null;
}
