/** Wine gallons and fill tolerances against 27 CFR 24.300(a) and 24.255(b), as copied in tests/published/data. */
import { describe, expect, test } from 'vitest';
import {
  fillTolerancePerMille,
  isUsStandardFill,
  PRESCRIBED_CASES,
  prescribedCaseGallonsE5,
  prescribedGallons,
  volumeOfBottles,
} from '../../src/trade/formats.ts';
import { volumeNumber } from '../../src/trade/volume.ts';
import { cell, publishedRows } from './rows.ts';

describe('wine gallons a case, 27 CFR 24.300(a)', () => {
  const rows = publishedRows('wine_gallons_per_case.csv');
  test('as many cases as the rule prints', () => {
    expect(PRESCRIBED_CASES).toHaveLength(rows.length);
  });
  for (const row of rows) {
    const bottles = Number(cell(row, 'bottles'));
    const millilitres = Number(cell(row, 'millilitres'));
    test(`${bottles} × ${millilitres} mL is ${cell(row, 'gallons')}`, () => {
      expect(((prescribedCaseGallonsE5(bottles, millilitres) ?? 0) / 100_000).toFixed(5)).toBe(cell(row, 'gallons'));
      // The printed figures are the stated litres times the printed factor 0.26417.
      expect(prescribedGallons(volumeOfBottles(bottles, millilitres), 5)).toBe(cell(row, 'gallons'));
    });
  }
  test('the exact gallon differs in the sixth figure', () => {
    expect(volumeNumber(volumeOfBottles(12, 750), 'gal', 6)).toBe('2.377548');
    expect(prescribedGallons(volumeOfBottles(12, 750), 6)).toBe('2.377530');
  });
  test('a case the rule does not print has no prescribed figure', () => {
    expect(prescribedCaseGallonsE5(12, 500)).toBeUndefined();
  });
});

describe('fill tolerance of one bottle, 27 CFR 24.255(b)', () => {
  for (const row of publishedRows('fill_tolerances.csv')) {
    const millilitres = Number(cell(row, 'millilitres'));
    test(`${millilitres} mL: ${cell(row, 'percent')} %`, () => {
      expect(((fillTolerancePerMille(millilitres) ?? 0) / 10).toFixed(1)).toBe(cell(row, 'percent'));
    });
  }
  test('a 750 mL bottle: 15.0 mL either way', () => {
    const row = publishedRows('worked_examples.csv').find((each) => each.id === 'W134') ?? {};
    expect((750 * (fillTolerancePerMille(750) ?? 0)) / 1000).toBe(Number(cell(row, 'expected')));
  });
  test('a size without a figure in the rule has none here', () => {
    expect(fillTolerancePerMille(620)).toBeUndefined();
  });
});

test('standards of fill, 27 CFR 4.72 with the sizes of T.D. TTB-200', () => {
  expect([750, 355, 620, 2250, 4000, 6000].filter(isUsStandardFill)).toEqual([750, 355, 620, 2250, 4000, 6000]);
  expect([700.5, 740, 4500].filter(isUsStandardFill)).toEqual([]);
});
