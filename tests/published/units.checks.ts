/** The unit table: published definitions and equivalents, the unified code for units, and a general units library. */
import Qty from 'js-quantities';
import { findUnit, UNITS, type UnitWord } from '../../grammar/units.ts';
import { convertWritten } from '../../src/trade/convert.ts';
import { parseDecimal } from '../../src/trade/decimal.ts';
import { findBottleFormat, prescribedGallons } from '../../src/trade/formats.ts';
import { valueInUnit } from '../../src/trade/rates-of-addition.ts';
import { bySource, halfDigit, notesOf, toleranceOf } from './by-source.ts';
import type { PublishedCheck, Row } from './check.ts';
import { cell, publishedRows, type Row as TableRow } from './rows.ts';
import { ucumFactor } from './ucum.ts';

/** What the table of factors calls a unit, and the word of the language. */
const WORDS: Readonly<Record<string, string>> = {
  us_gallon: 'gal',
  imperial_gallon: 'imp-gal',
  us_fluid_ounce: 'fl-oz',
  us_quart: 'qt',
  us_pint: 'pt',
  hectolitre: 'hL',
  cubic_metre: 'm3',
  cubic_foot: 'ft3',
  pound: 'lb',
  ounce_avdp: 'oz',
  short_ton: 'short-ton',
  long_ton: 'long-ton',
  tonne: 't',
  inch: 'in',
  foot: 'ft',
  acre_international: 'acre',
  hectare: 'ha',
  atm: 'atm',
  bar: 'bar',
  psi: 'psi',
  lb_per_1000_us_gal: 'lb/1000 gal',
  g_per_us_gal: 'g/gal',
  oz_per_us_gal: 'oz/gal',
  g_per_hL: 'g/hL',
  lb_per_us_gal: 'lb/gal',
  short_ton_per_acre: 'short-ton/acre',
  us_gal_per_short_ton: 'gal/short-ton',
  L_per_tonne_to_us_gal_per_short_ton: 'L/t',
};

function known(word: string): UnitWord {
  const unit = findUnit(word);
  if (unit === undefined) throw new Error(`no unit ${word}`);
  return unit;
}

/** An amount in another unit, by exact fractions, to so many places. */
function converted(amount: string, from: string, to: string, places: number): number {
  const written = parseDecimal(amount);
  const text = written === undefined ? undefined : convertWritten(written, known(from), known(to), places);
  return text === undefined ? Number.NaN : Number(text);
}

const placesOf = (printed: string): number => printed.split('.')[1]?.length ?? 0;

/** A printed factor that is exact has to be met with six more places of nothing; a rounded one to its last digit. */
function factorRow(row: TableRow): Row {
  const factor = cell(row, 'factor');
  const from = WORDS[cell(row, 'unit')] ?? '';
  const to = from === 'L/t' ? 'gal/short-ton' : cell(row, 'in');
  const places = placesOf(factor) + (cell(row, 'note').startsWith('exact') ? 6 : 0);
  return {
    at: `1 ${from} in ${to}`,
    expected: Number(factor),
    got: () => converted('1', from, to, places),
    tolerance: 0,
  };
}

const FACTORS = publishedRows('units.csv').filter((row) => WORDS[cell(row, 'unit')] !== undefined);
if (FACTORS.length !== Object.keys(WORDS).length) throw new Error('a published factor is missing');

const factors: readonly PublishedCheck[] = bySource(FACTORS).map(({ source, standing, rows }) => ({
  title: 'factors of units',
  source,
  standing,
  note: 'Compared as fractions: exact ones to six places more than printed, rounded ones to the last digit.',
  unit: 'of the other unit',
  rows: rows.map(factorRow),
}));

const examples: readonly PublishedCheck[] = bySource(publishedRows('unit_examples.csv')).map(
  ({ source, standing, rows }) => ({
    title: 'amounts in another unit',
    source,
    standing,
    unit: 'of the other unit',
    rows: rows.map((row): Row => {
      const value = cell(row, 'value');
      return {
        at: `${cell(row, 'amount')} ${cell(row, 'unit')} in ${cell(row, 'in')}`,
        expected: Number(value),
        got: () => converted(cell(row, 'amount'), cell(row, 'unit'), cell(row, 'in'), 9),
        tolerance: halfDigit(value),
      };
    }),
  }),
);

const equivalents: readonly PublishedCheck[] = bySource(publishedRows('unit_equivalents.csv')).map(
  ({ source, standing, rows }) => {
    const note = notesOf(rows, (row) => `${cell(row, 'unit')} in ${cell(row, 'in')}`);
    return {
      title: 'equivalents of units',
      source,
      standing,
      ...(note === undefined ? {} : { note }),
      unit: 'of the other unit',
      rows: rows.map((row): Row => {
        const value = cell(row, 'value');
        return {
          at: `${cell(row, 'amount')} ${cell(row, 'unit')} in ${cell(row, 'in')}`,
          expected: Number(value),
          got: () => valueInUnit(Number(cell(row, 'amount')), cell(row, 'unit'), cell(row, 'in')),
          tolerance: toleranceOf(row, value),
        };
      }),
    };
  },
);

/** Units of ours that the unified code defines in one step, and that step in units of ours. */
const DEFINED: readonly (readonly [code: string, unit: string, into: string, times: number])[] = [
  ['[in_i]', 'in', 'cm', 1],
  ['[ft_i]', 'ft', 'in', 1],
  ['[qt_us]', 'qt', 'gal', 1 / 4],
  ['[pt_us]', 'pt', 'qt', 1 / 2],
  ['[gal_br]', 'imp-gal', 'L', 1],
  ['[oz_av]', 'oz', 'lb', 1 / 16],
  ['atm', 'atm', 'bar', 1e-5],
];

const UCUM_ROWS = publishedRows('ucum_essence.csv');

function definition(code: string): TableRow {
  const row = UCUM_ROWS.find((each) => each.code === code);
  if (row === undefined) throw new Error(`no definition of ${code}`);
  return row;
}

const UCUM_SOURCE = cell(definition('[gal_us]'), 'source');

const defined: PublishedCheck = {
  title: 'units defined in one step',
  source: UCUM_SOURCE,
  standing: 'read',
  unit: 'of the other unit',
  rows: DEFINED.map(
    ([code, unit, other, times]): Row => ({
      at: `1 ${unit}, ${code}, in ${other}`,
      expected: Number(cell(definition(code), 'value')) * times,
      got: () => valueInUnit(1, unit, other),
      tolerance: 1e-12,
    }),
  ),
};

/** The first unit of each dimension stands for it; temperatures are compared beside, for they have a zero point. */
function firstOf(unit: UnitWord): UnitWord {
  return UNITS.find((each) => each.dimension === unit.dimension && each.ucum !== undefined) ?? unit;
}

const CODED = UNITS.filter(
  (unit) =>
    unit.ucum !== undefined && unit.offset === undefined && !unit.ucum.includes('NTU') && firstOf(unit) !== unit,
);

/** Compared as ratios, since the sizes run over eighteen powers of ten. */
const relative = (got: number, expected: number): number => got / expected;

const coded: PublishedCheck = {
  title: 'codes of the unified code, worked out',
  source: UCUM_SOURCE,
  standing: 'computed',
  note: 'The code of every unit is worked out from the definitions, most read there, the SI ones from memory, and compared with our factor.',
  unit: 'of the factor',
  rows: CODED.map((unit): Row => {
    const first = firstOf(unit);
    return {
      at: `${unit.ucum} (${unit.symbol}) in ${first.ucum}`,
      expected: 1,
      got: () => {
        const ours = Number(unit.num * first.den) / Number(unit.den * first.num);
        return relative(ours, ucumFactor(unit.ucum ?? '', UCUM_ROWS) / ucumFactor(first.ucum ?? '', UCUM_ROWS));
      },
      tolerance: 1e-12,
    };
  }),
};

/** Words of ours and how the library writes the same, with a count where it takes none inside a unit. */
const OTHERS: readonly (readonly [word: string, other: string, times?: number])[] = [
  ['hL', 'hl'],
  ['mL', 'ml'],
  ['µL', 'ul'],
  ['m3', 'm^3'],
  ['ft3', 'ft^3'],
  ['gal', 'gallon'],
  ['imp-gal', 'gallon-imp'],
  ['qt', 'quart'],
  ['pt', 'pint'],
  ['fl-oz', 'floz'],
  ['g', 'g'],
  ['mg', 'mg'],
  ['t', 'tonne'],
  ['lb', 'lb'],
  ['oz', 'oz'],
  ['short-ton', 'short-ton'],
  ['long-ton', 'lb', 2240],
  ['cm', 'cm'],
  ['mm', 'mm'],
  ['in', 'in'],
  ['ft', 'ft'],
  ['acre', 'acre'],
  ['m2', 'm^2'],
  ['ft2', 'ft^2'],
  ['kPa', 'kPa'],
  ['psi', 'psi'],
  ['atm', 'atm'],
  ['mg/L', 'mg/l'],
  ['g/hL', 'g/hl'],
  ['kg/hL', 'kg/hl'],
  ['g/100 mL', 'g/dl'],
  ['g/gal', 'g/gallon'],
  ['mg/gal', 'mg/gallon'],
  ['oz/gal', 'oz/gallon'],
  ['lb/gal', 'lb/gallon'],
  ['lb/1000 gal', 'lb/gallon', 1 / 1000],
  ['oz/1000 gal', 'oz/gallon', 1 / 1000],
  ['mg/kg', 'mg/kg'],
  ['kg/t', 'kg/tonne'],
  ['g/100 kg', 'g/kg', 1 / 100],
  ['lb/short-ton', 'lb/short-ton'],
  ['oz/short-ton', 'oz/short-ton'],
  ['mL/hL', 'ml/hl'],
  ['mL/gal', 'ml/gallon'],
  ['fl-oz/gal', 'floz/gallon'],
  ['L/mm', 'l/mm'],
  ['gal/in', 'gallon/in'],
  ['gal/ft', 'gallon/ft'],
  ['hL/t', 'hl/tonne'],
  ['L/100 kg', 'l/kg', 1 / 100],
  ['gal/short-ton', 'gallon/short-ton'],
  ['fl-oz/short-ton', 'floz/short-ton'],
  ['kg/ha', 'kg/hectare'],
  ['short-ton/acre', 'short-ton/acre'],
  ['lb/acre', 'lb/acre'],
  ['L/ha', 'l/hectare'],
  ['gal/acre', 'gallon/acre'],
  ['L/h', 'l/h'],
  ['gal/min', 'gallon/min'],
  ['kW', 'kW'],
];

/** What each dimension is compared in, and how the library writes it. */
const IN: Readonly<Record<string, readonly [word: string, other: string]>> = {
  volume: ['L', 'l'],
  mass: ['kg', 'kg'],
  length: ['m', 'm'],
  area: ['ha', 'hectare'],
  pressure: ['bar', 'bar'],
  'mass per volume': ['g/L', 'g/l'],
  'mass per mass': ['g/kg', 'g/kg'],
  'volume per volume': ['mL/L', 'ml/l'],
  'volume per length': ['L/cm', 'l/cm'],
  'volume per mass': ['L/t', 'l/tonne'],
  'mass per area': ['t/ha', 'tonne/hectare'],
  'volume per area': ['hL/ha', 'hl/hectare'],
  'volume per duration': ['L/min', 'l/min'],
  power: ['W', 'W'],
};

const library: PublishedCheck = {
  title: 'factors of units, second opinion',
  source: 'js-quantities 1.8.0, a general library for units',
  standing: 'computed',
  note: 'The library rounds its US volumes to eight figures, the ounce to nine and the pound per square inch to six (4e-7 off); ours are exact.',
  unit: 'of the factor',
  rows: OTHERS.map(([word, other, times = 1]): Row => {
    const [to, otherTo] = IN[known(word).dimension] ?? ['', ''];
    return {
      at: `1 ${word} in ${to}`,
      expected: 1,
      got: () => {
        const theirs = Qty(`1 ${other}`).to(otherTo).scalar * times;
        const ours = valueInUnit(1, word, to);
        return typeof ours === 'number' ? relative(ours, theirs) : ours;
      },
      tolerance: 5e-7,
    };
  }),
};

const degrees: PublishedCheck = {
  title: 'temperatures, second opinion',
  source: 'js-quantities 1.8.0, a general library for units',
  standing: 'computed',
  unit: '°C',
  rows: [-40, 0, 32, 50, 60, 68, 77, 86, 104, 212].map(
    (fahrenheit): Row => ({
      at: `${fahrenheit} °F`,
      expected: Qty(`${fahrenheit} tempF`).to('tempC').scalar,
      got: () => valueInUnit(fahrenheit, 'F', 'C'),
      tolerance: 1e-9,
    }),
  ),
};

const BOTTLES = ['standard_bottle', 'half_bottle', 'magnum', 'split', 'double_magnum'];

const bottles: readonly PublishedCheck[] = bySource(
  publishedRows('units.csv').filter((row) => BOTTLES.includes(cell(row, 'unit'))),
).map(({ source, standing, rows }) => ({
  title: 'bottles by their trade names',
  source,
  standing,
  unit: 'mL',
  rows: rows.map(
    (row): Row => ({
      at: `a ${cell(row, 'unit').replaceAll('_', ' ')}`,
      expected: Number(cell(row, 'factor')),
      got: () => findBottleFormat(cell(row, 'unit').replaceAll('_', ' '))?.millilitres,
      tolerance: 0,
    }),
  ),
}));

const circular: readonly PublishedCheck[] = bySource(
  publishedRows('units.csv').filter((row) => cell(row, 'unit') === 'litre_ttb_rounded'),
).map(({ source, standing, rows }) => ({
  title: 'a litre in wine gallons, rounded for records',
  source,
  standing,
  unit: 'gal',
  rows: rows.flatMap((row): Row[] => {
    const factor = cell(row, 'factor');
    return [
      {
        at: '1 L, prescribed',
        expected: Number(factor),
        got: () => Number(prescribedGallons(1_000_000, 6)),
        tolerance: 0,
      },
      {
        at: '1 L, exact',
        expected: Number(factor),
        got: () => valueInUnit(1, 'L', 'gal'),
        tolerance: halfDigit(factor),
      },
    ];
  }),
}));

export const CHECKS: readonly PublishedCheck[] = [
  ...factors,
  ...examples,
  ...equivalents,
  defined,
  coded,
  library,
  degrees,
  ...bottles,
  ...circular,
];
