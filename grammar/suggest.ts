/** The nearest known word, for "did you mean". */

/** Edit distance with swaps of neighbours (optimal string alignment), given up beyond `limit`. */
export function distance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const same = a.charCodeAt(i - 1) === b.charCodeAt(j - 1);
      let cost = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + (same ? 0 : 1));
      if (
        i > 1 &&
        j > 1 &&
        a.charCodeAt(i - 1) === b.charCodeAt(j - 2) &&
        a.charCodeAt(i - 2) === b.charCodeAt(j - 1)
      ) {
        cost = Math.min(cost, (beforeLast[j - 2] ?? 0) + 1);
      }
      row.push(cost);
      if (cost < least) least = cost;
    }
    if (least > limit) return limit + 1;
    beforeLast = last;
    last = row;
  }
  return last[b.length] ?? limit + 1;
}

/** The candidate nearest to a word, if near enough to be meant; the first of equals in the given order. */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  const lower = word.toLowerCase();
  const limit = lower.length <= 2 ? 1 : lower.length <= 5 ? 2 : 3;
  let best: string | undefined;
  let bestDistance = limit + 1;
  for (const candidate of candidates) {
    const d = distance(lower, candidate.toLowerCase(), Math.min(limit, bestDistance - 1));
    // a short word with everything changed is no likeness
    if (d < bestDistance && d < Math.max(lower.length, candidate.length)) {
      best = candidate;
      bestDistance = d;
      if (d === 0) break;
    }
  }
  return best;
}
