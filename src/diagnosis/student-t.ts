// Student's t with three degrees of freedom: the spread of every reading. Three, because its density needs no logarithm or
// power, and because readings of worried people do go wrong: the tails forgive a figure five spreads off.

/** Density with location and scale, without the constant 2 / (pi sqrt 3) that is the same for every hypothesis. */
export function relativeDensity(value: number, middle: number, scale: number): number {
  const distance = (value - middle) / scale;
  const fall = 1 + (distance * distance) / 3;
  return 1 / (scale * fall * fall);
}

/** Probability of a value at or below `value`. Source: the closed form for three degrees of freedom. */
export function cumulative(value: number, middle: number, scale: number): number {
  const x = (value - middle) / scale / Math.sqrt(3);
  return 0.5 + (x / (1 + x * x) + Math.atan(x)) / Math.PI;
}
