// What the program worked out for one post, section by section: what was read, what clashes, arithmetic, ranking with evidence,
// questions, plan, cautions. answer-page.tsx puts them on the page.

import type { Child } from 'hono/jsx';
import { maskPersonalData } from '../intake/mask-personal-data.ts';
import type { Knowledge } from '../knowledge/knowledge.ts';
import { showHidden } from '../pages/readable-text.ts';
import type { AnswerDocument, Evidence } from '../vocabulary/answer-document.ts';
import type { Finding } from '../vocabulary/findings.ts';
import { drivingWords, percent } from './bay-frame.tsx';
import { describeFinding } from './describe-finding.ts';
import { markFindings } from './mark-findings.ts';

export interface SectionParts {
  readonly document: AnswerDocument;
  readonly knowledge: Knowledge;
}

/** The post's words with those marked that were read, each with what it was read as. */
export function MarkedPost(parts: {
  text: string;
  findings: readonly Finding[];
  knowledge: Knowledge;
  /** False where the page has no table of findings to lead to. */
  linked?: boolean;
}) {
  const { text, findings, knowledge, linked = true } = parts;
  return (
    <div class="written" dir="auto">
      {markFindings(text, findings).map((piece) => (
        <>
          {piece.findings.length === 0 ? (
            showHidden(maskPersonalData(piece.text))
          ) : (
            <mark
              class={lookOf(piece.findings)}
              title={piece.findings.map((finding) => describeFinding(finding, knowledge)).join('; ')}
            >
              {showHidden(maskPersonalData(piece.text))}
            </mark>
          )}
          {piece.ending.map((finding) => {
            const words = <bdi>{showHidden(describeFinding(finding, knowledge))}</bdi>;
            return linked ? (
              <a class="read" href={`#${rowOf(finding.id)}`}>
                {words}
              </a>
            ) : (
              <span class="read">{words}</span>
            );
          })}
        </>
      ))}
    </div>
  );
}

function lookOf(findings: readonly Finding[]): string {
  if (findings.every((finding) => finding.stated === 'denied')) return 'denied';
  return findings.every((finding) => finding.stated === 'unsure') ? 'unsure' : 'said';
}

/** Ids come from stored documents: only letters and digits get into an address. */
const rowOf = (id: string) => `row-${id.replaceAll(/[^A-Za-z0-9-]/g, '')}`;

export function FindingsSection({ document, knowledge }: SectionParts) {
  return (
    <Section title="What was read" empty={document.findings.length === 0 ? 'Nothing was read.' : null}>
      <section class="scroll" tabindex={0} aria-label="Findings">
        <table>
          <thead>
            <tr>
              <th scope="col">Read as</th>
              <th scope="col">Words</th>
              <th scope="col">Post</th>
            </tr>
          </thead>
          <tbody>
            {document.findings.map((finding) => (
              <tr id={rowOf(finding.id)}>
                <td>{showHidden(describeFinding(finding, knowledge))}</td>
                <td>
                  <bdi>{showHidden(finding.quote)}</bdi>
                </td>
                <td>{finding.post + 1}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </Section>
  );
}

export function FitSection({ document, knowledge }: SectionParts) {
  const { fit, conflicts, notes } = document;
  const clashing = fit.clash.map((id) => nameOf(id, document, knowledge));
  return (
    <Section title="How well it fits">
      <p>
        Surprise {percent(fit.surprise)}: {sayFit(fit.surprise)}
      </p>
      {clashing.length > 0 ? <p>These clash: {showHidden(clashing.join('; '))}.</p> : null}
      {fit.handOver.wanted ? (
        <p class="note">A person is asked for: {showHidden(fit.handOver.because ?? 'no reason given')}.</p>
      ) : null}
      {conflicts.map((conflict) => (
        <div class="note grave">
          <p>{showHidden(conflict.says)}</p>
          {conflict.quote === null ? null : (
            <p>
              The words: <bdi>{showHidden(conflict.quote)}</bdi>
            </p>
          )}
          <p>To settle it: {showHidden(conflict.question)}</p>
        </div>
      ))}
      {notes.map((note) => (
        <p>{showHidden(note.says)}</p>
      ))}
    </Section>
  );
}

function sayFit(surprise: number): string {
  if (surprise < 0.3) return 'the first causes explain the readings as well as is usual.';
  return surprise < 0.7 ? 'the readings fit less well than is usual.' : 'nothing explains these readings well.';
}

/** Causes whose evidence is open at once; that of the others opens by a press. */
const evidenceShown = 3;

export function RankingSection({ document, knowledge }: SectionParts) {
  const weighty = document.causes.filter((cause, index) => index < 3 || cause.probability >= 0.01).slice(0, 12);
  const rest = document.causes.slice(weighty.length);
  const restSum = rest.reduce((sum, cause) => sum + cause.probability, 0);
  return (
    <Section title="Causes, likeliest first" empty={document.causes.length === 0 ? 'No cause was ranked.' : null}>
      {weighty.map((cause, index) => (
        <div class="cause">
          <h3>
            <span>
              {cause.name}
              {cause.bank === null ? '' : `, bank ${cause.bank}`}
            </span>
            <span>{percent(cause.probability)}</span>
          </h3>
          <Share part={cause.probability} />
          {cause.for.length + cause.against.length === 0 ? null : (
            <details open={index < evidenceShown}>
              <summary>Evidence</summary>
              <EvidenceList side="for" evidence={cause.for} document={document} knowledge={knowledge} />
              <EvidenceList side="against" evidence={cause.against} document={document} knowledge={knowledge} />
            </details>
          )}
        </div>
      ))}
      {rest.length > 0 ? (
        <p class="cause">
          {rest.length} more causes together: {percent(restSum)}
        </p>
      ) : null}
      {document.together.map((pair) => (
        <p class="note">
          {pair.faults.map((fault) => knowledge.faults.byId.get(fault)?.name ?? fault).join(' and ')} together{' '}
          {percent(pair.probability)}: {showHidden(pair.why)}
        </p>
      ))}
    </Section>
  );
}

/** A bar as wide as a probability; the figure stands beside it, so it says nothing to a screen reader. */
function Share({ part }: { readonly part: number }) {
  return (
    <svg class="share" viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true" focusable="false">
      <rect class="all" x="0" y="1.5" width="100" height="1" />
      <rect class="part" x="0" y="0" width={(part * 100).toFixed(2)} height="4" />
    </svg>
  );
}

function EvidenceList(
  parts: SectionParts & { readonly side: 'for' | 'against'; readonly evidence: readonly Evidence[] },
) {
  const { side, evidence, document, knowledge } = parts;
  if (evidence.length === 0) return null;
  return (
    <ul class={`evidence ${side}`} aria-label={side === 'for' ? 'Speaks for it' : 'Speaks against it'}>
      {evidence.map((item) => (
        <li>
          <span class="bits">{`${item.bits < 0 ? '\u2212' : '+'}${Math.abs(item.bits).toFixed(1)} bits`}</span>
          <span>
            {showHidden(item.why)} <span class="hint">({showHidden(nameOf(item.finding, document, knowledge))})</span>
          </span>
        </li>
      ))}
    </ul>
  );
}

/** A finding's or derived result's id in words. */
function nameOf(id: string, document: AnswerDocument, knowledge: Knowledge): string {
  const finding = document.findings.find((candidate) => candidate.id === id);
  if (finding) return describeFinding(finding, knowledge);
  return document.derived.find((candidate) => candidate.id === id)?.says ?? id;
}

export function DerivedSection({ document }: SectionParts) {
  return (
    <Section
      title="Worked out from the readings"
      empty={document.derived.length === 0 ? 'Nothing was calculated.' : null}
    >
      {document.derived.map((item) => (
        <details open={item.valid}>
          <summary>{showHidden(item.says)}</summary>
          {item.valid ? null : <p>Not valid: {showHidden(item.because ?? 'no reason given')}.</p>}
          {item.steps.length === 0 ? null : (
            <ol>
              {item.steps.map((step) => (
                <li>{showHidden(step)}</li>
              ))}
            </ol>
          )}
          <p class="hint">
            {item.calculator}
            {item.bank === null ? '' : `, bank ${item.bank}`}
            {item.when === null ? '' : `, ${item.when}`}; source: {item.source}
          </p>
        </details>
      ))}
    </Section>
  );
}

export function NextSection({ document }: SectionParts) {
  return (
    <Section title="Questions and plan">
      <h3>Questions, best first</h3>
      {document.questions.length === 0 ? <p>No question would help.</p> : null}
      <ol>
        {document.questions.slice(0, 6).map((question) => (
          <li>
            {question.text} <span class="hint">{`(${question.gain.toFixed(2)} bits, effort: ${question.effort})`}</span>
          </li>
        ))}
      </ol>
      <h3>Plan</h3>
      {document.plan.length === 0 ? <p>No step was planned.</p> : null}
      <ol>
        {document.plan.slice(0, 12).map((step) => (
          <li>
            {step.step}{' '}
            <span class="hint">{`(${step.kind}, ${step.who}, ${percent(step.probability)} for ${step.cost} h; expect: ${step.expect})`}</span>
          </li>
        ))}
      </ol>
    </Section>
  );
}

export function SafetySection({ document }: SectionParts) {
  return (
    <Section title="Safety">
      <p class={document.driving === 'ok' ? undefined : document.driving === 'stop' ? 'note grave' : 'note'}>
        Driving: {drivingWords[document.driving]}. {showHidden(document.drivingBecause)}
      </p>
      <ul>
        {document.cautions.map((caution) => (
          <li>
            {caution.text}{' '}
            <span class="hint">
              ({caution.shown ? 'shown to the owner' : 'not shown'}; {showHidden(caution.because)})
            </span>
          </li>
        ))}
      </ul>
      {document.where.length > 0 ? <h3>Where things are</h3> : null}
      <ul>
        {document.where.map((place) => (
          <li>
            {place.text} <span class="hint">({place.certainty})</span>
            {place.picture?.startsWith('/pictures/') ? (
              <img class="picture" src={place.picture} alt={`Where it is: ${place.item}`} loading="lazy" />
            ) : null}
          </li>
        ))}
      </ul>
      {document.explanations.map((explanation) => (
        <p>
          <strong>{showHidden(explanation.about)}:</strong> {showHidden(explanation.text)}
        </p>
      ))}
      <p class="hint">
        Knowledge {document.model.knowledge}, program {document.model.version}
      </p>
    </Section>
  );
}

/** The pictures that went out with the answer; an address that is none of ours is left out. */
export function Pictures({ pictures }: { readonly pictures: AnswerDocument['pictures'] }) {
  return (
    <>
      {pictures
        .filter(({ address }) => address.startsWith('/pictures/'))
        .map(({ address, alt, width, height }) => (
          <img class="picture" src={address} alt={showHidden(alt)} width={width} height={height} loading="lazy" />
        ))}
    </>
  );
}

function Section(parts: { title: string; empty?: string | null; children?: Child }) {
  const { title, empty, children } = parts;
  return (
    <section>
      <h2>{title}</h2>
      {empty ? <p>{empty}</p> : children}
    </section>
  );
}
