// Slips of the keyboard in the words of the trade: one letter wrong, missing, doubled or swapped, in words of six letters
// or more that begin alike. A word that is right English is never "corrected".
import { stemWord } from './word-stem.ts';

/** Words whose stems lie one letter from a word of the trade and mean something else. */
const rightAsTheyAre = new Set(
  (
    'overhead overheads flushing flushed flashlight purging closing turning burner burners spelling stealing smoothing startled started ' +
    'starter starters restarting counting coating couching bucking booming hissed kissing loosing choosing housing rusting resting ' +
    'lacking locking licking looking sucking failings fairing falling filling feeling dropper powered powder powders lowers louder ladder ' +
    'leading leaning learning leaping peaking braking breaking brackets exhausts exhausted economic stocking stacking stating stabbing ' +
    'staring sparing sparking parking barking marking puffins rattles battles surgeon surgery hunters banging ranging ringing pinning ' +
    'tinging singing winging shading shaving sharing sharking shocks shacking stepping stopping strapping consumer consumed assuming ' +
    'rumbled tumbled humbled jumbled stumped trembling crumbling clicking cracking crashing cranked cleaning clearing cutting putting ' +
    'shutting sitting smelled smiling knitting knocker emission omission admission mission missions hesitant rough through though ' +
    'thought tougher rougher idling riding dying drying trying lumping jumping pumping bumping dumping fluttering muttering stuttered ' +
    'power lower tower mower shower slower blower flower grower hotter potter lotter petrol patrol control gasket basket casket'
  )
    .split(' ')
    .map(stemWord),
);

export interface Speller {
  /** Correct stems by each form that lacks one letter. */
  readonly byDeletion: ReadonlyMap<string, readonly string[]>;
  readonly vocabulary: ReadonlySet<string>;
}

const shortest = 5;

/** A speller for the stems of a vocabulary; stems under five letters are not corrected to. */
export function buildSpeller(vocabulary: ReadonlySet<string>): Speller {
  const byDeletion = new Map<string, string[]>();
  for (const stem of vocabulary) {
    if (stem.length < shortest || !/^[a-z]+$/.test(stem)) continue;
    for (const form of deletions(stem)) {
      const list = byDeletion.get(form);
      if (list) list.push(stem);
      else byDeletion.set(form, [stem]);
    }
  }
  return { byDeletion, vocabulary };
}

/** The stem meant by a word as typed: its own where that is known or nothing is near, else the only near one. */
export function correctStem(speller: Speller, typed: string, stem: string): string {
  if (
    typed.length < 6 ||
    typed.length > 24 ||
    stem.length < shortest - 1 ||
    speller.vocabulary.has(stem) ||
    rightAsTheyAre.has(stem)
  )
    return stem;
  let found: string | null = null;
  for (const form of deletions(stem)) {
    for (const candidate of speller.byDeletion.get(form) ?? []) {
      if (candidate[0] !== stem[0] || candidate === found || !isOneSlip(candidate, stem)) continue;
      if (found !== null) return stem;
      found = candidate;
    }
  }
  return found ?? stem;
}

/** The word itself and the word without each of its letters. */
function deletions(word: string): string[] {
  const forms = [word];
  for (let index = 0; index < word.length; index += 1) forms.push(word.slice(0, index) + word.slice(index + 1));
  return forms;
}

/** One letter changed, added, left out, or two neighbours swapped. */
function isOneSlip(a: string, b: string): boolean {
  let start = 0;
  while (start < a.length && a[start] === b[start]) start += 1;
  const restA = a.slice(start);
  const restB = b.slice(start);
  return (
    restA.slice(1) === restB.slice(1) ||
    restA.slice(1) === restB ||
    restA === restB.slice(1) ||
    (restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2))
  );
}
