// What the advice layer gives back: where the parts are, what must be explained and said, and whether to drive.
import type { Caution, DrivingAdvice, Explanation, Picture, Where } from '../vocabulary/answer-document.ts';

export interface Advice {
  readonly where: Where[];
  readonly explanations: Explanation[];
  readonly pictures: Picture[];
  /** All that apply, most dangerous first, `shown` false; the reply decides which two are shown. */
  readonly cautions: Caution[];
  readonly driving: DrivingAdvice;
  readonly drivingBecause: string;
}
