// What the pages load beside themselves: one stylesheet, one script, one icon. Served by us under names that change with their
// content, so that they may be kept for ever. web-chat.tsx mounts them for the whole program.
import { Hono } from 'hono';
import { bayScript } from './bay-script.ts';
import { chatScript } from './chat-script.ts';
import { markSvg } from './mark.ts';
import { stylesheet } from './stylesheet.ts';

const files = {
  'pages.css': { type: 'text/css; charset=utf-8', text: stylesheet },
  'chat.js': { type: 'text/javascript; charset=utf-8', text: chatScript },
  'bay.js': { type: 'text/javascript; charset=utf-8', text: bayScript },
  'mark.svg': { type: 'image/svg+xml; charset=utf-8', text: markSvg },
} as const;
type AssetName = keyof typeof files;

/** `pages.css` -> `/assets/pages-1a2b3c4d.css` */
export function addressOf(name: AssetName): string {
  return `/assets/${hashedName(name)}`;
}

/** Mounted at `/assets`. An old or unknown name is not found. */
export function assets(): Hono {
  const byName = new Map((Object.keys(files) as AssetName[]).map((name) => [hashedName(name), files[name]]));
  return new Hono().get('/:name', (context) => {
    const file = byName.get(context.req.param('name'));
    if (!file) return context.notFound();
    return context.body(file.text, 200, {
      'Content-Type': file.type,
      'Cache-Control': 'public, max-age=31536000, immutable',
    });
  });
}

function hashedName(name: AssetName): string {
  const [stem, ending] = name.split('.');
  return `${stem}-${contentHash(files[name].text)}.${ending}`;
}

/** FNV-1a, 32 bit: tells two versions of our own files apart; it protects nothing. Source: from memory */
function contentHash(text: string): string {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}
