/** Molar masses and what substances bring, against published atomic weights (tests/published/data/molar_factors.csv). */
import { describe, expect, test } from 'vitest';
import { massAtRate, rateOfMass, shareOf } from '../../src/trade/convert.ts';
import { type BroughtAnalyte, broughtShare, findSubstance, milligramsPerMole } from '../../src/trade/substances.ts';
import { cell, publishedRows, type Row } from './rows.ts';

const rows = publishedRows('molar_factors.csv');
const examples = publishedRows('worked_examples.csv');

/** Formulas of what the table names by words. */
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

const formulaOf = (row: Row) => FORMULAS[cell(row, 'item')] ?? cell(row, 'item');

describe('molar masses', () => {
  for (const row of rows.filter((each) => each.group === 'molar_mass')) {
    test(`${formulaOf(row)} is ${cell(row, 'value')} g/mol (${cell(row, 'source').slice(0, 46)})`, () => {
      expect((milligramsPerMole(formulaOf(row)) / 1000).toFixed(3)).toBe(cell(row, 'value'));
    });
  }
});

const ANALYTES: Readonly<Record<string, BroughtAnalyte>> = {
  SO2_mass_fraction: 'SO2',
  N_mass_fraction: 'N',
  Cu_mass_fraction: 'Cu',
  inversion: 'sugar',
};

function shareBrought(substance: string, analyte: BroughtAnalyte) {
  const found = findSubstance(substance);
  const brought = found === undefined ? undefined : broughtShare(found, analyte);
  if (brought === undefined) throw new Error(`${substance} brings no ${analyte}`);
  return brought;
}

describe('what a gram brings', () => {
  const fractions = rows.filter((row) => ANALYTES[cell(row, 'group')] !== undefined);
  test('every group of fractions is there', () => {
    expect(new Set(fractions.map((row) => row.group)).size).toBe(4);
  });
  for (const row of fractions) {
    const analyte = ANALYTES[cell(row, 'group')] ?? 'SO2';
    const substance = cell(row, 'group') === 'inversion' ? 'sucrose' : formulaOf(row);
    test(`${substance}: ${cell(row, 'value')} g ${analyte} (${cell(row, 'source').slice(0, 46)})`, () => {
      const brought = shareBrought(substance, analyte);
      expect((brought.num / brought.den).toFixed(5)).toBe(cell(row, 'value'));
      expect((brought.partsPerMillion / 1_000_000).toFixed(5)).toBe(cell(row, 'value'));
    });
  }
});

/** Expected value and tolerance of a worked example. */
function example(id: string): { expected: number; tolerance: number; title: string } {
  const row = examples.find((each) => each.id === id);
  if (row === undefined) throw new Error(`no example ${id}`);
  const tolerance = Number.parseFloat(cell(row, 'tolerance'));
  return {
    expected: Number(cell(row, 'expected')),
    tolerance: Number.isNaN(tolerance) ? 0 : tolerance,
    title: `${cell(row, 'quantity')}: ${cell(row, 'inputs')} is ${cell(row, 'expected')} ${cell(row, 'unit')}`,
  };
}

function agrees(id: string, value: () => number | undefined): void {
  const { expected, tolerance, title } = example(id);
  test(title, () => {
    const got = value();
    expect(got).toBeDefined();
    expect(Math.abs((got ?? Number.NaN) - expected)).toBeLessThanOrEqual(tolerance);
  });
}

describe('worked examples', () => {
  const gram = 1_000_000;
  const litre = 1_000_000;
  const ounce = 28_349_523;
  const brings = (substance: string, analyte: BroughtAnalyte, mass: number) => {
    const { num, den } = shareBrought(substance, analyte);
    return shareOf(mass, num, den) ?? Number.NaN;
  };
  /** The mass of a substance that brings so much of an analyte. */
  const needs = (substance: string, analyte: BroughtAnalyte, mass: number) => {
    const { num, den } = shareBrought(substance, analyte);
    return shareOf(mass, den, num) ?? Number.NaN;
  };
  agrees('W092', () => brings('potassium metabisulphite', 'SO2', 100 * gram) / gram);
  agrees('W093', () => brings('Sodium Metabisulfite', 'SO2', 100 * gram) / gram);
  // 30 mg/L is 30 million nanograms a litre.
  agrees('W094', () => needs('K2S2O5', 'SO2', massAtRate(30_000_000, 225 * litre) ?? Number.NaN) / gram);
  agrees('W096', () => (rateOfMass(brings('K2S2O5', 'SO2', ounce), 3_785_411_784) ?? Number.NaN) / 1_000_000);
  agrees('W115', () => (massAtRate(1_500_000_000, 2000 * litre) ?? Number.NaN) / 1000 / gram);
  agrees('W121', () => brings('DAP', 'N', 300_000) / 1000);
  agrees('W122', () => needs('diammonium phosphate', 'N', massAtRate(100_000_000, 2000 * litre) ?? Number.NaN) / gram);
  agrees('W123', () => (rateOfMass(brings('copper sulfate', 'Cu', gram), 1000 * litre) ?? Number.NaN) / 1_000_000);
});
