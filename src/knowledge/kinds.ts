// Every kind of knowledge file, in the order in which a newcomer would read them.
import { cautions } from './schema/caution.ts';
import { codes } from './schema/code.ts';
import { codeWords } from './schema/code-words.ts';
import { conditionWords } from './schema/condition-words.ts';
import { driving } from './schema/driving.ts';
import { engineFamilies } from './schema/engine-family.ts';
import { exampleCases } from './schema/example-case.ts';
import { explanations } from './schema/explanation.ts';
import { faults } from './schema/fault.ts';
import { layouts } from './schema/layout.ts';
import { limits } from './schema/limit.ts';
import { makes } from './schema/make.ts';
import { mentions } from './schema/mention.ts';
import { parts } from './schema/part.ts';
import { places } from './schema/place.ts';
import { quantityWords } from './schema/quantity-words.ts';
import { questions } from './schema/question.ts';
import { register } from './schema/register.ts';
import { requests } from './schema/request.ts';
import { safety } from './schema/safety.ts';
import { sources } from './schema/source.ts';
import { symptoms } from './schema/symptom.ts';

export const kinds = {
  faults,
  symptoms,
  requests,
  codes,
  codeWords,
  questions,
  parts,
  mentions,
  layouts,
  engines: engineFamilies,
  places,
  makes,
  register,
  quantities: quantityWords,
  conditions: conditionWords,
  cautions,
  safety,
  driving,
  limits,
  explanations,
  sources,
  cases: exampleCases,
} as const;
export type KindName = keyof typeof kinds;
