/** Alcohol and water, extract, and the estimate from a density drop: ends of their ranges, and what must hold everywhere. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { alcoholFromDrop, type Mixture, mixedByMass } from '../../src/trade/alcohol.ts';
import { ALCOHOL_CALCULATIONS } from '../../src/trade/calculations/alcohol.ts';
import type { Answer } from '../../src/trade/calculations/calculation.ts';
import {
  densityOfPercentVolume,
  ethanolWaterDensity,
  massFractionOf,
  massFractionOfDensity,
  percentVolumeOf,
  US_STANDARD_CELSIUS,
} from '../../src/trade/ethanol-water.ts';
import {
  densityWithoutSulfurDioxide,
  dryExtract,
  extractOfRelativeDensity,
  relativeDensityOfAlcohol,
} from '../../src/trade/extract.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';

const sure = <T>(worked: Worked<T>): T => {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
};
const why = (worked: unknown): string => (isRefused(worked) ? worked.refused : `no refusal but ${String(worked)}`);

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const share = between(0, 1);
const percent = between(0, 100);
const warm = between(0, 40);
const NO_NUMBERS = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

describe('alcohol and water', () => {
  test('more alcohol is lighter, at any temperature of a cellar', () => {
    fc.assert(
      fc.property(share, between(1e-6, 0.1), warm, (p, more, celsius) => {
        const stronger = Math.min(1, p + more);
        fc.pre(stronger - p > 1e-7);
        expect(sure(ethanolWaterDensity(stronger, celsius))).toBeLessThan(sure(ethanolWaterDensity(p, celsius)));
      }),
    );
  });

  test('what is warmer than 4 °C is lighter when warmer still', () => {
    fc.assert(
      fc.property(share, between(4, 39.9), between(0.01, 5), (p, celsius, more) => {
        const warmer = Math.min(40, celsius + more);
        expect(sure(ethanolWaterDensity(p, warmer))).toBeLessThan(sure(ethanolWaterDensity(p, celsius)));
      }),
    );
  });

  test('strength by volume to strength by mass and back', () => {
    fc.assert(
      fc.property(percent, (q) => {
        expect(sure(percentVolumeOf(sure(massFractionOf(q))))).toBeCloseTo(q, 9);
      }),
    );
  });

  test('strength to density and back, at any temperature', () => {
    fc.assert(
      fc.property(percent, warm, (q, celsius) => {
        const density = sure(densityOfPercentVolume(q, celsius));
        expect(sure(percentVolumeOf(sure(massFractionOfDensity(density, celsius))))).toBeCloseTo(q, 6);
      }),
    );
  });

  test('the share by mass is below the share by volume, between the ends', () => {
    fc.assert(
      fc.property(between(0.1, 99.9), (q) => {
        const p = 100 * sure(massFractionOf(q));
        expect(p).toBeLessThan(q);
        expect(p).toBeGreaterThan(0.78 * q);
      }),
    );
  });

  test('the ends themselves have figures', () => {
    expect(sure(massFractionOf(0))).toBeCloseTo(0, 12);
    expect(sure(massFractionOf(100))).toBeCloseTo(1, 12);
    expect(sure(percentVolumeOf(1))).toBe(100);
    expect(sure(percentVolumeOf(1, US_STANDARD_CELSIUS))).toBe(100);
    expect(sure(ethanolWaterDensity(0.35, -20))).toBeGreaterThan(960);
    expect(sure(ethanolWaterDensity(0, 40))).toBeLessThan(993);
  });

  test.each([
    ['below nothing', () => ethanolWaterDensity(-0.001, 20), 'share of alcohol by mass of -0.001'],
    ['above all', () => ethanolWaterDensity(1.001, 20), 'outside 0 to 1'],
    ['too cold', () => ethanolWaterDensity(0.5, -20.1), 'temperature of -20.1 °C'],
    ['too warm', () => ethanolWaterDensity(0.5, 40.1), 'outside -20 to 40 °C'],
    ['ice', () => ethanolWaterDensity(0.05, -5), 'ice at this temperature'],
    ['iced water', () => densityOfPercentVolume(0, -0.1), 'ice at this temperature'],
    ['too strong', () => massFractionOf(100.1), 'alcohol of 100.1 % vol'],
    ['heavier than water', () => massFractionOfDensity(1000, 20), 'between 789.24 and 998.20 g/L'],
    ['lighter than alcohol', () => massFractionOfDensity(789, 20), 'between 789.24 and 998.20 g/L'],
    ['a % vol in the frost', () => percentVolumeOf(0.5, -1), 'temperature of -1 °C'],
  ])('%s is refused', (_, work, words) => {
    expect(why(work())).toContain(words);
  });

  test('what is no number is refused by every function', () => {
    for (const none of NO_NUMBERS) {
      for (const worked of [
        ethanolWaterDensity(none, 20),
        ethanolWaterDensity(0.1, none),
        percentVolumeOf(none),
        percentVolumeOf(0.1, none),
        massFractionOf(none),
        massFractionOfDensity(none, 20),
        massFractionOfDensity(980, none),
        densityOfPercentVolume(none, 20),
      ]) {
        expect(isRefused(worked)).toBe(true);
      }
    }
  });

  test('below 0 °C what is weak is ice, and what is stronger than a liquid is liquid', () => {
    const liquid = (p: number, celsius: number) => !isRefused(ethanolWaterDensity(p, celsius));
    fc.assert(
      fc.property(between(-20, -0.01), share, share, (celsius, p, q) => {
        expect(liquid(0, celsius)).toBe(false);
        expect(liquid(0.31, celsius)).toBe(true);
        if (liquid(Math.min(p, q), celsius)) expect(liquid(Math.max(p, q), celsius)).toBe(true);
      }),
    );
    // A wine of 12 % vol stands the usual cold of −4 °C, not −6.
    const wine = sure(massFractionOf(12));
    expect([liquid(wine, -4), liquid(wine, -6), liquid(0, 0)]).toEqual([true, false, true]);
  });
});

describe('extract', () => {
  test('a solution of sugar has its own sugar as extract, and the heavier the more', () => {
    fc.assert(
      fc.property(between(1, 1.19), between(1e-5, 0.01), (density, more) => {
        const extract = sure(extractOfRelativeDensity(density));
        expect(sure(extractOfRelativeDensity(density + more))).toBeGreaterThan(extract);
        // A thousandth of relative density is worth 2.5 to 2.8 g/L.
        expect(extract / (1000 * (density - 1) || 1)).toBeLessThan(2.8);
      }),
    );
    expect(sure(extractOfRelativeDensity(1))).toBeCloseTo(0, 9);
  });

  test('a wine without extract has the density of its alcohol and water', () => {
    fc.assert(
      fc.property(between(0, 20), (alcohol) => {
        const bare = sure(relativeDensityOfAlcohol(alcohol));
        expect(sure(dryExtract(bare + 1e-9, alcohol))).toBeLessThan(1e-4);
        expect(why(dryExtract(bare - 1e-4, alcohol))).toContain('lighter than water');
      }),
    );
  });

  test('more alcohol at the same density means more extract', () => {
    fc.assert(
      fc.property(between(8, 15), between(0.1, 2), (alcohol, more) => {
        expect(sure(dryExtract(0.995, alcohol + more))).toBeGreaterThan(sure(dryExtract(0.995, alcohol)));
      }),
    );
  });

  test.each([
    ['a syrup', () => extractOfRelativeDensity(1.21), 'relative density of 1.21'],
    ['spirit', () => dryExtract(0.95, 12), 'relative density of 0.95'],
    ['liqueur', () => dryExtract(1.02, 26), 'alcohol of 26 % vol'],
    ['too much sulfur dioxide', () => densityWithoutSulfurDioxide(0.99, 0.6), 'sulfur dioxide of 0.6 g/L'],
    ['mg/L for g/L', () => densityWithoutSulfurDioxide(0.99, 120), 'outside 0 to 0.5 g/L'],
    ['no density', () => densityWithoutSulfurDioxide(990, 0.1), 'a density of 990 g/mL'],
  ])('%s is refused', (_, work, words) => {
    expect(why(work())).toContain(words);
  });

  test('what is no number is refused', () => {
    for (const none of NO_NUMBERS) {
      expect(isRefused(extractOfRelativeDensity(none))).toBe(true);
      expect(isRefused(dryExtract(none, 12))).toBe(true);
      expect(isRefused(dryExtract(0.99, none))).toBe(true);
      expect(isRefused(densityWithoutSulfurDioxide(none, 0.1))).toBe(true);
      expect(isRefused(densityWithoutSulfurDioxide(0.99, none))).toBe(true);
    }
  });
});

describe('alcohol from a density drop', () => {
  test('nothing fermented gives nothing, a lower end more, a heavier must more', () => {
    fc.assert(
      fc.property(between(1.06, 1.11), between(0.992, 1.03), between(0.001, 0.005), (before, after, more) => {
        const alcohol = sure(alcoholFromDrop(before, after));
        expect(sure(alcoholFromDrop(before, before))).toBeCloseTo(0, 6);
        expect(sure(alcoholFromDrop(before + more, after))).toBeGreaterThan(alcohol);
        expect(sure(alcoholFromDrop(before, after + more))).toBeLessThan(alcohol);
      }),
    );
  });

  test('what it gives closes: extract lost is alcohol times the convention', () => {
    fc.assert(
      fc.property(between(1.07, 1.11), between(0.992, 1.03), between(15.4, 18), (before, after, perAlcohol) => {
        const alcohol = sure(alcoholFromDrop(before, after, perAlcohol));
        const lost = sure(extractOfRelativeDensity(before)) - sure(dryExtract(after, alcohol));
        expect(alcohol * perAlcohol).toBeCloseTo(lost, 6);
      }),
    );
  });

  test.each([
    ['a rising density', () => alcoholFromDrop(1.05, 1.06), 'the density rose'],
    ['lighter than any such wine', () => alcoholFromDrop(1.02, 0.98), 'lighter than water'],
    ['more than yeast gives', () => alcoholFromDrop(1.17, 0.985), 'more than 20 % vol'],
    ['points for SG', () => alcoholFromDrop(1093, 994), 'relative density before of 1093'],
    ['a concentrate', () => alcoholFromDrop(1.18, 1.1), 'outside 1 to 1.17'],
    ['spirit', () => alcoholFromDrop(1.09, 0.97), 'relative density after of 0.97'],
    ['better than theory', () => alcoholFromDrop(1.09, 0.995, 15), 'sugar for one % vol of 15 g/L'],
  ])('%s is refused', (_, work, words) => {
    expect(why(work())).toContain(words);
  });

  test('what is no number is refused', () => {
    for (const none of NO_NUMBERS) {
      expect(isRefused(alcoholFromDrop(none, 1))).toBe(true);
      expect(isRefused(alcoholFromDrop(1.09, none))).toBe(true);
      expect(isRefused(alcoholFromDrop(1.09, 0.995, none))).toBe(true);
    }
  });
});

describe('mixing by mass', () => {
  const part = fc.record({ litres: between(0.1, 1e5), percentVolume: percent });
  const mixture = (...parts: Parameters<typeof mixedByMass>[0]): Mixture => sure(mixedByMass(parts));

  test('mass and mass of alcohol are what they were', () => {
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 5 }), (parts) => {
        const mass = ({ litres, percentVolume }: { litres: number; percentVolume: number }) =>
          litres * sure(densityOfPercentVolume(percentVolume, 20));
        const alcohol = (one: { litres: number; percentVolume: number }) =>
          mass(one) * sure(massFractionOf(one.percentVolume));
        const sum = (of: (one: (typeof parts)[number]) => number) => parts.reduce((all, one) => all + of(one), 0);
        const mixed = mixture(...parts);
        expect(mass(mixed) / sum(mass)).toBeCloseTo(1, 9);
        expect(alcohol(mixed)).toBeCloseTo(sum(alcohol), 3);
        expect(mixed.litres - mixed.gained).toBeCloseTo(
          sum(({ litres }) => litres),
          3,
        );
      }),
    );
  });

  test('lies between its parts, and one part alone stays itself', () => {
    fc.assert(
      fc.property(part, part, (first, other) => {
        const { percentVolume } = mixture(first, other);
        expect(percentVolume).toBeGreaterThanOrEqual(Math.min(first.percentVolume, other.percentVolume) - 1e-6);
        expect(percentVolume).toBeLessThanOrEqual(Math.max(first.percentVolume, other.percentVolume) + 1e-6);
        expect(mixture(first).percentVolume).toBeCloseTo(first.percentVolume, 8);
      }),
    );
  });

  test('spirit and water lose volume; two wines do not show it', () => {
    expect(mixture({ litres: 1000, percentVolume: 96 }, { litres: 1000, percentVolume: 0 }).gained).toBeLessThan(-60);
    expect(
      Math.abs(mixture({ litres: 1000, percentVolume: 12 }, { litres: 1000, percentVolume: 14 }).gained),
    ).toBeLessThan(0.1);
  });

  test.each([
    ['nothing', [], 'nothing to mix'],
    ['no litres', [{ litres: 0, percentVolume: 12 }], 'nothing to mix'],
    ['less than none', [{ litres: -1, percentVolume: 12 }], 'a volume of -1 L'],
    ['too strong', [{ litres: 1, percentVolume: 101 }], 'alcohol of 101 % vol'],
    ['no number', [{ litres: Number.NaN, percentVolume: 12 }], 'no number'],
    ['no number of alcohol', [{ litres: 1, percentVolume: Number.NaN }], 'no number'],
    ['endless', [{ litres: Number.POSITIVE_INFINITY, percentVolume: 12 }], 'no number'],
  ])('%s is refused', (_, parts, words) => {
    expect(why(mixedByMass(parts))).toContain(words);
  });
});

describe('the calculations', () => {
  const reckon = (name: string, figures: Record<string, number>): Worked<Answer> => {
    const calculation = ALCOHOL_CALCULATIONS.find((one) => one.name === name);
    if (calculation === undefined) throw new Error(`no calculation ${name}`);
    return calculation.work({ figures, words: {} });
  };
  const figure = (name: string, figures: Record<string, number>, at = 0): number =>
    sure(reckon(name, figures)).figures[at]?.value ?? Number.NaN;

  test('density and strength answer one another, by one or the other', () => {
    const density = figure('alcohol-density', { alcohol: 12.5, temp: 15 });
    expect(figure('alcohol-density', { density, temp: 15 })).toBeCloseTo(12.5, 6);
    expect(why(reckon('alcohol-density', { alcohol: 12.5, density }))).toContain('either');
    expect(why(reckon('alcohol-density', {}))).toContain('either');
  });

  test('the United States count a spirit a little weaker or the same, never by more than 0.2 % vol', () => {
    fc.assert(
      fc.property(percent, (alcohol) => {
        const us = figure('alcohol-density', { alcohol }, 3);
        expect(Math.abs(us - alcohol)).toBeLessThan(0.2);
      }),
    );
  });

  test('sulfur dioxide and sugar change the extract as they should', () => {
    const wine = { sg: 0.994, alcohol: 12.8 };
    const plain = figure('dry-extract', wine);
    // 0.0006 g/mL a g/L, at 2.6 g/L a thousandth: 0.16 g/L for 100 mg/L.
    expect(plain - figure('dry-extract', { ...wine, 'total-so2': 100 })).toBeCloseTo(0.156, 2);
    expect(figure('dry-extract', { ...wine, sugar: 4 }, 1)).toBeCloseTo(plain - 4, 9);
    expect(why(reckon('dry-extract', { ...wine, sugar: 60 }))).toContain('more sugar than extract');
  });

  test('water takes the alcohol down and the volume up; by mass and by volume they hardly differ', () => {
    const figures = { alcohol: 15.2, volume: 1000, water: 40 };
    expect(figure('alcohol-after-water', figures)).toBeCloseTo(14.61, 1);
    expect(figure('alcohol-after-water', figures, 3)).toBeCloseTo((15.2 * 1000) / 1040, 9);
    expect(figure('alcohol-after-water', figures, 1)).toBeGreaterThan(1039);
  });

  test('with spirit the way by volume is too low', () => {
    const figures = { alcohol: 12, volume: 1000, 'other-alcohol': 96, 'other-volume': 77 };
    expect(figure('alcohol-blend', figures) - figure('alcohol-blend', figures, 3)).toBeGreaterThan(0.08);
  });

  test('an input that is missing is a refusal', () => {
    for (const { name } of ALCOHOL_CALCULATIONS) expect(isRefused(reckon(name, {})), name).toBe(true);
  });

  test('an estimate is called one, and neither it nor a density is for the label', () => {
    const answer = sure(reckon('alcohol-from-drop', { 'sg-before': 1.093, 'sg-after': 0.994 }));
    expect(answer.figures[0].say).toContain('estimated');
    expect(answer.figures[0].value).toBeCloseTo(12.8, 1);
    expect(answer.remarks.join(' ')).toContain('An estimate');
    for (const name of ['alcohol-from-drop', 'alcohol-density']) {
      expect(ALCOHOL_CALCULATIONS.find((one) => one.name === name)?.caution).toContain('No basis for a label');
    }
  });
});
