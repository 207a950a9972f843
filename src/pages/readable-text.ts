// Text from outside made fit for a page: every sign that could hide, turn round or cut what stands there becomes visible or
// goes. The chat and the bay call it on all words of people; escaping for HTML is done where the page is written.

/** Signs that change the direction or the look of the text after them, or that cannot be seen. */
const hidden = /[\u00ad\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ufff9-\ufffb]/g;

/** Control signs but tab and line feed. */
const control = /[^\P{Cc}\t\n]/gu;

const halfPair = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/** For people who must see what was really written: hidden signs are named, `[U+202E]`. The writer's words stay as they are. */
export function showHidden(text: string): string {
  return text.replace(control, nameOf).replace(hidden, nameOf).replace(halfPair, '\ufffd');
}

/** For the reader of a chat: hidden signs are left out, lines and tabs stay. */
export function dropHidden(text: string): string {
  return text
    .replaceAll('\r\n', '\n')
    .replace(control, '')
    .replace(hidden, (sign) => (sign === '\u200d' ? sign : ''))
    .replace(halfPair, '\ufffd');
}

function nameOf(sign: string): string {
  return `[U+${sign.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}]`;
}
