// The form of a post's findings -> what the moderator changed. Fields are named by what they say and the finding's id; a field
// that is not there leaves the finding as it is. finding-acts.tsx calls it, finding-forms.tsx writes the form.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { FindingChange } from '../vocabulary/finding-change.ts';
import { type Finding, finding } from '../vocabulary/findings.ts';
import { conditions, quantities } from '../vocabulary/quantities.ts';

export interface ReadChanges {
  readonly changes: readonly FindingChange[];
  /** What cannot be taken, one sentence each. */
  readonly mistakes: readonly string[];
}

/** Codes whose meaning the open standard sets. Source: SAE J2012, the first two places; common practice */
const standardCode = /^(?:[PBCU]0|P2|P3[4-9A-F]|U3)/;

/** @param field the form's field of that name, empty when it was not sent */
export function readFindingChanges(
  findings: readonly Finding[],
  field: (name: string) => string,
  knowledge: Knowledge,
): ReadChanges {
  const changes: FindingChange[] = [];
  const mistakes: string[] = [];
  for (const was of findings) {
    if (field(`drop-${was.id}`) === 'yes') {
      changes.push({ was, becomes: null });
      continue;
    }
    const changed = change(was, (name) => field(`${name}-${was.id}`).trim().slice(0, 200), knowledge);
    if (typeof changed === 'string') mistakes.push(`${was.quote.slice(0, 60)}: ${changed}`);
    else if (JSON.stringify(changed) !== JSON.stringify(was)) changes.push({ was, becomes: finding.parse(changed) });
  }
  return { changes, mistakes };
}

/** The finding as the fields say it, or what is wrong with them. */
function change(was: Finding, field: (name: string) => string, knowledge: Knowledge): Finding | string {
  const stated = finding.options[0].shape.stated.safeParse(field('stated'));
  const shared = { stated: stated.success ? stated.data : was.stated };
  switch (was.kind) {
    case 'symptom': {
      const symptom = field('symptom') || was.symptom;
      if (!knowledge.symptoms.byId.has(symptom)) return 'there is no such symptom.';
      return { ...was, ...shared, symptom };
    }
    case 'code':
      return { ...was, ...shared, ...codeOf(was, field('code').toUpperCase(), knowledge) };
    case 'reading': {
      const quantity = field('quantity') || was.quantity;
      if (!Object.hasOwn(quantities, quantity)) return 'there is no such quantity.';
      const { possible, unit } = quantities[quantity as keyof typeof quantities];
      const typed = field('value');
      const value = typed === '' ? was.value : Number(typed.replace(',', '.'));
      if (!Number.isFinite(value) || value < possible[0] || value > possible[1])
        return `the value must be a number from ${possible[0]} to ${possible[1]} ${unit}.`;
      const bank = field('bank');
      const when = field('when');
      return {
        ...was,
        ...shared,
        quantity: quantity as keyof typeof quantities,
        value,
        // A span that was read is no longer what the person says.
        range: value === was.value ? was.range : null,
        bank: bank === '' ? was.bank : bank === 'none' ? null : Number(bank) === 2 ? 2 : 1,
        when: when === '' ? was.when : (conditions.find((condition) => condition === when) ?? null),
      };
    }
    default:
      return was;
  }
}

function codeOf(was: Extract<Finding, { kind: 'code' }>, typed: string, knowledge: Knowledge) {
  if (typed === '' || typed === was.code.toUpperCase()) return {};
  const code = typed.slice(0, 20);
  const known = knowledge.codes.byId.get(code);
  return { code, standard: standardCode.test(code), bank: known?.bank ?? null, sensor: known?.sensor ?? null };
}
