/** Rates, bench trials and solutions: edges, round trips, and what the calculations answer. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { findUnit, UNITS } from '../../grammar/units.ts';
import { ADDITION_CALCULATIONS } from '../../src/trade/calculations/additions.ts';
import { convertWritten, formatYield, toBase, yieldOf } from '../../src/trade/convert.ts';
import { parseDecimal } from '../../src/trade/decimal.ts';
import {
  ADDITION_LIMITS,
  benchDose,
  gramsAtRate,
  gramsOnFruit,
  limitRemarks,
  limitsOf,
  litresTreated,
  millilitresAtRate,
  millilitresOfSolution,
  millilitresToDilute,
  rateOfGrams,
  rateOfMillilitres,
  rateOnFruit,
  strengthOfSolution,
  valueInUnit,
} from '../../src/trade/rates-of-addition.ts';
import { findSubstance } from '../../src/trade/substances.ts';
import { isRefused } from '../../src/trade/worked.ts';
import { answerOf, number, refusal, work } from './calculations.ts';

const NOT_NUMBERS = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
const given = (name: string, text: string) => answerOf(ADDITION_CALCULATIONS, name, text);
const rates = fc.double({ min: 0.001, max: 10_000, noNaN: true });
const sizes = fc.double({ min: 0.01, max: 1_000_000, noNaN: true });

function closeTo(got: number, expected: number): void {
  expect(Math.abs(got - expected)).toBeLessThanOrEqual(Math.abs(expected) * 1e-9);
}

describe('a quantity in another unit', () => {
  test('goes there and back between any two units of a dimension', () => {
    const pairs = UNITS.flatMap((a) => UNITS.filter((b) => b.dimension === a.dimension).map((b) => [a, b] as const));
    fc.assert(
      fc.property(fc.constantFrom(...pairs), fc.double({ min: 1, max: 1e6, noNaN: true }), ([a, b], value) => {
        closeTo(number(valueInUnit(number(valueInUnit(value, a.symbol, b.symbol)), b.symbol, a.symbol)), value);
      }),
    );
  });

  test('agrees with the exact way', () => {
    const pairs = UNITS.flatMap((a) => UNITS.filter((b) => b.dimension === a.dimension).map((b) => [a, b] as const));
    fc.assert(
      fc.property(fc.constantFrom(...pairs), fc.integer({ min: 1, max: 9999 }), ([a, b], whole) => {
        const exact = Number(convertWritten({ mantissa: whole, places: 0 }, a, b, 30));
        const got = number(valueInUnit(whole, a.symbol, b.symbol));
        expect(Math.abs(got - exact)).toBeLessThanOrEqual(Math.abs(exact) * 1e-12 + 1e-12);
      }),
    );
  });

  test('is refused across dimensions, for unknown units and for what is no number', () => {
    expect(refusal(valueInUnit(1, 'g/hL', 'g/100 kg'))).toMatch(/neither is in the other/u);
    expect(refusal(valueInUnit(1, 'bushel', 'L'))).toMatch(/no unit is written bushel/u);
    expect(refusal(valueInUnit(1, 'L', 'bushel'))).toMatch(/no unit is written bushel/u);
    for (const bad of NOT_NUMBERS) expect(isRefused(valueInUnit(bad, 'L', 'gal'))).toBe(true);
  });

  test('temperatures: 60 F is 15.5556 C, 68 F is 20 C exactly (definition, NIST SP 811)', () => {
    const at = (text: string, word: string) => {
      const written = parseDecimal(text);
      const unit = findUnit(word);
      return written === undefined || unit === undefined ? undefined : toBase(written, unit);
    };
    expect(at('60', 'F')).toBe(15_556);
    expect(at('68', 'F')).toBe(20_000);
    expect(at('-40', 'F')).toBe(-40_000);
    expect(at('-40', 'C')).toBe(-40_000);
    expect(number(valueInUnit(20, 'C', 'F'))).toBeCloseTo(68, 12);
    expect(number(valueInUnit(-40, 'F', 'C'))).toBeCloseTo(-40, 12);
  });

  test('a yield for people (4.17270223 L/t a gallon a short ton, NIST Handbook 44)', () => {
    const rate = yieldOf(Math.round(160 * 3_785_411.784), 907_184_740_000);
    expect(formatYield(rate ?? Number.NaN, 'L/t')).toBe('668 L/t');
    expect(formatYield(rate ?? Number.NaN, 'gal/short-ton')).toBe('160 gal/short-ton');
    // 2550 L from 4000 kg, the pressing rule of Champagne.
    expect(formatYield(yieldOf(2_550_000_000, 4_000_000_000_000) ?? Number.NaN, 'L/t', 1)).toBe('637.5 L/t');
  });
});

describe('rates and amounts', () => {
  test('go there and back', () => {
    fc.assert(
      fc.property(rates, sizes, (rate, size) => {
        closeTo(number(rateOfGrams(number(gramsAtRate(rate, size)), size)), rate);
        closeTo(number(litresTreated(number(gramsAtRate(rate, size)), rate)), size);
        closeTo(number(rateOnFruit(number(gramsOnFruit(rate, size)), size)), rate);
        const liquid = rate / 10;
        closeTo(number(rateOfMillilitres(number(millilitresAtRate(liquid, size)), size)), liquid);
      }),
    );
  });

  test('are refused at nothing, below it, and where they are no numbers', () => {
    for (const bad of [...NOT_NUMBERS, -1]) {
      for (const worked of [
        gramsAtRate(bad, 100),
        gramsAtRate(10, bad),
        rateOfGrams(bad, 100),
        rateOfGrams(10, bad),
        litresTreated(bad, 10),
        litresTreated(10, bad),
        gramsOnFruit(bad, 100),
        gramsOnFruit(10, bad),
        rateOnFruit(bad, 100),
        rateOnFruit(10, bad),
        millilitresAtRate(bad, 100),
        millilitresAtRate(10, bad),
        rateOfMillilitres(bad, 100),
        rateOfMillilitres(10, bad),
      ]) {
        expect(isRefused(worked), String(bad)).toBe(true);
      }
    }
    expect(isRefused(rateOfGrams(10, 0))).toBe(true);
    expect(isRefused(litresTreated(10, 0))).toBe(true);
    expect(gramsAtRate(0, 100)).toBe(0);
  });
});

describe('solutions', () => {
  test('strength, volume and dilution go there and back', () => {
    const percents = fc.double({ min: 0.01, max: 50, noNaN: true });
    fc.assert(
      fc.property(sizes, percents, fc.double({ min: 0.01, max: 1, noNaN: true }), (grams, percent, part) => {
        const millilitres = number(millilitresOfSolution(grams, percent));
        closeTo(number(strengthOfSolution(grams, millilitres)), percent);
        // What is dissolved stays the same.
        const weak = percent * part;
        closeTo(number(millilitresToDilute(percent, weak, 1000)) * percent, weak * 1000);
      }),
    );
  });

  test('are refused where they cannot be', () => {
    for (const bad of [...NOT_NUMBERS, 0, -1, 101]) expect(isRefused(millilitresOfSolution(10, bad))).toBe(true);
    expect(isRefused(millilitresToDilute(1, 2, 100))).toBe(true);
    expect(isRefused(strengthOfSolution(10, 0))).toBe(true);
    expect(isRefused(strengthOfSolution(200, 100))).toBe(true);
  });
});

describe('a bench trial', () => {
  const trial = { solutionPercent: 5, addedMillilitres: 1, sampleMillilitres: 100 };

  test('1 mL of 5 % on 100 mL of wine is 500 mg/L of wine, and 495.05 of the mix', () => {
    const added = benchDose({ ...trial, madeUp: false });
    const madeUp = benchDose({ ...trial, madeUp: true });
    if (isRefused(added) || isRefused(madeUp)) throw new Error('refused');
    expect(added.milligramsPerLitreOfWine).toBeCloseTo(500, 9);
    expect(added.milligramsPerLitreOfMix).toBeCloseTo(50_000 / 101, 9);
    expect(madeUp.milligramsPerLitreOfWine).toBeCloseTo(50_000 / 99, 9);
    expect(madeUp.milligramsPerLitreOfMix).toBeCloseTo(500, 9);
  });

  test('a tank dosed alike comes to the same mix as the sample', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 20, noNaN: true }),
        fc.double({ min: 0.01, max: 40, noNaN: true }),
        fc.boolean(),
        (solutionPercent, addedMillilitres, madeUp) => {
          const dose = benchDose({ solutionPercent, addedMillilitres, sampleMillilitres: 100, madeUp });
          if (isRefused(dose)) throw new Error(dose.refused);
          const litres = 1000;
          const grams = number(gramsAtRate(dose.milligramsPerLitreOfWine, litres));
          const solution = number(millilitresOfSolution(grams, solutionPercent)) / 1000;
          closeTo((grams * 1000) / (litres + solution), dose.milligramsPerLitreOfMix);
          closeTo(solution / litres, dose.solutionPerLitreOfWine);
        },
      ),
    );
  });

  test('is refused where the solution is half the sample or more, or a figure is none', () => {
    for (const bad of [...NOT_NUMBERS, -1, 51]) {
      expect(isRefused(benchDose({ ...trial, addedMillilitres: bad, madeUp: false })), String(bad)).toBe(true);
    }
    for (const bad of [...NOT_NUMBERS, 0]) {
      expect(isRefused(benchDose({ ...trial, sampleMillilitres: bad, madeUp: false }))).toBe(true);
      expect(isRefused(benchDose({ ...trial, solutionPercent: bad, madeUp: false }))).toBe(true);
    }
  });
});

describe('limits of law', () => {
  test('name substances that the table knows, by their own names', () => {
    for (const { substances } of ADDITION_LIMITS) {
      for (const name of substances) expect(findSubstance(name)?.name).toBe(name);
    }
  });

  test('are found by any name, and say on which side a dose lies', () => {
    expect(limitsOf('acacia').map(({ place }) => place)).toEqual(['US', 'OIV']);
    expect(limitsOf('DAP').map(({ place }) => place)).toEqual(['US', 'OIV', 'EU']);
    expect(limitsOf('water')).toEqual([]);
    expect(limitsOf('moonshine')).toEqual([]);
    // 27 CFR 24.246 (2015 edition): gum arabic 2 lb/1000 gal, 0.24 g/L.
    expect(limitRemarks('acacia', 240)[0]).toMatch(/gum arabic.*within it/u);
    expect(limitRemarks('acacia', 241)[0]).toMatch(/gum arabic.*this dose alone is more/u);
  });
});

describe('calculations', () => {
  test.each(ADDITION_CALCULATIONS.map((each) => [each.name, each] as const))('the example of %s works', (_, each) => {
    const answer = work(each, each.example);
    expect(Number.isFinite(answer.figures[0].value)).toBe(true);
  });

  test('addition works out whichever of the three is missing', () => {
    // 1 lb/1000 gal is 0.119826427 g/L (NIST Handbook 44).
    const grams = given('addition', '--volume 1000 gal --rate 2 lb/1000 gal').figures.map(({ value }) => value);
    expect(grams[0]).toBeCloseTo(907.18474, 5);
    expect(grams[2]).toBeCloseTo(2, 9);
    const rate = given('addition', '--volume 1000 L --amount 250 g').figures;
    expect(rate.map(({ unit }) => unit)).toEqual(['mg/L', 'g/hL', 'lb/1000 gal', 'g/gal']);
    expect(rate[1]?.value).toBeCloseTo(25, 9);
    expect(given('addition', '--rate 25 g/hL --amount 250 g').figures[0].value).toBeCloseTo(1000, 9);
    expect(() => given('addition', '--rate 25 g/hL')).toThrow(/give two of the three/u);
    expect(() => given('addition', '--rate 25 g/hL --amount 250 g --volume 10 hL')).toThrow(/give two of the three/u);
  });

  test('addition says where no limit was read', () => {
    expect(given('addition', '--volume 10 hL --rate 5 g/hL --substance isinglass').remarks[0]).toMatch(/No limit/u);
    expect(given('addition', '--volume 10 hL --rate 5 g/hL').remarks).toEqual([]);
  });

  test('fruit-addition and liquid-addition work both ways, and want one figure', () => {
    expect(given('fruit-addition', '--fruit 2 t --rate 5 g/100 kg').figures[0].value).toBeCloseTo(100, 9);
    expect(given('fruit-addition', '--fruit 2 t --amount 100 g').figures[1]?.value).toBeCloseTo(5, 9);
    expect(() => given('fruit-addition', '--fruit 2 t')).toThrow(/the rate or the amount/u);
    expect(given('liquid-addition', '--volume 20 hL --rate 12 mL/hL').figures[0].value).toBeCloseTo(240, 9);
    expect(given('liquid-addition', '--volume 20 hL --amount 240 mL').figures[1]?.value).toBeCloseTo(12, 9);
    expect(() => given('liquid-addition', '--volume 20 hL')).toThrow(/the rate or the amount/u);
  });

  test('bench-to-cellar weighs for the tank, and warns of too much water (27 CFR 24.246(a)(2): 1 %)', () => {
    const one = given('bench-to-cellar', '--solution 5 % --added 1 mL --sample 100 mL --volume 1840 L');
    expect(one.figures[0].value).toBeCloseTo(920, 9);
    expect(one.remarks.some((each) => each.includes('water of all treating'))).toBe(false);
    const two = given('bench-to-cellar', '--solution 5 % --added 2 mL --sample 100 mL --volume 1840 L');
    expect(two.remarks.some((each) => each.includes('water of all treating'))).toBe(true);
    const thicker = given(
      'bench-to-cellar',
      '--solution 5 % --added 2 mL --sample 100 mL --volume 1840 L --cellar-solution 10 % --how made up',
    );
    expect(thicker.figures[0].value).toBeCloseTo((1840 * 100_000) / 98 / 1000, 6);
    expect(thicker.figures.find(({ unit }) => unit === 'mL')?.value).toBeCloseTo((1840 * 1000) / 98, 6);
  });

  test('solution-volume both ways, and not without one of them', () => {
    expect(given('solution-volume', '--amount 640 g --solution 5 %').figures[0].value).toBeCloseTo(12_800, 9);
    expect(given('solution-volume', '--amount 640 g --made-up 12.8 L').figures[0].value).toBeCloseTo(5, 9);
    expect(() => given('solution-volume', '--amount 640 g')).toThrow(/give the strength/u);
    expect(() => given('solution-volume', '--amount 640 g --solution 5 % --made-up 1 L')).toThrow(/give the strength/u);
  });
});
