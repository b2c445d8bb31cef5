/** Tanks, bottles and cases: edges, geometry as properties, and what the calculations answer. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { GAUGING_CALCULATIONS } from '../../src/trade/calculations/gauging.ts';
import {
  fillTolerancePerMille,
  findBottleFormat,
  isUsStandardFill,
  PRESCRIBED_CASES,
  prescribedCaseGallonsE5,
  prescribedGallons,
  volumeOfBottles,
} from '../../src/trade/formats.ts';
import {
  bottlesFrom,
  depthOf,
  litresInBox,
  litresLying,
  litresOfCases,
  litresUpright,
  tolerableNegativeError,
} from '../../src/trade/gauging.ts';
import { formatVolume, volumeNumber } from '../../src/trade/volume.ts';
import { isRefused, refuse } from '../../src/trade/worked.ts';
import { publishedRows } from '../published/rows.ts';
import { answerOf, number, refusal, work } from './calculations.ts';

const NOT_NUMBERS = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
const given = (name: string, text: string) => answerOf(GAUGING_CALCULATIONS, name, text);
const sides = fc.double({ min: 0.1, max: 10, noNaN: true });
const parts = fc.double({ min: 0, max: 1, noNaN: true });

describe('tanks', () => {
  test('a lying cylinder full holds what it would upright, half full the half, and nothing empty', () => {
    fc.assert(
      fc.property(sides, sides, (diameter, length) => {
        const full = number(litresUpright(diameter, length));
        expect(number(litresLying(diameter, length, diameter)) / full).toBeCloseTo(1, 9);
        expect(number(litresLying(diameter, length, diameter / 2)) / full).toBeCloseTo(0.5, 9);
        expect(litresLying(diameter, length, 0)).toBe(0);
      }),
    );
  });

  test('what is below a depth and what is above it make the whole', () => {
    fc.assert(
      fc.property(sides, sides, parts, (diameter, length, part) => {
        const below = number(litresLying(diameter, length, diameter * part));
        const above = number(litresLying(diameter, length, diameter - diameter * part));
        expect((below + above) / number(litresUpright(diameter, length))).toBeCloseTo(1, 9);
      }),
    );
  });

  test('more depth is more wine, and the depth of a volume is the depth it was', () => {
    fc.assert(
      fc.property(sides, sides, fc.double({ min: 0.02, max: 0.98, noNaN: true }), (diameter, length, part) => {
        const depth = diameter * part;
        const litres = number(litresLying(diameter, length, depth));
        expect(number(litresLying(diameter, length, depth + diameter * 0.01))).toBeGreaterThan(litres);
        const back = number(depthOf(litres, diameter, (metres) => litresLying(diameter, length, metres)));
        expect(back).toBeCloseTo(depth, 6);
      }),
    );
  });

  test('refused where there is no such tank', () => {
    for (const bad of [...NOT_NUMBERS, 0, -1, 51]) {
      expect(isRefused(litresUpright(bad, 1))).toBe(true);
      expect(isRefused(litresLying(bad, 1, 0))).toBe(true);
      expect(isRefused(litresLying(1, bad, 0))).toBe(true);
      expect(isRefused(litresInBox(bad, 1, 1))).toBe(true);
      expect(isRefused(litresInBox(1, bad, 1))).toBe(true);
    }
    for (const bad of [...NOT_NUMBERS, -0.01]) {
      expect(isRefused(litresUpright(1, bad))).toBe(true);
      expect(isRefused(litresLying(1, 1, bad))).toBe(true);
      expect(isRefused(litresInBox(1, 1, bad))).toBe(true);
    }
    expect(isRefused(litresLying(1, 1, 1.01))).toBe(true);
    expect(isRefused(depthOf(1001, 1, (metres) => litresInBox(1, 1, metres)))).toBe(true);
    expect(refusal(depthOf(1, 1, () => refuse('no bottom')))).toBe('no bottom');
    expect(litresInBox(1, 1, 1)).toBe(1000);
  });
});

describe('bottles and cases', () => {
  test('whole bottles, none of them short, and the rest together make the volume', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 100_000, noNaN: true }),
        fc.constantFrom(187, 375, 500, 750, 1500),
        fc.integer({ min: 1, max: 24 }),
        (litres, size, perCase) => {
          const count = bottlesFrom(litres, size, perCase);
          if (isRefused(count)) throw new Error(count.refused);
          expect(count.cases * perCase + count.loose).toBe(count.bottles);
          expect(count.loose).toBeLessThan(perCase);
          expect((count.bottles * size) / 1000 + count.leftLitres).toBeCloseTo(litres, 5);
          expect(count.leftLitres * 1000).toBeLessThan(size + 1e-6);
          expect(number(litresOfCases(count.cases, count.loose, size, perCase))).toBeLessThanOrEqual(litres + 1e-6);
        },
      ),
    );
  });

  test('a volume that fills bottles exactly loses none to binary arithmetic', () => {
    for (let bottles = 0; bottles <= 2000; bottles += 1) {
      const count = bottlesFrom(bottles * 0.75, 750, 12);
      expect(isRefused(count) ? count.refused : count.bottles).toBe(bottles);
    }
  });

  test('refused where they are not counted whole, or are no bottles', () => {
    for (const bad of [...NOT_NUMBERS, 0, -1, 12.5, 201]) expect(isRefused(bottlesFrom(100, 750, bad))).toBe(true);
    for (const bad of [...NOT_NUMBERS, 9, 20_001]) expect(isRefused(bottlesFrom(100, bad, 12))).toBe(true);
    for (const bad of [...NOT_NUMBERS, -1]) expect(isRefused(bottlesFrom(bad, 750, 12))).toBe(true);
    for (const bad of [...NOT_NUMBERS, -1, 1.5]) {
      expect(isRefused(litresOfCases(bad, 0, 750, 12))).toBe(true);
      expect(isRefused(litresOfCases(0, bad, 750, 12))).toBe(true);
    }
  });

  test('what a bottle may lack never falls as bottles grow, and is refused beyond the table', () => {
    fc.assert(
      fc.property(fc.integer({ min: 5, max: 9999 }), (size) => {
        expect(number(tolerableNegativeError(size + 1))).toBeGreaterThanOrEqual(number(tolerableNegativeError(size)));
      }),
    );
    for (const bad of [...NOT_NUMBERS, 4, 10_001]) expect(isRefused(tolerableNegativeError(bad))).toBe(true);
  });

  test('as many cases as 27 CFR 24.300(a) prints, and no figure for another', () => {
    expect(PRESCRIBED_CASES).toHaveLength(publishedRows('wine_gallons_per_case.csv').length);
    expect(prescribedCaseGallonsE5(12, 500)).toBeUndefined();
  });

  test('the exact gallon differs from the prescribed one in the sixth figure', () => {
    expect(volumeNumber(volumeOfBottles(12, 750), 'gal', 6)).toBe('2.377548');
    expect(prescribedGallons(volumeOfBottles(12, 750), 6)).toBe('2.377530');
    expect(formatVolume(volumeOfBottles(12, 750), 'L')).toBe('9 L');
    expect(formatVolume(225_000_000, 'gal', 2)).toBe('59.44 gal');
  });

  test('standards of fill, 27 CFR 4.72 with the sizes of T.D. TTB-200; no tolerance where the rule has none', () => {
    expect([750, 355, 620, 2250, 4000, 6000].filter(isUsStandardFill)).toEqual([750, 355, 620, 2250, 4000, 6000]);
    expect([700.5, 740, 4500].filter(isUsStandardFill)).toEqual([]);
    expect(fillTolerancePerMille(620)).toBeUndefined();
    for (const name of ['bottle', 'half-bottle', 'Magnums', 'split', 'double magnum']) {
      expect(findBottleFormat(name)?.usStandard, name).toBe(true);
    }
  });
});

describe('calculations', () => {
  test.each(GAUGING_CALCULATIONS.map((each) => [each.name, each] as const))('the example of %s works', (_, each) => {
    const answer = work(each, each.example);
    expect(Number.isFinite(answer.figures[0].value)).toBe(true);
  });

  test('tank-volume by dip, by headspace, and the other way', () => {
    const tank = '--shape upright --diameter 2 m --height 3 m';
    const whole = Math.PI * 3000;
    const dipped = given('tank-volume', `${tank} --dip 150 cm`);
    expect(dipped.figures[0].value).toBeCloseTo(whole / 2, 6);
    expect(dipped.figures.find(({ unit }) => unit === '%')?.value).toBeCloseTo(50, 9);
    // The gauge of an upright tank is the same everywhere: π litres a millimetre at 2 m.
    expect(dipped.figures.at(-1)?.value).toBeCloseTo(Math.PI, 6);
    expect(given('tank-volume', `${tank} --headspace 150 cm`).figures[0].value).toBeCloseTo(whole / 2, 6);
    expect(given('tank-volume', `${tank} --dip 0 m`).figures[0].value).toBe(0);
    expect(given('tank-volume', `${tank} --hold ${whole / 3} L`).figures[0].value).toBeCloseTo(100, 3);
    expect(given('tank-volume', '--diameter 2 m --dip 1 m').figures[0].value).toBeCloseTo(Math.PI * 1000, 6);
    expect(given('tank-volume', '--shape box --length 1.2 m --width 1 m --dip 0.5 m').figures[0].value).toBe(600);
  });

  test('tank-volume says what it lacks', () => {
    const refused = (text: string) => {
      try {
        return JSON.stringify(given('tank-volume', text));
      } catch (error) {
        return error instanceof Error ? error.message : '';
      }
    };
    expect(refused('--dip 1 m')).toMatch(/inner diameter/u);
    expect(refused('--shape lying --diameter 2 m --dip 1 m')).toMatch(/inner length/u);
    expect(refused('--shape box --length 2 m --dip 1 m')).toMatch(/length and width/u);
    expect(refused('--diameter 2 m')).toMatch(/give the dip, or the volume/u);
    expect(refused('--diameter 2 m --hold 100 L')).toMatch(/inner height/u);
    expect(refused('--diameter 2 m --headspace 1 m')).toMatch(/inner height/u);
    expect(refused('--diameter 2 m --height 1 m --dip 1.1 m')).toMatch(/a dip in this tank/u);
    expect(refused('--diameter 2 m --height 2 m --dip 1 m --headspace 1 m')).toMatch(/not both/u);
    expect(refused('--diameter 2 m --height 2 m --dip 1 m --hold 10 L')).toMatch(/not both/u);
    expect(refused('--diameter 2 m --height 2 m --headspace 2.1 m')).toMatch(/a headspace/u);
    expect(refused('--diameter 2 m --height 2 m --hold 10000 L')).toMatch(/a volume in this vessel/u);
  });

  test('bottles-and-cases both ways', () => {
    const filled = given('bottles-and-cases', '--volume 2140 L --loss 1 %');
    // 2118.6 L are 2824.8 bottles of 0.75 L: 235 cases and 4 bottles.
    expect(filled.figures.slice(0, 3).map(({ value }) => value)).toEqual([2824, 235, 4]);
    expect(filled.remarks.join('\n')).toMatch(
      /2\.37753 gal for a case of 12 × 750 mL: 558\.720 gal for the 235 cases/u,
    );
    expect(filled.remarks.join('\n')).toMatch(/US: one bottle may hold 15\.0 mL more or less/u);
    expect(filled.remarks.join('\n')).toMatch(/may lack 15\.0 mL/u);
    const counted = given('bottles-and-cases', '--cases 100 --bottles 6 --size 375 mL --per-case 24');
    expect(counted.figures[0].value).toBeCloseTo(902.25, 9);
    expect(given('bottles-and-cases', '--volume 10 L --size 740 mL').remarks.join('\n')).toMatch(/no US standard/u);
    expect(() => given('bottles-and-cases', '--size 750 mL')).toThrow(/give the volume/u);
    expect(() => given('bottles-and-cases', '--volume 10 L --loss 60 %')).toThrow(/a loss/u);
  });
});
