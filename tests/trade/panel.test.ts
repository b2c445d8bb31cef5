/** Ranks of a panel: ties, chance counted out against every way of ranking, and what too few can tell. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  chiSquaredAbove,
  friedman,
  friedmanStatistic,
  leastTasters,
  rankSums,
  rankSumsByChance,
  ranksOfScores,
} from '../../src/trade/panel.ts';

describe('ranks', () => {
  it('go from the highest score down, and are shared where scores are alike', () => {
    expect(ranksOfScores([12, 15, 9])).toEqual([2, 1, 3]);
    expect(ranksOfScores([15, 15, 9, 15])).toEqual([2, 2, 4, 2]);
  });

  it('sum to the same whatever was liked', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 1, maxLength: 7 }), (scores) => {
        const k = scores.length;
        expect(ranksOfScores(scores).reduce((sum, rank) => sum + rank, 0)).toBeCloseTo((k * (k + 1)) / 2, 9);
      }),
      { seed: 7 },
    );
  });
});

describe("Friedman's test", () => {
  it('counts chance out as trying all rankings does', () => {
    const orders = [
      [1, 2, 3],
      [1, 3, 2],
      [2, 1, 3],
      [2, 3, 1],
      [3, 1, 2],
      [3, 2, 1],
    ];
    const panel = [
      [1, 2, 3],
      [1, 3, 2],
      [2, 1, 3],
    ];
    const here = friedmanStatistic(panel);
    let reached = 0;
    for (const a of orders)
      for (const b of orders) for (const c of orders) if (friedmanStatistic([a, b, c]) >= here - 1e-9) reached++;
    expect(friedman(panel)?.p).toBeCloseTo(reached / 216, 12);
    expect(friedman(panel)?.exact).toBe(true);
    expect(rankSums(panel)).toEqual([4, 6, 8]);
  });

  it('has shares of chance that add up to one, with ties as well', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 4 }).chain((k) =>
          fc.array(fc.array(fc.integer({ min: 0, max: 3 }), { minLength: k, maxLength: k }), {
            minLength: 1,
            maxLength: 5,
          }),
        ),
        (panel) => {
          const shares = rankSumsByChance(panel.map(ranksOfScores));
          expect(shares.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
        },
      ),
      { seed: 7, numRuns: 60 },
    );
  });

  it('says nothing where all was liked alike, or of one glass', () => {
    expect(
      friedman([
        [1.5, 1.5],
        [1.5, 1.5],
      ]),
    ).toBeUndefined();
    expect(friedman([[1], [1]])).toBeUndefined();
    expect(friedman([])).toBeUndefined();
  });

  it('leaves large panels to the chi-squared distribution', () => {
    const large = Array.from({ length: 40 }, () => [1, 2, 3]);
    expect(friedman(large)).toMatchObject({ exact: false });
    expect(chiSquaredAbove(0, 3)).toBe(1);
  });

  // one time in twenty, by the factorials: 2 of 6, 3 of 3, 4 of 2
  it('asks for so many tasters that all of one mind would tell', () => {
    expect([2, 3, 4, 5].map(leastTasters)).toEqual([6, 3, 2, 2]);
    expect([0, 1, Number.NaN].map(leastTasters)).toEqual(Array(3).fill(Number.POSITIVE_INFINITY));
    const agreed = (k: number, n: number) =>
      friedman(Array.from({ length: n }, () => Array.from({ length: k }, (_, i) => i + 1)))?.p ?? 1;
    for (const k of [2, 3, 4]) {
      expect(agreed(k, leastTasters(k))).toBeLessThanOrEqual(0.05);
      expect(agreed(k, leastTasters(k) - 1)).toBeGreaterThan(0.05);
    }
  });
});
