/** Ferments as published, fitted here and by a general statistics library; and what the press says of pace and dryness. */
import { logisticFall, stretchedFall } from '../../src/trade/fit/falls.ts';
import { type Curve, type Fit, fitCurve } from '../../src/trade/fit/least-squares.ts';
import { fromBrix, sugarScale } from '../../src/trade/fit/sugar-scales.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';
import type { PublishedCheck, Row } from './check.ts';
import { type Row as Cells, cell, publishedRows } from './rows.ts';

const series = publishedRows('ferment_series.csv');
const reference = publishedRows('ferment_fits.csv');

const CURVES: Readonly<Record<string, Curve>> = { logistic: logisticFall, stretched: stretchedFall(0) };

/** Hours and ln pace, or ln time and ln bend, that a fit begins with, off its end: it has to find the rest itself. */
const BEGINNINGS: Readonly<Record<string, readonly [number, number]>> = { logistic: [20, 1.5], stretched: [3, 0.7] };
/** A record that stops half-way through its fall has its middle late. */
const LATE_BEGINNINGS: Readonly<Record<string, readonly [number, number]>> = {
  'brewing gravity lb/barrel': [300, 4.5],
};

function fitted(name: string, curve: string): Worked<Fit> {
  const observations = series
    .filter((row) => cell(row, 'series') === name)
    .map((row) => ({ x: Number(cell(row, 'hours')), y: Number(cell(row, 'value')) }));
  const of = CURVES[curve];
  const beginning = LATE_BEGINNINGS[name] ?? BEGINNINGS[curve];
  if (of === undefined || beginning === undefined) throw new Error(`no curve ${curve}`);
  return fitCurve(of, observations, [
    observations[0]?.y ?? Number.NaN,
    observations.at(-1)?.y ?? Number.NaN,
    ...beginning,
  ]);
}

/** Five figures of what another program finds: their own tolerances reach about as far. */
const FIVE_FIGURES = 5e-5;

function rowsOf(those: readonly Cells[]): Row[] {
  const [name, curve] = [cell(those[0] ?? {}, 'series'), cell(those[0] ?? {}, 'curve')];
  const fit = fitted(name, curve);
  const row = (say: string, printed: string, of: (fit: Fit) => number | undefined): Row => ({
    at: `${name}, ${curve}: ${say}`,
    expected: Number(printed),
    got: () => (isRefused(fit) ? fit : of(fit)),
    tolerance: Math.abs(Number(printed)) * FIVE_FIGURES,
  });
  return [
    ...those.flatMap((cells, j) => [
      row(cell(cells, 'parameter'), cell(cells, 'value'), ({ parameters }) => parameters[j]),
      row(`error of ${cell(cells, 'parameter')}`, cell(cells, 'standard_error'), (found) => found.standardErrors[j]),
    ]),
    row('residual sum of squares', cell(those[0] ?? {}, 'residual_ss'), (found) => found.residualSumOfSquares),
  ];
}

const groups = [...new Set(reference.map((row) => `${cell(row, 'series')}|${cell(row, 'curve')}`))].map((key) =>
  reference.filter((row) => `${cell(row, 'series')}|${cell(row, 'curve')}` === key),
);

const fits: PublishedCheck[] = [...new Set(reference.map((row) => cell(row, 'source')))].map((source) => ({
  title: 'curves fitted to a published series',
  source,
  standing: 'computed',
  note: 'The series was read in the source; the fits it is held to were made with a general statistics library (SciPy 1.17, curve_fit), the source prints none.',
  unit: '',
  rows: groups.filter((those) => cell(those[0] ?? {}, 'source') === source).flatMap(rowsOf),
}));

const scaleOf = (key: string) => {
  const scale = sugarScale(key);
  if (scale === undefined) throw new Error(`no scale ${key}`);
  return scale;
};

export const CHECKS: readonly PublishedCheck[] = [
  ...fits,
  {
    title: 'where dryness by hydrometer begins',
    source: 'WineMaker magazine, Ask Wine Wizard: Sluggish Fermentation Woes',
    standing: 'read',
    note: 'The magazine puts −1.0 °Brix and 0.995 side by side; by the sucrose tables −1.0 °Bx is SG 0.9961, which is the gap of 0.0012.',
    unit: '°Bx or SG',
    rows: [
      { at: 'on the Brix scale', expected: -1, got: () => scaleOf('brix').finished, tolerance: 0.05 },
      { at: 'as specific gravity', expected: 0.995, got: () => scaleOf('SG').finished, tolerance: 0.0014 },
    ],
  },
  {
    title: 'where the bound for sluggish changes, as specific gravity',
    source: 'D. Pambianchi, Modern Home Winemaking, as on the page "Stuck alcoholic fermentation" of its author',
    standing: 'read',
    note: 'The page gives SG 1.005 for 1.0 Brix.',
    unit: 'SG',
    rows: [{ at: '1.0 °Bx', expected: 1.005, got: () => fromBrix(1, scaleOf('SG')), tolerance: 0.001 }],
  },
];
