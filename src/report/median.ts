/** The middle of many values, which one odd reading does not move. */

/** The median of values in ascending order; 0 of none. */
export function middleOf(sorted: readonly number[]): number {
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? upper) + upper) / 2;
}
