// What trouble codes say about the hypotheses: those told of, those of the other bank that are missing, and what a complete list
// leaves out. compile-findings.ts calls it.
import type { CodeFinding, Finding } from '../vocabulary/findings.ts';
import { bankOfCode, codeOnBank, weighedCode } from './code-counterparts.ts';
import { backgroundOfCode, codeFromState, monitorsOf } from './code-setting.ts';
import type { EngineView } from './engine.ts';
import type { Hypotheses } from './hypotheses.ts';
import { keepRow, type Rows } from './keep-row.ts';
import type { State } from './state.ts';
import { strengthOf } from './strength.ts';
import type { FactorTerm, Term, YesNoTerm } from './terms.ts';

/** What the codes told of, those of the other bank, and a complete list say. */
export function codeTerms(
  now: readonly Finding[],
  codes: readonly CodeFinding[],
  hypotheses: Hypotheses,
  states: readonly State[],
  engine: EngineView,
): Term[] {
  return [
    ...toldTerms(codes, hypotheses, states, engine.banks),
    ...otherBankTerms(codes, hypotheses, states, engine),
    ...codeListTerms(now, codes, hypotheses, states, engine.banks),
  ];
}

function toldTerms(
  codes: readonly CodeFinding[],
  hypotheses: Hypotheses,
  states: readonly State[],
  banks: number,
): YesNoTerm[] {
  const groups = new Map<string, CodeFinding[]>();
  for (const finding of codes) {
    const key = `${weighedCode(finding.code)} ${finding.stated === 'denied'}`;
    groups.set(key, [...(groups.get(key) ?? []), finding]);
  }
  return [...groups.values()].flatMap((group): YesNoTerm[] => {
    const code = weighedCode(group[0]!.code);
    const ownAbsences = codeAbsences(code, hypotheses, states, banks);
    // A code that no fault sets says nothing here: a maker's own number, or another trade's.
    if (monitorsOf(code).length === 0 && ownAbsences.every((absence) => absence > 0.999)) return [];
    const term: YesNoTerm = {
      kind: 'yes-no',
      findings: group.map((finding) => finding.id),
      strength: Math.max(...group.map(strengthOf)),
      about: { code },
      backgroundAbsence: 1 - backgroundOfCode(code),
      ownAbsence: ownAbsences,
      drivers: monitorsOf(code),
      present: group[0]!.stated !== 'denied',
      noticed: 0.9,
    };
    return [term];
  });
}

/** Codes that come on both banks alike where the cause acts on both. */
const twinned = ['P0171', 'P0172', 'P0420', 'P0133'];

/** On an engine known to have two banks, a code told of one bank only says that the other one's is not stored. */
function otherBankTerms(
  codes: readonly CodeFinding[],
  hypotheses: Hypotheses,
  states: readonly State[],
  engine: EngineView,
): YesNoTerm[] {
  if (engine.banks < 2 || !engine.banksKnown) return [];
  const told = new Map(codes.map((finding) => [weighedCode(finding.code), finding]));
  return twinned.flatMap((code): YesNoTerm[] => {
    const [one, two] = [told.get(code), told.get(codeOnBank(code, 1))];
    const finding = one ?? two;
    if (!finding || (one && two) || finding.stated !== 'present') return [];
    const missing = one ? codeOnBank(code, 1) : code;
    return [
      {
        kind: 'yes-no',
        findings: [finding.id],
        strength: strengthOf(finding),
        about: { code: missing },
        backgroundAbsence: 1 - backgroundOfCode(missing),
        ownAbsence: codeAbsences(missing, hypotheses, states, engine.banks),
        drivers: monitorsOf(missing),
        present: false,
        noticed: otherBankTold,
      },
    ];
  });
}

/** How surely a writer who tells of one bank's code would tell of the other's (judgement). */
const otherBankTold = 0.55;

const codeRows: Rows = new WeakMap();

/** Absences of a code over all singles; the same for every post, so kept beside the hypotheses. */
function codeAbsences(code: string, hypotheses: Hypotheses, states: readonly State[], banks: number): Float64Array {
  return keepRow(codeRows, hypotheses, code, () =>
    Float64Array.from(states, (state, single) => codeAbsence(code, hypotheses, single, state, banks)),
  );
}

/** Probability that one single leaves a code out, apart from what follows from the correction. */
function codeAbsence(code: string, hypotheses: Hypotheses, single: number, state: State, banks: number): number {
  const { fault, bank } = hypotheses.singles[single]!;
  const listed = hypotheses.faults[fault]!.codes;
  const named = bankOfCode(code);
  // A fault on one bank sets its codes there alone; the file gives them for bank 1.
  const elsewhere = named !== null && banks > 1 && bank !== null && bank !== named;
  let shown = 0;
  if (!elsewhere) {
    for (const [id, probability] of Object.entries(listed)) {
      if (weighedCode(named === null ? id : codeOnBank(id, named)) === code) shown = Math.max(shown, probability);
    }
  }
  return Math.max(0.001, (1 - shown) * (1 - codeFromState(state, code)));
}

/** Absence of a code, whichever bank's number it bears: a fault of bank 2 sets that bank's. */
export function codeAbsenceAnywhere(
  code: string,
  hypotheses: Hypotheses,
  single: number,
  state: State,
  banks: number,
): number {
  const bank = hypotheses.singles[single]!.bank ?? 0;
  return codeAbsence(codeOnBank(code, bank), hypotheses, single, state, banks);
}

/** What a complete list leaves out speaks against the faults that usually set something. */
function codeListTerms(
  now: readonly Finding[],
  codes: readonly CodeFinding[],
  hypotheses: Hypotheses,
  states: readonly State[],
  banks: number,
): Term[] {
  const list = now.find((finding) => finding.kind === 'code-list' && finding.complete && finding.stated !== 'unsure');
  if (!list) return [];
  const given = new Set(codes.filter((code) => code.stated === 'present').map((code) => weighedCode(code.code)));
  const factor = Float64Array.from(states, (state, single) => {
    const listed = hypotheses.faults[hypotheses.singles[single]!.fault]!.codes;
    const expected = new Set([
      ...Object.keys(listed).map(weighedCode),
      'P0300',
      'P0301',
      'P0420',
      'P0133',
      'P0135',
      'P0141',
    ]);
    let absent = 1;
    for (const code of expected) {
      if (given.has(code) || given.has(codeOnBank(code, 1)) || monitorsOf(code).length > 0) continue;
      absent *= 1 - absenceWeight * (1 - codeAbsenceAnywhere(code, hypotheses, single, state, banks));
    }
    return absent;
  });
  const term: FactorTerm = {
    kind: 'factor',
    findings: [list.id],
    strength: strengthOf(list),
    about: { codeList: true },
    factor,
  };
  const silent = ['P0171', 'P0172', ...(banks > 1 ? ['P0174', 'P0175'] : [])].filter((code) => !given.has(code));
  return [
    term,
    ...silent.map((code): YesNoTerm => {
      return {
        kind: 'yes-no',
        findings: [list.id],
        strength: strengthOf(list),
        about: { code },
        backgroundAbsence: 1,
        ownAbsence: new Float64Array(states.length).fill(1),
        drivers: monitorsOf(code),
        present: false,
        noticed: absenceWeight,
      };
    }),
  ];
}

/** How far a missing code can be trusted: it may have been cleared, or need two drives (judgement). */
const absenceWeight = 0.75;
