// How often the program is right when it says so: reliability, hits in first and first three, by fault and by community, each with
// an interval that admits small numbers; and what that suggests for the priors, as a knowledge change to review.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Counts } from '../store/outcome-types.ts';
import type { BayDeps } from './bay-deps.ts';
import { bayPage, percent } from './bay-frame.tsx';
import { wilsonInterval } from './interval.ts';
import { ReliabilityPlot } from './reliability-plot.tsx';
import type { Person } from './session.ts';
import { fewestCases, suggestPriors } from './suggest-priors.ts';

export async function calibrationPage(person: Person, { store, knowledge }: BayDeps): Promise<string> {
  const { communities } = person;
  const [steps, faults, places] = await Promise.all([
    store.countByProbability(communities),
    store.countByFault(communities),
    store.countByCommunity(communities),
  ]);
  const all = total(steps);
  return bayPage({
    title: 'How often it is right',
    person,
    place: 'calibration',
    main: (
      <>
        <section aria-labelledby="all">
          <h2 id="all">All settled cases</h2>
          {all.cases === 0 ? <p>No outcome is known yet. Record what it was on the page of an answer.</p> : null}
          {all.cases === 0 ? null : (
            <p>
              {`${all.cases} case(s) whose fault is known. The first cause was right in ${shareWords(all.first, all.cases)}; the ` +
                `fault was among the first three in ${shareWords(all.three, all.cases)}. On average the first cause was said to ` +
                `be likely at ${percent(all.stated / all.cases)}.`}
            </p>
          )}
          {all.cases === 0 ? null : (
            <div class="two plain">
              <ReliabilityPlot steps={steps} />
              <CountTable
                name="By what was said"
                head="Said"
                rows={steps.map((step) => [`${step.step * 10} to ${step.step * 10 + 10} %`, step])}
              />
            </div>
          )}
          <p class="hint">
            The ranking of the last answer before the outcome counts, as it was sent. The line is where what was said
            and what was so agree; the bars are 95 % intervals. Cases whose fault nobody found are not in it, and owners
            who report are not everybody.
          </p>
        </section>
        <section aria-labelledby="faults">
          <h2 id="faults">By what it was</h2>
          <CountTable
            name="By fault"
            head="Fault"
            rows={[...faults]
              .sort((a, b) => b.cases - a.cases)
              .map((row) => [knowledge.faults.byId.get(row.fault)?.name ?? row.fault, row])}
          />
        </section>
        <section aria-labelledby="communities">
          <h2 id="communities">By community</h2>
          <CountTable name="By community" head="Community" rows={places.map((row) => [row.community, row])} />
        </section>
        <Suggestions counts={faults} knowledge={knowledge} />
      </>
    ),
  });
}

function total(rows: readonly Counts[]): Counts {
  const sum = (of: (row: Counts) => number) => rows.reduce((so, row) => so + of(row), 0);
  return {
    cases: sum(({ cases }) => cases),
    first: sum(({ first }) => first),
    three: sum(({ three }) => three),
    stated: sum(({ stated }) => stated),
  };
}

/** `62 % (41 to 80)`. */
function shareWords(hits: number, cases: number): string {
  const { low, high } = wilsonInterval(hits, cases);
  return `${percent(hits / cases)} (${Math.round(low * 100)} to ${Math.round(high * 100)})`;
}

function CountTable(parts: {
  readonly name: string;
  readonly head: string;
  readonly rows: ReadonlyArray<readonly [string, Counts]>;
}) {
  const { name, head, rows } = parts;
  if (rows.length === 0) return <p>None yet.</p>;
  return (
    <section class="scroll" tabindex={0} aria-label={name}>
      <table>
        <thead>
          <tr>
            <th scope="col">{head}</th>
            <th scope="col" class="number">
              Cases
            </th>
            <th scope="col" class="number">
              First
            </th>
            <th scope="col" class="number">
              First three
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(([label, { cases, first, three }]) => (
            <tr>
              <th scope="row">{label}</th>
              <td class="number">{cases}</td>
              <td class="number">{shareWords(first, cases)}</td>
              <td class="number">{shareWords(three, cases)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Suggestions(parts: {
  readonly counts: ReadonlyArray<Counts & { readonly fault: string }>;
  readonly knowledge: Knowledge;
}) {
  const { counts, knowledge } = parts;
  const suggestions = suggestPriors(counts, knowledge);
  const cases = counts.reduce((sum, row) => sum + row.cases, 0);
  return (
    <section aria-labelledby="priors">
      <h2 id="priors">Priors to look at</h2>
      {cases < fewestCases ? (
        <p>
          With {cases} settled case(s) nothing can be said yet; it takes {fewestCases}.
        </p>
      ) : suggestions.length === 0 ? (
        <p>No fault came up more or less often than its prior lets expect.</p>
      ) : (
        <>
          <p>
            A change of the knowledge base to review: put it into a copy of the folder, rerun the reviewed cases under
            it, and apply it by hand if it holds. The program changes nothing by itself.
          </p>
          <pre class="diff">
            {suggestions
              .map(
                ({ fault, cases: own, share, expected, per1000, suggested }) =>
                  `knowledge/faults/${fault}.yaml   (${own} of ${cases} cases, ${percent(share)}; expected ${percent(expected)})\n- per1000: ${per1000}\n+ per1000: ${suggested}`,
              )
              .join('\n\n')}
          </pre>
        </>
      )}
    </section>
  );
}
