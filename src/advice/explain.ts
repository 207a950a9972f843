// Short answers to "what is", "how does it work" and "what does the code mean", from the knowledge base. advise.ts calls it.
import type { Knowledge } from '../knowledge/knowledge.ts';
import type { Explanation } from '../vocabulary/answer-document.ts';
import type { RequestFinding } from '../vocabulary/findings.ts';
import type { CaseView } from './case-view.ts';
import { explainLimits } from './explain-limits.ts';

/** At most this many; more would bury the answer. */
const mostExplanations = 4;

/** Topics for requests that name a part or nothing rather than a topic. */
function topicOf(request: RequestFinding): string | null {
  const { about, item } = request;
  if (about === 'tampering') return 'fooling-the-rear-sensor';
  if (about !== 'cleaning') return null;
  if (item === 'petrol-soak') return 'soaking-in-petrol';
  if (item === 'air-meter') return 'what-is-an-air-meter';
  return item === null || /sensor$|^bank-/.test(item) ? 'cleaning-a-sensor' : null;
}

/** What the post asks about, in its order; codes that it asks about by their meaning, else the codes of the case. */
export function explain(view: CaseView, knowledge: Knowledge): Explanation[] {
  const found = new Map<string, Explanation>();
  const addTopic = (id: string | null | undefined) => {
    const asked = id ? knowledge.explanations.byId.get(id) : undefined;
    const instead = asked?.instead.find(({ symptom }) => view.symptoms.has(symptom));
    const entry = instead ? knowledge.explanations.byId.get(instead.explanation) : asked;
    if (entry) found.set(entry.id, { about: entry.id, text: entry.text, source: entry.source });
    return entry !== undefined;
  };
  const addCode = (code: string) => {
    const entry = knowledge.codes.byId.get(code);
    if (!entry) return false;
    found.set(code, {
      about: code,
      text: `${code}: ${withStop(entry.meaning)} What the control unit saw: ${withStop(entry.measures)} A code names what was measured, not the part to buy.`,
      source: entry.source,
    });
    return true;
  };
  for (const request of view.requests) {
    const named = request.item === null ? false : addTopic(request.item) || addCode(request.item.toUpperCase());
    if (request.about === 'code-meaning' && !named) for (const code of view.codes) addCode(code.code);
    if (!named) addTopic(topicOf(request));
  }
  const limits = explainLimits(view, knowledge);
  if (limits) found.set(limits.about, limits);
  for (const id of [...found.keys()])
    for (const covered of knowledge.explanations.byId.get(id)?.covers ?? []) found.delete(covered);
  return [...found.values()].slice(0, mostExplanations);
}

function withStop(words: string): string {
  const text = words.trim().replace(/[.\s]{1,4}$/, '');
  return `${text}.`;
}
