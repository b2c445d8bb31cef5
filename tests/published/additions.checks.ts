/** Rates, bench trials and solutions, against the rules and sheets that print them. */
import {
  benchDose,
  gramsAtRate,
  limitsOf,
  millilitresToDilute,
  strengthOfSolution,
  valueInUnit,
} from '../../src/trade/rates-of-addition.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import { bySource, halfDigit } from './by-source.ts';
import type { PublishedCheck, Row } from './check.ts';
import { cell, publishedRows, type Row as TableRow } from './rows.ts';

const LAW = publishedRows('rates_us_law.csv');

const rates: readonly PublishedCheck[] = bySource(LAW).map(({ source, standing, rows }) => ({
  title: 'pounds a thousand gallons in grams a litre',
  source,
  standing,
  unit: 'g/L',
  rows: rows.map((row): Row => {
    const printed = cell(row, 'grams_per_litre');
    return {
      at: `${cell(row, 'material')}, ${cell(row, 'amount')} ${cell(row, 'unit')}`,
      expected: Number(printed),
      got: () => valueInUnit(Number(cell(row, 'amount')), cell(row, 'unit'), 'g/L'),
      tolerance: halfDigit(printed),
    };
  }),
}));

/** Our table of limits beside the rule: the same rows read apart from it. */
const LIMITED: Readonly<Record<string, string>> = {
  'citric acid, to stabilise': 'citric acid',
  'ammonium phosphates': 'DAP',
  'thiamine hydrochloride': 'thiamine',
  'yeast hulls': 'yeast hulls',
  PVPP: 'PVPP',
  'activated carbon': 'activated carbon',
  'silica gel': 'silica sol',
  'gum arabic': 'acacia',
  'potassium bitartrate': 'cream of tartar',
  'calcium carbonate': 'chalk',
};

/** Our limit in the pounds the rule prints first. */
function usLimit(row: TableRow): Worked | undefined {
  const limit = limitsOf(LIMITED[cell(row, 'material')] ?? '').find(({ place }) => place === 'US');
  return limit === undefined ? undefined : valueInUnit(limit.milligramsPerLitre, 'mg/L', cell(row, 'unit'));
}

/** Half of the last digit of the grams printed, in pounds a thousand gallons. */
function allowed(row: TableRow): number {
  const worked = valueInUnit(halfDigit(cell(row, 'grams_per_litre')), 'g/L', cell(row, 'unit'));
  return typeof worked === 'number' ? worked : Number.NaN;
}

const limits: readonly PublishedCheck[] = bySource(
  LAW.filter((row) => LIMITED[cell(row, 'material')] !== undefined),
).map(({ source, standing, rows }) => ({
  title: 'the most that may be added, in the pounds printed',
  source,
  standing,
  note: 'Our limits are the grams printed, rounded there from the pounds.',
  unit: 'lb/1000 gal',
  rows: rows.map(
    (row): Row => ({
      at: cell(row, 'material'),
      expected: Number(cell(row, 'amount')),
      got: () => usLimit(row),
      tolerance: allowed(row),
    }),
  ),
}));

function trial(row: TableRow): Worked {
  const worked = benchDose({
    solutionPercent: Number(cell(row, 'percent')),
    addedMillilitres: Number(cell(row, 'added_ml')),
    sampleMillilitres: Number(cell(row, 'sample_ml')),
    madeUp: cell(row, 'how') === 'made up',
  });
  return andThen(worked, ({ milligramsPerLitreOfWine }) => milligramsPerLitreOfWine / 1000);
}

const trials: readonly PublishedCheck[] = bySource(
  publishedRows('bench_trials.csv').filter((row) => row.what === 'bentonite'),
).map(({ source, standing, rows }) => ({
  title: 'dose of a bench trial',
  source,
  standing,
  unit: 'g/L',
  rows: rows.map(
    (row): Row => ({
      at: `${cell(row, 'added_ml')} mL of ${cell(row, 'percent')} % to ${cell(row, 'sample_ml')} mL`,
      expected: Number(cell(row, 'dose')),
      got: () => trial(row),
      tolerance: halfDigit(cell(row, 'dose')),
    }),
  ),
}));

const PURDUE = 'Purdue Extension FS-53-W, Fining with Bentonite';
const IOWA = 'Iowa State University Extension, M. Dharmadhikari, Treatment for Removal of H2S';

const water: PublishedCheck = {
  title: 'water for a slurry, gallons a pound in litres a kilogram',
  source: PURDUE,
  standing: 'read',
  note: 'Read in a quotation of the sheet.',
  unit: 'L/kg',
  rows: [
    {
      at: '2 gallons a pound',
      expected: 16.7,
      // There are two thousand pounds in a short ton.
      got: () => valueInUnit(2 * 2000, 'gal/short-ton', 'L/kg'),
      tolerance: 0.05,
    },
  ],
};

const slurry: PublishedCheck = {
  title: 'strength of a slurry',
  source: PURDUE,
  standing: 'read',
  note: 'Read in a quotation of the sheet; it takes the litre of water for the litre of slurry.',
  unit: '%',
  rows: [{ at: '60 g in 1 L', expected: 6, got: () => strengthOfSolution(60, 1000), tolerance: 0.5 }],
};

const solutions: readonly PublishedCheck[] = [
  {
    title: 'strength of a solution',
    source: IOWA,
    standing: 'read',
    unit: '%',
    rows: [{ at: '1 g made up to 100 mL', expected: 1, got: () => strengthOfSolution(1, 100), tolerance: 0 }],
  },
  {
    title: 'diluting a solution',
    source: IOWA,
    standing: 'read',
    unit: 'mL',
    rows: [
      {
        at: '250 mL of 0.004 % from 1 %',
        expected: 1,
        got: () => millilitresToDilute(1, 0.004, 250),
        tolerance: 1e-12,
      },
    ],
  },
];

const acid: readonly PublishedCheck[] = bySource(
  publishedRows('worked_examples.csv').filter((row) => row.id === 'W115'),
).map(({ source, standing, rows }) => ({
  title: 'amount at a rate',
  source,
  standing,
  unit: 'kg',
  rows: rows.map(
    (row): Row => ({
      at: cell(row, 'inputs'),
      expected: Number(cell(row, 'expected')),
      got: () => andThen(gramsAtRate(1500, 2000), (grams) => grams / 1000),
      tolerance: 0,
    }),
  ),
}));

export const CHECKS: readonly PublishedCheck[] = [...rates, ...limits, ...trials, water, slurry, ...solutions, ...acid];
