/** The unit table against published exact definitions (tests/published/data/units.csv names the source of each row). */
import { expect, test } from 'vitest';
import { findUnit, type UnitWord } from '../../grammar/units.ts';
import { convertWritten, toBase } from '../../src/trade/convert.ts';
import { parseDecimal } from '../../src/trade/decimal.ts';
import { findBottleFormat, volumeOfBottles } from '../../src/trade/formats.ts';
import { formatVolume } from '../../src/trade/volume.ts';
import { cell, publishedRows } from './rows.ts';

const rows = publishedRows('units.csv');

/** What the published table calls a unit, and the word of the language. */
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
};

function known(word: string): UnitWord {
  const unit = findUnit(word);
  if (unit === undefined) throw new Error(`no unit ${word}`);
  return unit;
}

function named(name: string): string {
  return cell(rows.find((row) => row.unit === name) ?? {}, 'factor');
}

test('the table of published factors is whole', () => {
  expect(rows.filter((row) => WORDS[cell(row, 'unit')] !== undefined)).toHaveLength(Object.keys(WORDS).length);
});

for (const row of rows) {
  const word = WORDS[cell(row, 'unit')];
  if (word === undefined) continue;
  const factor = cell(row, 'factor');
  test(`1 ${word} is ${factor} ${cell(row, 'in')} (${cell(row, 'source')})`, () => {
    const from = known(word);
    const to = known(cell(row, 'in'));
    expect(from.dimension).toBe(to.dimension);
    const published = parseDecimal(factor);
    if (published === undefined) throw new Error(`unread factor ${factor}`);
    // Compared as fractions: from/to against mantissa / 10^places.
    const ours = from.num * to.den * 10n ** BigInt(published.places);
    const theirs = BigInt(published.mantissa) * from.den * to.num;
    if (cell(row, 'note').startsWith('exact')) {
      expect(ours).toBe(theirs);
    } else {
      // A derived factor is printed rounded: equal to its last digit.
      const one = { mantissa: 1, places: 0 };
      expect(convertWritten(one, from, to, published.places)).toBe(factor);
    }
  });
}

test('a litre a tonne in gallons a short ton, and a litre in gallons', () => {
  const one = { mantissa: 1, places: 0 };
  expect(convertWritten(one, known('L/t'), known('gal/short-ton'), 9)).toBe(
    named('L_per_tonne_to_us_gal_per_short_ton'),
  );
  // ATF Industry Circular 76-10 prints the factor with five figures.
  expect(convertWritten(one, known('L'), known('gal'), 5)).toBe(named('litre_ttb_rounded'));
});

test('temperatures: 60 F is 15.5556 C, 68 F is 20 C exactly (definition, NIST SP 811)', () => {
  const at = (text: string, unit: string) => toBase(parseDecimal(text) ?? { mantissa: 0, places: 0 }, known(unit));
  expect(at('60', 'F')).toBe(15_556);
  expect(at('68', 'F')).toBe(20_000);
  expect(at('-40', 'F')).toBe(-40_000);
  expect(at('-40', 'C')).toBe(-40_000);
  expect(convertWritten({ mantissa: 20, places: 0 }, known('C'), known('F'), 1)).toBe('68.0');
  expect(convertWritten({ mantissa: 608, places: 1 }, known('F'), known('C'), 2)).toBe('16.00');
});

for (const [name, word] of [
  ['standard_bottle', 'standard bottle'],
  ['half_bottle', 'half-bottle'],
  ['magnum', 'Magnums'],
  ['split', 'split'],
  ['double_magnum', 'double magnum'],
] as const) {
  test(`a ${word} holds ${named(name)} mL (27 CFR 4.37, names are trade usage)`, () => {
    expect(String(findBottleFormat(word)?.millilitres)).toBe(named(name));
    expect(findBottleFormat(word)?.usStandard).toBe(true);
  });
}

test('a case of 12 × 750 mL is 9000 mL', () => {
  expect(volumeOfBottles(12, 750)).toBe(Number(named('case_12x750')) * 1000);
  expect(formatVolume(volumeOfBottles(12, 750), 'L')).toBe('9 L');
});
