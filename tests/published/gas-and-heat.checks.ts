/** A ferment's gas and heat, and what barrels lose, against what is printed about them. */
import { litresPerBarrelMonth, percentPerYear } from '../../src/trade/evaporation.ts';
import {
  airBroughtTo,
  carbonDioxideOf,
  heatOf,
  litresOfCarbonDioxide,
  sugarLossOf,
  warmingOf,
} from '../../src/trade/gas-and-heat.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import type { PublishedCheck } from './check.ts';
import { type Row as Cells, cell, publishedRows } from './rows.ts';

const number = (row: Cells, column: string): number => Number(cell(row, column));
const worked = publishedRows('worked_alcohol_and_gas.csv');
const example = (id: string): number => number(worked.find((row) => row.id === id) ?? {}, 'expected');

const gasOf = (sugarGrams: number, celsius: number): Worked =>
  andThen(carbonDioxideOf(sugarGrams), (grams) => litresOfCarbonDioxide(grams, celsius));

/** Sugar and temperature that the sources on safety leave unsaid: a middling must, a cool cellar. */
const UNSAID_SUGAR = 190;
const UNSAID_CELSIUS = 15;

const reported = publishedRows('ferment_gas.csv');

const gasReports: PublishedCheck[] = [...new Set(reported.map((row) => cell(row, 'source')))].map((source) => ({
  title: 'litres of carbon dioxide from must',
  source,
  standing: 'read',
  note: `The source does not say for what sugar and temperature; ${UNSAID_SUGAR} g/L and ${UNSAID_CELSIUS} °C are put in. The width is the source's own, with a tenth for what is unsaid.`,
  unit: 'L',
  rows: reported
    .filter((row) => cell(row, 'source') === source)
    .map((row) => ({
      at: `${cell(row, 'litres_of_must')} L of must`,
      expected: number(row, 'litres_of_gas'),
      got: () => gasOf(UNSAID_SUGAR * number(row, 'litres_of_must'), UNSAID_CELSIUS),
      tolerance: number(row, 'half_width') + 0.1 * number(row, 'litres_of_gas'),
    })),
}));

export const CHECKS: readonly PublishedCheck[] = [
  {
    title: 'carbon dioxide from sugar',
    source: 'IUPAC abridged standard atomic weights (2021)',
    standing: 'computed',
    unit: 'g or L',
    rows: [
      { at: '220 g of hexose, in g', expected: example('W124'), got: () => carbonDioxideOf(220), tolerance: 0.005 },
      {
        at: '220 g of hexose, in L at 20 °C',
        expected: example('W125'),
        got: () => gasOf(220, 20),
        tolerance: 0.005,
      },
      {
        at: 'a tonne of must at 24 °Bx, 228 kg of it fermented: kg',
        expected: 111.4,
        got: () => andThen(carbonDioxideOf(228_000), (grams) => grams / 1000),
        tolerance: 0.05,
      },
      {
        at: 'the same: m³ at 20 °C',
        expected: 60.9,
        got: () => andThen(gasOf(228_000, 20), (litres) => litres / 1000),
        tolerance: 0.05,
      },
      {
        at: 'the same: m³ of air brought to 3 %',
        expected: 2030,
        got: () =>
          andThen(
            andThen(gasOf(228_000, 20), (gas) => airBroughtTo(gas, 30_000)),
            (litres) => litres / 1000,
          ),
        tolerance: 5,
      },
    ],
  },
  ...gasReports,
  {
    title: 'heat of fermentation',
    source:
      'About 24 kcal a mole of sugar, as cited with Colombié, Malherbe & Sablayrolles, Food Control 18 (2007) 953-960',
    standing: 'read',
    note: 'The textbooks differ; a review of them (Am. J. Enol. Vitic. 33, 1982) was read in its abstract only. To 5 %.',
    unit: 'kJ',
    rows: [{ at: '220 g of sugar', expected: example('W127'), got: () => heatOf(220), tolerance: 6 }],
  },
  {
    title: 'warming without cooling, a °Bx',
    source: 'A winemaking course, as a student reports it: 1.3 °C for each °Bx',
    standing: 'read',
    unit: '°C',
    rows: [
      {
        at: '1 °Bx of the hydrometer',
        expected: 1.3,
        got: () => andThen(sugarLossOf(1), (anHour) => warmingOf(anHour * 24)),
        tolerance: 0.05,
      },
    ],
  },
  {
    title: 'what a barrel loses',
    source: "A growers' magazine (Redagricola, 2021), on the evaporation of wine in barrels",
    standing: 'read',
    unit: '%',
    rows: [
      {
        at: '13.5 L a year from 225 L',
        expected: 6,
        got: () => percentPerYear({ litres: 13.5, days: 365.25, barrels: 1, barrelLitres: 225 }),
        tolerance: 0.05,
      },
    ],
  },
  {
    title: 'what a barrel loses in a month',
    source: 'Arithmetic: 4 % a year of 225 L',
    standing: 'computed',
    unit: 'L',
    rows: [
      {
        at: '9 L a year',
        expected: 0.75,
        got: () => litresPerBarrelMonth({ litres: 9, days: 365.25, barrels: 1, barrelLitres: 225 }),
        tolerance: 0.005,
      },
    ],
  },
];
