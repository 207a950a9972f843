// Makes posts with personal data in the forms that people type, and posts of readings and codes that hold none, always the same
// ones. All persons, numbers and places are invented: example domains (RFC 2606), numbers kept free for fiction, check digits by
// 49 CFR 565.15. mask-personal-data.test.ts counts what is masked.

/** One post; `secret` must not be found in it once it is masked. */
export interface LabelledText {
  readonly kind: string;
  readonly text: string;
  readonly secret: string;
}

/** A repeatable stream of numbers in 0..1 (a linear congruential generator, Numerical Recipes' constants). */
export function stream(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}

const frames = [
  'Hi all, {x}. The car idles rough, LTFT +18 and P0171.',
  'P0420 again. {x} if you need more. 123,456 miles, 2500 rpm fine.',
  'STFT -3.1, LTFT 12.5, 0.45 V at idle.\n{x}\nAny ideas?',
  '{x} - car is a 2004 Golf 1.6, CO 0.62 %, HC 180 ppm',
  'Can someone help? {x}. It stalls at lights.',
  'Lambda 1.03, coolant 92 C; {x}, thanks',
];

const makers = ['1HG', 'WVW', 'JT2', '1FT', 'WBA', 'VF3', 'SAJ', '2T1', 'KMH', 'YV1'];
const allowed = 'ABCDEFGHJKLMNPRSTUVWXYZ0123456789';
const values = '0123456789.ABCDEFGH..JKLMN.P.R..STUVWXYZ';
const weights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/** 17 places, the ninth the check digit of the rest (49 CFR 565.15: the value of a letter is its place in `values`, modulo 10). */
function vehicleNumber(next: () => number, isChecked: boolean): string {
  const pick = (from: string) => from[Math.floor(next() * from.length)]!;
  const places = [...makers[Math.floor(next() * makers.length)]!];
  while (places.length < 11) places.push(pick(allowed));
  while (places.length < 17) places.push(pick('0123456789'));
  const sum = places.reduce((total, place, index) => total + (values.indexOf(place) % 10) * weights[index]!, 0);
  const digit = sum % 11 === 10 ? 'X' : String(sum % 11);
  places[8] = isChecked ? digit : digit === '5' ? '6' : '5';
  return places.join('');
}

/** Posts that hold one piece of personal data each. */
export function personalPosts(count: number, seed: number): LabelledText[] {
  const next = stream(seed);
  const of = <Item>(list: readonly Item[]): Item => list[Math.floor(next() * list.length)]!;
  const digits = (length: number) => Array.from({ length }, () => Math.floor(next() * 10)).join('');
  const name = () => of(['pat', 'sam.doe', 'm_jones', 'kim-lee', 'r.o.brien42', 'ida', 'garage+p0420', 'lee99']);
  const host = () => of(['example.com', 'example.org', 'mail.example.net', 'shop.example.co.uk', 'example.edu']);
  const makeOne: ReadonlyArray<() => readonly [string, string, string]> = [
    () => {
      const number = vehicleNumber(next, true);
      const shown = next() < 0.25 ? number.toLowerCase() : number;
      return [
        'vin',
        of([`VIN ${shown}`, `my vin is ${shown}`, `${shown} is the number`, `VIN: ${shown}`, `vin#${shown}`]),
        shown.slice(10),
      ];
    },
    () => {
      const number = vehicleNumber(next, false);
      return [
        'vin',
        of([
          `VIN number: ${number}`,
          `chassis no. ${number}`,
          `chassis number is ${number}`,
          `Vin - ${number}`,
          `frame number ${number}`,
          `V.I.N. ${number}`,
        ]),
        number.slice(10),
      ];
    },
    () => {
      const mail = `${name()}@${host()}`;
      return [
        'mail',
        of([`mail me at ${mail}`, `<${mail}>`, `${mail} is best`, `e-mail: ${mail}.`, `(${mail})`]),
        mail,
      ];
    },
    () => {
      const [local, domain] = [name(), of(['example dot com', 'example dot org', 'mail dot example dot net'])];
      const text = of([
        `${local} at ${domain}`,
        `${local} (at) ${domain}`,
        `${local} [at] ${domain.replaceAll(' dot ', ' [dot] ')}`,
        `${local} AT ${domain.replaceAll('dot', 'DOT')}`,
        `${local}(at)${domain.replaceAll(' dot ', '(dot)')}`,
      ]);
      return ['mail', text, text];
    },
    () => {
      const text = of([
        `+44 7700 900${digits(3)}`,
        `+447700900${digits(3)}`,
        `+1-202-555-01${digits(2)}`,
        `+1 (202) 555-01${digits(2)}`,
        `+49 30 2312${digits(4)}`,
        `+33 1 99 00 ${digits(2)} ${digits(2)}`,
        `0044 7700 900${digits(3)}`,
        `+61 491 570 ${digits(3)}`,
      ]);
      return [
        'phone',
        of([`ring ${text}`, `${text} any time`, `my number is ${text}`, `tel ${text}`, `WhatsApp ${text}`]),
        text,
      ];
    },
    () => {
      const text = of([
        `(202) 555-01${digits(2)}`,
        `202-555-01${digits(2)}`,
        `202.555.01${digits(2)}`,
        `(020) 7946 0${digits(3)}`,
        `020 7946 0${digits(3)}`,
        `07700 900${digits(3)}`,
        `07700900${digits(3)}`,
        `0161 496 0${digits(3)}`,
        `1-800-555-01${digits(2)}`,
        `01 99 00 ${digits(2)} ${digits(2)}`,
        `0171 39200${digits(2)}`,
      ]);
      return [
        'phone',
        of([`call ${text}`, `phone ${text}`, `I am on ${text}`, `text me: ${text}`, `${text} after six`]),
        text,
      ];
    },
    () => {
      const text = of([`202 555 01${digits(2)}`, `20255501${digits(2)}`, `555 01${digits(2)}`, `79460${digits(3)}`]);
      return [
        'phone',
        of([
          `call me on ${text}`,
          `my phone number is ${text}`,
          `mobile: ${text}`,
          `you can reach me at ${text}`,
          `cell is ${text}`,
        ]),
        text,
      ];
    },
    () => {
      const latitude = (next() * 120 - 60).toFixed(4 + Math.floor(next() * 3));
      const longitude = (next() * 300 - 150).toFixed(4 + Math.floor(next() * 3));
      const text = of([
        `${latitude}, ${longitude}`,
        `${latitude},${longitude}`,
        `${latitude} ${longitude}`,
        `lat ${latitude} lon ${longitude}`,
        `${Math.abs(Number(latitude)).toFixed(5)}N ${Math.abs(Number(longitude)).toFixed(5)}W`,
        `${Math.abs(Number(latitude)).toFixed(4)}\u00b0 N, ${Math.abs(Number(longitude)).toFixed(4)}\u00b0 E`,
      ]);
      return [
        'position',
        of([`I am at ${text}`, `broke down here: ${text}`, `position ${text}`, `it stands at (${text})`]),
        text,
      ];
    },
    () => {
      const text = of([
        `+${10 + Math.floor(next() * 70)}.${digits(4)}-0${10 + Math.floor(next() * 80)}.${digits(4)}/`,
        `51\u00b0${10 + Math.floor(next() * 40)}'${10 + Math.floor(next() * 40)}"N 0\u00b0${10 + Math.floor(next() * 40)}'${10 + Math.floor(next() * 40)}"W`,
        `https://maps.example.com/?q=51.${digits(4)},-0.${digits(4)}`,
        `https://www.openstreetmap.org/#map=18/51.${digits(5)}/-0.${digits(5)}`,
        `geo:51.${digits(4)},-0.${digits(4)}`,
      ]);
      return ['position', of([`I am at ${text}`, `here: ${text}`, `see ${text} for where`]), text];
    },
    () => {
      const text = of([
        `${of(['AB', 'KT', 'LV', 'SE'])}${10 + Math.floor(next() * 60)} ${of(['ABC', 'XKR', 'JTZ'])}`,
        `B ${of(['AB', 'XY', 'M'])} ${1000 + Math.floor(next() * 8999)}`,
        `7${of(['ABC', 'XKR', 'JTZ'])}${digits(3)}`,
      ]);
      return [
        'plate',
        of([
          `reg is ${text}`,
          `licence plate ${text}`,
          `plate: ${text}`,
          `number plate ${text}`,
          `registration ${text}`,
        ]),
        text,
      ];
    },
    () => {
      const text = `${1 + Math.floor(next() * 200)} ${of(['Elm', 'Station', 'Old Mill', 'Park'])} ${of(['Street', 'Road', 'Lane', 'Avenue', 'Drive', 'Rd', 'St'])}`;
      return [
        'address',
        of([`I live at ${text}`, `shop is at ${text}, ring the bell`, `${text} is where it broke down`]),
        text,
      ];
    },
    () => [
      'account',
      of([
        'card 4111 1111 1111 1111',
        'GB29 NWBK 6016 1331 9268 19',
        'card no 5500-0000-0000-0004',
        'DE89 3704 0044 0532 0130 00',
      ]),
      '',
    ],
  ];
  return Array.from({ length: count }, (_, index) => {
    const [kind, piece, secret] = makeOne[index % makeOne.length]!();
    const text = of(frames).replace('{x}', () => piece);
    return { kind, text, secret: secret === '' ? piece.replace(/^card (?:no )?/, '') : secret };
  });
}

/** Posts of readings, codes, mileages and logs, without anything personal. */
export function readingPosts(count: number, seed: number): string[] {
  const next = stream(seed);
  const of = <Item>(list: readonly Item[]): Item => list[Math.floor(next() * list.length)]!;
  const number = (low: number, high: number, places: number) => (low + next() * (high - low)).toFixed(places);
  const row = (length: number, make: () => string, by: string) => Array.from({ length }, make).join(by);
  const pieces: ReadonlyArray<() => string> = [
    () => `O2 ${row(6, () => number(0.05, 0.95, of([1, 2, 3])), of([' ', ', ', '; ', ' / ']))} V`,
    () => `LTFT ${of(['+', '-', ''])}${number(0, 30, 1)} STFT ${of(['+', '-'])}${number(0, 20, 2)}`,
    () => row(4, () => `P0${Math.floor(100 + next() * 800)}`, of([' ', ', ', '/'])),
    () =>
      `${Math.floor(next() * 250000)} miles, ${Math.floor(600 + next() * 5000)} rpm, ${Math.floor(next() * 120)} mph`,
    () => `${Math.floor(10 + next() * 240)},${String(Math.floor(100 + next() * 899))} km on the clock`,
    () =>
      row(
        8,
        () =>
          Math.floor(next() * 256)
            .toString(16)
            .toUpperCase()
            .padStart(2, '0'),
        ' ',
      ),
    () =>
      `7E8 0${Math.floor(2 + next() * 5)} 41 ${row(
        6,
        () =>
          Math.floor(next() * 256)
            .toString(16)
            .toUpperCase()
            .padStart(2, '0'),
        ' ',
      )}`,
    () => row(5, () => number(0, 40, 4), of([', ', ',', ' ', ';', '\t'])),
    () =>
      `20${Math.floor(10 + next() * 15)}-0${Math.floor(1 + next() * 8)}-1${Math.floor(next() * 9)} 10:${Math.floor(10 + next() * 49)}:0${Math.floor(next() * 9)} ${row(4, () => number(0, 99, 4), ' ')}`,
    () =>
      `CO ${number(0, 5, 2)} HC ${Math.floor(next() * 900)} CO2 ${number(10, 16, 1)} O2 ${number(0, 3, 2)} lambda ${number(0.9, 1.1, 3)}`,
    () =>
      `fuel pressure ${Math.floor(30 + next() * 40)} psi, compression ${row(4, () => String(Math.floor(120 + next() * 80)), of(['-', ' ', ', ', '/']))}`,
    () =>
      `coolant ${Math.floor(60 + next() * 50)} C, MAF ${number(2, 6, 2)} g/s, MAP ${Math.floor(25 + next() * 70)} kPa, ${number(12, 14.5, 1)} V`,
    () => `misfire counts ${row(6, () => String(Math.floor(next() * 400)), of([' ', ', ', '-']))}`,
    () => `timing ${number(5, 30, 1)} deg, load ${number(10, 90, 1)} %, throttle ${number(0, 100, 1)} %`,
    () => `part no ${of(['0 258 006 537', '234-4668', '06A 906 262 BR', '89465-12345', '1K0 998 262 D'])} fitted`,
    () => `firing order 1-3-4-2, gap 0.044, torque ${Math.floor(20 + next() * 30)} Nm, tyre 205/55 R16`,
    () => `averages ${row(4, () => number(15, 45, 1), ' ')} mpg over ${Math.floor(200 + next() * 400)} miles`,
    () => `1.98 volts then ${number(0, 2, 4)} ${number(0, 2, 4)} and ${number(-10, 10, 4)} ${number(-10, 10, 4)}`,
  ];
  return Array.from({ length: count }, () => `${of(pieces)()}${of(['. ', '\n', ', then '])}${of(pieces)()}`);
}
