// What the diagnosis takes in and gives back.
import type { Cause, Conflict, Derived, Fit, PlanStep, Question, Together } from '../vocabulary/answer-document.ts';
import type { Case } from '../vocabulary/case.ts';
import type { Finding } from '../vocabulary/findings.ts';

export interface DiagnosisInput {
  readonly findings: readonly Finding[];
  readonly derived: readonly Derived[];
  readonly conflicts: readonly Conflict[];
  readonly asked: Case['asked'];
  /** Suspects that the posts name; they move the odds of their faults before any finding is weighed. */
  readonly mentions?: Case['mentions'];
}

export interface Diagnosis {
  /** Most probable first; all of them together sum to 1. */
  readonly causes: Cause[];
  readonly together: Together[];
  /** Best gain over effort first; only what an owner may safely do and has not answered. */
  readonly questions: Question[];
  readonly plan: PlanStep[];
  readonly fit: Fit;
}
