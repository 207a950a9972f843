// Whether a text can be read at all: empty, binary, or in another language. read-post.ts asks before it reads.
import type { Note } from '../vocabulary/answer-document.ts';

/** A note when the text is empty, binary or not English; null when it can be read. Looks at the first 5,000 units. */
export function judgeText(folded: string, original = folded): Note | null {
  if (isBinary(original.slice(0, 5000)))
    return { kind: 'unreadable', says: 'This looks like a file and not like text; I cannot read it.' };
  const sample = folded.slice(0, 5000);
  if (sample.trim().length === 0) return { kind: 'empty', says: 'There is nothing to read in this post.' };
  let letters = 0;
  let foreign = 0;
  for (const character of sample) {
    if (/\s/.test(character)) continue;
    if (character >= 'a' && character <= 'z') letters += 1;
    else if (/\p{L}/u.test(character)) {
      letters += 1;
      if (!/\p{Script=Latin}|\p{Script=Greek}/u.test(character)) foreign += 1;
    }
  }
  if (letters > 3 && foreign > letters * 0.3) return otherLanguage;
  return countsAsEnglish(sample) ? null : otherLanguage;
}

/** Control characters and replacement marks: bytes that were no text. */
function isBinary(sample: string): boolean {
  let broken = 0;
  for (let index = 0; index < sample.length; index += 1) {
    const code = sample.charCodeAt(index);
    if (code === 0xfffd || (code < 32 && code !== 9 && code !== 10 && code !== 13) || code === 127) broken += 1;
  }
  return broken > 3 && broken > sample.length * 0.05;
}

const otherLanguage: Note = {
  kind: 'other-language',
  says: 'I only read English. Please write your question in English, codes and figures as they stand.',
};

const english = new Set(
  (
    'the and is it my a to of in on at for with have has had was are be not but when i this that from after car engine or no can what ' +
    'any will been there they we you he she if so get got just all out up would code codes light does do did idle bank sensor fuel then now ' +
    'how why which where one new too very only as by an about its than them some been still miles'
  ).split(' '),
);
/** Small words of the languages that are likeliest here, none of which is an English word. */
const others = new Set(
  (
    'der die das und ist ich nicht mit ein eine auf wenn mein bei auch wie hat den dem zu im beim sehr oder aber nach habe wird kein ' +
    'el la los las es un una que no con por para mi pero del muy cuando tiene mas se al coche motor en le les et est une des qui que pas avec ' +
    'dans sur mon pour je ce au du quand voiture moteur mais il elle lo di che non con per una sono quando macchina della nel ' +
    'het een van niet maar mijn ik bij og jeg ikke det er som med til o os um uma com nao meu carro samochod nie jest sie na w z jak bir ve bu icin'
  )
    .split(' ')
    .filter(
      (word) =>
        !english.has(word) &&
        ![
          'die',
          'no',
          'la',
          'il',
          'motor',
          'os',
          'o',
          'w',
          'z',
          'er',
          'mi',
          'van',
          'pas',
          'per',
          'con',
          'un',
          'se',
          'en',
          'al',
          'na',
          'elle',
          'med',
          'les',
          'ce',
        ].includes(word),
    ),
);

/** Counts small words: a text of another language is full of its own and has few of ours. */
function countsAsEnglish(sample: string): boolean {
  let ours = 0;
  let theirs = 0;
  let words = 0;
  for (const [word] of sample.matchAll(/[\p{L}']{1,30}/gu)) {
    words += 1;
    if (english.has(word)) ours += 1;
    else if (others.has(word.normalize('NFD').replace(/\p{M}/gu, ''))) theirs += 1;
    else if (/[ßñçøåæãõœłşğ]/u.test(word)) theirs += 1;
  }
  if (words < 4 && theirs < 2) return true;
  return theirs < 2 || theirs <= ours * 0.7;
}
