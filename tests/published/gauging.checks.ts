/** Tanks by dip, bottles and cases, against printed tables and worked sums. */
import { PRESCRIBED_GALLONS_PER_LITRE } from '../../src/trade/formats.ts';
import {
  bottlesFrom,
  depthOf,
  litresInBox,
  litresLying,
  litresOfCases,
  litresUpright,
} from '../../src/trade/gauging.ts';
import { valueInUnit } from '../../src/trade/rates-of-addition.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import { bySource, notesOf, toleranceOf } from './by-source.ts';
import type { PublishedCheck, Row } from './check.ts';
import { cell, publishedRows, type Row as TableRow } from './rows.ts';

const METRES_A_FOOT = 0.3048;
const feet = (row: TableRow, column: string): number => Number(cell(row, column)) * METRES_A_FOOT;

/** 10 feet by 11, by the rule of the table itself 6462.50. */
const CIRCULAR_MISPRINT = 6461.52;

const upright: readonly PublishedCheck[] = bySource(publishedRows('tank_gallons_circular.csv')).map(
  ({ source, standing, rows }) => ({
    title: 'gallons in upright round tanks',
    source,
    standing,
    note: 'The table takes 5.875 gallons for a foot of a one-foot circle, exactly 5.87519: 3.2e-5 of the value, and rounds by a cent or four. 10 ft by 11 ft is printed 6461.52 for 6462.50.',
    unit: 'gal',
    rows: rows.map((row): Row => {
      const expected = Number(cell(row, 'gallons'));
      return {
        at: `${cell(row, 'diameter_ft')} ft across, ${cell(row, 'depth_ft')} ft deep`,
        expected,
        got: () =>
          andThen(litresUpright(feet(row, 'diameter_ft'), feet(row, 'depth_ft')), (litres) =>
            valueInUnit(litres, 'L', 'gal'),
          ),
        tolerance: expected === CIRCULAR_MISPRINT ? 1.2 : expected * 3.5e-5 + 0.04,
      };
    }),
  }),
);

/** A row of that table against its neighbours: 7 by 4 by 5 feet is printed 870 where 4 feet make 698. */
const MISPRINTED = '7 × 4 × 5 ft';

const square: readonly PublishedCheck[] = bySource(publishedRows('tank_gallons_square.csv')).map(
  ({ source, standing, rows }) => ({
    title: 'imperial gallons in square tanks',
    source,
    standing,
    note: `The table takes the gallon of 1824, 277.274 cubic inches, 0.053 % less than ours, and cuts some figures off: 0.06 % and one gallon allowed. ${MISPRINTED} is printed 870 for 872.`,
    unit: 'imp-gal',
    rows: rows.map((row): Row => {
      const expected = Number(cell(row, 'gallons'));
      const at = `${cell(row, 'length_ft')} × ${cell(row, 'width_ft')} × ${cell(row, 'depth_ft')} ft`;
      return {
        at,
        expected,
        got: () =>
          andThen(litresInBox(feet(row, 'length_ft'), feet(row, 'width_ft'), feet(row, 'depth_ft')), (litres) =>
            valueInUnit(litres, 'L', 'imp-gal'),
          ),
        tolerance: at === MISPRINTED ? 2.5 : 1 + expected * 0.0006,
      };
    }),
  }),
);

const UNITS_OF_LENGTH: Readonly<Record<string, number>> = { m: 1, cm: 0.01, ft: METRES_A_FOOT, '%': 0.01, R: 0.5 };

/** The quantity a row prints of a lying cylinder. */
function lying(row: TableRow): Worked {
  const unit = cell(row, 'unit');
  const scale = UNITS_OF_LENGTH[unit] ?? Number.NaN;
  const size = (column: string): number => Number(cell(row, column)) * scale;
  // Where only the circle matters the length is a metre, and a litre a thousandth of a square metre.
  const circleOnly = ['%', 'R', 'cm'].includes(unit);
  const along = circleOnly ? 1 : size('length');
  const litres = litresLying(size('diameter'), along, size('depth'));
  switch (cell(row, 'of')) {
    case '% of the whole':
      return andThen(litres, (part) =>
        andThen(litresLying(size('diameter'), along, size('diameter')), (whole) => (part / whole) * 100),
      );
    case 'square':
      return andThen(litres, (volume) => volume / 1000 / scale ** 2);
    default:
      return andThen(litres, (volume) => valueInUnit(volume, 'L', cell(row, 'of')));
  }
}

const cylinders: readonly PublishedCheck[] = bySource(publishedRows('lying_cylinders.csv')).map(
  ({ source, standing, rows }) => ({
    title: 'lying cylinders partly full',
    source,
    standing,
    unit: cell(rows[0] ?? {}, 'of') === 'square' ? 'square of the unit' : cell(rows[0] ?? {}, 'of'),
    rows: rows.map((row): Row => {
      const value = cell(row, 'value');
      return {
        at: `${cell(row, 'depth')} ${cell(row, 'unit')} deep in ${cell(row, 'diameter')}`,
        expected: Number(value),
        got: () => lying(row),
        // The depth of a quarter is printed to six figures, cut off; its quarter is exact.
        tolerance: cell(row, 'unit') === 'R' ? 1e-4 : toleranceOf(row, value),
      };
    }),
  }),
);

const quarter: PublishedCheck = {
  title: 'the dip at which a lying cylinder is a quarter full',
  source: 'E. W. Weisstein, MathWorld, Quarter-Tank Problem (OEIS A133742)',
  standing: 'read',
  unit: 'of the radius',
  rows: [
    {
      at: 'a tank of 2 m, 1 m long',
      expected: 0.596027,
      got: () => depthOf((Math.PI * 1000) / 4, 2, (metres) => litresLying(2, 1, metres)),
      tolerance: 1e-6,
    },
  ],
};

const toLitres = (row: TableRow): Worked => valueInUnit(Number(cell(row, 'input')), cell(row, 'unit'), 'L');

/** What a worked sum of bottles asks, by its words. */
const SUMS: Readonly<Record<string, (row: TableRow) => Worked>> = {
  'gallons of a case': () => andThen(litresOfCases(1, 0, 750, 12), (litres) => valueInUnit(litres, 'L', 'gal')),
  'litres of a case': () => litresOfCases(1, 0, 750, 12),
  'full cases': (row) =>
    andThen(toLitres(row), (litres) => andThen(bottlesFrom(litres, 750, 12), ({ cases }) => cases)),
  'bottles in full cases': (row) =>
    andThen(toLitres(row), (litres) => andThen(bottlesFrom(litres, 750, 12), ({ cases }) => cases * 12)),
  litres: toLitres,
  gallons: (row) => valueInUnit(Number(cell(row, 'input')), cell(row, 'unit'), 'gal'),
  'gallons by the prescribed factor': (row) =>
    (Number(cell(row, 'input')) * Number(PRESCRIBED_GALLONS_PER_LITRE.num)) / Number(PRESCRIBED_GALLONS_PER_LITRE.den),
  bottles: (row) => andThen(toLitres(row), (litres) => litres / 0.75),
};

const sums: readonly PublishedCheck[] = bySource(publishedRows('bottles_and_cases.csv')).map(
  ({ source, standing, rows }) => {
    const note = notesOf(rows, (row) => `${cell(row, 'what')} of ${cell(row, 'input')} ${cell(row, 'unit')}`);
    return {
      title: 'bottles, cases and gallons',
      source,
      standing,
      ...(note === undefined ? {} : { note }),
      unit: 'of what is named',
      rows: rows.map(
        (row): Row => ({
          at: `${cell(row, 'what')} of ${cell(row, 'input')} ${cell(row, 'unit')}`,
          expected: Number(cell(row, 'value')),
          got: () => SUMS[cell(row, 'what')]?.(row),
          tolerance: toleranceOf(row, cell(row, 'value')),
        }),
      ),
    };
  },
);

const barrel: readonly PublishedCheck[] = bySource(
  publishedRows('worked_examples.csv').filter((row) => row.id === 'W135'),
).map(({ source, standing, rows }) => ({
  title: 'bottles from a barrel',
  source,
  standing,
  unit: 'bottles',
  rows: rows.map(
    (row): Row => ({
      at: cell(row, 'inputs'),
      expected: Number(cell(row, 'expected')),
      got: () => andThen(bottlesFrom(225, 750, 12), ({ bottles }) => bottles),
      tolerance: 0,
    }),
  ),
}));

export const CHECKS: readonly PublishedCheck[] = [...upright, ...square, ...cylinders, quarter, ...sums, ...barrel];
