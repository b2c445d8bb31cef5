/** Water, sucrose, must scales, hydrometers and the way between them: edges, round trips, which way things go. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { convertDensity, type DensityScale, type DensityTarget } from '../../src/trade/density-reading.ts';
import {
  CALIBRATED_20C,
  CALIBRATED_60F,
  correctBrixHydrometer,
  correctSgHydrometer,
} from '../../src/trade/hydrometer.ts';
import {
  BAUME_MODULI,
  baume,
  densityOfRelativeDensity,
  kmwOfOechsle,
  oechsle,
  oechsleOfKmw,
  relativeDensityOfBaume,
  relativeDensityOfDensity,
  relativeDensityOfOechsle,
} from '../../src/trade/must-scales.ts';
import {
  brixOfDensity,
  brixOfRefractiveIndex,
  brixOfRelativeDensityInAir,
  brixOfSucroseGramsPerLitre,
  inAir,
  inVacuo,
  platoOfRelativeDensityInAir,
  refractiveIndexOfBrix,
  relativeDensityInAirOfBrix,
  relativeDensityInAirOfPlato,
  sucroseDensity,
  sucroseGramsPerLitre,
} from '../../src/trade/sucrose.ts';
import { waterDensity } from '../../src/trade/water-density.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';

function sure<T>(worked: Worked<T>): T {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
}

const NO_NUMBERS = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

/** Each formula of one figure: what it holds for, from and to. */
const HOLDS: readonly (readonly [name: string, of: (x: number) => Worked, low: number, high: number])[] = [
  ['water density', waterDensity, 0, 40],
  ['sucrose density by Brix', (x) => sucroseDensity(x, 20), 0, 70],
  ['sucrose density by temperature', (x) => sucroseDensity(20, x), 0, 100],
  ['weighed in air', inAir, 0.9, 1.5],
  ['in vacuo', inVacuo, 0.9, 1.5],
  ['Brix of relative density', brixOfRelativeDensityInAir, 1, 1.17874],
  ['relative density of Brix', relativeDensityInAirOfBrix, 0, 40],
  ['Plato of relative density', platoOfRelativeDensityInAir, 1, 1.08297],
  ['relative density of Plato', relativeDensityInAirOfPlato, 0, 20],
  ['Brix of refractive index', brixOfRefractiveIndex, 1.33299, 1.40985],
  ['refractive index of Brix', refractiveIndexOfBrix, 0, 45],
  ['sucrose in a litre', sucroseGramsPerLitre, 0, 70],
  ['Brix of sucrose in a litre', brixOfSucroseGramsPerLitre, 0, 940],
  ['Oechsle', oechsle, 0.98, 1.2],
  ['relative density of Oechsle', relativeDensityOfOechsle, -20, 200],
  ['Oechsle of KMW', oechsleOfKmw, 0, 37.3],
  ['KMW of Oechsle', kmwOfOechsle, 0, 200],
  ['Baumé', (x) => baume(x, 145), 0.98, 1.2],
  ['Baumé by modulus', (x) => baume(1.1, x), 144, 147],
  ['relative density of Baumé', (x) => relativeDensityOfBaume(x, 145), -2.9, 24],
  ['density of relative density', densityOfRelativeDensity, 0.98, 1.2],
  ['relative density of density', relativeDensityOfDensity, 980, 1197],
  ['Brix hydrometer', (x) => worth(correctBrixHydrometer(x, 25, 20)), 0, 40],
  ['Brix hydrometer by temperature', (x) => worth(correctBrixHydrometer(20, x, 20)), 0, 40],
  ['specific-gravity hydrometer', (x) => worth(correctSgHydrometer(x, 25, 20)), 1, 1.17],
];

function worth(worked: Worked<{ readonly brix: number }>): Worked {
  return isRefused(worked) ? worked : worked.brix;
}

describe.each(HOLDS)('%s', (_, of, low, high) => {
  test('holds from end to end and refuses beyond', () => {
    expect(Number.isFinite(sure(of(low)))).toBe(true);
    expect(Number.isFinite(sure(of(high)))).toBe(true);
    const hair = (high - low) * 1e-3;
    for (const x of [low - hair, high + hair, ...NO_NUMBERS]) expect(isRefused(of(x))).toBe(true);
  });
});

/** Pairs that turn one another round, over the range of the first. */
const THERE_AND_BACK: readonly (readonly [
  name: string,
  there: (x: number) => Worked,
  back: (x: number) => Worked,
  low: number,
  high: number,
  within: number,
])[] = [
  ['sucrose density', (x) => sucroseDensity(x, 20), (x) => brixOfDensity(x, 20), 0, 69.99, 1e-9],
  ['warm sucrose density', (x) => sucroseDensity(x, 35), (x) => brixOfDensity(x, 35), 0, 69.99, 1e-9],
  ['air', inAir, inVacuo, 0.91, 1.49, 1e-12],
  // The cubic falls under nothing below 1.00002, and is held at 0 there.
  ['NBS', relativeDensityInAirOfBrix, brixOfRelativeDensityInAir, 0, 39.99, 1e-9],
  ['Plato', relativeDensityInAirOfPlato, platoOfRelativeDensityInAir, 0, 19.99, 1e-9],
  ['refraction', refractiveIndexOfBrix, brixOfRefractiveIndex, 0, 44.99, 1e-8],
  ['grams in a litre', sucroseGramsPerLitre, brixOfSucroseGramsPerLitre, 0, 69.5, 1e-9],
  ['Oechsle', oechsle, relativeDensityOfOechsle, 0.981, 1.199, 1e-12],
  ['KMW', oechsleOfKmw, kmwOfOechsle, 0, 37.2, 1e-9],
  ['density', densityOfRelativeDensity, relativeDensityOfDensity, 0.982, 1.198, 1e-12],
];

describe.each(THERE_AND_BACK)('%s there and back', (_, there, back, low, high, within) => {
  const inRange = fc.double({ min: low, max: high, noNaN: true });
  test('gives the same again', () => {
    fc.assert(
      fc.property(inRange, (x) => {
        expect(Math.abs(sure(back(sure(there(x)))) - x)).toBeLessThanOrEqual(within);
      }),
    );
  });
  test('rises', () => {
    fc.assert(
      fc.property(inRange, inRange, (a, b) => {
        fc.pre(Math.abs(a - b) > (high - low) * 1e-9);
        expect(Math.sign(sure(there(a)) - sure(there(b)))).toBe(Math.sign(a - b));
      }),
    );
  });
});

test('every modulus turns its own Baumé round', () => {
  for (const modulus of BAUME_MODULI) {
    expect(sure(relativeDensityOfBaume(sure(baume(1.0915, modulus)), modulus))).toBeCloseTo(1.0915, 12);
  }
});

describe('the cubics near nothing', () => {
  test('never go below 0', () => {
    expect(sure(brixOfRelativeDensityInAir(1))).toBe(0);
    expect(sure(platoOfRelativeDensityInAir(1))).toBe(0);
    expect(sure(brixOfRefractiveIndex(1.33299))).toBe(0);
  });
  test('water is 0 °Bx within two units of the fifth decimal', () => {
    expect(sure(relativeDensityInAirOfBrix(0))).toBeCloseTo(1.00002, 5);
  });
});

describe('from any scale to any other', () => {
  const scales: readonly DensityScale[] = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato', 'KMW'];
  const value = (worth: number, from: DensityScale, to: DensityTarget): number =>
    sure(convertDensity(worth, from, to)).value;

  test('there and back is where it began, whatever the scales', () => {
    const oneScale = fc.constantFrom(...scales);
    // 2 to 19 °Bx: where even Plato holds.
    fc.assert(
      fc.property(fc.double({ min: 1.008, max: 1.079, noNaN: true }), oneScale, oneScale, (relative, a, b) => {
        const inA = value(relative, 'SG', a);
        expect(value(value(inA, a, b), b, a)).toBeCloseTo(inA, 6);
      }),
    );
  });

  test('all of them rise together', () => {
    fc.assert(
      fc.property(fc.double({ min: 1.042, max: 1.08, noNaN: true }), (relative) => {
        for (const to of [...scales, 'sugar'] as const) {
          expect(value(relative + 0.002, 'SG', to)).toBeGreaterThan(value(relative, 'SG', to));
        }
      }),
    );
  });

  test('a must that has fermented dry has its like on the plain scales only', () => {
    expect(value(0.994, 'SG', 'oechsle')).toBeCloseTo(-6, 9);
    expect(value(0.994, 'SG', 'density')).toBeCloseTo(992.217, 2);
    expect(value(0.994, 'SG', 'baume')).toBeLessThan(0);
    for (const to of ['brix', 'plato', 'KMW', 'sugar'] as const) {
      expect(isRefused(convertDensity(0.994, 'SG', to))).toBe(true);
    }
  });

  test('a Baumé reading is told by the modulus given', () => {
    expect(sure(convertDensity(13, 'baume', 'SG', 144.3)).value).toBeGreaterThan(
      sure(convertDensity(13, 'baume', 'SG', 145)).value,
    );
  });

  test('the route names both ends', () => {
    const { route } = sure(convertDensity(24, 'brix', 'oechsle'));
    expect(route[0]).toContain('NBS');
    expect(route[1]).toContain('Oechsle');
  });
});

describe('hydrometers', () => {
  const reading = fc.double({ min: 2, max: 35, noNaN: true });

  test('at the temperature they were made for nothing is added', () => {
    fc.assert(
      fc.property(reading, fc.constantFrom(CALIBRATED_20C, CALIBRATED_60F), (brix, madeFor) => {
        const at = sure(correctBrixHydrometer(brix, madeFor, madeFor));
        expect(at.brix).toBeCloseTo(brix, 9);
        const sg = sure(correctSgHydrometer(at.relativeDensity, madeFor, madeFor));
        expect(sg.relativeDensity).toBeCloseTo(at.relativeDensity, 12);
      }),
    );
  });

  test('warmer than that is added to, colder is taken from', () => {
    fc.assert(
      fc.property(reading, fc.double({ min: 0.5, max: 12, noNaN: true }), (brix, away) => {
        expect(sure(correctBrixHydrometer(brix, 20 + away, 20)).brix).toBeGreaterThan(brix);
        const cold = correctBrixHydrometer(brix, 20 - away, 20);
        expect(isRefused(cold) || cold.brix < brix).toBe(true);
      }),
    );
  });

  test('both scales tell of the same sugar', () => {
    fc.assert(
      fc.property(reading, fc.double({ min: 15, max: 35, noNaN: true }), (brix, celsius) => {
        const scale = sure(correctBrixHydrometer(brix, 20, 20)).relativeDensity;
        expect(sure(correctSgHydrometer(scale, celsius, 20)).brix).toBeCloseTo(
          sure(correctBrixHydrometer(brix, celsius, 20)).brix,
          9,
        );
      }),
    );
  });

  test('what is lighter than water is refused in words', () => {
    const light = correctBrixHydrometer(0.1, 10, 20);
    expect(isRefused(light) && light.refused).toContain('lighter than water');
  });
});
