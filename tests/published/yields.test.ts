/** Yields of wine from fruit against published legal rates and conversions. */
import { describe, expect, test } from 'vitest';
import { formatYield, volumeFromFruit, yieldOf } from '../../src/trade/convert.ts';
import { formatVolume } from '../../src/trade/volume.ts';
import { cell, publishedRows } from './rows.ts';

const KILOGRAM = 1_000_000_000;
const LITRE = 1_000_000;
const examples = publishedRows('worked_examples.csv');

for (const [id, perTonne, perShortTon] of [
  ['W132', '637.5 L/t', '152.8 gal/short-ton'],
  ['W133', '780.0 L/t', '186.9 gal/short-ton'],
] as const) {
  const row = examples.find((each) => each.id === id) ?? {};
  test(`${cell(row, 'inputs')} give ${cell(row, 'expected')} L (${cell(row, 'source')})`, () => {
    const fruit = Number.parseFloat(cell(row, 'inputs')) * KILOGRAM;
    const wine = Number(cell(row, 'expected')) * LITRE;
    const rate = yieldOf(wine, fruit) ?? Number.NaN;
    expect(formatYield(rate, 'L/t', 1)).toBe(perTonne);
    expect(formatYield(rate, 'gal/short-ton', 1)).toBe(perShortTon);
    expect(volumeFromFruit(rate, fruit)).toBe(wine);
  });
}

describe('gallons a short ton in litres a tonne (computed from the exact gallon and ton, NIST Handbook 44)', () => {
  // 4.17270223 L/t a gallon a short ton, rounded to whole litres.
  for (const [gallons, litres] of [
    [120, 501],
    [140, 584],
    [150, 626],
    [160, 668],
    [170, 709],
    [180, 751],
  ] as const) {
    test(`${gallons} gal/short-ton is ${litres} L/t`, () => {
      const rate = yieldOf(Math.round(gallons * 3_785_411.784), 907_184_740_000) ?? Number.NaN;
      expect(formatYield(rate, 'L/t')).toBe(`${litres} L/t`);
      expect(formatYield(rate, 'gal/short-ton')).toBe(`${gallons} gal/short-ton`);
    });
  }
});

test('a nominal barrel fills 300 bottles (arithmetic; 225 L is nominal)', () => {
  const row = examples.find((each) => each.id === 'W135') ?? {};
  expect((225 * LITRE) / (750 * 1000)).toBe(Number(cell(row, 'expected')));
  expect(formatVolume(225 * LITRE, 'gal', 2)).toBe('59.44 gal');
});
