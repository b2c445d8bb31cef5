/** Must, its promise of alcohol, refractometers and enrichment: edges, which way things go, what must balance. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  ameliorationLimit,
  concentrateToBrix,
  LITRES_PER_KILOGRAM_SUGAR,
  leastBrixWatered,
  sugarForMust,
  sugarForWine,
  waterToBrix,
} from '../../src/trade/enrichment.ts';
import {
  mustByRefractometer,
  mustSugarOfDensity,
  naturalAlcoholByGermanLaw,
  potentialAlcohol,
  potentialAlcoholByFactor,
  refractometerBrixOfMustDensity,
  refractometerBrixOfMustIndex,
} from '../../src/trade/must-sugar.ts';
import { refractometerCorrection } from '../../src/trade/refractometer.ts';
import { inFerment } from '../../src/trade/refractometer-in-ferment.ts';
import { sucroseDensity } from '../../src/trade/sucrose.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';

function sure<T>(worked: Worked<T>): T {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
}

const NO_NUMBERS = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

const HOLDS: readonly (readonly [name: string, of: (x: number) => Worked<unknown>, low: number, high: number])[] = [
  ['must by refractometer', mustByRefractometer, 10, 30],
  ['potential alcohol by sugar', (x) => potentialAlcohol(x, 17), 0, 400],
  ['potential alcohol by convention', (x) => potentialAlcohol(200, x), 15.4, 20],
  ['potential alcohol by factor', (x) => potentialAlcoholByFactor(x, 0.58), 10, 40],
  ['the factor', (x) => potentialAlcoholByFactor(22, x), 0.5, 0.65],
  ['German law', naturalAlcoholByGermanLaw, 40, 150],
  ['refractometer correction by reading', (x) => refractometerCorrection(x, 15), 10, 40],
  ['refractometer correction by reading, cold', (x) => refractometerCorrection(x, 9), 10, 30],
  ['refractometer correction by temperature', (x) => refractometerCorrection(20, x), 5, 30],
  ['in ferment, by convention', (x) => inFerment(24, 12, x), 16.8, 20],
  ['in ferment, by the reading before', (x) => inFerment(x, 9.9, 16.83), 10, 22],
  ['sugar for must', (x) => sugarForMust(1000, x, 17), 0, 5],
  ['sugar for wine, by promise', (x) => sugarForWine(1000, 1, 17, x), 0, 17],
  ['water', (x) => waterToBrix(1000, x, 1), 1, 40],
  ['concentrate', (x) => concentrateToBrix(1000, 20, 22, x), 22.5, 70],
  ['amelioration', (x) => ameliorationLimit(1000, x), 3, 30],
];

describe.each(HOLDS)('%s', (_, of, low, high) => {
  test('holds from end to end and refuses what is no number', () => {
    expect(isRefused(of(low))).toBe(false);
    expect(isRefused(of(high))).toBe(false);
    for (const x of NO_NUMBERS) expect(isRefused(of(x))).toBe(true);
  });
  test('refuses below its range', () => {
    expect(isRefused(of(low - (high - low) * 0.02))).toBe(true);
  });
});

test.each([
  ['must by refractometer', () => mustByRefractometer(30.1)],
  ['German law', () => naturalAlcoholByGermanLaw(150.5)],
  ['refractometer correction in the cold', () => refractometerCorrection(30.5, 9)],
  ['refractometer correction in the warm', () => refractometerCorrection(20, 30.5)],
  ['enrichment beyond all sense', () => sugarForMust(1000, 6, 17)],
  ['no volume', () => sugarForMust(0, 1, 17)],
  ['water that should sweeten', () => waterToBrix(1000, 20, 21)],
  ['concentrate that should thin', () => concentrateToBrix(1000, 22, 20, 68)],
  ['concentrate no sweeter than the aim', () => concentrateToBrix(1000, 20, 22, 22)],
  ['a reading that rises in ferment', () => inFerment(20, 21, 16.83)],
  ['a reading lower than the dry wine’s', () => inFerment(24, 6, 16.83)],
])('%s is refused', (_, of) => {
  expect(isRefused(of())).toBe(true);
});

describe('must', () => {
  const brix = fc.double({ min: 10, max: 30, noNaN: true });

  test('density and refractive index lead back to the reading', () => {
    fc.assert(
      fc.property(fc.double({ min: 10.001, max: 29.999, noNaN: true }), (reading) => {
        const { density, refractiveIndex, gramsPerLitre } = sure(mustByRefractometer(reading));
        expect(sure(refractometerBrixOfMustDensity(density))).toBeCloseTo(reading, 8);
        expect(sure(refractometerBrixOfMustIndex(refractiveIndex))).toBeCloseTo(reading, 8);
        expect(sure(mustSugarOfDensity(density))).toBeCloseTo(gramsPerLitre, 7);
      }),
    );
  });

  test('g/L and g/kg are of one must: their ratio is its density', () => {
    fc.assert(
      fc.property(brix, (reading) => {
        const must = sure(mustByRefractometer(reading));
        // Both are printed to 0.1: 0.1 in 80 to 300.
        expect(Math.abs(must.gramsPerLitre / must.gramsPerKilogram - must.density / 1000)).toBeLessThan(0.0009);
      }),
    );
  });

  test('20 to 30 g/L of what is dissolved is no sugar', () => {
    fc.assert(
      fc.property(brix, (reading) => {
        const must = sure(mustByRefractometer(reading));
        const other = (reading / 100) * must.density - must.gramsPerLitre;
        expect(other).toBeGreaterThan(20);
        expect(other).toBeLessThan(31);
      }),
    );
  });

  test('German law rises and lies between its rows', () => {
    fc.assert(
      fc.property(fc.double({ min: 40, max: 149, noNaN: true }), (weight) => {
        const worth = sure(naturalAlcoholByGermanLaw(weight));
        expect(worth).toBeGreaterThanOrEqual(sure(naturalAlcoholByGermanLaw(Math.floor(weight))) - 1e-9);
        expect(worth).toBeLessThanOrEqual(sure(naturalAlcoholByGermanLaw(Math.floor(weight) + 1)) + 1e-9);
      }),
    );
  });
});

describe('a refractometer', () => {
  test('needs nothing at 20 °C', () => {
    expect(sure(refractometerCorrection(24, 20))).toBe(0);
  });
  test('is added to more the warmer it is', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 10, max: 30, noNaN: true }),
        fc.double({ min: 5, max: 29.5, noNaN: true }),
        (reading, celsius) => {
          const colder = sure(refractometerCorrection(reading, celsius));
          expect(sure(refractometerCorrection(reading, celsius + 0.5))).toBeGreaterThan(colder);
        },
      ),
    );
  });
  test('halfway between rows and columns is their mean', () => {
    // OIV-MA-AS2-02, Table I: 15 °C −0.34 and −0.35, 16 °C −0.28 and −0.28 at 20 and 25 %.
    expect(sure(refractometerCorrection(22.5, 15.5))).toBeCloseTo((-0.34 - 0.35 - 0.28 - 0.28) / 4, 9);
  });
});

describe('in ferment', () => {
  const before = fc.double({ min: 16, max: 30, noNaN: true });

  test('a must that has not begun is as it was', () => {
    fc.assert(
      fc.property(before, (reading) => {
        const now = sure(inFerment(reading, reading, 16.83));
        expect(now.alcoholPercentVolume).toBeCloseTo(0, 6);
        const must = sure(mustByRefractometer(reading));
        expect(now.sugarGramsPerLitre).toBeCloseTo(must.gramsPerLitre, 6);
        // Water by the alcohol tables, by ICUMSA and by the CIPM: 5 in a million.
        expect(now.relativeDensity).toBeCloseTo(must.density / 998.2067, 4);
      }),
    );
  });

  test('lower readings mean less sugar, more alcohol, lighter', () => {
    fc.assert(
      fc.property(before, fc.double({ min: 0.5, max: 0.95, noNaN: true }), (reading, part) => {
        const early = sure(inFerment(reading, reading * part + 0.2, 16.83));
        const late = sure(inFerment(reading, reading * part, 16.83));
        expect(late.sugarGramsPerLitre).toBeLessThan(early.sugarGramsPerLitre);
        expect(late.alcoholPercentVolume).toBeGreaterThan(early.alcoholPercentVolume);
        expect(late.relativeDensity).toBeLessThan(early.relativeDensity);
      }),
    );
  });

  test('sugar and alcohol keep to the convention', () => {
    const { sugarGramsPerLitre, alcoholPercentVolume } = sure(inFerment(24, 12, 17));
    expect(sugarGramsPerLitre + 17 * alcoholPercentVolume).toBeCloseTo(sure(mustByRefractometer(24)).gramsPerLitre, 6);
  });
});

describe('enrichment', () => {
  const volume = fc.double({ min: 10, max: 100_000, noNaN: true });

  test('sugar for the wine gives the whole what was asked', () => {
    fc.assert(
      fc.property(
        volume,
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        fc.constantFrom(16.83, 17, 17.5),
        fc.double({ min: 5, max: 15, noNaN: true }),
        (litres, rise, perPercent, promised) => {
          const sugar = sure(sugarForWine(litres, rise, perPercent, promised));
          const alcohol = promised * litres + (1000 * sugar.kilograms) / perPercent;
          expect(alcohol / sugar.finalLitres).toBeCloseTo(promised + rise, 9);
          expect(sugar.kilograms).toBeGreaterThan(sure(sugarForMust(litres, rise, perPercent)).kilograms);
          expect(sugar.finalLitres - litres).toBeCloseTo(sugar.kilograms * LITRES_PER_KILOGRAM_SUGAR, 6);
        },
      ),
    );
  });

  test('water and concentrate keep the sugar there is', () => {
    const sugarIn = (litres: number, brix: number): number =>
      (litres * brix * sure(sucroseDensity(brix, 20))) / 100_000;
    fc.assert(
      fc.property(
        volume,
        fc.double({ min: 10, max: 30, noNaN: true }),
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        (litres, brix, step) => {
          const thinned = sure(waterToBrix(litres, brix, brix - step));
          expect(sugarIn(thinned.finalLitres, brix - step) / sugarIn(litres, brix)).toBeCloseTo(1, 9);
          const sweetened = sure(concentrateToBrix(litres, brix, brix + step, 68));
          const both = sugarIn(litres, brix) + sugarIn(sweetened.litres, 68);
          expect(sugarIn(sweetened.finalLitres, brix + step) / both).toBeCloseTo(1, 9);
        },
      ),
    );
  });

  test('no more than 35 % of the whole, nothing where the acid is low', () => {
    fc.assert(
      fc.property(volume, fc.double({ min: 3, max: 30, noNaN: true }), (litres, acid) => {
        const limit = sure(ameliorationLimit(litres, acid));
        expect(limit / (litres + limit)).toBeLessThanOrEqual(0.35 + 1e-12);
        expect((acid * litres) / (litres + limit)).toBeGreaterThanOrEqual(Math.min(acid, 5) - 1e-9);
      }),
    );
    expect(sure(ameliorationLimit(1000, 5))).toBe(0);
  });

  // 27 CFR 24.176(a), 2015 edition.
  test('water leaves 22 °Bx, or takes one degree from thin juice', () => {
    expect(leastBrixWatered(26)).toBe(22);
    expect(leastBrixWatered(23)).toBe(22);
    expect(leastBrixWatered(22.4)).toBeCloseTo(21.4, 9);
  });
});
