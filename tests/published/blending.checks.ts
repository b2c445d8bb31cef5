/** Blends by volume against printed examples: a federal rule, two handbooks' squares, and plain arithmetic. */
import { blendedFigure, litresOfSecond, shareOfSecond } from '../../src/trade/blend-figures.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import type { PublishedCheck } from './check.ts';
import { type Row as Cells, cell, publishedRows } from './rows.ts';

const number = (row: Cells, column: string): number => Number(cell(row, column));
const worked = publishedRows('worked_alcohol_and_gas.csv');
const example = (id: string): number => number(worked.find((row) => row.id === id) ?? {}, 'expected');

const squares = publishedRows('mixtures.csv').filter((row) => cell(row, 'first_amount') === '');

/** What a square's row asks for, from the share of the other part. */
function asked(quantity: string, first: number, other: number): Worked {
  const target = Number(/ for (\d+)$/.exec(quantity)?.[1]);
  const share = shareOfSecond(first, other, target);
  const ofOther = quantity.startsWith('other') || quantity.includes('of the other');
  return andThen(share, (second) => {
    const part = ofOther ? second : 1 - second;
    if (quantity.startsWith('%')) return 100 * part;
    return quantity.startsWith('parts') ? part * Math.abs(other - first) : part * 128;
  });
}

const squareChecks: PublishedCheck[] = [...new Set(squares.map((row) => cell(row, 'source')))].map((source) => ({
  title: "Pearson's square",
  source,
  standing: 'read',
  unit: 'parts, % or fl oz',
  rows: squares
    .filter((row) => cell(row, 'source') === source)
    .map((row) => {
      const [first, other] = [number(row, 'first_figure'), number(row, 'other_figure')];
      const printed = cell(row, 'printed');
      return {
        at: `${cell(row, 'quantity')}, from ${first} and ${other}`,
        expected: Number(printed),
        got: () => asked(cell(row, 'quantity'), first, other),
        tolerance: printed.includes('.') ? 0.0501 : 0.501,
      };
    }),
}));

export const CHECKS: readonly PublishedCheck[] = [
  {
    title: 'acid after amelioration to the limit',
    source: '27 CFR 24.178, Amelioration',
    standing: 'read',
    note: 'The rule pairs 538.4 gallons for 1,000 at 7.69 g/L with a floor of 5.0 g/L; 35 % of the total is the other bound.',
    unit: 'g/L or %',
    rows: [
      {
        at: '1000 gal of 7.69 g/L with 538.4 gal of water',
        expected: 5,
        got: () =>
          blendedFigure([
            { litres: 1000, figure: 7.69 },
            { litres: 538.4, figure: 0 },
          ]),
        tolerance: 0.005,
      },
      {
        at: 'share of 538.4 gal in the whole',
        expected: 35,
        got: () =>
          blendedFigure([
            { litres: 1000, figure: 0 },
            { litres: 538.4, figure: 100 },
          ]),
        tolerance: 0.05,
      },
      {
        at: 'gallons of water that bring 1000 gal from 7.69 to 5 g/L',
        expected: 538.4,
        got: () => litresOfSecond(1000, 7.69, 0, 5),
        tolerance: 0.5,
      },
    ],
  },
  ...squareChecks,
  {
    title: 'blends by volume',
    source: 'Arithmetic, contraction left out',
    standing: 'computed',
    unit: 'as said',
    rows: [
      {
        at: 'parts of wine of 12 % vol to one of spirit of 96, for 18',
        expected: example('W128'),
        got: () => andThen(shareOfSecond(12, 96, 18), (share) => (1 - share) / share),
        tolerance: 1e-9,
      },
      {
        at: 'litres of that spirit to 1000 L',
        expected: example('W129'),
        got: () => litresOfSecond(1000, 12, 96, 18),
        tolerance: 0.0005,
      },
      {
        at: '600 L of 13.2 and 400 L of 14.1 % vol',
        expected: example('W130'),
        got: () =>
          blendedFigure([
            { litres: 600, figure: 13.2 },
            { litres: 400, figure: 14.1 },
          ]),
        tolerance: 0.0005,
      },
      {
        at: '600 L of 6.4 and 400 L of 5.2 g/L',
        expected: example('W131'),
        got: () =>
          blendedFigure([
            { litres: 600, figure: 6.4 },
            { litres: 400, figure: 5.2 },
          ]),
        tolerance: 0.0005,
      },
    ],
  },
];
