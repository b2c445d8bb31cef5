/** Nitrogen and copper: what nutrients and copper sulfate bring, against molar masses and printed figures. */
import {
  nitrogenBrought,
  nitrogenInAmmonia,
  nutrientForNitrogen,
  percentNitrogenOf,
} from '../../src/trade/nitrogen.ts';
import { gramsAtRate } from '../../src/trade/rates-of-addition.ts';
import { broughtShare, findSubstance } from '../../src/trade/substances.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import { bySource, halfDigit } from './by-source.ts';
import type { PublishedCheck, Row } from './check.ts';
import { cell, publishedRows } from './rows.ts';

const NUTRIENTS: Readonly<Record<string, string>> = {
  DAP: 'diammonium phosphate',
  ammonium_sulfate: 'ammonium sulfate',
  MAP: 'monoammonium phosphate',
};

const SHARES = publishedRows('molar_factors.csv').filter((row) => row.group === 'N_mass_fraction');

const percents: readonly PublishedCheck[] = bySource(SHARES).map(({ source, standing, rows }) => ({
  title: 'nitrogen in nutrients',
  source,
  standing,
  unit: '%',
  rows: rows.map((row): Row => {
    const value = cell(row, 'value');
    return {
      at: NUTRIENTS[cell(row, 'item')] ?? cell(row, 'item'),
      expected: Number(value) * 100,
      got: () => percentNitrogenOf(NUTRIENTS[cell(row, 'item')] ?? ''),
      tolerance: halfDigit(value) * 100,
    };
  }),
}));

/** What the worked examples ask, by their number in the table. */
const EXAMPLES: Readonly<Record<string, () => Worked>> = {
  W121: () => andThen(percentNitrogenOf('DAP'), (percent) => nitrogenBrought(300, percent)),
  W122: () =>
    andThen(percentNitrogenOf('DAP'), (percent) =>
      andThen(nutrientForNitrogen(100, percent), (rate) => gramsAtRate(rate, 2000)),
    ),
};

/** The share of copper in the salt that wineries use. */
const COPPER = (() => {
  const substance = findSubstance('copper sulfate');
  const share = substance === undefined ? undefined : broughtShare(substance, 'Cu');
  return share === undefined ? Number.NaN : share.num / share.den;
})();

const WORKED = publishedRows('worked_examples.csv').filter((row) => EXAMPLES[cell(row, 'id')] !== undefined);
if (WORKED.length !== Object.keys(EXAMPLES).length) throw new Error('a worked example is missing');

const examples: readonly PublishedCheck[] = bySource(WORKED).map(({ source, standing, rows }) => ({
  title: 'nutrient and copper doses',
  source,
  standing,
  unit: 'of the unit named',
  rows: rows.map(
    (row): Row => ({
      at: `${cell(row, 'quantity')}: ${cell(row, 'inputs')}, in ${cell(row, 'unit')}`,
      expected: Number(cell(row, 'expected')),
      got: () => EXAMPLES[cell(row, 'id')]?.(),
      tolerance: Number(cell(row, 'tolerance')),
    }),
  ),
}));

/** The ammonia a codex prints for the salt, from the nitrogen that our table gives it. */
const AMMONIA = publishedRows('substance_masses.csv').filter((row) => cell(row, 'of') === '2 NH3');

const ammonia: readonly PublishedCheck[] = bySource(AMMONIA).map(({ source, standing, rows }) => ({
  title: 'ammonia in a nutrient, from its nitrogen',
  source,
  standing,
  unit: '%',
  rows: rows.map(
    (row): Row => ({
      at: cell(row, 'formula'),
      expected: Number(cell(row, 'value')),
      got: () =>
        andThen(percentNitrogenOf(cell(row, 'formula')), (percent) =>
          andThen(nitrogenInAmmonia(100), (nitrogen) => (percent * 100) / nitrogen),
        ),
      tolerance: halfDigit(cell(row, 'value')),
    }),
  ),
}));

const TRIALS = publishedRows('bench_trials.csv').filter((row) => row.what === 'copper');

/** The trial in the sheet is 0.004 % of the pentahydrate; its table rounds 0.1018 mg/L of copper to 0.1. */
const copper: readonly PublishedCheck[] = bySource(TRIALS).map(({ source, standing, rows }) => ({
  title: 'copper in a bench trial',
  source,
  standing,
  note: 'The sheet takes 10 mg/L of copper for the solution, which by molar masses has 10.18: 1.8 % more.',
  unit: 'mg/L',
  rows: rows.map((row): Row => {
    const saltMilligramsPerLitre = (Number(cell(row, 'added_ml')) * Number(cell(row, 'percent')) * 10_000) / 100;
    return {
      at: `${cell(row, 'added_ml')} mL of ${cell(row, 'percent')} % made up to ${cell(row, 'sample_ml')} mL`,
      expected: Number(cell(row, 'dose')),
      got: () => saltMilligramsPerLitre * COPPER,
      tolerance: 0.02 * Number(cell(row, 'dose')),
    };
  }),
}));

export const CHECKS: readonly PublishedCheck[] = [...percents, ...examples, ...ammonia, ...copper];
