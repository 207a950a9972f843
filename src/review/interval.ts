// How far a share of few cases may be off. The calibration page shows every share with it.

/** The 97.5 % point of the standard normal distribution. Source: any table of it; tests hold it to a statistics library */
const z = 1.959963984540054;

export interface Interval {
  readonly low: number;
  readonly high: number;
}

/**
 * Wilson's score interval of 95 %: the shares under which `hits` of `cases` would not surprise. It admits small numbers: of one
 * case it says 0.21 to 1, of none 0 to 1.
 *
 * @param hits  0..cases
 * @param cases 0 or more
 * Source: Wilson 1927, Journal of the American Statistical Association 22, 209
 */
export function wilsonInterval(hits: number, cases: number): Interval {
  if (cases <= 0) return { low: 0, high: 1 };
  const share = hits / cases;
  const scale = 1 + z ** 2 / cases;
  const middle = (share + z ** 2 / (2 * cases)) / scale;
  const half = (z / scale) * Math.sqrt((share * (1 - share)) / cases + z ** 2 / (4 * cases ** 2));
  return {
    low: hits <= 0 ? 0 : Math.max(0, middle - half),
    high: hits >= cases ? 1 : Math.min(1, middle + half),
  };
}
