// What an answer is worth before it is known: the expected fall in entropy (Lindley 1956), in bits.

/** Entropy of a distribution that need not sum to 1 [bits]; empty or zero gives 0. */
export function entropy(weights: ArrayLike<number>): number {
  let total = 0;
  for (let index = 0; index < weights.length; index += 1) total += weights[index]!;
  if (total <= 0) return 0;
  let sum = 0;
  for (let index = 0; index < weights.length; index += 1) {
    const p = weights[index]! / total;
    if (p > 0) sum -= p * Math.log2(p);
  }
  return sum;
}

/**
 * Expected fall in entropy of the causes by the answer to a question.
 *
 * @param prior  probability of each cause, sums to 1
 * @param answer `answer[a][cause]`: probability of answer a given the cause; over a they sum to 1
 * @returns bits, never below 0 beyond rounding
 */
export function informationGain(prior: ArrayLike<number>, answer: ReadonlyArray<ArrayLike<number>>): number {
  let expected = 0;
  const posterior = new Float64Array(prior.length);
  for (const row of answer) {
    let probability = 0;
    for (let cause = 0; cause < prior.length; cause += 1) {
      posterior[cause] = prior[cause]! * row[cause]!;
      probability += posterior[cause]!;
    }
    expected += probability * entropy(posterior);
  }
  return Math.max(0, entropy(prior) - expected);
}
