/** Every formula of the trade is held to a published row, or says here why there is none. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const ROOT = join(import.meta.dirname, '../..');

/** Not formulas of the trade: exact numbers, words, fitting's own algebra. Held in `tests/trade`. */
const GROUND = new Set([
  'convert.ts',
  'decimal.ts',
  'volume.ts',
  'varieties.ts',
  'worked.ts',
  'orthogonal.ts',
  'running-sums.ts',
]);

/** Formulas without a published row of their own, and what holds them instead. */
const WITHOUT: Readonly<Record<string, string>> = {
  // a sum, a difference or a proportion of figures that are held
  copperSaltFor: 'the molar share of copper backwards, held by the worked examples of copper in a bench trial',
  copperAtMost: 'a sum',
  relativeDensityOfReading: 'the scales it reads are held one by one',
  sugarForWine: 'sugarForMust for another volume',
  nextTopping: 'the rate held by `litresPerBarrelMonth`, times days and barrels',
  relativeDensityOfOechsle: 'a definition, held backwards by `oechsle`',
  relativeDensityOfBaume: 'a definition, held backwards by `baume`',
  densityOfRelativeDensity: 'the density of water, held by itself, times the reading',
  mustSugarOfDensity: 'the columns of one table, held one by one',
  nitrogenOfMust: 'a sum',
  percentNitrogenOfLabel: 'a proportion',
  nitrogenToAdd: 'a difference',
  percentNitrogenGiven: 'chooses among what is held',
  rateOfGrams: 'gramsAtRate backwards',
  litresTreated: 'gramsAtRate backwards',
  gramsOnFruit: 'a proportion',
  rateOnFruit: 'a proportion',
  millilitresAtRate: 'a proportion',
  rateOfMillilitres: 'a proportion',
  millilitresOfSolution: 'a proportion',
  limitRemarks: 'words',
  carbonDioxidePerHour: 'the molar share held by the gas rows, over time',
  heatingPower: 'the heat held by the heat rows, over time',
  brixOfSucroseGramsPerLitre: 'the density held by the sucrose rows, backwards',
  refractiveIndexOfBrix: 'the polynomial held by the refractometer rows, backwards',
  sulfurDioxidePK: 'chooses among the constants that are held',
  volatileAcidityLimit: 'the figures of two laws, held at both sides in the corpus',
  isUsStandardFill: 'a list of sizes from the law',
  mustYield: 'a quotient',
  wineYield: 'a quotient',
  rankSums: 'a sum',
  leastTasters: 'a power of a factorial; tried in `tests/trade`',
  sugarText: 'words',
  sugarChangeText: 'words',
  // no source publishes rows for it
  targetByDemand: 'common practice, no published table was found',
  targetByBrix: 'common practice, no published table was found',
  feedingPlan: 'common practice, no published table was found',
  pHOfBlend: 'no published blend was found; held to the charge balance of model wines in `tests/trade`',
  malolacticStage: 'a threshold out of practice',
  paceOf: 'published bounds, tried at both sides in `tests/trade`',
  ratePerDay: 'a quotient',
  oddReadings: 'no source; tried on made-up slips in `tests/trade`',
  soakEnd: 'no source; tried on made-up readings in `tests/trade`',
  restartOf: 'no source; tried on made-up readings in `tests/trade`',
  // parts of what is held as a whole
  fitFerment: 'the fitter and its form are held by the reference sets and the published ferments',
  curveAt: 'as fitFerment',
  horizonOf: 'as fitFerment',
  rateAt: 'as fitFerment',
  whenReached: 'as fitFerment; its intervals are tried on simulated ferments in `tests/trade`',
  guessStretched: 'a first guess',
  guessLogistic: 'a first guess',
  studentShareBelow: "Student's t backwards, held by its quantiles",
};

const filesOf = (folder: string): string[] =>
  readdirSync(join(ROOT, folder))
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(folder, name));

const held = filesOf('tests/published')
  .map((path) => readFileSync(join(ROOT, path), 'utf8'))
  .join('\n');

const formulas = [...filesOf('src/trade'), ...filesOf('src/trade/fit')]
  .filter((path) => !GROUND.has(path.slice(path.lastIndexOf('/') + 1)))
  .flatMap((path) =>
    [...readFileSync(join(ROOT, path), 'utf8').matchAll(/^export function (\w+)/gm)].map((match) => match[1] ?? ''),
  );

const isHeld = (name: string): boolean => {
  const own = new RegExp(`\\b${name}\\b`, 'g');
  // named here once is not enough
  const elsewhere = held.replaceAll(readFileSync(join(import.meta.dirname, 'coverage.test.ts'), 'utf8'), '');
  return own.test(elsewhere);
};

test('there are formulas to hold', () => {
  expect(formulas.length).toBeGreaterThan(120);
});

test('every formula has a published row or says why it has none', () => {
  expect(formulas.filter((name) => !isHeld(name) && WITHOUT[name] === undefined)).toEqual([]);
});

test('and no excuse outlives its formula', () => {
  expect(Object.keys(WITHOUT).filter((name) => !formulas.includes(name) || isHeld(name))).toEqual([]);
});
