/** Blends by volume and Pearson's square: what is kept, what is refused, and that the two agree. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { blendedFigure, litresOfSecond, shareOfSecond } from '../../src/trade/blend-figures.ts';
import { BLENDING_CALCULATIONS } from '../../src/trade/calculations/blending.ts';
import type { Answer } from '../../src/trade/calculations/calculation.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';

const sure = <T>(worked: Worked<T>): T => {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
};
const why = (worked: unknown): string => (isRefused(worked) ? worked.refused : `no refusal but ${String(worked)}`);

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const part = fc.record({ litres: between(0.1, 1e5), figure: between(0, 400) });

describe('a blend', () => {
  test('holds what its parts held, in any order', () => {
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 6 }), (parts) => {
        const litres = parts.reduce((sum, one) => sum + one.litres, 0);
        const amount = parts.reduce((sum, one) => sum + one.litres * one.figure, 0);
        const figure = sure(blendedFigure(parts));
        expect((figure * litres - amount) / (amount + 1)).toBeCloseTo(0, 9);
        expect(sure(blendedFigure([...parts].reverse()))).toBeCloseTo(figure, 9);
      }),
    );
  });

  test('lies between its least and its most', () => {
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 6 }), (parts) => {
        const figures = parts.map(({ figure }) => figure);
        const blended = sure(blendedFigure(parts));
        expect(blended).toBeGreaterThanOrEqual(Math.min(...figures) - 1e-9);
        expect(blended).toBeLessThanOrEqual(Math.max(...figures) + 1e-9);
      }),
    );
  });

  test.each([
    ['nothing', [], 'nothing to blend'],
    ['empty parts', [{ litres: 0, figure: 5 }], 'nothing to blend'],
    ['less than none', [{ litres: -2, figure: 5 }], 'a volume of -2 L'],
    ['a figure below 0', [{ litres: 2, figure: -5 }], 'a figure of -5'],
    ['no number', [{ litres: 2, figure: Number.NaN }], 'no number'],
    ['endless', [{ litres: Number.POSITIVE_INFINITY, figure: 5 }], 'no number'],
  ])('of %s is refused', (_, parts, words) => {
    expect(why(blendedFigure(parts))).toContain(words);
  });
});

describe("Pearson's square", () => {
  /** Hundredths, as they are measured: two different ones and one between. */
  const three = fc
    .tuple(fc.nat(10_000), fc.nat(10_000), between(0, 1))
    .filter(([first, other]) => first !== other)
    .map(([first, other, at]) => ({
      first: first / 100,
      other: other / 100,
      target: Math.round(first + (other - first) * at) / 100,
    }));

  test('its shares, blended, have the figure asked for', () => {
    fc.assert(
      fc.property(three, ({ first, other, target }) => {
        const share = sure(shareOfSecond(first, other, target));
        expect(share).toBeGreaterThanOrEqual(0);
        expect(share).toBeLessThanOrEqual(1);
        expect(first + share * (other - first)).toBeCloseTo(target, 9);
      }),
    );
  });

  test('its litres, blended, have the figure asked for', () => {
    fc.assert(
      fc.property(three, between(1, 1e4), ({ first, other, target }, litres) => {
        fc.pre(sure(shareOfSecond(first, other, target)) < 0.99);
        const added = sure(litresOfSecond(litres, first, other, target));
        const blend = blendedFigure([
          { litres, figure: first },
          { litres: added, figure: other },
        ]);
        expect(sure(blend)).toBeCloseTo(target, 6);
      }),
    );
  });

  test('the ends: none of the other, or nothing but the other', () => {
    expect(sure(shareOfSecond(12, 96, 12))).toBe(0);
    expect(sure(shareOfSecond(12, 96, 96))).toBe(1);
    expect(sure(litresOfSecond(100, 12, 96, 12))).toBe(0);
    expect(why(litresOfSecond(100, 12, 96, 96))).toContain('only the second part alone');
  });

  test.each([
    ['above both', () => shareOfSecond(12, 14, 15), 'does not lie between'],
    ['below both', () => shareOfSecond(12, 14, 11), 'does not lie between'],
    ['of two alike', () => shareOfSecond(12, 12, 12), 'the same figure'],
    ['below nothing', () => shareOfSecond(-1, 12, 5), 'the first figure of -1'],
    ['of no number', () => shareOfSecond(12, 14, Number.NaN), 'the target of what is no number'],
    ['of endless spirit', () => shareOfSecond(12, Number.POSITIVE_INFINITY, 18), 'the second figure'],
    ['in less than no wine', () => litresOfSecond(-1, 12, 96, 18), 'a volume of -1 L'],
  ])('a target %s is refused', (_, work, words) => {
    expect(why(work())).toContain(words);
  });
});

describe('the calculations', () => {
  const reckon = (name: string, figures: Record<string, number>): Worked<Answer> => {
    const calculation = BLENDING_CALCULATIONS.find((one) => one.name === name);
    if (calculation === undefined) throw new Error(`no calculation ${name}`);
    return calculation.work({ figures, words: {} });
  };

  test('a blend tells its figure and its volume', () => {
    const answer = sure(reckon('blend-figure', { figure: 6.4, volume: 600, 'other-figure': 5.2, 'other-volume': 400 }));
    expect(answer.figures.map(({ value }) => value)).toEqual([5.92, 1000]);
    expect(answer.remarks.join(' ')).toContain('Not for pH');
  });

  test('a square tells parts, and litres only where there is a volume', () => {
    const figures = { figure: 12, 'other-figure': 96, target: 18 };
    expect(sure(reckon('pearson-square', figures)).figures.map(({ value }) => value)).toEqual([
      expect.closeTo(100 / 14, 9),
      78,
      6,
    ]);
    const litres = sure(reckon('pearson-square', { ...figures, volume: 1000 })).figures[3];
    expect(litres?.value).toBeCloseTo(76.923, 3);
  });

  test('an input that is missing is a refusal', () => {
    for (const { name } of BLENDING_CALCULATIONS) expect(isRefused(reckon(name, {})), name).toBe(true);
    expect(isRefused(reckon('pearson-square', { figure: 12, 'other-figure': 96, target: 96, volume: 10 }))).toBe(true);
  });
});
