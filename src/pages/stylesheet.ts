// The pages' one stylesheet, as text: the look of a workshop's log sheet, ruled lines and a narrow column for who and when.
// assets.ts serves it. Colours are named once, for light and dark; every pair that carries text has a contrast of 4.5 or more.

const colours = `
:root {
  color-scheme: light dark;
  --paper: #f6f4ee; --sheet: #fffefa; --ink: #1d2426; --faint: #586064; --rule: #cfcabb; --strong-rule: #123b42;
  --accent: #0d5560; --on-accent: #ffffff; --signal: #b4480c; --tint: #e9f0ec; --field: #ffffff;
  --danger: #9d1f14; --danger-tint: #fbe9e4; --warn-tint: #fdf1d8; --warn-ink: #6a4700; --good: #1f6637; --mark: #ffe9b3; --mark-denied: #e3e0ef;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #14191a; --sheet: #1b2223; --ink: #e6e8e3; --faint: #a3adab; --rule: #3a4445; --strong-rule: #6fa5a4;
    --accent: #7cc4c1; --on-accent: #0b1f21; --signal: #f2a03d; --tint: #202d2c; --field: #101516;
    --danger: #ff9c8a; --danger-tint: #3a1d19; --warn-tint: #362b14; --warn-ink: #f4cf86; --good: #86d39b; --mark: #5a4611; --mark-denied: #37344a;
  }
}
`;

const base = `
*, *::before, *::after { box-sizing: border-box; }
html { font: 100%/1.5 system-ui, sans-serif; background: var(--paper); color: var(--ink); }
body { margin: 0; min-height: 100vh; display: flex; flex-direction: column; }
h1, h2, h3 { line-height: 1.25; margin: 0 0 .5rem; }
h1 { font-size: 1.45rem; } h2 { font-size: 1.12rem; } h3 { font-size: 1rem; }
p { margin: 0 0 .6rem; } ul, ol { margin: 0 0 .6rem; padding-left: 1.3rem; }
a { color: var(--accent); text-underline-offset: .15em; }
.words, bdi, td, mark, pre, textarea, li, p { overflow-wrap: anywhere; }
:focus-visible { outline: 3px solid var(--signal); outline-offset: 2px; }
main:focus { outline: none; }
.skip { position: absolute; left: -999rem; } .skip:focus { left: .5rem; top: .5rem; background: var(--sheet); padding: .5rem; z-index: 2; }
.top { display: flex; flex-wrap: wrap; align-items: center; gap: .5rem 1.2rem; padding: .6rem 1rem; background: var(--sheet); border-bottom: 3px double var(--strong-rule); }
.top .name { display: inline-flex; align-items: center; gap: .5rem; font-weight: 700; color: var(--ink); text-decoration: none; margin-right: auto; }
.top form { margin: 0; } .top nav { display: flex; flex-wrap: wrap; gap: .2rem 1rem; }
.top nav a[aria-current] { color: var(--ink); font-weight: 600; text-decoration: none; border-bottom: 3px solid var(--signal); }
.middle { stroke: var(--faint); stroke-width: 1.2; stroke-dasharray: 3 2; fill: none; }
.trace { stroke: var(--signal); stroke-width: 2.6; fill: none; stroke-linecap: round; }
main { flex: 1; width: 100%; max-width: 62rem; margin: 0 auto; padding: 1rem; }
.foot { color: var(--faint); font-size: .9rem; width: 100%; max-width: 62rem; margin: 0 auto; padding: .5rem 1rem 1.5rem; border-top: 1px solid var(--rule); }
button, .button { font: inherit; font-weight: 600; min-height: 2.6rem; padding: .4rem .95rem; border: 1px solid var(--accent); border-radius: 3px; background: var(--accent); color: var(--on-accent); cursor: pointer; }
button.plain { background: transparent; color: var(--accent); } button.grave { background: transparent; color: var(--danger); border-color: var(--danger); }
button:disabled { opacity: .6; cursor: progress; }
textarea, input[type=text], select { font: inherit; color: inherit; width: 100%; padding: .55rem .65rem; border: 1px solid var(--faint); border-radius: 3px; background: var(--field); }
textarea { resize: vertical; min-height: 6.5rem; } label { display: block; font-weight: 600; margin-bottom: .25rem; }
fieldset { border: 1px solid var(--rule); border-radius: 3px; margin: 0 0 .8rem; padding: .6rem .8rem; min-width: 0; } legend { font-weight: 600; padding: 0 .3rem; }
.hint { color: var(--faint); font-size: .92rem; font-weight: 400; } time { color: var(--faint); }
.row { display: flex; flex-wrap: wrap; gap: .5rem .8rem; align-items: center; }
.note { padding: .6rem .8rem; border-left: 5px solid var(--signal); background: var(--warn-tint); margin: 0 0 .8rem; }
.note.grave { border-color: var(--danger); background: var(--danger-tint); }
[hidden] { display: none !important; }
@media (prefers-reduced-motion: no-preference) { html { scroll-behavior: smooth; } }
`;

const chat = `
.chat main, .chat .foot { max-width: 50rem; } .chat main { display: flex; flex-direction: column; gap: 1rem; }
.entry { display: grid; grid-template-columns: 8.5rem minmax(0, 1fr); border-top: 1px solid var(--rule); background: var(--sheet); }
.entry:last-child { border-bottom: 1px solid var(--rule); }
.entry > header { padding: .7rem .8rem; border-right: 2px solid var(--rule); font-size: .9rem; }
.entry > header h2 { font-size: .95rem; margin: 0; } .entry > div { padding: .7rem .9rem; min-width: 0; }
.words > :last-child { margin-bottom: 0; }
.entry.reply > div { background: var(--tint); } .entry.reply > header { border-color: var(--strong-rule); }
.entry.person > header, .entry.correction > header { border-color: var(--signal); }
.entry.withdrawal > header { border-color: var(--danger); }
.entry[data-standing=withdrawn] .words { color: var(--faint); text-decoration: line-through; }
.standing { font-weight: 600; color: var(--danger); }
.entry.post .words { white-space: pre-wrap; }
.pictures { margin-top: .6rem; } .pictures summary { cursor: pointer; } .pictures .picture { display: block; margin: .6rem 0 0; }
.entry[data-standing=withdrawn] .pictures { display: none; }
.quick fieldset { background: var(--sheet); border-color: var(--strong-rule); } .quick legend { float: left; width: 100%; padding: 0 0 .5rem; } .quick legend + * { clear: both; }
.progress { width: 100%; } .attached { margin: .3rem 0 0; font-style: italic; }
.log-file { margin: .6rem 0 0; } .log-file input { font: inherit; max-width: 100%; min-height: 2rem; }
.status { color: var(--faint); margin: .5rem 0 0; } .status:empty { display: none; } .status.failed { color: var(--danger); font-weight: 600; }
.write { border: 1px solid var(--strong-rule); background: var(--sheet); padding: .8rem; }
.opening { background: var(--sheet); border: 1px solid var(--rule); padding: 1rem; }
details > summary { cursor: pointer; font-weight: 600; min-height: 2rem; }
@media (max-width: 36rem) {
  main { padding: .7rem; } .entry { grid-template-columns: minmax(0, 1fr); }
  .entry > header { border-right: 0; border-left: 5px solid var(--rule); padding: .4rem .7rem; display: flex; gap: .8rem; flex-wrap: wrap; align-items: baseline; }
}
`;

const bay = `
.bay main > section, .bay main > article { background: var(--sheet); border: 1px solid var(--rule); padding: .9rem 1rem; margin: 0 0 1rem; min-width: 0; }
.sheet { list-style: none; padding: 0; margin: 0; }
.sheet > li { border-top: 1px solid var(--rule); padding: .7rem 0 .7rem .8rem; border-left: 6px solid transparent; }
.sheet > li.stop { border-left-color: var(--ink); } .sheet > li.limit { border-left: 6px double var(--ink); }
.sheet a.post { font-weight: 600; display: block; color: var(--ink); } .facts { display: flex; flex-wrap: wrap; gap: .1rem 1rem; margin: .2rem 0 0; color: var(--faint); font-size: .92rem; }
.tag { display: inline-block; padding: 0 .45rem; border: 1px solid currentColor; border-radius: 2px; font-size: .85rem; font-weight: 600; color: var(--faint); }
.tag.halt { color: var(--sheet); background: var(--ink); border-color: var(--ink); } .tag.gentle { color: var(--ink); border-width: 2px; }
.tag.danger { color: var(--danger); } .tag.signal { color: var(--signal); } .tag.good { color: var(--good); }
.written { white-space: pre-wrap; border-left: 3px solid var(--rule); padding-left: .8rem; margin: 0 0 .8rem; line-height: 1.9; }
mark { background: var(--mark); color: inherit; padding: .1rem .1rem; border-bottom: 2px solid var(--signal); }
mark.denied { background: var(--mark-denied); border-bottom-style: dashed; } mark.unsure { border-bottom-style: dotted; }
.read { font-size: .8rem; font-weight: 600; color: var(--accent); border: 1px solid var(--rule); border-radius: 2px; background: var(--sheet); padding: 0 .3rem; margin: 0 .15rem; white-space: normal; text-decoration: none; }
.cause { border-top: 1px solid var(--rule); padding: .6rem 0; } .cause h3 { display: flex; gap: .6rem; justify-content: space-between; margin-bottom: .2rem; }
.share { display: block; width: 100%; height: .6rem; } .share .all { fill: var(--rule); } .share .part { fill: var(--accent); }
.evidence { list-style: none; padding: 0; margin: .4rem 0 0; font-size: .94rem; } .evidence li { display: grid; grid-template-columns: 5.2rem minmax(0, 1fr); gap: .5rem; }
.bits { font-variant-numeric: tabular-nums; text-align: right; font-weight: 600; } .for .bits { color: var(--good); } .against .bits { color: var(--danger); }
.scroll { overflow-x: auto; } table { border-collapse: collapse; width: 100%; font-size: .94rem; } th, td { text-align: left; vertical-align: top; padding: .35rem .6rem .35rem 0; border-top: 1px solid var(--rule); }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; } thead th { border-top: 0; color: var(--faint); }
.turn { border-top: 1px solid var(--rule); padding: .5rem 0; } .turn h3 { font-size: .92rem; color: var(--faint); margin-bottom: .2rem; } .turn .words { white-space: normal; }
.turn.this { border-left: 5px solid var(--signal); padding-left: .7rem; }
.filters { display: grid; grid-template-columns: repeat(auto-fit, minmax(9rem, 1fr)); gap: .6rem; align-items: end; margin-bottom: .8rem; }
.bay .top { gap: .3rem .9rem; font-size: .95rem; } .bay .top nav a { display: inline-flex; align-items: center; min-height: 1.75rem; } .bay .top form.row { flex-wrap: nowrap; gap: .6rem; } .bay .top button { min-height: 2.1rem; padding: .2rem .7rem; }
.filters > button { justify-self: start; padding-inline: 1.6rem; } .bay section form > select, .bay section form > input[type=text] { margin-bottom: .6rem; } .bay section > .picture { margin: .3rem .6rem .3rem 0; vertical-align: top; }
.filters .wide { grid-column: 1 / -1; margin: 0; } .sheet-form { background: var(--sheet); border: 1px solid var(--rule); padding: .7rem 1rem; margin: 0 0 1rem; }
.choice { display: flex; gap: .5rem; align-items: baseline; font-weight: 400; padding: .25rem 0; }
.bay main > .facts { margin: 0 0 .8rem; } form + form { margin-top: .8rem; } .bay form > button { margin-top: .3rem; }
.two { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 24rem), 1fr)); gap: 0 1rem; align-items: start; } .two > * { background: var(--sheet); border: 1px solid var(--rule); padding: .9rem 1rem; margin: 0 0 1rem; min-width: 0; }
.packed { columns: 24rem 2; column-gap: 1rem; margin-bottom: 1rem; } .packed > * { break-inside: avoid; }
.bay .packed > section { background: var(--sheet); border: 1px solid var(--rule); padding: .9rem 1rem; margin: 0 0 1rem; } .picture { max-width: 100%; height: auto; }
details.change { border-top: 1px solid var(--rule); padding: .3rem 0; } details.change > summary { font-weight: 400; padding: .2rem 0; } details.change .filters { margin: .4rem 0; }
.stack > section { background: var(--sheet); border: 1px solid var(--rule); padding: .9rem 1rem; margin: 0 0 1rem; min-width: 0; } del { color: var(--faint); } ins { text-decoration: none; border-bottom: 2px solid var(--signal); }
tbody th { font-weight: 400; } .two.plain > * { border: 0; padding: 0; background: none; } .plain-list { list-style: none; padding: 0; } .plain-list li { border-top: 1px solid var(--rule); padding: .35rem 0; }
.plot { display: block; width: 100%; max-width: 24rem; height: auto; } .plot .grid { stroke: var(--rule); stroke-width: 1; } .plot .even { stroke: var(--faint); stroke-width: 1.5; stroke-dasharray: 4 3; }
.plot .span { stroke: var(--accent); stroke-width: 2; } .plot .point { fill: var(--accent); } .plot text { fill: var(--faint); font-size: 11px; } .plot .name { fill: var(--ink); font-size: 12px; }
pre.diff { overflow-x: auto; white-space: pre-wrap; background: var(--paper); border: 1px solid var(--rule); padding: .6rem .8rem; margin: 0; } progress { width: 100%; height: 1.1rem; accent-color: var(--accent); }
@media (max-width: 30rem) { .evidence li { grid-template-columns: 4.4rem minmax(0, 1fr); } }
`;

export const stylesheet = [colours, base, chat, bay].join('');
