/** What a panel of tasters can tell: ranks of glasses, and whether they differ by more than chance would have it. */

/** A taster's ranks of the glasses, 1 the best; glasses liked alike share the mean of their ranks. */
export type Ranks = readonly number[];

/** Ranks of scores, the highest score first; equal scores share the mean of the ranks they take. */
export function ranksOfScores(scores: readonly number[]): number[] {
  return scores.map((score) => {
    const above = scores.filter((other) => other > score).length;
    const alike = scores.filter((other) => other === score).length;
    return above + (alike + 1) / 2;
  });
}

/** The sum of each glass's ranks. */
export function rankSums(rankings: readonly Ranks[]): number[] {
  const [first = []] = rankings;
  return first.map((_, glass) => rankings.reduce((sum, ranks) => sum + (ranks[glass] ?? 0), 0));
}

/**
 * Friedman's statistic of complete rankings, with the correction for ties: (k − 1)(Σ R² − n²k(k+1)²/4) / (Σ r² − nk(k+1)²/4).
 *
 * Without ties it is 12 Σ R² / (n k (k + 1)) − 3 n (k + 1). Friedman, J. Am. Stat. Assoc. 32 (1937) 675; the form with ties as
 * in W. J. Conover, Practical Nonparametric Statistics. NaN where every taster liked all glasses alike.
 */
export function friedmanStatistic(rankings: readonly Ranks[]): number {
  const n = rankings.length;
  const k = rankings[0]?.length ?? 0;
  const expected = (n * k * (k + 1) ** 2) / 4;
  const squares = rankings.reduce((sum, ranks) => sum + ranks.reduce((all, rank) => all + rank * rank, 0), 0);
  const sums = rankSums(rankings).reduce((sum, one) => sum + one * one, 0);
  return ((k - 1) * (sums - n * expected)) / (squares - expected);
}

/** All orders of a list, equal ones once. */
function orders(list: readonly number[]): number[][] {
  if (list.length <= 1) return [[...list]];
  const found: number[][] = [];
  for (const [i, first] of list.entries()) {
    if (list.indexOf(first) !== i) continue;
    for (const rest of orders([...list.slice(0, i), ...list.slice(i + 1)])) found.push([first, ...rest]);
  }
  return found;
}

/** The rank sums that chance alone would give these tasters, and how likely each is; sums in rising order. */
export function rankSumsByChance(
  rankings: readonly Ranks[],
): { readonly sums: readonly number[]; readonly share: number }[] {
  // which glass has which sum makes no difference: sums are kept in order
  let states = new Map<string, { sums: readonly number[]; share: number }>();
  const k = rankings[0]?.length ?? 0;
  states.set('', { sums: Array.from({ length: k }, () => 0), share: 1 });
  for (const ranks of rankings) {
    const ways = orders(ranks);
    const next = new Map<string, { sums: readonly number[]; share: number }>();
    for (const { sums, share } of states.values()) {
      for (const way of ways) {
        const more = sums.map((sum, i) => sum + (way[i] ?? 0)).sort((a, b) => a - b);
        const key = more.join(' ');
        const there = next.get(key);
        if (there === undefined) next.set(key, { sums: more, share: share / ways.length });
        else there.share += share / ways.length;
      }
    }
    states = next;
  }
  return [...states.values()];
}

/** Tasters up to whom chance is counted out, by the number of glasses; beyond, the chi-squared distribution stands in. */
const COUNTED: Readonly<Record<number, number>> = { 2: 30, 3: 20, 4: 10, 5: 5, 6: 3 };

/** The share of the chi-squared distribution above a value, for whole degrees of freedom (Abramowitz and Stegun 26.4.4, 26.4.5). */
export function chiSquaredAbove(value: number, degrees: number): number {
  if (value <= 0) return 1;
  const half = value / 2;
  if (degrees % 2 === 0) {
    let term = Math.exp(-half);
    let sum = term;
    for (let i = 1; i < degrees / 2; i++) {
      term *= half / i;
      sum += term;
    }
    return Math.min(1, sum);
  }
  // 2 Q(√x), then the terms of the odd degrees
  let sum = normalBeyond(Math.sqrt(value));
  let term = Math.sqrt((2 * value) / Math.PI) * Math.exp(-half);
  for (let i = 1; i <= (degrees - 1) / 2; i++) {
    sum += term;
    term *= value / (2 * i + 1);
  }
  return Math.min(1, sum);
}

/** The share of the normal distribution beyond ± z: a series below 3, a continued fraction above (Abramowitz and Stegun 26.2.11, 26.2.14). */
function normalBeyond(z: number): number {
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  if (z < 3) {
    let term = z;
    let sum = z;
    for (let i = 1; i < 60; i++) {
      term *= (z * z) / (2 * i + 1);
      sum += term;
    }
    return 1 - 2 * density * sum;
  }
  let fraction = z;
  for (let i = 60; i > 0; i--) fraction = z + i / fraction;
  return (2 * density) / fraction;
}

export interface PanelVerdict {
  readonly tasters: number;
  readonly glasses: number;
  readonly sums: readonly number[];
  readonly statistic: number;
  /** How often chance alone would set the glasses as far apart, or farther. */
  readonly p: number;
  /** Chance was counted out; else `p` is from the chi-squared distribution. */
  readonly exact: boolean;
}

/** How often chance may do so before nothing is told: one time in twenty, the usual bound. */
export const USUAL_CHANCE = 0.05;

/**
 * The fewest tasters whose ranks can tell so many glasses apart at all: those who, all of one mind, would be so by chance
 * less often than one time in twenty, (k!)^(1 − n) ≤ 0.05. No number of them tells a single glass apart.
 */
export function leastTasters(glasses: number): number {
  if (!(glasses >= 2)) return Number.POSITIVE_INFINITY;
  let ways = 1;
  for (let i = 2; i <= glasses; i++) ways *= i;
  let tasters = 1;
  while (ways ** (1 - tasters) > USUAL_CHANCE) tasters++;
  return tasters;
}

/** Friedman's test of complete rankings; undefined for fewer than two glasses, or where all were liked alike. */
export function friedman(rankings: readonly Ranks[]): PanelVerdict | undefined {
  const tasters = rankings.length;
  const glasses = rankings[0]?.length ?? 0;
  const statistic = friedmanStatistic(rankings);
  if (glasses < 2 || !Number.isFinite(statistic)) return undefined;
  const exact = tasters <= (COUNTED[glasses] ?? 0);
  return {
    tasters,
    glasses,
    sums: rankSums(rankings),
    statistic,
    exact,
    p: exact ? chanceOf(rankings) : chiSquaredAbove(statistic, glasses - 1),
  };
}

/** The share of chance's rank sums that lie as far apart as these, or farther. */
function chanceOf(rankings: readonly Ranks[]): number {
  const apart = (sums: readonly number[]): number => sums.reduce((all, sum) => all + sum * sum, 0);
  const here = apart(rankSums(rankings));
  return Math.min(
    1,
    rankSumsByChance(rankings).reduce((all, { sums, share }) => (apart(sums) >= here - 1e-9 ? all + share : all), 0),
  );
}
