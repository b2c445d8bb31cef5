/** Yields of wine from fruit, against legal rates, printed pairs of units and exact definitions. */

import { findUnit } from '../../grammar/units.ts';
import { fromBaseToNumber, yieldOf } from '../../src/trade/convert.ts';
import { valueInUnit } from '../../src/trade/rates-of-addition.ts';
import { bySource, halfDigit, toleranceOf } from './by-source.ts';
import type { PublishedCheck, Row } from './check.ts';
import { cell, publishedRows } from './rows.ts';

const KILOGRAM = 1_000_000_000;
const LITRE = 1_000_000;

/** A yield in the unit named, as the book works it out: whole microlitres from whole micrograms. */
function yieldIn(litres: number, kilograms: number, symbol: string): number {
  const unit = findUnit(symbol);
  const rate = yieldOf(Math.round(litres * LITRE), Math.round(kilograms * KILOGRAM));
  return unit === undefined || rate === undefined ? Number.NaN : fromBaseToNumber(rate, unit);
}

const LEGAL = publishedRows('worked_examples.csv').filter((row) => row.id === 'W132' || row.id === 'W133');

const legal: readonly PublishedCheck[] = bySource(LEGAL).map(({ source, standing, rows }) => ({
  title: 'litres from fruit by law',
  source,
  standing,
  unit: 'L',
  rows: rows.map((row): Row => {
    const kilograms = Number.parseFloat(cell(row, 'inputs'));
    const litres = Number(cell(row, 'expected'));
    return {
      at: cell(row, 'inputs'),
      expected: litres,
      // There and back: the yield in gallons a short ton, times the fruit in short tons, in litres.
      got: () => {
        const gallons = yieldIn(litres, kilograms, 'gal/short-ton');
        const fruit = valueInUnit(kilograms, 'kg', 'short-ton');
        return typeof fruit === 'number' ? valueInUnit(gallons * fruit, 'gal', 'L') : fruit;
      },
      tolerance: 1e-3,
    };
  }),
}));

const printedTwice: readonly PublishedCheck[] = bySource(publishedRows('yields_printed.csv')).map(
  ({ source, standing, rows }) => ({
    title: 'gallons a short ton in litres a tonne, as printed',
    source,
    standing,
    note: 'The print rounds down, up to 1.2 L/t: 140 gal is 584.2 L/t, printed 583.',
    unit: 'L/t',
    rows: rows.map(
      (row): Row => ({
        at: `${cell(row, 'gallons_per_short_ton')} gal/short-ton`,
        expected: Number(cell(row, 'litres_per_tonne')),
        got: () => valueInUnit(Number(cell(row, 'gallons_per_short_ton')), 'gal/short-ton', 'L/t'),
        tolerance: toleranceOf(row, cell(row, 'litres_per_tonne')),
      }),
    ),
  }),
);

/** 4.17270223 L/t a gallon a short ton, rounded to whole litres. */
const TABLE: readonly (readonly [gallons: number, litres: string])[] = [
  [120, '501'],
  [140, '584'],
  [150, '626'],
  [160, '668'],
  [170, '709'],
  [180, '751'],
];

const exact: PublishedCheck = {
  title: 'gallons a short ton in litres a tonne',
  source: 'NIST HB 44 App. C',
  standing: 'computed',
  unit: 'L/t',
  rows: TABLE.map(
    ([gallons, litres]): Row => ({
      at: `${gallons} gal/short-ton`,
      expected: Number(litres),
      got: () => yieldIn(gallons * 3.785411784, 907.18474, 'L/t'),
      tolerance: halfDigit(litres),
    }),
  ),
};

export const CHECKS: readonly PublishedCheck[] = [...legal, ...printedTwice, exact];
