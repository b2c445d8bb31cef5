/** Panels of tasters against a printed table of critical values and printed examples of Friedman's test. */
import {
  chiSquaredAbove,
  friedman,
  friedmanStatistic,
  rankSumsByChance,
  ranksOfScores,
} from '../../src/trade/panel.ts';
import { andThen } from '../../src/trade/worked.ts';
import type { PublishedCheck } from './check.ts';
import { cell, publishedRows } from './rows.ts';

const table = publishedRows('friedman_critical.csv');

const statisticOf = (sums: readonly number[], tasters: number): number => {
  const k = sums.length;
  const squares = sums.reduce((all, sum) => all + sum * sum, 0);
  return (12 * squares) / (tasters * k * (k + 1)) - 3 * tasters * (k + 1);
};

/** The least statistic that chance reaches, or passes, no more often than a level. */
function critical(glasses: number, tasters: number, level: number): number {
  const ranks = Array.from({ length: glasses }, (_, i) => i + 1);
  const byChance = rankSumsByChance(Array.from({ length: tasters }, () => ranks))
    .map(({ sums, share }) => ({ statistic: statisticOf(sums, tasters), share }))
    .sort((a, b) => b.statistic - a.statistic);
  let least = Number.NaN;
  let sum = 0;
  for (const [i, { statistic, share }] of byChance.entries()) {
    sum += share;
    const next = byChance[i + 1]?.statistic ?? -1;
    if (statistic - next < 1e-9) continue;
    if (sum > level + 1e-12) break;
    least = statistic;
  }
  return least;
}

/** Times of three ways to round a base, 22 players (Hollander and Wolfe 1973, p. 140ff, as in the help of R). */
const ROUNDING =
  '5.40 5.50 5.55;5.85 5.70 5.75;5.20 5.60 5.50;5.55 5.50 5.40;5.90 5.85 5.70;5.45 5.55 5.60;5.40 5.40 5.35;5.45 5.50 5.35;5.25 5.15 5.00;5.85 5.80 5.70;5.25 5.20 5.10;5.65 5.55 5.45;5.60 5.35 5.45;5.05 5.00 4.95;5.50 5.50 5.40;5.45 5.55 5.50;5.55 5.55 5.35;5.45 5.50 5.55;5.50 5.45 5.25;5.65 5.60 5.40;5.70 5.65 5.55;6.30 6.30 6.25'
    .split(';')
    .map((line) => ranksOfScores(line.split(' ').map((time) => -Number(time))));

export const CHECKS: readonly PublishedCheck[] = [
  {
    title: "critical values of Friedman's test, chance counted out",
    source: table[0] === undefined ? '' : cell(table[0], 'source'),
    standing: 'read',
    note: 'Printed to four figures; only panels are held for which chance is counted out.',
    unit: 'statistic',
    rows: table.map((row) => {
      const [glasses, tasters, level] = ['glasses', 'tasters', 'level'].map((name) => Number(cell(row, name)));
      const printed = Number(cell(row, 'critical'));
      return {
        at: `${glasses} glasses, ${tasters} tasters, ${level} %`,
        expected: printed,
        got: () => critical(glasses ?? 0, tasters ?? 0, (level ?? 0) / 100),
        tolerance: printed >= 10 ? 0.0051 : 0.00051,
      };
    }),
  },
  {
    title: "Friedman's test of 22 players, with ties",
    source:
      'R Core Team, friedman.test: M. Hollander and D. A. Wolfe, Nonparametric Statistical Methods (1973), p. 140ff',
    standing: 'memory',
    note: 'The times were read in the help page, its result (11.143, 2 degrees of freedom, p 0.003805) is from memory of the printed output.',
    unit: 'as said',
    rows: [
      { at: 'statistic', expected: 11.143, got: () => friedmanStatistic(ROUNDING), tolerance: 0.0005 },
      {
        at: 'chi-squared p',
        expected: 0.003805,
        got: () => chiSquaredAbove(friedmanStatistic(ROUNDING), 2),
        tolerance: 5e-7,
      },
      {
        at: 'p as the panel tells it',
        expected: 0.003805,
        got: () => andThen(friedman(ROUNDING)?.p ?? Number.NaN, (p) => p),
        tolerance: 5e-7,
      },
    ],
  },
  {
    title: 'upper shares of the chi-squared distribution',
    source: table[0] === undefined ? '' : cell(table[0], 'source'),
    standing: 'read',
    note: 'The last row of the table, for panels without end.',
    unit: 'share',
    rows: (
      [
        [5.991, 2, 0.05],
        [9.21, 2, 0.01],
        [7.815, 3, 0.05],
        [11.34, 3, 0.01],
        [9.488, 4, 0.05],
        [13.28, 4, 0.01],
        [11.07, 5, 0.05],
        [15.09, 5, 0.01],
      ] as const
    ).map(([value, degrees, share]) => ({
      at: `${value}, ${degrees} degrees of freedom`,
      expected: share,
      got: () => chiSquaredAbove(value, degrees),
      tolerance: share / 300,
    })),
  },
];
