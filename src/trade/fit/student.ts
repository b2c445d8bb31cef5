/** Student's t: how many standard errors hold a stated share of the cases, where the error itself is estimated. */

/**
 * The share of Student's distribution below t, for whole degrees of freedom of at least 1: the finite sums of
 * Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 26.7.3 and 26.7.4, which are exact.
 */
export function studentShareBelow(t: number, degreesOfFreedom: number): number {
  const angle = Math.atan(t / Math.sqrt(degreesOfFreedom));
  const cosine = Math.cos(angle);
  const odd = degreesOfFreedom % 2 === 1;
  let term = odd ? cosine : 1;
  let sum = degreesOfFreedom === 1 ? 0 : term;
  for (let k = odd ? 3 : 2; k <= degreesOfFreedom - 2; k += 2) {
    term *= ((k - 1) / k) * cosine * cosine;
    sum += term;
  }
  const between = odd ? (2 / Math.PI) * (angle + Math.sin(angle) * sum) : Math.sin(angle) * sum;
  return (1 + between) / 2;
}

/** Beyond so many degrees of freedom the distribution is taken at this many: the fourth figure no longer moves. */
const MOST_FREEDOM = 10_000;

/** The t below which a share (above ½, below 1) of Student's distribution lies, by halving. */
export function studentQuantile(share: number, degreesOfFreedom: number): number {
  const freedom = Math.min(degreesOfFreedom, MOST_FREEDOM);
  let low = 0;
  let high = 1;
  while (studentShareBelow(high, freedom) < share && high < Number.MAX_VALUE) high *= 2;
  for (let halving = 0; halving < 60; halving++) {
    const middle = (low + high) / 2;
    if (studentShareBelow(middle, freedom) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
