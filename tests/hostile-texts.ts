// Texts that try to become something else on a page: markup, script, attribute breakouts, style, addresses, templates, control
// signs, direction marks, long words, broken characters. Tests of the pages put them everywhere a person's words can stand.

/** Sets `window.hacked` where any of them comes alive. */
const attack = 'window.hacked=1';

const elements = [
  `<script>${attack}</script>`,
  `<SCRIPT SRC=//other.invalid/x.js></SCRIPT>`,
  `<img src=x onerror=${attack}>`,
  `<img src="https://other.invalid/pixel.png">`,
  `<svg onload=${attack}></svg>`,
  `<svg><script>${attack}</script></svg>`,
  `<svg><animate onbegin=${attack} attributeName=x dur=1s>`,
  `<math><mtext></form><form><mglyph><style></math><img src onerror=${attack}>`,
  `<iframe src="javascript:parent.${attack}"></iframe>`,
  `<iframe srcdoc="<script>parent.${attack}</script>"></iframe>`,
  `<object data="javascript:${attack}"></object>`,
  `<embed src="https://other.invalid/x.swf">`,
  `<link rel=stylesheet href=https://other.invalid/x.css>`,
  `<link rel=prefetch href=https://other.invalid/x>`,
  `<meta http-equiv=refresh content="0;url=https://other.invalid/">`,
  `<base href="https://other.invalid/">`,
  `<style>body{background:url(https://other.invalid/x)}</style>`,
  `<a href="javascript:${attack}">press</a>`,
  `<a href="https://other.invalid/" ping="https://other.invalid/p">press</a>`,
  `<body onload=${attack}>`,
  `<video><source onerror=${attack}></video>`,
  `<audio src=x onerror=${attack}></audio>`,
  `<details open ontoggle=${attack}>x</details>`,
  `<input autofocus onfocus=${attack}>`,
  `<select autofocus onfocus=${attack}></select>`,
  `<form action="https://other.invalid/"><button>send</button></form>`,
  `<button formaction="https://other.invalid/">send</button>`,
  `<template><script>${attack}</script></template>`,
  `<noscript><p title="</noscript><img src=x onerror=${attack}>">`,
  `<marquee onstart=${attack}>x</marquee>`,
  `<table background="https://other.invalid/x"><tr><td>x</table>`,
  `<plaintext>`,
  `<!--`,
  `--><script>${attack}</script>`,
  `<![CDATA[<script>${attack}</script>]]>`,
  `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>&e;`,
];

const breakouts = [
  `"><script>${attack}</script>`,
  `'><script>${attack}</script>`,
  `" onmouseover="${attack}" x="`,
  `' onfocus='${attack}' autofocus='`,
  `\` onclick=${attack} \``,
  `</textarea><script>${attack}</script>`,
  `</title><script>${attack}</script>`,
  `</script><script>${attack}</script>`,
  `</style><img src=x onerror=${attack}>`,
  `</div></div></article></main><h1>signed in as owner</h1>`,
  `</mark></a><b>x`,
  `<<script>script>${attack}<</script>/script>`,
  `<scr\u0000ipt>${attack}</scr\u0000ipt>`,
  `<img/src/onerror=${attack}>`,
  `<img src=x\tonerror\n=\n${attack}>`,
  `\u3008script\u3009 \uff1cscript\uff1e${attack}\uff1c/script\uff1e`,
  `&lt;script&gt;${attack}&lt;/script&gt;`,
  `&#60;script&#62;${attack}&#60;/script&#62;`,
  `&#x3c;img src=x onerror=${attack}&#x3e;`,
  `\\u003cscript\\u003e${attack}\\u003c/script\\u003e`,
  `%3Cscript%3E${attack}%3C/script%3E`,
  `+ADw-script+AD4-${attack}+ADw-/script+AD4-`,
];

const markdown = [
  `[press](javascript:${attack})`,
  `![x](https://other.invalid/pixel.png)`,
  `**<img src=x onerror=${attack}>**`,
  `- <script>${attack}</script>`,
  `**bold - **not** closed **<b>`,
  `****`,
  `** **`,
  `- `,
  '```html\n<script>window.hacked=1</script>\n```',
  `<https://other.invalid/>`,
  `# heading\n\n> quote\n\n***\n\n| a | b |`,
];

const templates = [
  `{{constructor.constructor('${attack}')()}}`,
  `\${${attack}}`,
  `<%= ${attack} %>`,
  `#{${attack}}`,
  `{% raw %}<script>${attack}</script>`,
  `'); DROP TABLE posts; --`,
  `$where: '1'`,
  `__proto__`,
  `constructor`,
  `=HYPERLINK("https://other.invalid/","x")`,
];

const signs = [
  `\u202e cod 1710P\u202c`,
  `\u2066\u2067\u2068 nested \u2069\u2069`,
  `\u200f\u0627\u0644\u0645\u062d\u0631\u0643 P0171`,
  `zero\u200bwidth\u200cjoin\u200der\ufeff`,
  `\u0000\u0001\u0002\u0007\u0008\u001b[31m\u007f\u0085`,
  `a\u0000b`,
  `\ud800 half \udfff pair`,
  `\ud83d\udd27 \ud83d\udc68\u200d\ud83d\udd27`,
  `e${'\u0301'.repeat(500)}`,
  `\u2028line\u2029paragraph`,
  `\r\n\r\n\t\v\f`,
  `W${'o'.repeat(20_000)}w`,
  `${'https://other.invalid/'.repeat(500)}`,
  `${'<'.repeat(5_000)}`,
  `${'&'.repeat(5_000)}`,
  `${'**'.repeat(5_000)}`,
  `${'\n'.repeat(5_000)}x`,
  `${'- x\n'.repeat(2_000)}`,
  `@everyone @here <!channel> <@1>`,
  `\ufdd0 \uffff \ufffe`,
];

export const hostileTexts: readonly string[] = [...elements, ...breakouts, ...markdown, ...templates, ...signs];

/** Every markup attack behind every breakout: more than the 300 that a browser test asks for. */
export const combinedTexts: readonly string[] = breakouts
  .slice(0, 12)
  .flatMap((breakout) => elements.map((element) => `${breakout}${element}`));
