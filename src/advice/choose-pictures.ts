// The pictures of an answer: what a person would rather look at than read. advise.ts calls it. An answer holds addresses alone: the
// pictures are drawn when somebody asks for them.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Cause, Derived, Picture, Where } from '../vocabulary/answer-document.ts';
import type { Finding, ReadingFinding } from '../vocabulary/findings.ts';
import type { Condition } from '../vocabulary/quantities.ts';
import { describePicture, drawPicture, picturePath, sizeOf } from './pictures/picture.ts';
import { mostBars, type PictureSpec, readPath } from './pictures/picture-names.ts';

const mostPictures = 4;
const mostPlaces = 2;
/** One bar is read faster than looked at. */
const fewestBars = 2;
/** A cause below this is no bar, and a ranking without one that stands out is no picture. Judgement. */
const [worthABar, standsOut] = [0.05, 0.25];

export interface Shown {
  readonly where: readonly Where[];
  readonly derived: readonly Derived[];
  readonly causes: readonly Cause[];
  readonly findings: readonly Finding[];
  /** Index of the post that is being answered. */
  readonly post: number;
}

/** Most useful first: where it is when that was asked, the figures given, the ranking; a place that was not asked for comes last. */
export function choosePictures(shown: Shown, knowledge: Knowledge): Picture[] {
  const nameOfFault = (id: string) => knowledge.faults.byId.get(id)?.name ?? id;
  const picture = (about: Picture['about'], spec: PictureSpec, address = picturePath(spec, nameOfFault)): Picture => ({
    about,
    address,
    alt: describePicture(spec, nameOfFault),
    ...sizeOf(drawPicture(address.slice('/pictures/'.length), nameOfFault) ?? ''),
  });
  const addresses = [...new Set(shown.where.flatMap((place) => place.picture ?? []))].slice(0, mostPlaces);
  const places = addresses.flatMap((address): Picture[] => {
    const spec = readPath(address);
    return spec ? [picture('place', spec, address)] : [];
  });
  const asksWhere = shown.findings.some(
    (finding) => finding.kind === 'request' && finding.about === 'location' && finding.post === shown.post,
  );
  const bars = trimBars(shown.derived);
  const ranked = rankedBars(shown);
  return [
    ...(asksWhere ? places : []),
    ...(bars.length >= fewestBars ? [picture('trims', { kind: 'trims', bars })] : []),
    ...traces(shown).map((spec) => picture('signal', spec)),
    ...(ranked.length >= fewestBars ? [picture('ranking', { kind: 'ranking', bars: ranked })] : []),
    ...(asksWhere ? [] : places.slice(0, 1)),
  ].slice(0, mostPictures);
}

function trimBars(derived: readonly Derived[]) {
  return derived
    .flatMap((result) =>
      result.calculator === 'total-trim' && result.valid && result.result !== null && !result.id.includes('before')
        ? [{ condition: result.when as Condition | null, bank: result.bank, percent: result.result }]
        : [],
    )
    .slice(0, mostBars);
}

/** The front sensor's stretch and the rear one's of a log that came with this post, each in the condition in which it tells most. */
function traces({ findings, post }: Shown): PictureSpec[] {
  const order: ReadonlyArray<Condition | null> = ['2500rpm', 'cruise', 'idle', null, 'load', 'cold'];
  const traced = findings.filter(
    (finding): finding is ReadingFinding & { trace: NonNullable<ReadingFinding['trace']> } =>
      finding.kind === 'reading' &&
      finding.trace !== undefined &&
      finding.quantity === 'sensor-voltage' &&
      finding.car === 0 &&
      finding.time === 'now' &&
      finding.post === post,
  );
  return [1, 2].flatMap((sensor) => {
    const own = traced.filter((finding) => (finding.sensor ?? 1) === sensor);
    const best = order.flatMap((when) => own.find((finding) => finding.trace.when === when) ?? [])[0];
    return best
      ? [
          {
            kind: 'signal' as const,
            bank: best.bank,
            sensor: best.sensor,
            condition: best.trace.when,
            seconds: best.trace.seconds,
            volts: best.trace.values,
          },
        ]
      : [];
  });
}

/** Bars only where something speaks about the state of the car; otherwise they would be priors. */
function rankedBars({ causes, findings }: Shown) {
  const speaks = findings.some(
    (finding) =>
      finding.car === 0 &&
      ['code', 'reading', 'symptom', 'question-answer'].includes(finding.kind) &&
      !(finding.kind === 'reading' && (finding.quantity === 'distance' || finding.quantity === 'displacement')),
  );
  const [first] = causes;
  if (!speaks || !first || first.fault === 'outside-the-trade' || first.probability < standsOut) return [];
  return causes.filter((cause) => cause.probability >= worthABar).slice(0, 5);
}
