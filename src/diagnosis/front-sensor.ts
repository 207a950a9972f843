// Which kind of front sensor a car may have, where a figure means different things on the two kinds: 0.66 V is rich on a two-point
// sensor and lambda 1 on a wide-range one. engine.ts asks; each kind becomes a world of its own.
import type { Finding } from '../vocabulary/findings.ts';
import { isWideVoltage } from './gather-readings.ts';

/** Codes of the pump cell, which only a wide-range sensor has. Source: SAE J2012 (P2237 to P2243, P2251 to P2256, P2626 to P2631). */
const pumpCellCode = /^P2(23[7-9]|24[0-3]|25[1-6]|62[6-9]|63[01])$/;

/** How much likelier such a code makes the wide-range kind (judgement). */
const codeFactor = 20;

type Kinds = ReadonlyArray<{ readonly wide: boolean; readonly weight: number }>;
const twoPoint: Kinds = [{ wide: false, weight: 1 }];

/**
 * @param said   findings about the car, denied ones left out
 * @param family what the engine family says of it, in words: "narrowband to about 2002, wideband after"
 * @returns one kind where nothing read depends on it, else both with probabilities that sum to 1
 */
export function frontSensors(said: readonly Finding[], family: string | null): Kinds {
  const readings = said.filter((finding) => finding.kind === 'reading' && finding.time === 'now');
  const ofFront = readings.filter(
    (finding) =>
      finding.kind === 'reading' &&
      (finding.sensor === null || finding.sensor === 1) &&
      ['sensor-voltage', 'switches', 'pump-current'].includes(finding.quantity),
  );
  if (ofFront.length === 0) return twoPoint;
  const shown = ofFront.some(
    (finding) => finding.kind === 'reading' && (finding.quantity === 'pump-current' || isWideVoltage(finding)),
  );
  if (shown) return [{ wide: true, weight: 1 }];
  const year = said.reduce<number | null>(
    (known, finding) => (finding.kind === 'engine' ? (finding.year ?? known) : known),
    null,
  );
  let odds = oddsOf(family === null ? null : shareByWords(family, year), year);
  if (said.some((finding) => finding.kind === 'code' && pumpCellCode.test(finding.code))) odds *= codeFactor;
  const wide = odds / (1 + odds);
  return [
    { wide: false, weight: 1 - wide },
    { wide: true, weight: wide },
  ];
}

function oddsOf(known: number | null, year: number | null): number {
  const share = known ?? shareByYear(year);
  return share / (1 - share);
}

/** Share of petrol cars with a wide-range front sensor by model year (judgement: few before 2000, most after 2010). */
function shareByYear(year: number | null): number {
  if (year === null) return 0.4;
  if (year < 1999) return 0.04;
  if (year < 2006) return 0.3;
  return year < 2013 ? 0.6 : 0.85;
}

/** The family's words: one kind named, or two with the year of the change between them. */
function shareByWords(words: string, year: number | null): number | null {
  const narrow = words.includes('narrowband');
  const wide = words.includes('wideband');
  if (narrow !== wide) return wide ? 0.93 : 0.05;
  const change = /(19|20)\d\d/.exec(words);
  if (!change || year === null) return null;
  const since = year - Number(change[0]);
  return Math.abs(since) <= 1 ? 0.5 : since > 0 ? 0.9 : 0.07;
}
