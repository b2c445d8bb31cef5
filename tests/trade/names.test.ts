/** Substances, varieties and bottle sizes: found however a crew spells them. Names are trade usage, from memory. */
import { describe, expect, test } from 'vitest';
import { BOTTLE_FORMATS, findBottleFormat } from '../../src/trade/formats.ts';
import { findSubstance, milligramsPerMole, SUBSTANCES } from '../../src/trade/substances.ts';
import { findVariety, VARIETIES, varietyColour } from '../../src/trade/varieties.ts';

describe('substances', () => {
  test('every name finds its substance, and no two share one', () => {
    for (const substance of SUBSTANCES) {
      for (const name of [substance.name, ...substance.names]) expect(findSubstance(name), name).toBe(substance);
    }
  });

  test.each([
    ['Potassium Metabisulphite', 'potassium metabisulfite'],
    ['potassium meta-bisulfite', 'potassium metabisulfite'],
    ['K₂S₂O₅', 'potassium metabisulfite'],
    ['CuSO4.5H2O', 'copper sulfate'],
    ['cream-of-tartar', 'potassium bitartrate'],
    ['SUGAR', 'sucrose'],
    ['so2', 'sulfur dioxide'],
    ['gelatine', 'gelatin'],
  ])('%s is %s', (words, name) => {
    expect(findSubstance(words)?.name).toBe(name);
  });

  test('unknown words find nothing', () => {
    expect(['', 'sunshine', '__proto__', 'constructor'].map(findSubstance)).toEqual(Array(4).fill(undefined));
  });

  test('a share lies above nothing and at most a little above the whole', () => {
    const shares = SUBSTANCES.flatMap((substance) => substance.brings.map((brought) => ({ substance, brought })));
    expect(shares.length).toBeGreaterThan(20);
    for (const { substance, brought } of shares) {
      expect(brought.num).toBeGreaterThan(0);
      // Only sugar that takes up water weighs more than what was added.
      const most = substance.name === 'sucrose' ? 1.06 : 1;
      expect(brought.num / brought.den).toBeLessThanOrEqual(most);
    }
  });

  test('allergens of finings, as food law lists them (27 CFR 4.32a: milk, egg, fish)', () => {
    expect(
      ['egg white', 'casein', 'skim milk', 'isinglass', 'bentonite'].map((n) => findSubstance(n)?.allergen),
    ).toEqual(['egg', 'milk', 'milk', 'fish', undefined]);
  });

  test('what can burn, poison or smother carries a caution', () => {
    for (const substance of SUBSTANCES) {
      if (['sulfiting agent', 'gas', 'cleaning agent'].includes(substance.kind)) {
        expect(substance.caution, substance.name).toMatch(/safety data sheet and follow your local code/u);
      }
    }
  });

  test('a formula that is none is refused', () => {
    expect(() => milligramsPerMole('Xx2')).toThrow(RangeError);
    expect(() => milligramsPerMole('H2)')).toThrow(RangeError);
  });
});

describe('varieties', () => {
  test('every name and synonym finds its variety, and no two share one', () => {
    expect(VARIETIES.length).toBeGreaterThanOrEqual(80);
    for (const variety of VARIETIES) {
      for (const name of [variety.name, ...variety.synonyms]) expect(findVariety(name), name).toBe(variety);
    }
  });

  test.each([
    ['syrah', 'red'],
    ['SHIRAZ', 'red'],
    ['mourvedre', 'red'],
    ['Grüner Veltliner', 'white'],
    ['gruner-veltliner', 'white'],
    ['Pinot Grigio', 'grey'],
    ['nero d’avola', 'red'],
    ['Weissburgunder', 'white'],
  ])('%s is %s', (name, colour) => {
    expect(varietyColour(name)).toBe(colour);
  });

  test('an unknown variety has no colour', () => {
    expect(varietyColour('field blend')).toBeUndefined();
  });
});

describe('bottle sizes', () => {
  test('every name finds its size, from the smallest up', () => {
    for (const format of BOTTLE_FORMATS) {
      if (format.name !== undefined) expect(findBottleFormat(format.name)).toBe(format);
      for (const name of format.names) expect(findBottleFormat(name), name).toBe(format);
    }
    const sizes = BOTTLE_FORMATS.map((format) => format.millilitres);
    expect(sizes).toEqual([...new Set(sizes)].sort((a, b) => a - b));
    expect(findBottleFormat('Half-Bottles')?.millilitres).toBe(375);
    expect(findBottleFormat('thimble')).toBeUndefined();
  });
});
