// The records: the audit log with the result of its check, how long what is kept, and what a person can ask for. For moderators
// of all communities; record-acts.tsx serves it.
import { writeMoment } from '../pages/moments.ts';
import { showHidden } from '../pages/readable-text.ts';
import type { AuditEntry, AuditVerdict } from '../store/audit-types.ts';
import { bayPage } from './bay-frame.tsx';
import { keepPeriods } from './keep-periods.ts';
import type { Person } from './session.ts';

const days = (ms: number) => Math.round(ms / (24 * 60 * 60 * 1000));

export function recordsPage(parts: {
  readonly person: Person;
  readonly entries: readonly AuditEntry[];
  readonly verdict: AuditVerdict | null;
  readonly about: string | null;
  readonly next: number | null;
}): string {
  const { person, entries, verdict, about, next } = parts;
  return bayPage({
    title: 'Records',
    person,
    place: 'records',
    main: (
      <>
        <section aria-labelledby="acts">
          <h2 id="acts">What was done{about === null ? '' : ` about ${about}`}</h2>
          <p class="hint">
            Every act here and on the command line, newest first, in a chain of keyed hashes: a changed, removed or
            inserted entry is found.
          </p>
          {verdict === null ? (
            <p>
              <a href="/bay/records?check=yes">Check the whole chain</a>
            </p>
          ) : (
            <p class={verdict.wrong === null ? 'note' : 'note grave'} role="status">
              {verdict.wrong === null
                ? `${verdict.entries} entries, each following from the one before.`
                : `It does not hold together: ${verdict.wrong}.`}{' '}
              {verdict.last === null ? '' : `Last: ${verdict.last.entry}:${verdict.last.hash}`}
            </p>
          )}
          {entries.length === 0 ? <p>Nothing yet.</p> : <Entries entries={entries} />}
          {next === null ? null : (
            <p>
              <a
                rel="next"
                href={`/bay/records?before=${next}${about === null ? '' : `&about=${encodeURIComponent(about)}`}`}
              >
                Older
              </a>
            </p>
          )}
        </section>
        <section aria-labelledby="periods">
          <h2 id="periods">What is kept how long</h2>
          <ul>
            <li>
              A conversation with all its posts, logs, answers and messages: {days(keepPeriods.conversationMs)} days
              after its last post. What it was in the end stays as a figure, without anything of a person.
            </li>
            <li>A message that could not be delivered: {days(keepPeriods.undeliverableMs)} days.</li>
            <li>These records, which hold ids, names of helpers and counts: {days(keepPeriods.auditMs)} days.</li>
            <li>
              Keyed hashes of erased posts, so that none comes back by a late repeat: {days(keepPeriods.tombstoneMs)}{' '}
              days.
            </li>
          </ul>
          <p>
            On the page of an answer everything of its writer can be handed out or erased. The writer can do the same in
            the chat, under the conversation.
          </p>
        </section>
      </>
    ),
  });
}

function Entries({ entries }: { readonly entries: readonly AuditEntry[] }) {
  return (
    <section class="scroll" tabindex={0} aria-label="Entries">
      <table>
        <thead>
          <tr>
            <th scope="col" class="number">
              No.
            </th>
            <th scope="col">When</th>
            <th scope="col">Who</th>
            <th scope="col">What</th>
            <th scope="col">On what</th>
          </tr>
        </thead>
        <tbody>
          {entries.map(({ entry, at, who, act, about, details }) => (
            <tr>
              <td class="number">{entry}</td>
              <td>{writeMoment(at)}</td>
              <td>
                <bdi>{showHidden(who)}</bdi>
              </td>
              <td>
                {act}{' '}
                <span class="hint">
                  {showHidden(
                    Object.entries(details)
                      .map(([name, value]) => `${name} ${value}`)
                      .join(', '),
                  )}
                </span>
              </td>
              <td>
                <a href={`/bay/records?about=${encodeURIComponent(about)}`}>{showHidden(about)}</a>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
