// Codes that say the same thing of different banks. Fault files name codes for bank 1; here is what they become on bank 2, and
// the bank that a code names. The pairs are the open standard's own numbering (SAE J2012, ISO 15031-6).

/** [bank 1, bank 2]. */
const pairs: ReadonlyArray<readonly [string, string]> = [
  // Correction at its limit: anywhere, at idle, off idle, malfunction.
  ['P0171', 'P0174'],
  ['P0172', 'P0175'],
  ['P0170', 'P0173'],
  ['P2187', 'P2189'],
  ['P2188', 'P2190'],
  ['P2177', 'P2179'],
  ['P2178', 'P2180'],
  ['P2096', 'P2098'],
  ['P2097', 'P2099'],
  // Front sensor.
  ['P0130', 'P0150'],
  ['P0131', 'P0151'],
  ['P0132', 'P0152'],
  ['P0133', 'P0153'],
  ['P0134', 'P0154'],
  ['P0135', 'P0155'],
  ['P0030', 'P0050'],
  ['P0031', 'P0051'],
  ['P0032', 'P0052'],
  ['P0053', 'P0059'],
  ['P2195', 'P2197'],
  ['P2196', 'P2198'],
  ['P2231', 'P2234'],
  ['P2237', 'P2240'],
  ['P2243', 'P2247'],
  ['P2251', 'P2254'],
  ['P2A00', 'P2A03'],
  // Rear sensor, and a third one.
  ['P0136', 'P0156'],
  ['P0137', 'P0157'],
  ['P0138', 'P0158'],
  ['P0139', 'P0159'],
  ['P0140', 'P0160'],
  ['P0141', 'P0161'],
  ['P0142', 'P0162'],
  ['P0143', 'P0163'],
  ['P0144', 'P0164'],
  ['P0145', 'P0165'],
  ['P0146', 'P0166'],
  ['P0147', 'P0167'],
  ['P0036', 'P0056'],
  ['P0037', 'P0057'],
  ['P0038', 'P0058'],
  ['P0054', 'P0060'],
  ['P2270', 'P2272'],
  ['P2271', 'P2273'],
  ['P2A01', 'P2A04'],
  // Catalyst.
  ['P0420', 'P0430'],
  ['P0421', 'P0431'],
  ['P0422', 'P0432'],
  // Cam timing and its sensors, knock sensors, cylinder balance.
  ['P0010', 'P0020'],
  ['P0011', 'P0021'],
  ['P0012', 'P0022'],
  ['P0013', 'P0023'],
  ['P0014', 'P0024'],
  ['P0015', 'P0025'],
  ['P0016', 'P0018'],
  ['P0017', 'P0019'],
  ['P0340', 'P0345'],
  ['P0341', 'P0346'],
  ['P0325', 'P0330'],
  ['P0326', 'P0331'],
  ['P0327', 'P0332'],
  ['P0328', 'P0333'],
  ['P219A', 'P219B'],
];

const onBankTwo = new Map(pairs);
const onBankOne = new Map(pairs.map(([one, two]) => [two, one] as const));

/** The codes of the two banks for one that a fault file names; a code of no bank stands for itself on both. */
export function codeOnBank(code: string, bank: number): string {
  if (bank === 0) return onBankOne.get(code) ?? code;
  return onBankTwo.get(code) ?? code;
}

/** 0 or 1 for a code that names a bank, else null. */
export function bankOfCode(code: string): number | null {
  return onBankTwo.has(code) ? 0 : onBankOne.has(code) ? 1 : null;
}

/**
 * The name under which a code is weighed: all cylinders' misfire codes are one (which cylinder is chance), likewise all coils.
 */
export function weighedCode(code: string): string {
  if (/^P03(0[1-9]|1[0-2])$/.test(code)) return 'P0301';
  if (/^P035[1-9]$/.test(code)) return 'P0351';
  if (/^P02(0[1-9]|1[0-2])$/.test(code)) return 'P0201';
  return code;
}
