/** What can be reckoned of nitrogen and of copper: what a must has and wants, doses, a plan of feeding. */
import { COPPER_LIMITS, copperAtMost, copperSaltFor } from '../copper.ts';
import {
  DEMANDS,
  type Demand,
  feedingPlan,
  MOST_FEEDS,
  nitrogenInAmmonia,
  nitrogenOfMust,
  nitrogenToAdd,
  nutrientForNitrogen,
  percentNitrogenGiven,
  targetByBrix,
  targetByDemand,
} from '../nitrogen.ts';
import { gramsAtRate, limitRemarks, millilitresOfSolution, valueInUnit } from '../rates-of-addition.ts';
import { andThen, isRefused, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';

const figure = (given: Given, name: string): number => given.figures[name] ?? Number.NaN;

const VOLUME: Input = {
  name: 'volume',
  say: 'the volume treated',
  unit: 'L',
  dimensions: ['volume'],
  record: 'volume',
};
const YAN: Input = {
  name: 'yan',
  say: 'nitrogen yeast can use, as measured',
  unit: 'mg/L',
  dimensions: ['mass per volume'],
  record: 'YAN',
};
const BRIX: Input = { name: 'brix', say: 'sugar before fermentation', unit: '°Bx', record: 'brix' };
const TARGET: Input = {
  name: 'target',
  say: 'nitrogen wanted at the start',
  unit: 'mg/L',
  dimensions: ['mass per volume'],
};

/** What names the nutrient and what it brings, for every calculation that weighs one. */
const NUTRIENT: readonly Input[] = [
  {
    name: 'nutrient',
    say: 'the nutrient; diammonium phosphate where neither it nor a label is given',
    unit: '',
    names: 'substance',
    optional: true,
  },
  {
    name: 'percent-nitrogen',
    say: 'its nitrogen, where the label gives a per cent',
    unit: '%',
    dimensions: ['percent'],
    optional: true,
  },
  {
    name: 'label-rate',
    say: 'or the rate its label names',
    unit: 'mg/L',
    dimensions: ['mass per volume'],
    optional: true,
  },
  {
    name: 'label-yan',
    say: 'and the nitrogen the label says that rate brings',
    unit: 'mg/L',
    dimensions: ['mass per volume'],
    optional: true,
  },
];

const MOLAR = 'Molar masses from the IUPAC abridged standard atomic weights (2021)';
const SUPPLIER = 'Common practice, no standard: the chart of a supplier, as read';
const LAW = '27 CFR 24.246 (2015 edition): ammonium phosphates 8 lb/1000 gal (0.96 g/L), thiamine 0.005 lb/1000 gal';
const OIV_LAW =
  'OIV International Code of Oenological Practices: diammonium phosphate and ammonium sulfate 0.3 g/L each';
const FOAM =
  'A powder thrown into a fermenting must sets its carbon dioxide free at once: it can boil over. Dissolve it first in a little juice, add it slowly, stay clear of the opening, fresh air on. Common practice, no source for the foam; the gas limits of NIOSH and 29 CFR 1910.1000 (5000 ppm over eight hours). Local codes, the sheet of the product and trained people come first.';

/** The nutrient named; a mixed one where only its label is given; else the salt most cellars have. */
function nutrientOf(given: Given): string {
  const byLabel = given.figures['percent-nitrogen'] !== undefined || given.figures['label-rate'] !== undefined;
  return given.words.nutrient ?? (byLabel ? 'nutrient' : 'diammonium phosphate');
}

function percentOf(given: Given): Worked {
  return percentNitrogenGiven({
    nutrient: nutrientOf(given),
    percent: given.figures['percent-nitrogen'],
    labelMilligramsPerLitre: given.figures['label-rate'],
    labelNitrogenMilligramsPerLitre: given.figures['label-yan'],
  });
}

interface Weighed {
  readonly rate: number;
  readonly grams: number;
  readonly nitrogen: number;
  readonly percent: number;
}

/** The dose that brings the must from what it has to what it wants. */
function weighed(given: Given): Worked<Weighed> {
  return andThen(nitrogenToAdd(figure(given, 'target'), figure(given, 'yan')), (nitrogen) =>
    andThen(percentOf(given), (percent) =>
      andThen(nutrientForNitrogen(nitrogen, percent), (rate) =>
        andThen(gramsAtRate(rate, figure(given, 'volume')), (grams) => ({ rate, grams, nitrogen, percent })),
      ),
    ),
  );
}

/** A rate in mg/L as the trade says it. */
function asRates(milligramsPerLitre: number): Worked<readonly Figure[]> {
  return andThen(valueInUnit(milligramsPerLitre, 'mg/L', 'g/hL'), (hectolitre) =>
    andThen(valueInUnit(milligramsPerLitre, 'mg/L', 'lb/1000 gal'), (pounds) => [
      { say: 'which is a rate of', value: hectolitre, unit: 'g/hL', decimals: 2 },
      { say: 'or', value: pounds, unit: 'lb/1000 gal', decimals: 3 },
    ]),
  );
}

const YAN_TOTAL: Calculation = {
  name: 'yan-total',
  say: 'nitrogen that yeast can use, from the two figures a laboratory gives',
  inputs: [
    {
      name: 'amino',
      say: 'nitrogen of the primary amino acids',
      unit: 'mg/L',
      dimensions: ['mass per volume'],
    },
    {
      name: 'ammonia',
      say: 'ammonia, given as ammonia (NH3)',
      unit: 'mg/L',
      dimensions: ['mass per volume'],
      optional: true,
    },
    {
      name: 'ammonium',
      say: 'or ammonium, given as nitrogen',
      unit: 'mg/L',
      dimensions: ['mass per volume'],
      optional: true,
      record: 'ammonium',
    },
  ],
  formula: 'yan = amino + ammonia × 14.007 / 17.031, or amino + ammonium',
  range: 'Each figure 0 to 1000 mg/L. A laboratory gives ammonia as NH3 or as nitrogen: its sheet says which.',
  sources: [MOLAR],
  example: '--amino "120 mg/L" --ammonia "60 mg/L"',
  work: (given) => {
    const { ammonia, ammonium } = given.figures;
    if (ammonia !== undefined && ammonium !== undefined) {
      return refuse('ammonia as NH3 and ammonium as nitrogen are the same thing twice: give one');
    }
    const ammoniaNitrogen = ammonia === undefined ? (ammonium ?? 0) : nitrogenInAmmonia(ammonia);
    const yan = andThen(ammoniaNitrogen, (nitrogen) => nitrogenOfMust(figure(given, 'amino'), nitrogen));
    return andThen(yan, (value) => ({
      figures: [{ say: 'nitrogen yeast can use', value, unit: 'mg/L', decimals: 0 }],
      method: 'sum of amino nitrogen and ammonia nitrogen',
      remarks:
        ammonia === undefined && ammonium === undefined
          ? ['No ammonia was given: this is the amino nitrogen alone.']
          : [],
    }));
  },
};

const YAN_TARGET: Calculation = {
  name: 'yan-target',
  say: 'how much nitrogen a must wants, by its sugar and by the demand of the yeast',
  inputs: [
    BRIX,
    { name: 'demand', say: 'how much nitrogen the yeast asks for, from its sheet', unit: '', choices: DEMANDS },
    { ...YAN, optional: true },
  ],
  formula: 'target = brix × 7.5 (low), 9 (medium) or 12.5 (high); by sugar alone 200 + 25 × (brix − 21)',
  range: '15 to 30 °Bx; the figure by sugar alone for 21 to 27 °Bx, and left out elsewhere.',
  sources: [
    `${SUPPLIER} (brix × 7.5, 9, 12.5)`,
    'Common practice, no source: 200, 250, 300, 350 mg N/L at 21, 23, 25, 27 °Bx, credited to a university course',
    'American Journal of Enology and Viticulture 69 (2018) 45–53: about 100 mg N/L was enough for one red',
  ],
  example: '--brix 24 --demand medium --yan "140 mg/L"',
  work: (given) => {
    const brix = figure(given, 'brix');
    const demand: Demand = DEMANDS.find((each) => each === given.words.demand) ?? DEMANDS[0];
    return andThen(targetByDemand(brix, demand), (target): Worked<Answer> => {
      const bySugar = targetByBrix(brix);
      const { yan } = given.figures;
      const missing = yan === undefined ? undefined : nitrogenToAdd(target, yan);
      if (isRefused(missing)) return missing;
      return {
        figures: [
          { say: `nitrogen wanted, yeast of ${demand} demand`, value: target, unit: 'mg/L', decimals: 0 },
          ...(missing === undefined ? [] : [{ say: 'still to be added', value: missing, unit: 'mg/L', decimals: 0 }]),
          ...(isRefused(bySugar)
            ? []
            : [{ say: 'nitrogen wanted, by the sugar alone', value: bySugar, unit: 'mg/L', decimals: 0 }]),
        ],
        method: 'a rule of thumb: °Brix times the demand of the yeast',
        remarks: [
          'The rules differ by a third and more, and sound reds have gone dry on 100 mg/L: take the sheet of the yeast first.',
          'A ferment kept below 12 °C is said to want a fifth more.',
        ],
      };
    });
  },
};

const NUTRIENT_DOSE: Calculation = {
  name: 'nutrient-dose',
  say: 'how much of a nutrient brings a must to the nitrogen wanted',
  inputs: [VOLUME, YAN, TARGET, ...NUTRIENT],
  formula: 'dose = (target − yan) × 100 / percent-nitrogen; amount = dose × volume',
  range: 'Nitrogen 0 to 1000 mg/L; nutrients of 0.1 to 25 % nitrogen. A mixed nutrient needs its label.',
  sources: [MOLAR, LAW, OIV_LAW],
  caution: FOAM,
  example: '--volume "2000 L" --yan "140 mg/L" --target "216 mg/L" --nutrient DAP',
  work: (given) =>
    andThen(weighed(given), ({ rate, grams, nitrogen, percent }) =>
      andThen(
        asRates(rate),
        (rates): Worked<Answer> => ({
          figures: [
            { say: 'weigh in', value: grams, unit: 'g', decimals: 1 },
            ...rates,
            { say: 'it brings nitrogen', value: nitrogen, unit: 'mg/L', decimals: 0 },
          ],
          method: `${nutrientOf(given)} taken as ${percent.toFixed(2)} % nitrogen`,
          remarks: [
            ...(nitrogen === 0 ? ['The must has the nitrogen wanted already: nothing is to be added.'] : []),
            ...limitRemarks(nutrientOf(given), rate),
          ],
        }),
      ),
    ),
};

const FEEDING_PLAN: Calculation = {
  name: 'feeding-plan',
  say: 'when to feed a ferment, and what to weigh in each time',
  inputs: [VOLUME, BRIX, YAN, TARGET, { name: 'feeds', say: 'how many times', unit: '', usual: 2 }, ...NUTRIENT],
  formula:
    'equal parts; feed i of n at brix − (i − 1) / (n − 1) × (brix + 1.5) / 3; nothing after brix − (brix + 1.5) / 2',
  range: `1 to ${MOST_FEEDS} feeds, must of 15 to 30 °Bx. Read on the hydrometer, not the refractometer, once it ferments.`,
  sources: [`${SUPPLIER} (half at the start, half when a third is fermented)`, MOLAR, LAW, OIV_LAW],
  caution: FOAM,
  example: '--volume "2000 L" --brix 24 --yan "140 mg/L" --target "216 mg/L" --feeds 2',
  work: (given) =>
    andThen(feedingPlan(figure(given, 'brix'), given.figures.feeds ?? 2), (plan) =>
      andThen(
        weighed(given),
        ({ rate, grams, percent }): Worked<Answer> => ({
          figures: [
            { say: 'in all', value: grams, unit: 'g', decimals: 1 },
            ...plan.feeds.flatMap(({ brix, share }, index): Figure[] => [
              {
                say:
                  index === 0
                    ? 'feed 1, when the sugar begins to fall from'
                    : `feed ${index + 1}, when it has fallen to`,
                value: brix,
                unit: '°Bx',
                decimals: 1,
              },
              { say: 'weigh in', value: grams * share, unit: 'g', decimals: 1 },
            ]),
            { say: 'no feed below', value: plan.lastBrix, unit: '°Bx', decimals: 1 },
          ],
          method: `equal feeds up to a third of the sugar; ${nutrientOf(given)} taken as ${percent.toFixed(2)} % nitrogen`,
          remarks: [
            'No ammonium salt into the water that wakes the yeast.',
            ...(grams === 0 ? ['The must has the nitrogen wanted already: nothing is to be added.'] : []),
            ...limitRemarks(nutrientOf(given), rate),
          ],
        }),
      ),
    ),
};

const SHEET = 'read the safety data sheet and follow your local code';

const COPPER_DOSE: Calculation = {
  name: 'copper-dose',
  say: 'how much copper sulfate brings so much copper, and what the wine may hold afterwards',
  inputs: [
    VOLUME,
    { name: 'add', say: 'copper to add, as the trial showed', unit: 'mg/L', dimensions: ['mass per volume'] },
    {
      name: 'copper',
      say: 'copper in the wine already',
      unit: 'mg/L',
      dimensions: ['mass per volume'],
      optional: true,
      record: 'copper',
    },
    { name: 'salt', say: 'the salt', unit: '', choices: ['copper sulfate', 'anhydrous copper sulfate'] },
    {
      name: 'solution',
      say: 'the strength of the solution it is measured as, grams of the salt in 100 mL',
      unit: '%',
      dimensions: ['percent'],
      usual: 1,
    },
  ],
  formula: 'salt = add / 0.25451 (CuSO4·5H2O) or add / 0.39815 (CuSO4); amount = salt × volume',
  range: '0 to 6 mg/L of copper added. Nothing is taken to fall out: what is left is for analysis.',
  sources: [
    MOLAR,
    ...COPPER_LIMITS.map(
      ({ place, of, milligramsPerLitre, source }) => `${place}, at most ${milligramsPerLitre} mg/L ${of}: ${source}`,
    ),
    'Iowa State University Extension, Treatment for Removal of H2S: trial of 0.05 to 0.2 mg/L first',
  ],
  caution: `Copper sulfate is poisonous and what it leaves is limited by law: a trial first, the least that helps, weighed to the milligram by a second pair of eyes, the copper analysed afterwards; ${SHEET}. Limits as read in 27 CFR 24.246, the OIV code of practices and the Weinverordnung.`,
  example: '--volume "225 L" --add "0.2 mg/L"',
  work: (given) => {
    const added = figure(given, 'add');
    const volume = figure(given, 'volume');
    const salt = given.words.salt ?? 'copper sulfate';
    return andThen(copperSaltFor(added, salt), (rate) =>
      andThen(gramsAtRate(rate, volume), (grams) =>
        andThen(millilitresOfSolution(grams, given.figures.solution ?? 1), (millilitres) =>
          andThen(
            copperAtMost(given.figures.copper ?? 0, added),
            (most): Worked<Answer> => ({
              figures: [
                { say: `${salt} to weigh in`, value: grams, unit: 'g', decimals: 3 },
                { say: 'or that much as the solution', value: millilitres, unit: 'mL', decimals: 1 },
                { say: 'a rate of the salt of', value: rate, unit: 'mg/L', decimals: 3 },
                { say: 'copper in the wine then, at most', value: most, unit: 'mg/L', decimals: 2 },
              ],
              method: 'the share of copper by molar mass',
              remarks: [
                ...(given.figures.copper === undefined
                  ? ['The copper in the wine before was not given and is taken as nothing: have it analysed.']
                  : []),
                ...COPPER_LIMITS.map(({ place, of, milligramsPerLitre, source }) => {
                  const over = (of === 'added' ? added : most) > milligramsPerLitre;
                  const verdict = over ? 'this may go beyond it' : 'within it';
                  return `${place}: at most ${milligramsPerLitre} mg/L ${of}, ${source}: ${verdict}. The text in force prevails.`;
                }),
              ],
            }),
          ),
        ),
      ),
    );
  },
};

export const NUTRIENT_CALCULATIONS: readonly Calculation[] = [
  YAN_TOTAL,
  YAN_TARGET,
  NUTRIENT_DOSE,
  FEEDING_PLAN,
  COPPER_DOSE,
];
