// One form for the inflections of a word, so that "stalls", "stalled" and "stalling" are one phrase. The phrases of the
// knowledge base and the words of a post pass through the same function; its results are keys, not words to show.

const irregular: ReadonlyMap<string, string> = new Map(
  Object.entries({
    ran: 'run',
    died: 'die',
    dies: 'die',
    dying: 'die',
    dieing: 'die',
    lost: 'lose',
    loses: 'lose',
    losing: 'lose',
    loosing: 'lose',
    went: 'go',
    gone: 'gone',
    goes: 'go',
    going: 'go',
    does: 'do',
    did: 'do',
    done: 'do',
    doing: 'do',
    burnt: 'burn',
    blew: 'blow',
    blown: 'blow',
    drank: 'drink',
    drunk: 'drink',
    smelt: 'smell',
    shook: 'shake',
    shaken: 'shake',
    came: 'come',
    coming: 'come',
    comes: 'come',
    began: 'begin',
    begun: 'begin',
    lit: 'light',
    threw: 'throw',
    thrown: 'throw',
    fell: 'fall',
    fallen: 'fall',
    got: 'get',
    gotten: 'get',
    ate: 'eat',
    eaten: 'eat',
    felt: 'feel',
    kept: 'keep',
    broke: 'break',
    broken: 'break',
    shut: 'shut',
    used: 'use',
    uses: 'use',
    using: 'use',
    use: 'use',
    us: 'us',
    said: 'say',
    says: 'say',
    told: 'tell',
    thought: 'think',
    thinks: 'think',
    found: 'find',
    heard: 'hear',
    saw: 'see',
    seen: 'see',
    took: 'take',
    taken: 'take',
    put: 'put',
    had: 'have',
    has: 'have',
    having: 'have',
    rose: 'rise',
    risen: 'rise',
    sank: 'sink',
    stuck: 'stick',
    swapt: 'swap',
    red: 'red',
    mile: 'miles',
    miles: 'miles',
    this: 'this',
    his: 'his',
    its: 'its',
    was: 'was',
    gas: 'gas',
    gases: 'gas',
    bus: 'bus',
    plus: 'plus',
    minus: 'minus',
    yes: 'yes',
    less: 'less',
    stare: 'stare',
    thing: 'thing',
    something: 'something',
    nothing: 'nothing',
    anything: 'anything',
    everything: 'everything',
    during: 'during',
    morning: 'morning',
    engine: 'engine',
    engines: 'engine',
    either: 'either',
    always: 'always',
    perhaps: 'perhaps',
    besides: 'besides',
  }),
);

/** Contractions typed without their apostrophe. */
const contractions: ReadonlyMap<string, string> = new Map(
  'dont doesnt didnt isnt wasnt arent werent hasnt havent hadnt wont wouldnt cant couldnt shouldnt aint'
    .split(' ')
    .map((word) => [word, `${word.slice(0, -1)}'t`]),
);

/** Words whose key would be that of quite another word: "note" would be "not", "quite" would be "quit". */
const apart: ReadonlyMap<string, string> = new Map(
  [
    'note notes noted noting',
    'quite',
    'none',
    'stale staler',
    'cell cells',
    'mill mills milled milling',
    'care cares cared caring',
    'bare bares',
    'barely',
    'bade',
    'mate mates',
    'rode',
    'here',
    'hope hopes hoped hoping',
    'cope copes coped coping',
    'made',
    'hate hates hated',
    'rate rates rated rating',
    'tape tapes taped taping',
    'site sites',
    'bite bites',
    'fate',
    'plane planes',
    'mine',
    'news',
    'willing',
  ].flatMap((family) => family.split(' ').map((word): [string, string] => [word, `${family.split(' ')[0]}~`])),
);

/** Key of one lower-case word: inflection, doubled last letter, final e and y folded. Pure, constant time a word. */
export function stemWord(word: string): string {
  const other = apart.get(word);
  if (other !== undefined) return other;
  const known = irregular.get(word) ?? contractions.get(word);
  if (known !== undefined) return foldEnd(known);
  if (word.includes("'")) return word.endsWith("'s") && !pronounWithIs.has(word) ? stemWord(word.slice(0, -2)) : word;
  if (word.length <= 3) return word;
  return foldEnd(stripEnding(word));
}

/** The keys of several words, written with blanks between. */
export function stemSet(list: string): ReadonlySet<string> {
  return new Set(list.split(' ').map(stemWord));
}

const pronounWithIs = new Set([
  "it's",
  "that's",
  "there's",
  "he's",
  "she's",
  "what's",
  "here's",
  "who's",
  "where's",
  "let's",
]);

function stripEnding(word: string): string {
  if (word.endsWith('ies') && word.length > 4) return `${word.slice(0, -3)}y`;
  if (word.endsWith('ing') && word.length > 5) return word.slice(0, -3);
  if (word.endsWith('eed') || word.endsWith('ss')) return word;
  if (word.endsWith('ied')) return `${word.slice(0, -3)}y`;
  if (word.endsWith('ed') && word.length > 4) return word.slice(0, -2);
  if (word.endsWith('ly') && word.length > 5) return word.slice(0, -2);
  if (/(?:s|x|z|ch|sh)es$/.test(word)) return word.slice(0, -2);
  if (word.endsWith('s') && !word.endsWith('us') && !word.endsWith('is')) return word.slice(0, -1);
  return word;
}

function foldEnd(word: string): string {
  let end = word.length;
  if (end > 3 && word[end - 1] === 'e') end -= 1;
  if (end > 2 && word[end - 1] === word[end - 2] && word[end - 1] !== 's') end -= 1;
  const last = word[end - 1];
  return last === 'y' && end > 3 ? `${word.slice(0, end - 1)}i` : word.slice(0, end);
}
