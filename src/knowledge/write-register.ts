// `npx tsx src/knowledge/write-register.ts FILE`: turns the fuel-economy list of the US environment agency (CSV: make, model, year, drive,
// cyl, displ, fuel, hwy, cty) into knowledge/register/us-certified.yaml, which is all that the program reads. To be run again only when
// the list changes.
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { loadKnowledgeFolder } from './load-folder.ts';

const place = fileURLToPath(new URL('../../knowledge/register/us-certified.yaml', import.meta.url));

const heading = `# Cars certified in the United States, model years 1984 to 2015, from the agency's list (source). Written by src/knowledge/write-register.ts;
# not to be edited by hand. One entry a make: id (of knowledge/makes) and cars, one line a model:
#   Camry | 4/2.4/F/r 02-03=98-101 04=97 | 6/3.0/F/r 02=112
# cylinders / litres / drives (F front, R rear, A all wheels) / fuel (r regular, p premium, d diesel), then model years with the lowest
# and highest combined consumption of the gearboxes offered, in tenths of L/100 km. Combined: 55 % city, 45 % highway, as the agency does.
`;

/** Litres per 100 km at one mile per US gallon. Source: NIST SP 811 (1 mi = 1.609344 km, 1 gal = 3.785411784 L). */
const oneMpg = (100 * 3.785411784) / 1.609344;

interface Row {
  readonly make: string;
  readonly model: string;
  readonly year: number;
  readonly engine: string;
  readonly drive: string;
  readonly fuel: string;
  /** Tenths of L/100 km. */
  readonly consumption: number;
}

const file = process.argv[2];
if (file === undefined) {
  process.stderr.write('name the CSV file to read\n');
  process.exitCode = 1;
} else {
  const rows = readRows(readFileSync(file, 'utf8'));
  const makes = loadKnowledgeFolder().makes.map((make) => ({ id: make.id, names: [make.name, ...make.words] }));
  const entries = makes.flatMap(({ id, names }) => {
    const own = rows.filter((row) => names.some((name) => name.toLowerCase() === row.make.toLowerCase()));
    if (own.length === 0) return [];
    const lines = writeLines(own).map((line) => `    ${line}`);
    return [`- id: ${id}\n  cars: |-\n${lines.join('\n')}\n  source: us-epa-fuel-economy\n`];
  });
  writeFileSync(place, heading + entries.join(''));
  process.stdout.write(`${rows.length} cars read, ${entries.length} makes written\n`);
}

function readRows(text: string): Row[] {
  const [head, ...lines] = text.split('\n').filter((line) => line.trim() !== '');
  const titles = splitRow(head!);
  return lines.flatMap((line): Row[] => {
    const cells = splitRow(line);
    const cell = (title: string) => cells[titles.indexOf(title)] ?? '';
    const [cylinders, litres, city, highway] = ['cyl', 'displ', 'cty', 'hwy'].map((title) => Number(cell(title))) as [
      number,
      number,
      number,
      number,
    ];
    const fuel = /^diesel/i.test(cell('fuel')) ? 'd' : /^premium/i.test(cell('fuel')) ? 'p' : 'r';
    if (!(cylinders > 0 && litres > 0 && city > 0 && highway > 0) || /^(CNG|Electricity)$/.test(cell('fuel')))
      return [];
    return [
      {
        make: cell('make'),
        model: cell('model').replaceAll('|', '/').replaceAll(/\s+/g, ' ').trim(),
        year: Number(cell('year')),
        engine: `${cylinders}/${litres.toFixed(1)}`,
        drive: /front/i.test(cell('drive')) ? 'F' : /rear|2-wheel/i.test(cell('drive')) ? 'R' : 'A',
        fuel,
        consumption: Math.round(10 * oneMpg * (0.55 / city + 0.45 / highway)),
      },
    ];
  });
}

/** Cells of a row whose strings stand in quotes and hold none. */
function splitRow(line: string): string[] {
  return [...line.matchAll(/"([^"]*)"|([^,"]+)|(?<=,)(?=,|$)/g)].map((match) => match[1] ?? match[2] ?? '');
}

function writeLines(rows: readonly Row[]): string[] {
  return sorted(groupBy(rows, (row) => row.model)).map(([model, own]) => {
    const engines = sorted(groupBy(own, (row) => `${row.engine}/${row.fuel}`)).map(([engine, same]) => {
      const [cylinders, litres, fuel] = engine.split('/');
      const drives = ['F', 'R', 'A'].filter((drive) => same.some((row) => row.drive === drive)).join('');
      return `${cylinders}/${litres}/${drives}/${fuel} ${writeYears(same)}`;
    });
    return [model, ...engines].join(' | ');
  });
}

/** Years with their span of consumption; years that follow each other with the same span are one item. */
function writeYears(rows: readonly Row[]): string {
  const items: Array<{ first: number; last: number; span: string }> = [];
  for (const [year, own] of [...groupBy(rows, (row) => row.year)].sort((a, b) => a[0] - b[0])) {
    const [low, high] = [
      Math.min(...own.map((row) => row.consumption)),
      Math.max(...own.map((row) => row.consumption)),
    ];
    const span = low === high ? String(low) : `${low}-${high}`;
    const before = items.at(-1);
    if (before && before.last === year - 1 && before.span === span) before.last = year;
    else items.push({ first: year, last: year, span });
  }
  const short = (year: number) => String(year % 100).padStart(2, '0');
  return items
    .map(({ first, last, span }) => `${short(first)}${last > first ? `-${short(last)}` : ''}=${span}`)
    .join(' ');
}

function groupBy<Item, Key>(items: readonly Item[], keyOf: (item: Item) => Key): Map<Key, Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) groups.set(keyOf(item), [...(groups.get(keyOf(item)) ?? []), item]);
  return groups;
}

function sorted<Item>(groups: Map<string, Item>): Array<[string, Item]> {
  return [...groups].sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
}
