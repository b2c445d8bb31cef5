/** Acids against published figures: equivalents, conversions, additions, deacidification, malolactic conversion. */
import {
  ACIDITY_BASES,
  type AcidityBasis,
  acidForRise,
  convertAcidity,
  gramsPerEquivalent,
} from '../../src/trade/acids.ts';
import { DEACIDIFIERS, type Deacidifier, deacidify } from '../../src/trade/deacidification.ts';
import { malolacticChange } from '../../src/trade/malolactic.ts';
import { andThen, refuse, type Worked } from '../../src/trade/worked.ts';
import type { PublishedCheck } from './check.ts';
import { cell, publishedRows, type Row } from './rows.ts';

const number = (row: Row, column: string): number => Number(cell(row, column));

/** Half of the last digit printed. */
function halfDigit(printed: string): number {
  const places = printed.split('.')[1]?.length ?? 0;
  return 0.5 * 10 ** -places;
}

/** The rows that share what some columns say, in the order of the file. */
function alike(rows: readonly Row[], ...columns: readonly string[]): readonly (readonly Row[])[] {
  const key = (row: Row) => columns.map((column) => cell(row, column)).join('|');
  return [...new Set(rows.map(key))].map((each) => rows.filter((row) => key(row) === each));
}

const first = (rows: readonly Row[], column: string): string => cell(rows[0] ?? {}, column);

const STANDINGS: Readonly<Record<string, PublishedCheck['standing']>> = {
  'read in source text': 'read',
  computed: 'computed',
  'from memory': 'memory',
  'common practice, no source': 'practice',
};

const standing = (rows: readonly Row[]): PublishedCheck['standing'] => STANDINGS[first(rows, 'confidence')] ?? 'memory';

function basis(word: string): AcidityBasis {
  const found = ACIDITY_BASES.find((each) => each === word);
  if (found === undefined) throw new Error(`no basis ${word}`);
  return found;
}

/** An equivalent mass; milliequivalents have none. */
function equivalentMass(word: string): Worked {
  const acid = basis(word);
  return acid === 'meq' ? refuse('no acid') : gramsPerEquivalent(acid);
}

const carbonate = (agent: Deacidifier, crystallised: boolean) => (drop: number, litres: number) =>
  andThen(deacidify(agent, drop, litres), (dose) =>
    crystallised ? dose.precipitationGrams : dose.neutralisationGrams,
  );

const AGENTS: Readonly<Record<string, (drop: number, litres: number) => Worked>> = {
  KHCO3_neutralisation_only: carbonate('potassium bicarbonate', false),
  KHCO3_with_full_KHT_precipitation: carbonate('potassium bicarbonate', true),
  K2CO3_neutralisation_only: carbonate('potassium carbonate', false),
  K2CO3_with_full_KHT_precipitation: carbonate('potassium carbonate', true),
  CaCO3: carbonate('calcium carbonate', false),
};

const CHANGES: Readonly<Record<string, () => Worked>> = {
  TA_drop_as_tartaric_per_g_malic: () => andThen(malolacticChange(1), ({ acidityDrop }) => acidityDrop),
  TA_drop_as_sulfuric_per_g_malic: () =>
    andThen(malolacticChange(1), ({ acidityDrop }) => convertAcidity(acidityDrop, 'tartaric', 'sulfuric')),
  lactic_per_malic: () => andThen(malolacticChange(1), ({ lactic }) => lactic),
  CO2_per_malic: () => andThen(malolacticChange(1), ({ carbonDioxide }) => carbonDioxide),
};

/** What each group of factors is worked out by. */
const FACTORS: Readonly<
  Record<string, { readonly title: string; readonly got: (item: string) => Worked | undefined }>
> = {
  equivalent_mass: { title: 'Equivalent masses of acids', got: equivalentMass },
  meq_per_g: { title: 'Milliequivalents in a gram of an acid', got: (item) => convertAcidity(1, basis(item), 'meq') },
  acidity_conversion: {
    title: 'One acid expressed as another',
    got: (item) => {
      const [from = '', to = ''] = item.split('_to_');
      return convertAcidity(1, basis(from), basis(to));
    },
  },
  malolactic: { title: 'What a gram of malic acid becomes', got: (item) => CHANGES[item]?.() },
  deacidification: { title: 'Carbonate for a drop of 1 g/L', got: (item) => AGENTS[item]?.(1, 1) },
};

const FACTOR_CHECKS: readonly PublishedCheck[] = alike(publishedRows('acid_factors.csv'), 'group').map((rows) => {
  const factor = FACTORS[first(rows, 'group')];
  if (factor === undefined) throw new Error(`no group ${first(rows, 'group')}`);
  return {
    title: factor.title,
    source: first(rows, 'source'),
    standing: 'computed',
    unit: first(rows, 'unit').split(',')[0] ?? '',
    rows: rows.map((row) => ({
      at: cell(row, 'item').replaceAll('_', ' '),
      expected: number(row, 'value'),
      got: () => factor.got(cell(row, 'item')),
      tolerance: halfDigit(cell(row, 'value')),
    })),
  };
});

/** Where a printed conversion leaves the exact one. */
const CONVERSION_NOTES: readonly (readonly [source: string, note: string])[] = [
  ['Handbook of Enology', 'From weights rounded to 0.049 and 0.060: 20.40 for 20.39 and 16.67 for 16.65.'],
  ['TN14', 'It takes 98.08 for sulfuric acid: 0.8167 for 0.8166. Its equivalent weights stand here as a tenth.'],
  ['German wine laboratory', '1.531 for 1.5304.'],
  ['International Code', 'Prints 54 meq/L beside 4 g/L, which are 53.3.'],
  ['printed conversion table', '13.32 for 13.326.'],
  ['0.88 and 0.98', '0.88 g/L are 17.95 meq/L.'],
];

const CONVERSIONS: readonly PublishedCheck[] = alike(publishedRows('acid_conversions.csv'), 'source').map((rows) => {
  const note = CONVERSION_NOTES.find(([source]) => first(rows, 'source').includes(source))?.[1];
  return {
    title: 'Acidity expressed as another acid, as printed',
    source: first(rows, 'source'),
    standing: standing(rows),
    ...(note === undefined ? {} : { note }),
    unit: 'g/L or meq/L',
    rows: rows.map((row) => ({
      at: `${cell(row, 'value')} as ${cell(row, 'from')} in ${cell(row, 'to')}`,
      expected: number(row, 'expected'),
      got: () => convertAcidity(number(row, 'value'), basis(cell(row, 'from')), basis(cell(row, 'to'))),
      tolerance: number(row, 'tolerance'),
    })),
  };
});

/** The drop, as sulfuric acid in g/L, that a gram a litre of a carbonate makes by neutralisation alone. */
function dropAsSulfuric(agent: Deacidifier): Worked {
  return andThen(deacidify(agent, 1, 1), ({ neutralisationGrams }) =>
    convertAcidity(1 / neutralisationGrams, 'tartaric', 'sulfuric'),
  );
}

function printedDose(row: Row): Worked | undefined {
  const what = cell(row, 'what');
  const litres = number(row, 'litres');
  const change = number(row, 'change');
  const agent = DEACIDIFIERS.find((each) => what.includes(each));
  if (what === 'add tartaric') return acidForRise('tartaric', change, litres, 100);
  if (what === 'lactic of malic') return CHANGES.lactic_per_malic?.();
  if (what === 'carbon dioxide of malic') return CHANGES.CO2_per_malic?.();
  if (agent === undefined) return undefined;
  if (what.startsWith('drop as sulfuric')) return dropAsSulfuric(agent);
  return carbonate(agent, what.endsWith('crystallised'))(change, litres);
}

const DOSE_NOTES: readonly (readonly [source: string, note: string])[] = [
  [
    'Tennessee',
    'It takes 0.67 g/L for calcium carbonate and for potassium bicarbonate alike: for the bicarbonate that counts on all its potassium crystallising, half of what neutralisation alone takes.',
  ],
  ['home winemaking', '0.7 g for 1 g/L, rounded from 0.667.'],
  ['Handbook of Enology', 'Neutralisation alone: with crystals the bicarbonate takes up to twice as much acid.'],
  ['Table for Acid Adjustment', 'Its headings name tenths of a g/L.'],
];

const DOSES: readonly PublishedCheck[] = alike(publishedRows('acid_doses.csv'), 'source').map((rows) => {
  const note = DOSE_NOTES.find(([source]) => first(rows, 'source').includes(source))?.[1];
  return {
    title: 'Acid and carbonate added, and malic acid converted, as printed',
    source: first(rows, 'source'),
    standing: standing(rows),
    ...(note === undefined ? {} : { note }),
    unit: 'g or g/L',
    rows: rows.map((row, index) => ({
      at: `${cell(row, 'what')}, ${number(row, 'litres').toFixed(2)} L, ${cell(row, 'change')} g/L (row ${index + 1})`,
      expected: number(row, 'expected'),
      got: () => printedDose(row),
      tolerance: number(row, 'tolerance'),
    })),
  };
});

const kilograms = (grams: Worked): Worked => andThen(grams, (value) => value / 1000);

/** What works out each example. */
const EXAMPLES: Readonly<Record<string, () => Worked>> = {
  W107: () => convertAcidity(6, 'tartaric', 'sulfuric'),
  W108: () => convertAcidity(4, 'sulfuric', 'tartaric'),
  W110: () => convertAcidity(0.98, 'sulfuric', 'acetic'),
  W113: () => andThen(malolacticChange(3), ({ acidityDrop }) => acidityDrop),
  W116: () => kilograms(carbonate('potassium bicarbonate', false)(1, 1000)),
  W117: () => kilograms(carbonate('potassium bicarbonate', true)(1, 1000)),
  W118: () => kilograms(carbonate('calcium carbonate', false)(1, 1000)),
};

const EXAMPLE_CHECKS: readonly PublishedCheck[] = alike(publishedRows('acid_examples.csv'), 'source', 'confidence').map(
  (rows) => ({
    title: 'Worked examples of acids',
    source: first(rows, 'source'),
    standing: standing(rows),
    unit: 'units as named',
    rows: rows.map((row) => ({
      at: `${cell(row, 'quantity')}, ${cell(row, 'inputs')} (${cell(row, 'unit')})`,
      expected: number(row, 'expected'),
      got: () => EXAMPLES[cell(row, 'id')]?.(),
      tolerance: Number(cell(row, 'tolerance')) || halfDigit(cell(row, 'expected')),
    })),
  }),
);

export const CHECKS: readonly PublishedCheck[] = [...FACTOR_CHECKS, ...CONVERSIONS, ...DOSES, ...EXAMPLE_CHECKS];
