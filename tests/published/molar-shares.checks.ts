/** Molar masses and what a gram of a substance brings, against atomic weights, codexes and worked examples. */
import { findUnit } from '../../grammar/units.ts';
import { applyRate, shareOf } from '../../src/trade/convert.ts';
import { parseDecimal } from '../../src/trade/decimal.ts';
import { type BroughtAnalyte, broughtShare, findSubstance, milligramsPerMole } from '../../src/trade/substances.ts';
import { bySource, halfDigit, toleranceOf } from './by-source.ts';
import type { PublishedCheck, Row } from './check.ts';
import { cell, publishedRows, type Row as TableRow } from './rows.ts';

/** Formulas of what the table of molar factors names by words. */
const FORMULAS: Readonly<Record<string, string>> = {
  tartaric: 'C4H6O6',
  malic: 'C4H6O5',
  lactic: 'C3H6O3',
  citric: 'C6H8O7',
  citric_monohydrate: 'C6H8O7·H2O',
  glucose: 'C6H12O6',
  sucrose: 'C12H22O11',
  DAP: '(NH4)2HPO4',
  ammonium_sulfate: '(NH4)2SO4',
  MAP: 'NH4H2PO4',
  KHT: 'KC4H5O6',
  CuSO4_5H2O: 'CuSO4·5H2O',
  water: 'H2O',
};

const formulaOf = (row: TableRow): string => FORMULAS[cell(row, 'item')] ?? cell(row, 'item');
const gramsPerMole = (formula: string): number => milligramsPerMole(formula) / 1000;

const ANALYTES: Readonly<Record<string, BroughtAnalyte>> = {
  SO2_mass_fraction: 'SO2',
  N_mass_fraction: 'N',
  Cu_mass_fraction: 'Cu',
  inversion: 'sugar',
};

function brought(substance: string, analyte: BroughtAnalyte): { readonly num: number; readonly den: number } {
  const found = findSubstance(substance);
  const share = found === undefined ? undefined : broughtShare(found, analyte);
  if (share === undefined) throw new Error(`${substance} brings no ${analyte}`);
  return share;
}

const ROWS = publishedRows('molar_factors.csv');

const masses: readonly PublishedCheck[] = bySource(ROWS.filter((row) => row.group === 'molar_mass')).map(
  ({ source, standing, rows }) => ({
    title: 'molar masses',
    source,
    standing,
    unit: 'g/mol',
    rows: rows.map(
      (row): Row => ({
        at: formulaOf(row),
        expected: Number(cell(row, 'value')),
        got: () => gramsPerMole(formulaOf(row)),
        tolerance: halfDigit(cell(row, 'value')),
      }),
    ),
  }),
);

const FRACTIONS = ROWS.filter((row) => ANALYTES[cell(row, 'group')] !== undefined);
if (new Set(FRACTIONS.map((row) => row.group)).size !== 4) throw new Error('a group of shares is missing');

const shares: readonly PublishedCheck[] = bySource(FRACTIONS).map(({ source, standing, rows }) => ({
  title: 'what a gram brings',
  source,
  standing,
  unit: 'g/g',
  rows: rows.map((row): Row => {
    const analyte = ANALYTES[cell(row, 'group')] ?? 'SO2';
    const substance = cell(row, 'group') === 'inversion' ? 'sucrose' : formulaOf(row);
    const { num, den } = brought(substance, analyte);
    return {
      at: `${analyte} of ${substance}`,
      expected: Number(cell(row, 'value')),
      got: () => num / den,
      tolerance: halfDigit(cell(row, 'value')),
    };
  }),
}));

/** `2 NH3` of a formula as per cent of its mass, or its molar mass. */
function printed(row: TableRow): number {
  const mass = gramsPerMole(cell(row, 'formula'));
  const [count, part] = cell(row, 'of').split(' ');
  return part === undefined || count === 'molar' ? mass : (Number(count) * gramsPerMole(part) * 100) / mass;
}

const codexes: readonly PublishedCheck[] = bySource(publishedRows('substance_masses.csv')).flatMap(
  ({ source, standing, rows }) =>
    ['g/mol', '%'].flatMap((unit): PublishedCheck[] => {
      const those = rows.filter((row) => row.unit === unit);
      if (those.length === 0) return [];
      const older = those.some((row) => row.tolerance === '0.02');
      return [
        {
          title: unit === '%' ? 'composition of substances' : 'molar masses, as printed',
          source,
          standing,
          ...(older
            ? { note: 'Printed from older atomic weights of sulfur and potassium, 0.02 g/mol from those of 2021.' }
            : {}),
          unit,
          rows: those.map(
            (row): Row => ({
              at: `${cell(row, 'of')} of ${cell(row, 'formula')}`,
              expected: Number(cell(row, 'value')),
              got: () => printed(row),
              tolerance: toleranceOf(row, cell(row, 'value')),
            }),
          ),
        },
      ];
    }),
);

const GRAM = 1_000_000;
const LITRE = 1_000_000;
const OUNCE = 28_349_523;
const or = (value: number | undefined): number => value ?? Number.NaN;

const bring = (substance: string, analyte: BroughtAnalyte, mass: number): number => {
  const { num, den } = brought(substance, analyte);
  return or(shareOf(mass, num, den));
};

/** The mass of a substance that brings so much of an analyte. */
const need = (substance: string, analyte: BroughtAnalyte, mass: number): number => {
  const { num, den } = brought(substance, analyte);
  return or(shareOf(mass, den, num));
};

/** The mass in micrograms that a written rate asks for in so many litres. */
const massFor = (rate: string, unit: string, litres: number): number => {
  const [written, word] = [parseDecimal(rate), findUnit(unit)];
  return written === undefined || word === undefined ? Number.NaN : or(applyRate(written, word, litres * LITRE));
};

/** The worked examples of exact amounts, by their number in the table; masses in micrograms, volumes in microlitres. */
const EXAMPLES: Readonly<Record<string, () => number>> = {
  W092: () => bring('potassium metabisulphite', 'SO2', 100 * GRAM) / GRAM,
  W093: () => bring('Sodium Metabisulfite', 'SO2', 100 * GRAM) / GRAM,
  W094: () => need('K2S2O5', 'SO2', massFor('30', 'mg/L', 225)) / GRAM,
  W096: () => (bring('K2S2O5', 'SO2', OUNCE) / 3_785_411_784) * 1000,
  W115: () => massFor('1.5', 'g/L', 2000) / 1000 / GRAM,
  W121: () => bring('DAP', 'N', 300_000) / 1000,
  W122: () => need('diammonium phosphate', 'N', massFor('100', 'mg/L', 2000)) / GRAM,
  W123: () => (bring('copper sulfate', 'Cu', GRAM) / (1000 * LITRE)) * 1000,
};

const WORKED = publishedRows('worked_examples.csv').filter((row) => EXAMPLES[cell(row, 'id')] !== undefined);
if (WORKED.length !== Object.keys(EXAMPLES).length) throw new Error('a worked example is missing');

const examples: readonly PublishedCheck[] = bySource(WORKED).map(({ source, standing, rows }) => ({
  title: 'amounts as the book keeps them',
  source,
  standing,
  unit: 'of the unit named',
  rows: rows.map((row): Row => {
    const tolerance = Number.parseFloat(cell(row, 'tolerance'));
    return {
      at: `${cell(row, 'quantity')}: ${cell(row, 'inputs')}, in ${cell(row, 'unit')}`,
      expected: Number(cell(row, 'expected')),
      got: () => EXAMPLES[cell(row, 'id')]?.(),
      tolerance: Number.isNaN(tolerance) ? 0 : tolerance,
    };
  }),
}));

export const CHECKS: readonly PublishedCheck[] = [...masses, ...shares, ...codexes, ...examples];
