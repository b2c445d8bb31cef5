/** Acids: the edges of their formulas, round trips, the pH of a blend against charge balances, and the calculations. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  ACIDITY_BASES,
  ADDED_ACIDS,
  acidForRise,
  convertAcidity,
  TARTARIC_PER_GRAM_OF_BITARTRATE,
} from '../../src/trade/acids.ts';
import { ACID_CALCULATIONS } from '../../src/trade/calculations/acid.ts';
import type { Answer, Given } from '../../src/trade/calculations/calculation.ts';
import { DEACIDIFIERS, deacidify } from '../../src/trade/deacidification.ts';
import { malolacticChange, malolacticStage } from '../../src/trade/malolactic.ts';
import { type BlendPart, pHOfBlend } from '../../src/trade/ph-of-blend.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';

/** The figure, where there has to be one. */
function worked<T>(value: Worked<T>): T {
  if (isRefused(value)) throw new Error(value.refused);
  return value;
}

/** Why there is none, where there must not be one. */
function why(value: Worked<unknown>): string {
  return isRefused(value) ? value.refused : `no refusal but ${JSON.stringify(value)}`;
}

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('converting', () => {
  test('is refused for what is less than nothing, too much, or no number', () => {
    for (const value of [-0.1, 1e6, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(why(convertAcidity(value, 'tartaric', 'sulfuric'))).toContain('acidity');
    }
    expect(worked(convertAcidity(0, 'tartaric', 'sulfuric'))).toBe(0);
  });

  test('comes back as it went, through any basis', () => {
    const basis = fc.constantFrom(...ACIDITY_BASES);
    fc.assert(
      fc.property(between(0, 15), basis, basis, basis, (value, one, two, three) => {
        const straight = worked(convertAcidity(value, one, three));
        const round = worked(convertAcidity(worked(convertAcidity(value, one, two)), two, three));
        expect(round).toBeCloseTo(straight, 9);
        expect(worked(convertAcidity(straight, three, one))).toBeCloseTo(value, 9);
      }),
    );
  });
});

describe('adding acid', () => {
  test('is refused outside its range', () => {
    expect(why(acidForRise('tartaric', -1, 100, 100))).toContain('rise');
    expect(why(acidForRise('tartaric', 10.1, 100, 100))).toContain('rise');
    expect(why(acidForRise('tartaric', Number.NaN, 100, 100))).toContain('no number');
    expect(why(acidForRise('tartaric', 1, -1, 100))).toContain('volume');
    expect(why(acidForRise('lactic', 1, 100, 0))).toContain('purity');
    expect(why(acidForRise('lactic', 1, 100, 101))).toContain('purity');
  });

  test('takes less of malic and citric acid than of tartaric, and more of lactic', () => {
    const grams = ADDED_ACIDS.map((acid) => worked(acidForRise(acid, 1, 100, 100)).toFixed(1));
    expect(grams).toEqual(['100.0', '89.3', '120.0', '85.3']);
  });

  test('takes more of what is less pure', () => {
    expect(worked(acidForRise('lactic', 1, 100, 80)) / worked(acidForRise('lactic', 1, 100, 100))).toBeCloseTo(
      1.25,
      12,
    );
  });

  test('is undone by bitartrate at 0.4 g/L for each gram', () => {
    expect(TARTARIC_PER_GRAM_OF_BITARTRATE).toBeCloseTo(0.3988, 4);
  });
});

describe('deacidification', () => {
  test('is refused outside its range', () => {
    for (const drop of [-0.1, 5.1, Number.NaN])
      expect(why(deacidify('calcium carbonate', drop, 100))).toContain('drop');
    expect(why(deacidify('calcium carbonate', 1, -1))).toContain('volume');
  });

  test('of a potassium salt is a factor of two apart by the two assumptions, of chalk the same', () => {
    fc.assert(
      fc.property(fc.constantFrom(...DEACIDIFIERS), between(0.1, 5), between(1, 10_000), (agent, drop, litres) => {
        const { neutralisationGrams, precipitationGrams } = worked(deacidify(agent, drop, litres));
        const ratio = neutralisationGrams / precipitationGrams;
        expect(ratio).toBeCloseTo(agent === 'calcium carbonate' ? 1 : 2, 9);
      }),
    );
  });

  test('frees a molecule of gas for each of carbonate', () => {
    // 1 g/L in 1000 L is 13.33 mol of protons: as many of gas from the bicarbonate, half from the carbonates.
    const gas = DEACIDIFIERS.map((agent) => worked(deacidify(agent, 1, 1000)).carbonDioxideLitres.toFixed(0));
    expect(gas).toEqual(['321', '160', '160']);
  });
});

describe('malolactic conversion', () => {
  test('is refused for what no wine holds', () => {
    for (const malic of [-0.1, 15.1, Number.NaN]) {
      expect(why(malolacticChange(malic))).toContain('malic acid');
      expect(why(malolacticStage(malic))).toContain('malic acid');
    }
  });

  test('loses no mass', () => {
    fc.assert(
      fc.property(between(0, 15), (malic) => {
        const { lactic, carbonDioxide } = worked(malolacticChange(malic));
        expect(lactic + carbonDioxide).toBeCloseTo(malic, 9);
      }),
    );
  });

  test('takes half of the acidity of malic acid', () => {
    const whole = worked(convertAcidity(3, 'malic', 'tartaric'));
    expect(worked(malolacticChange(3)).acidityDrop).toBeCloseTo(whole / 2, 12);
  });

  test('is called finished below 0.2 g/L', () => {
    expect([2, 0.3, 0.299, 0.2, 0.199, 0].map((malic) => worked(malolacticStage(malic)))).toEqual([
      'under way',
      'under way',
      'nearly finished',
      'nearly finished',
      'finished',
      'finished',
    ]);
  });
});

/** A model wine: its acids in mmol/L, and the strong cations, in mmol/L, that make its pH. */
interface ModelWine {
  readonly acids: readonly number[];
  readonly pH: number;
  readonly cations: number;
  readonly totalAcidity: number;
}

/** pK of tartaric, malic, lactic, succinic and acetic acid in wine of about 12 % vol (from memory, near enough for this). */
const PKS: readonly (readonly number[])[] = [[3.05, 4.35], [3.48, 5.13], [3.88], [4.22, 5.65], [4.77]];
const MOLAR_MASSES: readonly number[] = [150.09, 134.09, 90.08, 118.09, 60.05];

/** Negative less positive charge of the acids and of water at a pH, mmol/L: what the cations have to balance. */
function charge(acids: readonly number[], pH: number): number {
  const h = 10 ** -pH;
  let sum = 1000 * (10 ** (pH - 14) - h);
  for (const [index, pKs] of PKS.entries()) {
    let term = 1;
    let all = 1;
    let charged = 0;
    for (const [step, pK] of pKs.entries()) {
      term *= 10 ** -pK / h;
      all += term;
      charged += (step + 1) * term;
    }
    sum += ((acids[index] ?? 0) * charged) / all;
  }
  return sum;
}

function balancedPH(acids: readonly number[], cations: number): number {
  let low = 2;
  let high = 9;
  for (let round = 0; round < 60; round += 1) {
    const middle = (low + high) / 2;
    if (charge(acids, middle) < cations) low = middle;
    else high = middle;
  }
  return low;
}

const modelWine: fc.Arbitrary<ModelWine> = fc
  .tuple(between(1, 6), between(0, 6), between(0.1, 4), between(0.2, 1.3), between(0.2, 0.9), between(2.8, 4.2))
  .map(([tartaric, malic, lactic, succinic, acetic, pH]) => {
    const grams = [tartaric, malic, lactic, succinic, acetic];
    const acids = grams.map((gram, index) => (gram * 1000) / (MOLAR_MASSES[index] ?? 1));
    const cations = charge(acids, pH);
    return { acids, pH, cations, totalAcidity: (charge(acids, 7) - cations) * 0.07504 };
  })
  .filter(({ totalAcidity }) => totalAcidity >= 3 && totalAcidity <= 15);

describe('the pH of a blend', () => {
  const part = (litres: number, pH: number, totalAcidity: number): BlendPart => ({ litres, pH, totalAcidity });

  test('is refused for one part, no volume, and what is no wine', () => {
    expect(why(pHOfBlend([part(100, 3.4, 6)]))).toContain('two parts');
    expect(why(pHOfBlend([part(0, 3.4, 6), part(0, 3.5, 6)]))).toContain('no volume');
    expect(why(pHOfBlend([part(100, 2.79, 6), part(100, 3.5, 6)]))).toContain('2.8 to 4.2');
    expect(why(pHOfBlend([part(100, 3.4, 6), part(100, 4.21, 6)]))).toContain('2.8 to 4.2');
    expect(why(pHOfBlend([part(100, 3.4, 2.9), part(100, 3.5, 6)]))).toContain('3 to 15');
    expect(why(pHOfBlend([part(100, 3.4, 6), part(Number.NaN, 3.5, 6)]))).toContain('no number');
    expect(why(pHOfBlend([part(100, Number.NaN, 6), part(1, 3.5, 6)]))).toContain('no number');
  });

  test('lies between its parts, and a part of no volume changes nothing', () => {
    const parts = fc.tuple(between(0.1, 1000), between(2.8, 4.2), between(3, 15)).map((given) => part(...given));
    fc.assert(
      fc.property(fc.array(parts, { minLength: 2, maxLength: 5 }), (list) => {
        const blend = worked(pHOfBlend(list));
        const pHs = list.map(({ pH }) => pH);
        expect(blend.pH).toBeGreaterThanOrEqual(Math.min(...pHs) - 1e-9);
        expect(blend.pH).toBeLessThanOrEqual(Math.max(...pHs) + 1e-9);
        expect(worked(pHOfBlend([...list, part(0, 4.2, 3)]))).toEqual(blend);
      }),
    );
  });

  test('of like parts is theirs, with only the readings in doubt', () => {
    const blend = worked(pHOfBlend([part(100, 3.5, 6), part(300, 3.5, 8)]));
    expect(blend.pH).toBeCloseTo(3.5, 12);
    expect(blend.totalAcidity).toBeCloseTo(7.5, 12);
    expect(blend.mayBeOff).toBeCloseTo(0.05, 12);
  });

  test('meets the charge balance of model wines within what it says', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(modelWine, between(0.02, 1)), { minLength: 2, maxLength: 4 }), (list) => {
        const litres = list.reduce((sum, [, volume]) => sum + volume, 0);
        const mean = (of: (wine: ModelWine) => number) =>
          list.reduce((sum, [wine, volume]) => sum + of(wine) * volume, 0) / litres;
        const acids = PKS.map((_, index) => mean(({ acids: held }) => held[index] ?? 0));
        const truth = balancedPH(
          acids,
          mean(({ cations }) => cations),
        );
        const blend = worked(pHOfBlend(list.map(([wine, volume]) => part(volume, wine.pH, wine.totalAcidity))));
        // What the readings may be off is no part of this.
        expect(Math.abs(blend.pH - truth)).toBeLessThanOrEqual(blend.mayBeOff - 0.05 + 1e-9);
      }),
      { numRuns: 1000 },
    );
  });

  test('is nearer the charge balance than the mean of the hydrogen ions', () => {
    // A sharp wine with much malic acid and a soft one after malolactic conversion, half and half.
    const sharp = [30, 35, 1, 6, 5];
    const soft = [15, 1, 25, 6, 9];
    const wines = [
      { acids: sharp, pH: 3.05 },
      { acids: soft, pH: 3.8 },
    ].map(({ acids, pH }) => ({ acids, pH, cations: charge(acids, pH) }));
    const mixed = PKS.map((_, index) => wines.reduce((sum, { acids }) => sum + (acids[index] ?? 0) / 2, 0));
    const truth = balancedPH(
      mixed,
      wines.reduce((sum, { cations }) => sum + cations / 2, 0),
    );
    const blend = worked(
      pHOfBlend(wines.map(({ acids, pH, cations }) => part(500, pH, (charge(acids, 7) - cations) * 0.07504))),
    );
    const byIons = -Math.log10((10 ** -3.05 + 10 ** -3.8) / 2);
    expect(Math.abs(blend.pH - truth)).toBeLessThan(Math.abs(byIons - truth));
  });
});

describe('calculations', () => {
  const run = (name: string, figures: Given['figures'], words: Given['words'] = {}): Worked<Answer> => {
    const found = ACID_CALCULATIONS.find((each) => each.name === name);
    if (found === undefined) throw new Error(`no calculation ${name}`);
    return found.work({ figures, words });
  };
  const values = (answer: Worked<Answer>) =>
    worked(answer).figures.map(({ value, decimals }) => value.toFixed(decimals));
  const remarks = (answer: Worked<Answer>) => worked(answer).remarks.join(' ');

  test('convert, with the milliequivalents beside', () => {
    expect(values(run('convert-acid', { acidity: 6 }))).toEqual(['3.92', '80.0']);
    expect(values(run('convert-acid', { acidity: 20 }, { from: 'meq', to: 'acetic' }))).toEqual(['1.20', '20.0']);
    expect(values(run('convert-acid', { acidity: 3.5 }, { to: 'meq' }))).toEqual(['46.64']);
    expect(why(run('convert-acid', {}))).toContain('no number');
  });

  test('add acid, and say where the law may be passed', () => {
    expect(values(run('add-acid', { volume: 2000, rise: 1.5, ta: 5.1 }))).toEqual(['3000', '1.50', '6.60']);
    expect(remarks(run('add-acid', { volume: 2000, rise: 1.5, ta: 5.1 }))).not.toContain('24.182');
    expect(remarks(run('add-acid', { volume: 2000, rise: 1.5, ta: 8 }))).toContain('24.182');
    expect(remarks(run('add-acid', { volume: 1, rise: 1 }, { acid: 'malic' }))).toContain('DL-malic');
    expect(values(run('add-acid', { volume: 0, rise: 1 }))).toEqual(['0']);
    expect(why(run('add-acid', { volume: 100, rise: 1, ta: Number.NaN }))).toContain('no number');
  });

  test('deacidify with the smaller dose first, saying that the two are a factor of two apart', () => {
    const answer = run('deacidify', { volume: 1000, drop: 1, ta: 8 });
    expect(values(answer)).toEqual(['667', '1334', '321', '7.00']);
    expect(remarks(answer)).toContain('factor of two');
    expect(values(run('deacidify', { volume: 1000, drop: 1 }, { agent: 'calcium carbonate' }))).toEqual(['667', '160']);
    expect(remarks(run('deacidify', { volume: 1000, drop: 1, ta: 5.5 }))).toContain('24.246');
    expect(why(run('deacidify', { volume: 1000, drop: 3, ta: 2 }))).toContain('lead to');
  });

  test('follow malolactic conversion from its beginning', () => {
    const answer = run('malolactic', { malic: 0.24, 'malic-start': 2.4, ta: 6.1 });
    expect(values(answer)).toEqual(['0.13', '0.16', '0.08', '5.97', '90', '1.21', '1.45']);
    expect(remarks(answer)).toContain('nearly finished');
    expect(values(run('malolactic', { malic: 2 }))).toEqual(['1.12', '1.34', '0.66']);
    expect(values(run('malolactic', { malic: 0, 'malic-start': 0 }))).toHaveLength(3);
    expect(why(run('malolactic', { malic: 2, 'malic-start': 1 }))).toContain('less than');
  });

  test('estimate the pH of a blend, and say how far it may be off', () => {
    const two = { volume: 600, ph: 3.3, ta: 6.4, 'other-volume': 400, 'other-ph': 3.7, 'other-ta': 5.2 };
    expect(values(run('ph-of-blend', two))).toEqual(['3.45', '0.19', '5.92']);
    expect(why(run('ph-of-blend', { ...two, 'other-ph': 5 }))).toContain('2.8 to 4.2');
  });

  test('that can hurt carry their caution', () => {
    const caution = (name: string) => ACID_CALCULATIONS.find((each) => each.name === name)?.caution ?? '';
    expect(caution('add-acid')).toMatch(/acid into water.*Local codes/u);
    expect(caution('deacidify')).toMatch(/foam.*NIOSH.*Local codes/u);
  });

  test('give finite figures or a refusal, whatever they are given', () => {
    const anything = fc.oneof(fc.double(), fc.constantFrom(0, -1, Number.NaN, Number.POSITIVE_INFINITY, 3.4, 6));
    for (const calculation of ACID_CALCULATIONS) {
      const figures = calculation.inputs.filter(({ choices }) => choices === undefined);
      const given = fc.record(Object.fromEntries(figures.map(({ name }) => [name, anything])), { requiredKeys: [] });
      fc.assert(
        fc.property(given, (some) => {
          const answer = calculation.work({ figures: some as Given['figures'], words: {} });
          if (isRefused(answer)) return answer.refused.length > 0;
          return answer.figures.every(({ value }) => Number.isFinite(value));
        }),
      );
    }
  });
});
