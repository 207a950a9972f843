// `npx tsx tests/advice/pictures/print-pictures.ts FOLDER`: the pictures of real answers, one for each kind of engine and of figures, as SVG
// and PNG files, to be looked at by a person at the size of a phone.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { drawPicture } from '../../../src/advice/pictures/picture.ts';
import { answerPost } from '../../../src/answer.ts';
import { resvgOnNode } from '../../../src/imaging/resvg-on-node.ts';
import { knowledge } from '../build.ts';

const posts: Readonly<Record<string, { text: string; log?: string }>> = {
  'v6-across-the-car': { text: 'Where is bank 1 sensor 2 on a 2004 Toyota Camry V6?' },
  'in-line-four-across-the-car': { text: 'Where is bank 1 sensor 1 on a 2003 Saab 9-5 2.3?' },
  'v8-lengthwise': { text: 'Where is bank 2 sensor 1 on a 2004 Chevrolet Silverado 5.3?' },
  'flat-four': { text: 'Where is bank 1 sensor 1 on a 2005 Subaru Outback 2.5?' },
  'in-line-six-two-manifolds': { text: 'Where is bank 2 sensor 2 on a 2002 BMW 330i?' },
  'v6-joined-exhaust': { text: 'Where is bank 1 sensor 1 on a 2000 Buick LeSabre 3.8 V6?' },
  'flat-six-behind-the-seats': { text: 'Where is bank 1 sensor 2 on a 2005 Porsche 911 3.6?' },
  'narrow-v-across-the-car': { text: 'Where is bank 1 sensor 2 on a 1996 Volkswagen Golf VR6?' },
  rotary: { text: 'Where is bank 1 sensor 1 on a 2005 Mazda RX-8?' },
  'bank-not-known': { text: 'Where is bank 1 sensor 1 on a 2006 Nissan Titan?' },
  figures: {
    text: 'P0171. Idle: short term trim +12 %, long term trim +14 %. 2500 rpm: short term trim +2 %, long term trim +4 %.',
  },
  log: { text: 'P0420, here is a log of a drive.', log: 'log-corsa-2012/segment-12.csv' },
};

const folder = process.argv[2];
if (folder === undefined) {
  process.stderr.write('name the folder to write to\n');
  process.exitCode = 1;
} else {
  mkdirSync(folder, { recursive: true });
  const render = resvgOnNode();
  const nameOfFault = (id: string) => knowledge.faults.byId.get(id)?.name ?? id;
  for (const [name, { text, log }] of Object.entries(posts)) {
    const attachments = log
      ? [{ name: 'log.csv', text: readFileSync(new URL(`../../data/${log}`, import.meta.url), 'utf8') }]
      : [];
    const { answer } = answerPost({ id: name, text, attachments }, null, knowledge);
    if (answer.pictures.length === 0) process.stdout.write(`${name}: no picture\n`);
    for (const [index, picture] of answer.pictures.entries()) {
      const drawing = drawPicture(picture.address.slice('/pictures/'.length), nameOfFault);
      if (drawing === null) throw new Error(`${picture.address} is not drawn`);
      const file = join(folder, `${name}-${index + 1}-${picture.about}`);
      writeFileSync(`${file}.svg`, drawing);
      writeFileSync(`${file}.png`, await render(drawing));
      process.stdout.write(`${file}.png: ${picture.alt}\n`);
    }
  }
}
