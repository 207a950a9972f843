// The findings of one answer with the fields to change them, and what a change does to the ranking, side by side. The page for
// changing findings shows them; it works without a script.
import type { Knowledge } from '../knowledge/knowledge.ts';
import { showHidden } from '../pages/readable-text.ts';
import type { AnswerDocument } from '../vocabulary/answer-document.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { conditions, quantities, quantityIds } from '../vocabulary/quantities.ts';
import { DrivingTag, percent } from './bay-frame.tsx';
import { describeFinding } from './describe-finding.ts';

/** What the person typed, by field name; null before anything was typed. */
export type TypedFields = ((name: string) => string) | null;

export function FindingFields(parts: {
  readonly finding: Finding;
  readonly knowledge: Knowledge;
  readonly typed: TypedFields;
}) {
  const { finding, knowledge, typed } = parts;
  const { id } = finding;
  const given = (name: string, stored: string) => typed?.(`${name}-${id}`) || stored;
  const isOpen = typed !== null && isChanged(finding, typed);
  return (
    <details class="change" open={isOpen}>
      <summary>
        {showHidden(describeFinding(finding, knowledge))} <span class="hint">{said(finding)}</span>
      </summary>
      <div class="filters">
        {finding.kind === 'symptom' ? (
          <Select
            label="Symptom"
            name={`symptom-${id}`}
            chosen={given('symptom', finding.symptom)}
            options={knowledge.symptoms.map((symptom) => [symptom.id, symptom.name] as const)}
          />
        ) : null}
        {finding.kind === 'code' ? (
          <Text label="Code" name={`code-${id}`} value={given('code', finding.code)} longest={20} />
        ) : null}
        {finding.kind === 'reading' ? (
          <>
            <Select
              label="Quantity"
              name={`quantity-${id}`}
              chosen={given('quantity', finding.quantity)}
              options={quantityIds.map((quantity) => [quantity, nameWithUnit(quantity)] as const)}
            />
            <Text label="Value" name={`value-${id}`} value={given('value', String(finding.value))} longest={20} />
            <Select
              label="Bank"
              name={`bank-${id}`}
              chosen={given('bank', finding.bank === null ? 'none' : String(finding.bank))}
              options={[
                ['none', 'not said'],
                ['1', 'bank 1'],
                ['2', 'bank 2'],
              ]}
            />
            <Select
              label="When"
              name={`when-${id}`}
              chosen={given('when', finding.when ?? 'none')}
              options={[['none', 'not said'] as const, ...conditions.map((when) => [when, when] as const)]}
            />
          </>
        ) : null}
        {finding.kind === 'symptom' || finding.kind === 'code' || finding.kind === 'reading' ? (
          <Select
            label="The writer"
            name={`stated-${id}`}
            chosen={given('stated', finding.stated)}
            options={[
              ['present', 'says it is so'],
              ['denied', 'says it is not so'],
              ['unsure', 'is unsure'],
            ]}
          />
        ) : null}
      </div>
      <label class="choice">
        <input type="checkbox" name={`drop-${id}`} value="yes" checked={typed?.(`drop-${id}`) === 'yes'} />
        Nothing of the kind was said: leave it out
      </label>
    </details>
  );
}

function said(finding: Finding): string {
  return finding.quote === '' ? '' : `(${showHidden(finding.quote.slice(0, 60))})`;
}

/** Whether the fields of a finding say something else than what was read, so that they stay open. */
function isChanged(finding: Finding, typed: (name: string) => string): boolean {
  if (typed(`drop-${finding.id}`) === 'yes') return true;
  const stored: Record<string, string> = {
    stated: finding.stated,
    ...(finding.kind === 'symptom' ? { symptom: finding.symptom } : {}),
    ...(finding.kind === 'code' ? { code: finding.code } : {}),
    ...(finding.kind === 'reading'
      ? {
          quantity: finding.quantity,
          value: String(finding.value),
          bank: finding.bank === null ? 'none' : String(finding.bank),
          when: finding.when ?? 'none',
        }
      : {}),
  };
  return Object.entries(stored).some(([name, value]) => {
    const given = typed(`${name}-${finding.id}`);
    return given !== '' && given !== value;
  });
}

const nameWithUnit = (quantity: keyof typeof quantities) => {
  const { name, unit } = quantities[quantity];
  return unit === '1' ? name : `${name} [${unit}]`;
};

function Select(parts: {
  readonly label: string;
  readonly name: string;
  readonly chosen: string;
  readonly options: ReadonlyArray<readonly [string, string]>;
}) {
  const { label, name, chosen, options } = parts;
  return (
    <div>
      <label for={name}>{label}</label>
      <select id={name} name={name}>
        {options.map(([value, text]) => (
          <option value={value} selected={value === chosen}>
            {text}
          </option>
        ))}
      </select>
    </div>
  );
}

function Text(parts: {
  readonly label: string;
  readonly name: string;
  readonly value: string;
  readonly longest: number;
}) {
  const { label, name, value, longest } = parts;
  return (
    <div>
      <label for={name}>{label}</label>
      <input id={name} name={name} type="text" maxlength={longest} value={showHidden(value)} autocomplete="off" />
    </div>
  );
}

/** Causes shown of each ranking. */
const causesCompared = 8;

/** Two rankings of one post: every cause that stands high in either, with how it moved. */
export function RankingsCompared(parts: {
  readonly before: AnswerDocument;
  readonly after: AnswerDocument;
  readonly knowledge: Knowledge;
  readonly names: readonly [string, string];
}) {
  const { before, after, knowledge, names } = parts;
  const rows = comparedCauses(before, after);
  return (
    <>
      <section class="scroll" tabindex={0} aria-label="Both rankings">
        <table>
          <thead>
            <tr>
              <th scope="col">Cause</th>
              <th scope="col" class="number">
                {names[0]}
              </th>
              <th scope="col" class="number">
                {names[1]}
              </th>
              <th scope="col">Place</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ fault, was, now }) => (
              <tr>
                <th scope="row">{knowledge.faults.byId.get(fault)?.name ?? fault}</th>
                <td class="number">{was === null ? 'not listed' : percent(was.probability)}</td>
                <td class="number">{now === null ? 'not listed' : percent(now.probability)}</td>
                <td>{placeWords(was?.place ?? null, now?.place ?? null)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="facts">
        <span>
          {names[0]}: <DrivingTag driving={before.driving} />
        </span>
        <span>
          {names[1]}: <DrivingTag driving={after.driving} />
        </span>
        <span>
          surprise {percent(before.fit.surprise)}, then {percent(after.fit.surprise)}
        </span>
      </p>
    </>
  );
}

interface Compared {
  readonly fault: string;
  readonly was: { readonly place: number; readonly probability: number } | null;
  readonly now: { readonly place: number; readonly probability: number } | null;
}

/** Causes among the first of either ranking, in the order of the second. */
export function comparedCauses(before: AnswerDocument, after: AnswerDocument): Compared[] {
  const find = (document: AnswerDocument, fault: string) => {
    const index = document.causes.findIndex((cause) => cause.fault === fault);
    return index < 0 ? null : { place: index + 1, probability: document.causes[index]!.probability };
  };
  const faults = new Set(
    [after, before].flatMap((document) => document.causes.slice(0, causesCompared).map(({ fault }) => fault)),
  );
  return [...faults]
    .map((fault) => ({ fault, was: find(before, fault), now: find(after, fault) }))
    .sort((a, b) => (b.now?.probability ?? 0) - (a.now?.probability ?? 0));
}

function placeWords(was: number | null, now: number | null): string {
  if (was === now) return was === null ? '' : `stays ${was}`;
  if (was === null) return `comes in at ${now}`;
  return now === null ? `was ${was}, leaves the list` : `${was} to ${now}`;
}
