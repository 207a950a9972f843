// Findings -> terms: what each says about the hypotheses of one world. Decides what counts, how much, and what is said twice.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { CodeFinding, Finding, ReadingFinding, SymptomFinding } from '../vocabulary/findings.ts';
import { weighedCode } from './code-counterparts.ts';
import { mixtureDriverCount, monitorsOf } from './code-setting.ts';
import { codeAbsenceAnywhere, codeTerms } from './code-terms.ts';
import type { EngineView } from './engine.ts';
import { factorTerms } from './factor-terms.ts';
import { gatherReadings } from './gather-readings.ts';
import type { Hypotheses } from './hypotheses.ts';
import { keepRow, type Rows } from './keep-row.ts';
import type { SettledTable } from './settled-table.ts';
import { leftUnsaid, silenceStrength } from './silence.ts';
import { newState, type State } from './state.ts';
import { strengthOf } from './strength.ts';
import { otherSymptom, ownAbsence, symptomModels } from './symptom-drivers.ts';
import type { FactorTerm, Term, YesNoTerm } from './terms.ts';

/**
 * @param findings the case's findings
 * @param table    of the world: what each fault alone settles at
 * @param wide     true when the front sensor is taken to be a wide-range one
 * @returns every term that bears on the hypotheses, in the order of the findings
 */
export function compileFindings(
  findings: readonly Finding[],
  hypotheses: Hypotheses,
  table: SettledTable,
  engine: EngineView,
  knowledge: Knowledge,
  wide = false,
): Term[] {
  const { banks } = engine;
  const own = findings.filter((finding) => finding.car === 0);
  const now = own.filter((finding) => finding.time === 'now');
  const states = hypotheses.singles.map((single) => aloneState(single.effects, banks));
  const codes = now.filter((finding) => finding.kind === 'code');
  const symptoms = now.filter((finding) => finding.kind === 'symptom');
  const readings = now.filter(
    (finding): finding is ReadingFinding => finding.kind === 'reading' && finding.stated !== 'denied',
  );
  const tested = symptoms.some((finding) => finding.symptom === 'failed-emission-test');
  return [
    ...codeTerms(now, codes, hypotheses, states, engine),
    ...symptomTerms(symptoms, codes, readings, hypotheses, states, banks, knowledge),
    ...gatherReadings(readings, banks, engine.displacementKnown ? engine.displacement : null, strengthOf, tested, wide),
    ...silenceTerm(own, hypotheses, table, states, banks, knowledge),
    ...factorTerms(own, hypotheses, knowledge, (symptom, finding) =>
      symptomTerm(symptom, [finding.id], true, hypotheses, states, banks, knowledge, strengthOf(finding)),
    ),
  ];
}

/** The fault's own coefficients seen as a state; what does not depend on the mixture can be read from it unsettled. */
function aloneState(effects: { times: Float64Array; plus: Float64Array }, banks: number): State {
  return { ...healthyShell(banks), times: effects.times, plus: effects.plus };
}
const shells = new Map<number, State>();
function healthyShell(banks: number): State {
  const shell = shells.get(banks) ?? newState(banks, new Float64Array(4).fill(1));
  shells.set(banks, shell);
  return shell;
}

function symptomTerms(
  symptoms: readonly SymptomFinding[],
  codes: readonly CodeFinding[],
  readings: readonly ReadingFinding[],
  hypotheses: Hypotheses,
  states: readonly State[],
  banks: number,
  knowledge: Knowledge,
): YesNoTerm[] {
  const hasCode = codes.some((code) => code.stated !== 'denied');
  const hasGas = readings.some((reading) => reading.quantity.startsWith('gas-'));
  const groups = new Map<string, SymptomFinding[]>();
  for (const finding of symptoms) {
    // The light says no more than its code, a failed test no more than its figures.
    if (finding.symptom === 'check-engine-light' && hasCode) continue;
    if (finding.symptom === 'failed-emission-test' && hasGas && finding.stated === 'present') continue;
    const key = `${finding.symptom} ${finding.stated === 'denied'}`;
    groups.set(key, [...(groups.get(key) ?? []), finding]);
  }
  return [...groups.values()].map((group) =>
    symptomTerm(
      group[0]!.symptom,
      group.map((finding) => finding.id),
      group[0]!.stated !== 'denied',
      hypotheses,
      states,
      banks,
      knowledge,
      Math.max(...group.map(strengthOf)),
    ),
  );
}

/** What the owner leaves out, where anything of weight was said at all; one factor for all of it. */
function silenceTerm(
  own: readonly Finding[],
  hypotheses: Hypotheses,
  table: SettledTable,
  states: readonly State[],
  banks: number,
  knowledge: Knowledge,
): FactorTerm[] {
  const weighty = own.some(({ kind }) => kind === 'symptom' || kind === 'code' || kind === 'reading');
  if (!weighty) return [];
  const symptoms = own.filter(
    (finding): finding is SymptomFinding => finding.kind === 'symptom' && finding.time === 'now',
  );
  const mentioned = new Set([
    ...symptoms.map((finding) => finding.symptom),
    ...own.flatMap((finding) => {
      if (finding.kind !== 'question-answer') return [];
      const model = knowledge.questions.byId.get(finding.question)?.model;
      return model?.by === 'symptom' ? [model.symptom] : [];
    }),
  ]);
  // A code tells of the light, a misfire code of the misfire; a failed test is a story of its own.
  const tellsOfLight = own.some(
    (finding) =>
      finding.kind === 'code' ||
      finding.kind === 'code-list' ||
      (finding.kind === 'symptom' && /^(?:check-engine-light-flashing|failed-emission-test)$/.test(finding.symptom)),
  );
  if (tellsOfLight) mentioned.add('check-engine-light');
  if (own.some((finding) => finding.kind === 'code' && /^P03/.test(finding.code))) mentioned.add('misfire');
  const complaints = symptoms.filter((finding) => finding.stated === 'present').length;
  const factor = new Float64Array(states.length).fill(1);
  for (const { symptom, told } of leftUnsaid(mentioned, complaints)) {
    const term = symptomTerm(symptom, [], false, hypotheses, states, banks, knowledge, 1);
    for (let single = 0; single < factor.length; single += 1) {
      let absent = term.backgroundAbsence * term.ownAbsence[single]!;
      const at = single * mixtureDriverCount;
      for (const [driver, weight] of term.drivers) absent *= 1 - weight * table.aloneDrivers[at + driver]!;
      factor[single]! *= (1 - told * (1 - absent)) / (1 - told * (1 - term.backgroundAbsence));
    }
  }
  return [{ kind: 'factor', findings: [], strength: silenceStrength, about: { silence: true }, factor }];
}

const symptomRows: Rows = new WeakMap();

/** The term of one symptom, said or denied; questions.ts predicts answers with the same. */
export function symptomTerm(
  symptom: string,
  findings: readonly string[],
  present: boolean,
  hypotheses: Hypotheses,
  states: readonly State[],
  banks: number,
  knowledge: Knowledge,
  strength: number,
): YesNoTerm {
  const model = symptomModels[symptom] ?? otherSymptom;
  const light = symptom === 'check-engine-light';
  return {
    kind: 'yes-no',
    findings,
    strength,
    about: { symptom },
    backgroundAbsence: 1 - (light ? 0.25 : model.background),
    ownAbsence: keepRow(symptomRows, hypotheses, symptom, () =>
      Float64Array.from(states, (state, single) => {
        const fault = hypotheses.faults[hypotheses.singles[single]!.fault]!;
        const shown = fault.symptoms[symptom] ?? 0;
        return light ? lightAbsence(hypotheses, single, state, shown, banks) : ownAbsence(model, state, shown);
      }),
    ),
    drivers: light ? lightDrivers(banks) : model.mixture,
    present,
    noticed: knowledge.symptoms.byId.get(symptom)?.noticed ?? 0.7,
  };
}

/** The light comes on with any code. */
function lightAbsence(hypotheses: Hypotheses, single: number, state: State, shown: number, banks: number): number {
  const listed = Object.keys(hypotheses.faults[hypotheses.singles[single]!.fault]!.codes);
  const codes = new Set([...listed.map(weighedCode), 'P0300', 'P0420', 'P0133', 'P0135', 'P0141']);
  let absent = 1 - shown;
  for (const code of codes) {
    if (monitorsOf(code).length === 0) absent *= codeAbsenceAnywhere(code, hypotheses, single, state, banks);
  }
  return Math.max(0.03, absent);
}

function lightDrivers(banks: number): Array<readonly [number, number]> {
  return ['P0171', 'P0172', ...(banks > 1 ? ['P0174', 'P0175'] : [])].flatMap(monitorsOf);
}

/** States of all singles, for callers that need terms one by one. */
export function statesOf(hypotheses: Hypotheses, banks: number): State[] {
  return hypotheses.singles.map((single) => aloneState(single.effects, banks));
}
