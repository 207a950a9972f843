// Scores how well intake reads posts against labels: precision and recall for codes, readings, symptoms, denials, engine and work
// done. Pure: accuracy.ts and score-reading.ts give it labelled posts and the findings read from them.
import type { Finding, ReadingFinding } from '../../src/vocabulary/findings.ts';

/** What a post says, as a person labelled it; `value` and `unit` as typed. */
export interface ReadingLabels {
  readonly codes: readonly string[];
  readonly readings: ReadonlyArray<{
    readonly quantity: string;
    readonly bank: number | null;
    readonly sensor: number | null;
    readonly value: number;
    readonly unit: string;
    readonly when: string | null;
  }>;
  readonly symptoms_present: readonly string[];
  readonly symptoms_denied: readonly string[];
  readonly engine: {
    readonly layout: string | null;
    readonly cylinders: number | null;
    readonly displacement: number | null;
    readonly mounting: string | null;
    readonly fuel: string | null;
    readonly vehicle: string | null;
    readonly year: number | null;
  };
  readonly work_done: readonly string[];
}

export interface LabelledPost {
  readonly id: string;
  readonly labels: ReadingLabels;
  readonly findings: readonly Finding[];
}

/** Counts of one kind of finding. */
export interface Tally {
  right: number;
  /** Labelled and not read, or read wrongly. */
  missed: string[];
  /** Read and not labelled. Labels are not complete for readings: these are to be looked at, not all mistakes. */
  extra: string[];
}

export const scoredKinds = [
  'codes',
  'readings',
  'readings in full',
  'symptoms',
  'denials',
  'inverted denials',
  'engine',
  'work done',
] as const;
export type ScoredKind = (typeof scoredKinds)[number];
export type ReadingScore = Record<ScoredKind, Tally>;

/** Scores all posts together. */
export function scoreReading(posts: readonly LabelledPost[]): ReadingScore {
  const score = Object.fromEntries(
    scoredKinds.map((kind) => [kind, { right: 0, missed: [], extra: [] }]),
  ) as unknown as ReadingScore;
  for (const post of posts) {
    scoreCodes(post, score.codes);
    scoreReadings(post, score.readings, score['readings in full']);
    scoreSymptoms(post, score.symptoms, score.denials, score['inverted denials']);
    scoreEngine(post, score.engine);
    scoreWork(post, score['work done']);
  }
  return score;
}

export const recall = (tally: Tally): number =>
  tally.right + tally.missed.length === 0 ? 1 : tally.right / (tally.right + tally.missed.length);
export const precision = (tally: Tally): number =>
  tally.right + tally.extra.length === 0 ? 1 : tally.right / (tally.right + tally.extra.length);

function match(id: string, wanted: readonly string[], got: readonly string[], tally: Tally): void {
  const left = [...got];
  for (const item of wanted) {
    const at = left.indexOf(item);
    if (at >= 0) {
      tally.right += 1;
      left.splice(at, 1);
    } else tally.missed.push(`${id} ${item}`);
  }
  tally.extra.push(...left.map((item) => `${id} ${item}`));
}

function scoreCodes({ id, labels, findings }: LabelledPost, tally: Tally): void {
  const got = new Set(
    findings.flatMap((finding) => (finding.kind === 'code' && finding.stated !== 'denied' ? [finding.code] : [])),
  );
  // Labels hold codes as typed: 0420 is P0420.
  const wanted = labels.codes.map((code) => code.toUpperCase().replace(/^(0\d{3})$/, 'P$1'));
  match(id, [...new Set(wanted)], [...got], tally);
}

/** "1,98" -> 1.98, "275,000" -> 275000, "-2 and -4" -> -2, -4. */
function typedNumbers(typed: string): number[] {
  return (
    typed
      .replace(/(\d),(?=\d{3}(\D|$))/g, '$1')
      .replaceAll(',', '.')
      .match(/[+-]?\d*\.?\d+/g) ?? []
  ).flatMap((text) => [Number(text), Math.abs(Number(text))]);
}

/** A label is met by a finding of its quantity whose typed number, an end of its range, or its value is the label's. */
function meets(finding: ReadingFinding, label: ReadingLabels['readings'][number]): boolean {
  if (finding.quantity !== label.quantity) return false;
  const scale = /^k/i.test(label.unit) ? [1, 1000, 0.001] : [1];
  const numbers = [...typedNumbers(finding.original.value), finding.value, ...(finding.range ?? [])];
  const wanted = label.value;
  return (
    numbers.some((number) =>
      scale.some((factor) => Math.abs(number * factor - wanted) <= 1e-6 * Math.max(1, Math.abs(wanted))),
    ) &&
    (label.value >= 0 || finding.value < 0 || (finding.range?.[0] ?? 0) < 0)
  );
}

function scoreReadings({ id, labels, findings }: LabelledPost, tally: Tally, full: Tally): void {
  const readings = findings.filter((finding): finding is ReadingFinding => finding.kind === 'reading');
  const used = new Set<string>();
  for (const label of labels.readings) {
    const text = `${id} ${label.quantity} ${label.value} ${label.unit} b${label.bank ?? '-'}s${label.sensor ?? '-'} ${label.when ?? ''}`;
    const met = readings.filter(
      (finding) => meets(finding, label) && (finding.range !== null || !used.has(finding.id)),
    );
    const exact = met.find(
      (finding) =>
        finding.bank === label.bank &&
        (finding.sensor === label.sensor || label.sensor === null) &&
        finding.when === label.when,
    );
    const any = exact ?? met[0];
    if (!any) {
      tally.missed.push(text);
      full.missed.push(text);
      continue;
    }
    used.add(any.id);
    tally.right += 1;
    if (exact) full.right += 1;
    else full.missed.push(`${text}, read as b${any.bank ?? '-'}s${any.sensor ?? '-'} ${any.when ?? ''}`);
  }
  const extra = readings
    .filter((finding) => !used.has(finding.id))
    .map(
      (finding) =>
        `${id} ${finding.quantity} ${finding.value} "${finding.quote}" b${finding.bank ?? '-'}s${finding.sensor ?? '-'} ${finding.when ?? ''} ${finding.time}`,
    );
  tally.extra.push(...extra);
  full.extra.push(...extra);
}

function scoreSymptoms({ id, labels, findings }: LabelledPost, present: Tally, denied: Tally, inverted: Tally): void {
  const of = (stated: string) => [
    ...new Set(
      findings.flatMap((finding) =>
        finding.kind === 'symptom' && finding.stated === stated && finding.car === 0 ? [finding.symptom] : [],
      ),
    ),
  ];
  const said = [...new Set([...of('present'), ...of('unsure')])];
  const not = of('denied').filter((symptom) => !said.includes(symptom));
  match(id, [...new Set(labels.symptoms_present)], said, present);
  match(id, [...new Set(labels.symptoms_denied)], not, denied);
  for (const symptom of labels.symptoms_denied) {
    if (said.includes(symptom) && !labels.symptoms_present.includes(symptom))
      inverted.missed.push(`${id} ${symptom} denied, read as present`);
    else inverted.right += 1;
  }
  for (const symptom of labels.symptoms_present)
    if (not.includes(symptom)) inverted.missed.push(`${id} ${symptom} present, read as denied`);
}

function scoreEngine({ id, labels, findings }: LabelledPost, tally: Tally): void {
  const engines = findings.flatMap((finding) => (finding.kind === 'engine' && finding.car === 0 ? [finding] : []));
  for (const field of ['layout', 'cylinders', 'displacement', 'mounting', 'fuel', 'year'] as const) {
    const wanted = labels.engine[field];
    const got = engines.map((engine) => engine[field]).filter((value) => value !== null);
    if (wanted !== null) {
      if (
        got.some((value) =>
          typeof value === 'number' && typeof wanted === 'number' ? Math.abs(value - wanted) < 0.06 : value === wanted,
        )
      )
        tally.right += 1;
      else tally.missed.push(`${id} ${field} ${wanted}${got.length > 0 ? `, read as ${got.join(' ')}` : ''}`);
    } else if (got.length > 0) tally.extra.push(`${id} ${field} ${got.join(' ')}`);
  }
  const wanted = labels.engine.vehicle;
  const names = engines.flatMap((engine) => (engine.vehicle === null ? [] : [plainName(engine.vehicle)]));
  if (wanted !== null) {
    // Every word of the label's model must be there; the maker may be spelt differently.
    const words = plainName(wanted).split(' ');
    if (
      names.some(
        (name) =>
          words.slice(1).every((word) => ` ${name} `.includes(` ${word} `)) ||
          name.replaceAll(' ', '').includes(words.slice(1).join('')),
      )
    )
      tally.right += 1;
    else tally.missed.push(`${id} vehicle ${wanted}${names.length > 0 ? `, read as ${names.join(' / ')}` : ''}`);
  } else if (names.length > 0) tally.extra.push(`${id} vehicle ${names.join(' / ')}`);
}

function plainName(name: string): string {
  return name.toLowerCase().replaceAll('-', '').replaceAll('volkswagen', 'vw');
}

/**
 * Labels of work done are free text, the action first: an item is met by a finding of its action and of a part that shares a
 * word, once the words that the parts of knowledge/parts stand for are written as these (a plug wire is an ignition lead).
 */
function scoreWork({ id, labels, findings }: LabelledPost, tally: Tally): void {
  const left = findings.flatMap((finding) => (finding.kind === 'work-done' ? [finding] : []));
  for (const label of labels.work_done) {
    const [action, ...rest] = label.toLowerCase().split(' ');
    const at = left.findIndex(
      (finding) => sameAction(action!, finding.action) && samePart(rest.join(' '), finding.part),
    );
    if (at >= 0) {
      tally.right += 1;
      left.splice(at, 1);
    } else tally.missed.push(`${id} ${label}`);
  }
  tally.extra.push(...left.map((finding) => `${id} ${finding.action} ${finding.part} "${finding.quote}"`));
}

const actionsAlike: Readonly<Record<string, readonly string[]>> = {
  cleared: ['reset'],
  removed: ['removed', 'disconnected'],
  patched: ['repaired'],
  adjusted: ['repaired', 'reset'],
  updated: ['replaced', 'reset', 'repaired'],
  refitted: ['repaired', 'swapped'],
  repaired: ['repaired', 'replaced'],
};

function sameAction(label: string, action: string): boolean {
  return label === action || (actionsAlike[label]?.includes(action) ?? false);
}

function samePart(label: string, part: string): boolean {
  const alike = (text: string) =>
    text
      .toLowerCase()
      .replaceAll('-', ' ')
      .replace(/catalytic converter|converter|\bcat\b/g, 'catalyst')
      .replace(/rear oxygen|downstream/g, 'downstream')
      .replace(/\bo2\b|\blambda\b/g, 'oxygen')
      .replace(/(?:upstream|downstream|rear) sensors?\b/g, '$& oxygen')
      .replace(/(?:plug|spark plug) wires?/g, 'ignition leads')
      .replace(/\brotor\b|distributor cap/g, 'distributor')
      .replace(/\bradiator\b/g, 'cooling system')
      .replace(/(?:crankshaft|camshaft|crank|cam) sensor/g, 'cam crank sensor')
      .replace(/\biac gasket\b/g, 'intake gasket')
      .replace(/\biac\b|\bidle valve\b/g, 'throttle body')
      .replace(/vacuum leak/g, 'vacuum hose')
      .replace(/fuel pressure$/g, 'fuel pump')
      .replace(/coolant temperature/g, 'coolant')
      .replace(/adaptations|learned values/g, 'codes')
      .replace(/choke vacuum break/g, 'carburettor')
      .replace(/fuel lines?/g, 'fuel')
      .replace(/\bharness\b/g, 'wiring')
      .replace(/\bsoftware\b/g, 'control unit')
      .replace(/mass air flow|\bmaf\b/g, 'air meter')
      .replace(/fault codes|codes/g, 'codes memory')
      .split(/[^a-z0-9]+/)
      .map((word) => word.replace(/s$/, ''))
      .filter((word) => word.length > 1 && !/^(sensor|valve|the|of|for|new|system)$/.test(word));
  const words = new Set(alike(part));
  const wanted = alike(label);
  return wanted.length === 0 || wanted.some((word) => words.has(word));
}
