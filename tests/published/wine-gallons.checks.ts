/** Wine gallons a case and the fill of a bottle, against the rules that print them. */
import {
  fillTolerancePerMille,
  prescribedCaseGallonsE5,
  prescribedGallons,
  volumeOfBottles,
} from '../../src/trade/formats.ts';
import { tolerableNegativeError } from '../../src/trade/gauging.ts';
import { isRefused } from '../../src/trade/worked.ts';
import { bySource } from './by-source.ts';
import type { PublishedCheck, Row } from './check.ts';
import { cell, publishedRows } from './rows.ts';

const gallons: readonly PublishedCheck[] = bySource(publishedRows('wine_gallons_per_case.csv')).map(
  ({ source, standing, rows }) => ({
    title: 'wine gallons a case',
    source,
    standing,
    note: 'Each is also the stated litres times the factor printed beside them, 0.26417.',
    unit: 'gal',
    rows: rows.flatMap((row): Row[] => {
      const bottles = Number(cell(row, 'bottles'));
      const millilitres = Number(cell(row, 'millilitres'));
      const expected = Number(cell(row, 'gallons'));
      return [
        {
          at: `${bottles} × ${millilitres} mL, prescribed`,
          expected,
          got: () => (prescribedCaseGallonsE5(bottles, millilitres) ?? Number.NaN) / 100_000,
          tolerance: 0,
        },
        {
          at: `${bottles} × ${millilitres} mL, by the factor`,
          expected,
          got: () => Number(prescribedGallons(volumeOfBottles(bottles, millilitres), 5)),
          tolerance: 0,
        },
      ];
    }),
  }),
);

const tolerances: readonly PublishedCheck[] = bySource(publishedRows('fill_tolerances.csv')).map(
  ({ source, standing, rows }) => ({
    title: 'fill of one bottle, US',
    source,
    standing,
    unit: '%',
    rows: rows.map(
      (row): Row => ({
        at: `${cell(row, 'millilitres')} mL`,
        expected: Number(cell(row, 'percent')),
        got: () => (fillTolerancePerMille(Number(cell(row, 'millilitres'))) ?? Number.NaN) / 10,
        tolerance: 0,
      }),
    ),
  }),
);

const either: readonly PublishedCheck[] = bySource(
  publishedRows('worked_examples.csv').filter((row) => row.id === 'W134'),
).map(({ source, standing, rows }) => ({
  title: 'fill of one bottle, US, either way',
  source,
  standing,
  unit: 'mL',
  rows: rows.map(
    (row): Row => ({
      at: cell(row, 'inputs'),
      expected: Number(cell(row, 'expected')),
      got: () => (750 * (fillTolerancePerMille(750) ?? Number.NaN)) / 1000,
      tolerance: 0,
    }),
  ),
}));

/** What a bottle may lack, as its row prints it: in millilitres, or as per cent of its content. */
function lack(millilitres: number, unit: string) {
  const worked = tolerableNegativeError(millilitres);
  return isRefused(worked) || unit === 'mL' ? worked : (worked / millilitres) * 100;
}

const negative: readonly PublishedCheck[] = bySource(publishedRows('tolerable_negative_error.csv')).flatMap(
  ({ source, standing, rows }) =>
    ['mL', '%'].flatMap((unit): PublishedCheck[] => {
      const those = rows.filter((row) => row.unit === unit);
      if (those.length === 0) return [];
      return [
        {
          title: `what one bottle may lack, EU, in ${unit}${standing === 'memory' ? ', last row' : ''}`,
          source,
          standing,
          ...(standing === 'memory' ? { note: 'The last row of the table, cut off in the copy read.' } : {}),
          unit,
          rows: those.map(
            (row): Row => ({
              at: `${cell(row, 'millilitres')} mL`,
              expected: Number(cell(row, 'value')),
              got: () => lack(Number(cell(row, 'millilitres')), unit),
              tolerance: 0,
            }),
          ),
        },
      ];
    }),
);

export const CHECKS: readonly PublishedCheck[] = [...gallons, ...tolerances, ...either, ...negative];
