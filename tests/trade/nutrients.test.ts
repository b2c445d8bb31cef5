/** Nitrogen and copper: edges, round trips, a plan of feeding, and what the calculations answer. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { NUTRIENT_CALCULATIONS } from '../../src/trade/calculations/nutrients.ts';
import { COPPER_LIMITS, copperAtMost, copperSaltFor } from '../../src/trade/copper.ts';
import {
  DEMANDS,
  feedingPlan,
  nitrogenBrought,
  nitrogenInAmmonia,
  nitrogenOfMust,
  nitrogenToAdd,
  nutrientForNitrogen,
  percentNitrogenGiven,
  percentNitrogenOf,
  percentNitrogenOfLabel,
  targetByBrix,
  targetByDemand,
} from '../../src/trade/nitrogen.ts';
import { SUBSTANCES } from '../../src/trade/substances.ts';
import { isRefused } from '../../src/trade/worked.ts';
import { answerOf, number, refusal, work } from './calculations.ts';

const NOT_NUMBERS = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
const given = (name: string, text: string) => answerOf(NUTRIENT_CALCULATIONS, name, text);

describe('nitrogen', () => {
  test('what is no number, below nothing or beyond belief is refused', () => {
    for (const bad of [...NOT_NUMBERS, -1, 1001]) {
      for (const worked of [
        nitrogenInAmmonia(bad),
        nitrogenOfMust(bad, 10),
        nitrogenOfMust(10, bad),
        nitrogenToAdd(bad, 10),
        nitrogenToAdd(10, bad),
        nutrientForNitrogen(bad, 21),
      ]) {
        expect(isRefused(worked), String(bad)).toBe(true);
      }
    }
    for (const bad of [...NOT_NUMBERS, 0, 25.1]) expect(isRefused(nutrientForNitrogen(100, bad))).toBe(true);
    for (const bad of [...NOT_NUMBERS, -1, 10_001]) expect(isRefused(nitrogenBrought(bad, 10))).toBe(true);
  });

  test('a dose and the nitrogen it brings go there and back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1000, noNaN: true }),
        fc.double({ min: 10, max: 25, noNaN: true }),
        (n, percent) => {
          const dose = number(nutrientForNitrogen(n, percent));
          expect(number(nitrogenBrought(dose, percent))).toBeCloseTo(n, 9);
        },
      ),
    );
  });

  test('nothing is to be added where the must has enough', () => {
    expect(nitrogenToAdd(200, 250)).toBe(0);
    expect(nitrogenToAdd(250, 200)).toBe(50);
  });

  test('ammonium salts by their formula, a mixed nutrient by its label, others not at all', () => {
    expect(number(percentNitrogenOf('DAP'))).toBeCloseTo(21.214, 3);
    expect(refusal(percentNitrogenOf('complex nutrient'))).toMatch(/label/u);
    expect(refusal(percentNitrogenOf('yeast hulls'))).toMatch(/label/u);
    expect(refusal(percentNitrogenOf('bentonite'))).toMatch(/brings no nitrogen/u);
    expect(refusal(percentNitrogenOf('moonshine'))).toMatch(/no substance/u);
    // 30 g/hL that bring 30 mg/L.
    expect(percentNitrogenOfLabel(300, 30)).toBeCloseTo(10, 12);
    expect(refusal(percentNitrogenOfLabel(30, 30))).toMatch(/outside/u);
    const label = { nutrient: 'nutrient', percent: undefined };
    expect(
      percentNitrogenGiven({ ...label, labelMilligramsPerLitre: 300, labelNitrogenMilligramsPerLitre: 30 }),
    ).toBeCloseTo(10, 12);
    expect(
      refusal(
        percentNitrogenGiven({ ...label, labelMilligramsPerLitre: 300, labelNitrogenMilligramsPerLitre: undefined }),
      ),
    ).toMatch(/belong together/u);
    expect(
      percentNitrogenGiven({ ...label, percent: 4, labelMilligramsPerLitre: 1, labelNitrogenMilligramsPerLitre: 1 }),
    ).toBe(4);
  });

  test('every share of the substance table is shown as its parts per million', () => {
    const shares = SUBSTANCES.flatMap(({ brings }) => brings);
    expect(shares.length).toBeGreaterThan(20);
    for (const { num, den, partsPerMillion } of shares) {
      expect(Math.abs(partsPerMillion / 1_000_000 - num / den)).toBeLessThanOrEqual(5e-7);
    }
  });
});

describe('what a must wants', () => {
  test('grows with the sugar and with the demand, and is refused outside', () => {
    fc.assert(
      fc.property(fc.double({ min: 15, max: 29.9, noNaN: true }), (brix) => {
        const [low, medium, high] = (['low', 'medium', 'high'] as const).map((each) =>
          number(targetByDemand(brix, each)),
        );
        expect(low).toBeLessThan(medium ?? 0);
        expect(medium).toBeLessThan(high ?? 0);
        for (const demand of DEMANDS) {
          expect(number(targetByDemand(brix + 0.1, demand))).toBeGreaterThan(number(targetByDemand(brix, demand)));
        }
      }),
    );
    for (const bad of [...NOT_NUMBERS, 14.9, 30.1]) expect(isRefused(targetByDemand(bad, 'low'))).toBe(true);
  });

  test('the taught table at its rows, between them, and not beyond (common practice, no source)', () => {
    expect([21, 23, 25, 27, 24].map(targetByBrix)).toEqual([200, 250, 300, 350, 275]);
    for (const bad of [...NOT_NUMBERS, 20.9, 27.1]) expect(isRefused(targetByBrix(bad))).toBe(true);
  });
});

describe('a plan of feeding', () => {
  test('two feeds: half at the start, half when a third is gone (common practice, no source)', () => {
    const plan = feedingPlan(24, 2);
    expect(plan).toEqual({
      feeds: [
        { brix: 24, share: 0.5 },
        { brix: 15.5, share: 0.5 },
      ],
      lastBrix: 11.25,
    });
  });

  test('shares make the whole, readings fall, none comes after a third', () => {
    fc.assert(
      fc.property(fc.double({ min: 15, max: 30, noNaN: true }), fc.integer({ min: 1, max: 4 }), (start, count) => {
        const plan = feedingPlan(start, count);
        if (isRefused(plan)) throw new Error(plan.refused);
        expect(plan.feeds).toHaveLength(count);
        expect(plan.feeds.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
        expect(plan.feeds[0]?.brix).toBe(start);
        const readings = plan.feeds.map(({ brix }) => brix);
        expect(readings.toSorted((a, b) => b - a)).toEqual(readings);
        expect(new Set(readings).size).toBe(count);
        expect(Math.min(...readings)).toBeGreaterThan(plan.lastBrix);
      }),
    );
  });

  test('refused outside its ranges', () => {
    for (const bad of [...NOT_NUMBERS, 14, 31]) expect(isRefused(feedingPlan(bad, 2))).toBe(true);
    for (const bad of [...NOT_NUMBERS, 0, 5, 2.5]) expect(isRefused(feedingPlan(24, bad))).toBe(true);
  });
});

describe('copper', () => {
  test('a salt weighs more than its copper, by the share of its formula', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 6, noNaN: true }),
        fc.constantFrom(['copper sulfate', 0.25451] as const, ['anhydrous copper sulfate', 0.39815] as const),
        (copper, [salt, share]) => {
          expect(number(copperSaltFor(copper, salt)) * share).toBeCloseTo(copper, 3);
        },
      ),
    );
  });

  test('refused beyond what any law read allows, and for what is no copper salt', () => {
    for (const bad of [...NOT_NUMBERS, -0.1, 6.1]) {
      expect(isRefused(copperSaltFor(bad))).toBe(true);
      expect(isRefused(copperAtMost(0, bad))).toBe(true);
    }
    for (const bad of [...NOT_NUMBERS, -1, 21]) expect(isRefused(copperAtMost(bad, 0))).toBe(true);
    expect(refusal(copperSaltFor(0.5, 'bentonite'))).toMatch(/no copper salt/u);
    expect(copperAtMost(0.3, 0.2)).toBeCloseTo(0.5, 12);
  });

  test('limits as read: 27 CFR 24.246 (2015), OIV code II.3.5-8 (2015), Weinverordnung 1995 Anlage 7', () => {
    const limit = (place: string, of: string) =>
      COPPER_LIMITS.find((each) => each.place === place && each.of === of)?.milligramsPerLitre;
    expect([limit('US', 'added'), limit('US', 'left'), limit('OIV', 'left'), limit('Germany', 'left')]).toEqual([
      6, 0.5, 1, 2,
    ]);
    // The OIV limits the salt: 1 g/hL.
    expect(number(copperSaltFor(limit('OIV', 'added') ?? Number.NaN))).toBeCloseTo(10, 2);
  });
});

describe('calculations', () => {
  test.each(NUTRIENT_CALCULATIONS.map((each) => [each.name, each] as const))('the example of %s works', (_, each) => {
    const answer = work(each, each.example);
    expect(Number.isFinite(answer.figures[0].value)).toBe(true);
  });

  test('nutrient-dose weighs what the molar mass says, and names the limit it breaks', () => {
    const { figures, remarks } = given('nutrient-dose', '--volume 2000 L --yan 100 mg/L --target 200 mg/L');
    // 100 mg/L of nitrogen in 2000 L are 942.8 g of pure DAP (IUPAC abridged atomic weights 2021).
    expect(figures[0].value).toBeCloseTo(942.8, 1);
    expect(remarks.join('\n')).toMatch(/US: at most 8 lb\/1000 gal.*within it/u);
    expect(remarks.join('\n')).toMatch(/OIV: at most 0\.3 g\/L.*this dose alone is more/u);
    const label = given(
      'nutrient-dose',
      '--volume 10 hL --yan 150 mg/L --target 180 mg/L --nutrient nutrient --label-rate 30 g/hL --label-yan 30 mg/L',
    );
    expect(label.figures[0].value).toBeCloseTo(300, 9);
    expect(label.remarks).toEqual([]);
    const unnamed = given('nutrient-dose', '--volume 10 hL --yan 150 mg/L --target 180 mg/L --percent-nitrogen 10 %');
    expect(unnamed.figures[0].value).toBeCloseTo(300, 9);
    expect(unnamed.method).toMatch(/^nutrient taken as 10/u);
    expect(given('nutrient-dose', '--volume 10 hL --yan 250 mg/L --target 180 mg/L').figures[0].value).toBe(0);
  });

  test('yan-total takes ammonia one way only', () => {
    expect(given('yan-total', '--amino 120 mg/L --ammonium 50 mg/L').figures[0].value).toBe(170);
    const both = NUTRIENT_CALCULATIONS[0]?.work({ figures: { amino: 1, ammonia: 1, ammonium: 1 }, words: {} });
    expect(refusal(both)).toMatch(/twice/u);
  });

  test('yan-target leaves the taught table out where it does not reach', () => {
    expect(given('yan-target', '--brix 24 --demand high').figures.map(({ value }) => value)).toEqual([300, 275]);
    expect(given('yan-target', '--brix 19 --demand low').figures.map(({ value }) => value)).toEqual([142.5]);
  });

  test('feeding-plan adds up to the whole', () => {
    const { figures } = given('feeding-plan', '--volume 2000 L --brix 24 --yan 100 mg/L --target 200 mg/L --feeds 3');
    const [all, ...others] = figures.filter(({ unit }) => unit === 'g').map(({ value }) => value);
    expect(others).toHaveLength(3);
    expect(others.reduce((sum, value) => sum + value, 0)).toBeCloseTo(all ?? 0, 9);
  });

  test('copper-dose warns where what is left may be too much', () => {
    const { figures, remarks } = given('copper-dose', '--volume 225 L --add 0.5 mg/L --copper 0.2 mg/L');
    // 0.5 mg/L in 225 L are 112.5 mg of copper, 0.442 g of the pentahydrate at 25.451 %.
    expect(figures[0].value).toBeCloseTo(0.442, 3);
    expect(figures[1]?.value).toBeCloseTo(44.2, 1);
    expect(remarks.filter((each) => each.includes('may go beyond'))).toHaveLength(1);
    expect(remarks.join('\n')).toMatch(/US: at most 0\.5 mg\/L left.*may go beyond/u);
  });
});
