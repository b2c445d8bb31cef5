/** Sulfur dioxide: the edges of its formulas, how they rise and fall, and the calculations made of them. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Answer, Given } from '../../src/trade/calculations/calculation.ts';
import { SULFUR_DIOXIDE_CALCULATIONS } from '../../src/trade/calculations/sulfur-dioxide.ts';
import { findSubstance, type Substance } from '../../src/trade/substances.ts';
import {
  freeForMolecular,
  type MolecularSulfurDioxide,
  mixedPK,
  molecularShare,
  molecularSulfurDioxide,
  PLAIN_PK,
  SULFUR_DIOXIDE_METHOD_NAMES,
  SULFUR_DIOXIDE_METHODS,
  type SulfurDioxideConditions,
  thermodynamicPK,
} from '../../src/trade/sulfur-dioxide.ts';
import {
  doseForFreeRise,
  type SulfitingSource,
  sulfurDioxideContent,
  totalLimits,
} from '../../src/trade/sulfur-dioxide-dose.ts';
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

function substance(name: string): Substance {
  const found = findSubstance(name);
  if (found === undefined) throw new Error(`no ${name}`);
  return found;
}

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const oiv = (pH: number, percentVolume: number, celsius: number): SulfurDioxideConditions => ({
  method: 'oiv',
  pH,
  percentVolume,
  celsius,
});

describe('the constants of the OIV', () => {
  test('are refused outside their tables, never drawn out beyond them', () => {
    expect(why(thermodynamicPK(-0.1, 20))).toContain('0 to 20 % vol');
    expect(why(thermodynamicPK(20.1, 20))).toContain('0 to 20 % vol');
    expect(why(mixedPK(12, 40.1))).toContain('20 to 40 °C');
    expect(why(mixedPK(Number.NaN, 20))).toContain('no number');
    expect(why(mixedPK(12, Number.NaN))).toContain('no number');
    expect(why(mixedPK(12, Number.POSITIVE_INFINITY))).toContain('no number');
  });

  test('in a cellar of 12 °C are refused with what can be asked instead', () => {
    const refusal = why(molecularSulfurDioxide(30, oiv(3.4, 12.5, 12)));
    expect(refusal).toContain('12 °C');
    expect(refusal).toContain('ask for 20 °C');
    expect(refusal).toContain('plain method');
    expect(worked(molecularSulfurDioxide(30, { method: 'plain', pH: 3.4 })).molecular).toBeCloseTo(0.752, 3);
  });

  test('meet the table at its rows and columns and stay between its neighbours elsewhere', () => {
    expect(worked(thermodynamicPK(20, 40))).toBe(2.895);
    expect(worked(mixedPK(10, 20))).toBe(1.916);
    fc.assert(
      fc.property(between(0, 20), between(20, 40), (percentVolume, celsius) => {
        const corners = [0, 5].flatMap((up) =>
          [0, 5].map((warmer) =>
            worked(
              thermodynamicPK(
                Math.min(20, Math.floor(percentVolume / 5) * 5 + up),
                Math.min(40, Math.floor(celsius / 5) * 5 + warmer),
              ),
            ),
          ),
        );
        const pK = worked(thermodynamicPK(percentVolume, celsius));
        expect(pK).toBeGreaterThanOrEqual(Math.min(...corners) - 1e-12);
        expect(pK).toBeLessThanOrEqual(Math.max(...corners) + 1e-12);
      }),
    );
  });

  // pKM = pKT − A√I / (1 + B√I) was read in the method, its coefficients were not: those of Debye and Hückel for water are
  // 0.5046 at 20 °C and 0.5241 at 40 °C, carried to wine by the dielectric constants of ethanol and water (Åkerlöf, J. Am.
  // Chem. Soc. 54 (1932) 4125). Coefficients and dielectric constants are from memory.
  describe('take a step for ionic strength that theory gives too', () => {
    const WATER = { 20: { a: 0.5046, dielectric: 80.37 }, 40: { a: 0.5241, dielectric: 73.28 } } as const;
    const step = (celsius: 20 | 40, dielectric: number) => {
      const water = WATER[celsius];
      const ratio = water.dielectric / dielectric;
      const warm = (80.37 * 293.15) / (dielectric * (celsius + 273.15));
      const root = Math.sqrt(0.038);
      return (water.a * ratio ** 1.5 * root) / (1 + 1.6 * Math.sqrt(warm) * root);
    };
    const taken = (percentVolume: number, celsius: number) =>
      worked(thermodynamicPK(percentVolume, celsius)) - worked(mixedPK(percentVolume, celsius));

    test.each([
      [0, 80.37, 73.28],
      [5, 78.07, 71.1],
      [10, 75.74, 68.9],
      [15, 73.35, 66.6],
      [20, 70.9, 64.2],
    ])('at %d %% vol', (percentVolume, at20, at40) => {
      expect(Math.abs(step(20, at20) - taken(percentVolume, 20))).toBeLessThanOrEqual(0.002);
      expect(taken(percentVolume, 40)).toBeCloseTo(taken(percentVolume, 20), 12);
      expect(step(40, at40) - taken(percentVolume, 40)).toBeGreaterThan(0);
      expect(step(40, at40) - taken(percentVolume, 40)).toBeLessThanOrEqual(0.0045);
    });
  });
});

describe('the molecular share', () => {
  test('is refused outside its range', () => {
    expect(why(molecularShare(2.49, PLAIN_PK))).toContain('2.5 to 4.5');
    expect(why(molecularShare(4.51, PLAIN_PK))).toContain('2.5 to 4.5');
    expect(why(molecularShare(Number.NaN, PLAIN_PK))).toContain('no number');
    expect(why(molecularShare(3.4, 3.1))).toContain('pK');
    for (const free of [-1, 501, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(why(molecularSulfurDioxide(free, { method: 'plain', pH: 3.4 }))).toContain('free sulfur dioxide');
    }
    for (const target of [-0.1, 5.1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(why(freeForMolecular(target, { method: 'plain', pH: 3.4 }))).toContain('molecular sulfur dioxide');
    }
  });

  test('falls as pH rises, and rises with alcohol and warmth', () => {
    fc.assert(
      fc.property(between(2.5, 4.4), between(0, 19), between(20, 39), (pH, percentVolume, celsius) => {
        const at = (conditions: SulfurDioxideConditions) => worked(molecularSulfurDioxide(30, conditions)).share;
        const here = at(oiv(pH, percentVolume, celsius));
        expect(at(oiv(pH + 0.1, percentVolume, celsius))).toBeLessThan(here);
        expect(at(oiv(pH, percentVolume + 1, celsius))).toBeGreaterThan(here);
        expect(at(oiv(pH, percentVolume, celsius + 1))).toBeGreaterThan(here);
        expect(here).toBeGreaterThan(0);
        expect(here).toBeLessThan(1);
      }),
    );
  });

  test('is larger by the OIV than by the plain constant in every wine of 5 % vol or more', () => {
    fc.assert(
      fc.property(between(2.5, 4.5), between(5, 20), between(20, 40), (pH, percentVolume, celsius) => {
        const plain = worked(molecularSulfurDioxide(30, { method: 'plain', pH }));
        const tables = worked(molecularSulfurDioxide(30, oiv(pH, percentVolume, celsius)));
        expect(tables.molecular).toBeGreaterThan(plain.molecular);
      }),
    );
  });

  test('gives the free back that gave the molecular, by the same method', () => {
    const there = (free: number, conditions: SulfurDioxideConditions): MolecularSulfurDioxide =>
      worked(molecularSulfurDioxide(free, conditions));
    fc.assert(
      fc.property(between(1, 60), between(2.8, 4.2), between(0, 20), fc.boolean(), (free, pH, percentVolume, plain) => {
        const conditions = plain ? ({ method: 'plain', pH } as const) : oiv(pH, percentVolume, 20);
        const forth = there(free, conditions);
        fc.pre(forth.molecular <= 5);
        const back = worked(freeForMolecular(forth.molecular, conditions));
        expect(back.free).toBeCloseTo(free, 9);
        expect(back.method).toBe(conditions.method);
        expect(forth.method).toBe(conditions.method);
      }),
    );
  });

  test('has a name for every method, and no two alike', () => {
    const names = SULFUR_DIOXIDE_METHODS.map((method) => SULFUR_DIOXIDE_METHOD_NAMES[method]);
    expect(new Set(names).size).toBe(SULFUR_DIOXIDE_METHODS.length);
  });
});

describe('a dose', () => {
  const salt = (purityPercent: number): SulfitingSource => ({
    substance: substance('potassium metabisulfite'),
    purityPercent,
  });
  const dose = (litres: number, freeRise: number, shareBound: number, source: SulfitingSource) =>
    doseForFreeRise({ litres, freeRise, shareBound, source });

  test('is refused outside its range', () => {
    expect(why(dose(-1, 20, 0.4, salt(100)))).toContain('volume');
    expect(why(dose(Number.NaN, 20, 0.4, salt(100)))).toContain('no number');
    expect(why(dose(100, -1, 0.4, salt(100)))).toContain('rise');
    expect(why(dose(100, 301, 0.4, salt(100)))).toContain('rise');
    expect(why(dose(100, 20, 0.91, salt(100)))).toContain('binds');
    expect(why(dose(100, 20, 1, salt(100)))).toContain('binds');
    expect(why(dose(100, 20, 0.4, salt(49)))).toContain('purity');
    expect(why(dose(100, 20, 0.4, salt(101)))).toContain('purity');
    expect(why(dose(100, 20, 0.4, { percentMassVolume: 0 }))).toContain('strength');
    expect(why(dose(100, 20, 0.4, { percentMassVolume: 26 }))).toContain('strength');
  });

  test('of what brings nothing that is known is refused with the reason', () => {
    const of = (name: string) => why(sulfurDioxideContent({ substance: substance(name), purityPercent: 100 }));
    expect(of('sulfur wick')).toContain('burns');
    expect(of('sulfur dioxide solution')).toContain('strength');
    expect(of('bentonite')).toContain('bentonite');
  });

  test('of every sulfiting agent with a formula brings what its molar mass says', () => {
    const contents = ['potassium metabisulfite', 'sodium metabisulfite', 'potassium bisulfite', 'sulfur dioxide'].map(
      (name) => worked(sulfurDioxideContent({ substance: substance(name), purityPercent: 100 })).toFixed(4),
    );
    expect(contents).toEqual(['0.5763', '0.6740', '0.5331', '1.0000']);
  });

  test('raises the total by what stays free and what binds, and grows with the volume', () => {
    fc.assert(
      fc.property(
        between(1, 100_000),
        between(0, 300),
        between(0, 0.9),
        between(50, 100),
        (litres, rise, bound, purity) => {
          const one = worked(dose(litres, rise, bound, salt(purity)));
          expect(one.totalRise * (1 - bound)).toBeCloseTo(rise, 8);
          expect(one.sulfurDioxideGrams * 1000).toBeCloseTo(one.totalRise * litres, 4);
          expect(one.amount).toBeGreaterThanOrEqual(one.sulfurDioxideGrams);
          const double = worked(dose(litres * 2, rise, bound, salt(purity)));
          expect(double.amount).toBeCloseTo(one.amount * 2, 6);
          expect(worked(dose(litres, rise, bound, salt(50))).amount).toBeGreaterThanOrEqual(one.amount);
        },
      ),
    );
  });

  test('of a solution is measured in millilitres', () => {
    const measured = worked(dose(1000, 30, 0, { percentMassVolume: 5 }));
    expect(measured).toMatchObject({ unit: 'mL', amount: 600, sulfurDioxideGrams: 30 });
    expect(worked(dose(1000, 30, 0, salt(100))).unit).toBe('g');
  });
});

describe('limits of the total', () => {
  const europe = (colour: 'red' | 'white' | 'rosé', sugar: number) =>
    worked(totalLimits(colour, sugar)).find(({ where }) => where === 'European Union')?.milligramsPerLitre;

  test('step up at 5 g/L of sugar, and each names its law', () => {
    expect([europe('red', 4.9), europe('red', 5), europe('rosé', 4.9), europe('white', 5)]).toEqual([
      150, 200, 200, 250,
    ]);
    expect(worked(totalLimits('red', 0)).map(({ source }) => source)).toEqual([
      '27 CFR 4.22(b)(1)',
      'Delegated Regulation (EU) 2019/934, Annex I, part B',
    ]);
    expect(why(totalLimits('red', -1))).toContain('sugar');
    expect(why(totalLimits('red', Number.NaN))).toContain('no number');
  });
});

describe('calculations', () => {
  const run = (name: string, figures: Given['figures'], words: Given['words'] = {}): Worked<Answer> => {
    const found = SULFUR_DIOXIDE_CALCULATIONS.find((each) => each.name === name);
    if (found === undefined) throw new Error(`no calculation ${name}`);
    return found.work({ figures, words });
  };
  const values = (answer: Worked<Answer>) =>
    worked(answer).figures.map(({ value, decimals }) => value.toFixed(decimals));

  test('take the plain method where none is named, say so, and name the other figure only as a remark', () => {
    const answer = worked(run('molecular-so2', { 'free-so2': 30, ph: 3.4, alcohol: 12.5, temp: 20 }));
    expect(answer.method).toBe('pKa 1.81, water at 20 °C');
    expect(values(answer)).toEqual(['0.75', '2.51']);
    expect(answer.remarks[0]).toContain('OIV-MA-AS323-04C, mixed constant 1.965 at 12.5 % vol and 20 °C');
    expect(worked(run('molecular-so2', { 'free-so2': 30, ph: 3.4 })).remarks[0]).toContain('the alcohol would tell');
    const other = worked(run('molecular-so2', { 'free-so2': 30, ph: 3.4, alcohol: 12.5, temp: 20 }, { method: 'oiv' }));
    expect(other.method).toContain('OIV-MA-AS323-04C');
    expect(values(other)).toEqual(['1.06', '3.54']);
  });

  test('by the OIV ask for the alcohol, and refuse a cold cellar', () => {
    expect(why(run('molecular-so2', { 'free-so2': 30, ph: 3.4 }, { method: 'oiv' }))).toContain('alcohol');
    expect(why(run('free-so2-needed', { target: 0.8, ph: 3.4, alcohol: 12, temp: 12 }, { method: 'oiv' }))).toContain(
      'below 20 °C',
    );
  });

  test('say how much free is still missing, and never less than nothing', () => {
    expect(values(run('free-so2-needed', { target: 0.8, ph: 3.4, 'free-so2': 20 }))).toEqual(['32', '12']);
    expect(values(run('free-so2-needed', { target: 0.5, ph: 3.2, 'free-so2': 40 }))).toEqual(['13', '0']);
  });

  test('dose for a target or for a rise, not for both and not for neither', () => {
    const barrel = { volume: 225, 'free-so2': 12, ph: 3.6 };
    expect(values(run('so2-dose', { ...barrel, target: 0.5 }))).toEqual(['12.6', '7.2', '19', '31', '32']);
    expect(values(run('so2-dose', { volume: 225, rise: 30, binds: 0 }))[0]).toBe('11.7');
    expect(worked(run('so2-dose', { ...barrel, target: 0.5 })).remarks.join(' ')).toContain('Taken as pure');
    expect(worked(run('so2-dose', { volume: 1, rise: 1, purity: 87 })).remarks.join(' ')).not.toContain(
      'Taken as pure',
    );
    expect(why(run('so2-dose', { ...barrel, target: 0.5, rise: 10 }))).toContain('not both');
    expect(why(run('so2-dose', barrel))).toContain('target');
    expect(why(run('so2-dose', { volume: 225, target: 0.5, ph: 3.6 }))).toContain('free reading');
  });

  test('dose a named source, its purity and a solution', () => {
    const rise = { volume: 1000, rise: 30, binds: 40, 'total-so2': 40 };
    expect(values(run('so2-dose', rise, { source: 'sulfur dioxide' }))[0]).toBe('50.0');
    expect(values(run('so2-dose', { ...rise, purity: 90 }))[0]).toBe('96.4');
    expect(values(run('so2-dose', { ...rise, strength: 5 }))).toEqual(['1000', '50.0', '30', '50', '90']);
    expect(why(run('so2-dose', rise, { source: 'sulfur wick' }))).toContain('burns');
    expect(why(run('so2-dose', rise, { source: 'sunshine' }))).toContain('sunshine');
    expect(why(run('so2-dose', { ...rise, 'free-so2': -3 }))).toContain('free sulfur dioxide');
    expect(why(run('so2-dose', { ...rise, 'total-so2': Number.NaN }))).toContain('total sulfur dioxide');
  });

  test('say that nothing is to be added where the target is met', () => {
    const answer = worked(run('so2-dose', { volume: 225, 'free-so2': 40, ph: 3.2, target: 0.5 }));
    expect(answer.figures[0].value).toBe(0);
    expect(answer.remarks[0]).toContain('nothing is to be added');
  });

  test('hold the total against each limit, and say where it is over', () => {
    const answer = worked(run('so2-total', { 'total-so2': 160, added: 20, sugar: 1 }, { colour: 'red' }));
    expect(values(answer)).toEqual(['180', '170', '-30']);
    expect(answer.remarks.some((remark) => remark.includes('over the 150 mg/L of the European Union'))).toBe(true);
    expect(answer.remarks.some((remark) => remark.includes('350'))).toBe(false);
    expect(worked(run('so2-total', { 'total-so2': 9 })).remarks).toEqual([]);
    expect(why(run('so2-total', {}))).toContain('no number');
  });

  test('that can hurt carry the caution of gas and asthma, and of the law', () => {
    const caution = (name: string) => SULFUR_DIOXIDE_CALCULATIONS.find((each) => each.name === name)?.caution ?? '';
    expect(caution('so2-dose')).toMatch(/asthma.*NIOSH.*29 CFR 1910.*Local codes/u);
    expect(caution('so2-total')).toMatch(/law in force/u);
  });

  test('give finite figures or a refusal, whatever they are given', () => {
    const anything = fc.oneof(fc.double(), fc.constantFrom(0, -1, Number.NaN, Number.POSITIVE_INFINITY, 3.4, 20));
    for (const calculation of SULFUR_DIOXIDE_CALCULATIONS) {
      const figures = calculation.inputs.filter(({ choices, names }) => choices === undefined && names === undefined);
      const given = fc.record(Object.fromEntries(figures.map(({ name }) => [name, anything])), { requiredKeys: [] });
      fc.assert(
        fc.property(given, fc.constantFrom('plain', 'oiv'), (some, method) => {
          const answer = calculation.work({ figures: some as Given['figures'], words: { method } });
          if (isRefused(answer)) return answer.refused.length > 0;
          return answer.figures.every(({ value }) => Number.isFinite(value));
        }),
      );
    }
  });
});
