/** What can be reckoned of additions: rates and amounts, from the bench to the tank, solutions. */
import {
  benchDose,
  gramsAtRate,
  gramsOnFruit,
  limitRemarks,
  limitsOf,
  litresTreated,
  MOST_WATER_PERCENT,
  millilitresAtRate,
  millilitresOfSolution,
  millilitresToDilute,
  rateOfGrams,
  rateOfMillilitres,
  rateOnFruit,
  strengthOfSolution,
  valueInUnit,
} from '../rates-of-addition.ts';
import { andThen, isRefused, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';

const figure = (given: Given, name: string): number => given.figures[name] ?? Number.NaN;

const EXACT = 'Units by their exact definitions: NIST Handbook 44, appendix C, and SP 811, appendix B';
const US_LAW =
  'Limits: 27 CFR 24.246 (2015 edition), the OIV code of practices, Regulation (EC) 606/2009; the texts in force prevail';
const US_WATER = '27 CFR 24.246(a)(2): water that treating materials bring, 1 % of the volume in all';
const SHEETS =
  'The label and the safety data sheet of the product come first: dusts hurt the lungs, sulfites give off gas, acids and caustics burn. Mask, goggles, gloves, powder into water, fresh air; local codes and trained people decide.';

const VOLUME: Input = {
  name: 'volume',
  say: 'the volume treated',
  unit: 'L',
  dimensions: ['volume'],
  optional: true,
  record: 'volume',
};
const AMOUNT: Input = { name: 'amount', say: 'the amount weighed', unit: 'g', dimensions: ['mass'], optional: true };
const RATE: Input = { name: 'rate', say: 'the rate', unit: 'mg/L', dimensions: ['mass per volume'], optional: true };
const SUBSTANCE: Input = {
  name: 'substance',
  say: 'what it is, for the limits of law read',
  unit: '',
  names: 'substance',
  optional: true,
};

/** Each unit a figure is shown in, with decimals that mean something there. */
type Shown = readonly (readonly [unit: string, decimals: number])[];

const MASSES: Shown = [
  ['g', 2],
  ['kg', 4],
  ['lb', 3],
  ['oz', 2],
];
const RATES: Shown = [
  ['mg/L', 2],
  ['g/hL', 3],
  ['lb/1000 gal', 4],
  ['g/gal', 4],
];
const FRUIT_RATES: Shown = [
  ['mg/kg', 2],
  ['g/100 kg', 3],
  ['lb/short-ton', 4],
];
const LIQUIDS: Shown = [
  ['mL', 1],
  ['L', 4],
  ['fl-oz', 2],
];
const LIQUID_RATES: Shown = [
  ['mL/L', 4],
  ['mL/hL', 2],
  ['fl-oz/1000 gal', 3],
];
const VOLUMES: Shown = [
  ['L', 2],
  ['hL', 4],
  ['gal', 2],
];

/** One quantity in every unit it is shown in, the first first. */
function shown(say: string, value: number, from: string, units: Shown): readonly [Figure, ...Figure[]] {
  const [first, ...others] = units.flatMap(([unit, decimals], index): Figure[] => {
    const there = valueInUnit(value, from, unit);
    return isRefused(there) ? [] : [{ say: index === 0 ? say : 'which is', value: there, unit, decimals }];
  });
  return [first ?? { say, value, unit: from, decimals: 2 }, ...others];
}

const GIVE_TWO = 'give two of the three, and the third is worked out';

const ADDITION: Calculation = {
  name: 'addition',
  say: 'rate, amount and volume of an addition: any two give the third, in the units of the trade',
  inputs: [VOLUME, RATE, AMOUNT, SUBSTANCE],
  formula: 'amount = rate × volume; units by exact factors',
  range: 'Volumes of 1 mL to 10 million litres, rates up to 1 kg/L.',
  sources: [EXACT, US_LAW],
  caution: SHEETS,
  example: '--volume "1840 L" --rate "2 lb/1000 gal" --substance "gum arabic"',
  work: (given) => {
    const { volume, rate, amount } = given.figures;
    const substance = given.words.substance;
    const answer = (
      figures: Worked<readonly [Figure, ...Figure[]]>,
      milligramsPerLitre: Worked,
      method: string,
    ): Worked<Answer> =>
      andThen(figures, (all) =>
        andThen(milligramsPerLitre, (dose) => ({
          figures: all,
          method,
          remarks: substance === undefined ? [] : remarksOn(substance, dose),
        })),
      );
    if (volume !== undefined && rate !== undefined && amount === undefined) {
      const grams = andThen(gramsAtRate(rate, volume), (value) => shown('weigh in', value, 'g', MASSES));
      return answer(grams, rate, 'amount = rate × volume');
    }
    if (volume !== undefined && amount !== undefined && rate === undefined) {
      const worked = rateOfGrams(amount, volume);
      const figures = andThen(worked, (value) => shown('the rate', value, 'mg/L', RATES));
      return answer(figures, worked, 'rate = amount / volume');
    }
    if (rate !== undefined && amount !== undefined && volume === undefined) {
      const litres = andThen(litresTreated(amount, rate), (value) => shown('it treats', value, 'L', VOLUMES));
      return answer(litres, rate, 'volume = amount / rate');
    }
    return refuse(`of volume, rate and amount ${GIVE_TWO}`);
  },
};

function remarksOn(substance: string, milligramsPerLitre: number): readonly string[] {
  return limitsOf(substance).length === 0
    ? [`No limit on adding ${substance} was read for this tool, which does not mean that there is none.`]
    : limitRemarks(substance, milligramsPerLitre);
}

const FRUIT_ADDITION: Calculation = {
  name: 'fruit-addition',
  say: 'rate and amount of an addition to fruit: one gives the other',
  inputs: [
    { name: 'fruit', say: 'the fruit', unit: 'kg', dimensions: ['mass'] },
    { ...RATE, say: 'the rate on fruit', unit: 'mg/kg', dimensions: ['mass per mass'] },
    AMOUNT,
  ],
  formula: 'amount = rate × fruit; units by exact factors',
  range: 'Fruit of 1 g to 10 million kilograms.',
  sources: [EXACT],
  caution: SHEETS,
  example: '--fruit "2 short-ton" --rate "5 g/100 kg"',
  work: (given) => {
    const { rate, amount } = given.figures;
    const fruit = figure(given, 'fruit');
    const method = 'amount = rate × fruit';
    if (rate !== undefined && amount === undefined) {
      return andThen(gramsOnFruit(rate, fruit), (grams) => ({
        figures: shown('weigh in', grams, 'g', MASSES),
        method,
        remarks: [],
      }));
    }
    if (amount !== undefined && rate === undefined) {
      return andThen(rateOnFruit(amount, fruit), (worked) => ({
        figures: shown('the rate', worked, 'mg/kg', FRUIT_RATES),
        method,
        remarks: [],
      }));
    }
    return refuse('give the rate or the amount, and the other is worked out');
  },
};

const LIQUID_ADDITION: Calculation = {
  name: 'liquid-addition',
  say: 'rate and amount of a liquid added by volume: one gives the other',
  inputs: [
    { ...VOLUME, name: 'volume' },
    { ...RATE, unit: 'mL/L', dimensions: ['volume per volume'] },
    { ...AMOUNT, say: 'the amount measured', unit: 'mL', dimensions: ['volume'] },
  ],
  formula: 'amount = rate × volume; units by exact factors',
  range: 'Volumes of 1 mL to 10 million litres, rates up to the volume itself.',
  sources: [EXACT, US_WATER],
  caution: SHEETS,
  example: '--volume "1840 L" --rate "12 mL/hL"',
  work: (given) => {
    const { rate, amount } = given.figures;
    const volume = figure(given, 'volume');
    const method = 'amount = rate × volume';
    if (rate !== undefined && amount === undefined) {
      return andThen(millilitresAtRate(rate, volume), (value) => ({
        figures: shown('measure in', value, 'mL', LIQUIDS),
        method,
        remarks: [],
      }));
    }
    if (amount !== undefined && rate === undefined) {
      return andThen(rateOfMillilitres(amount, volume), (value) => ({
        figures: shown('the rate', value, 'mL/L', LIQUID_RATES),
        method,
        remarks: [],
      }));
    }
    return refuse('give the rate or the amount, and the other is worked out');
  },
};

const STRENGTH: Input = {
  name: 'solution',
  say: 'the strength of the solution, grams in 100 mL',
  unit: '%',
  dimensions: ['percent'],
};

const HOW_MEASURED = ['added to the sample', 'made up to the sample'] as const;

const BENCH_TO_CELLAR: Calculation = {
  name: 'bench-to-cellar',
  say: 'what a bench trial means for the tank: millilitres of a solution in a sample to grams and litres in the cellar',
  inputs: [
    STRENGTH,
    { name: 'added', say: 'solution in the chosen sample', unit: 'mL', dimensions: ['volume'] },
    { name: 'sample', say: 'the sample', unit: 'mL', dimensions: ['volume'] },
    { name: 'how', say: 'how the sample was made', unit: '', choices: HOW_MEASURED },
    { ...VOLUME, name: 'volume', say: 'the wine in the tank' },
    {
      ...STRENGTH,
      name: 'cellar-solution',
      say: 'the strength used in the cellar, the same where none is given',
      optional: true,
    },
    SUBSTANCE,
  ],
  formula: 'dose = added × solution × 10 / wine in the sample (mg/mL); amount = dose × volume',
  range: 'Samples of 1 mL to 100 L, solution in them up to half; strengths up to 100 % as grams in 100 mL.',
  sources: [
    'Iowa State University Extension, Treatment for Removal of H2S: the trial made up to 100 mL',
    'American Journal of Enology and Viticulture 52 (2001) 275–279: mixing on the bench and in the cellar',
    US_WATER,
    US_LAW,
  ],
  caution: SHEETS,
  example: '--solution "5 %" --added "1 mL" --sample "100 mL" --volume "1840 L"',
  work: (given) => {
    const strength = figure(given, 'solution');
    const volume = figure(given, 'volume');
    const trial = benchDose({
      solutionPercent: strength,
      addedMillilitres: figure(given, 'added'),
      sampleMillilitres: figure(given, 'sample'),
      madeUp: given.words.how === HOW_MEASURED[1],
    });
    return andThen(trial, ({ milligramsPerLitreOfWine, milligramsPerLitreOfMix }) =>
      andThen(gramsAtRate(milligramsPerLitreOfWine, volume), (grams) =>
        andThen(
          millilitresOfSolution(grams, given.figures['cellar-solution'] ?? strength),
          (millilitres): Worked<Answer> => {
            const waterPercent = millilitres / volume / 10;
            const substance = given.words.substance;
            return {
              figures: [
                ...shown('weigh for the tank', grams, 'g', MASSES),
                ...shown('or measure of the solution', millilitres, 'mL', LIQUIDS),
                ...shown('the dose, on the wine', milligramsPerLitreOfWine, 'mg/L', RATES),
                {
                  say: 'in the sample, its solution counted',
                  value: milligramsPerLitreOfMix,
                  unit: 'mg/L',
                  decimals: 2,
                },
                { say: 'solution on the wine', value: waterPercent, unit: '%', decimals: 3 },
              ],
              method: 'the same grams to the litre of wine in the tank as in the sample',
              remarks: [
                'A bench is stirred harder than a tank: hard stirring left a third of the haze that gentle stirring did, so look at the tank again afterwards.',
                ...waterRemark(waterPercent),
                ...(substance === undefined ? [] : remarksOn(substance, milligramsPerLitreOfWine)),
              ],
            };
          },
        ),
      ),
    );
  },
};

function waterRemark(percent: number): readonly string[] {
  return percent > MOST_WATER_PERCENT
    ? [
        `US: the water of all treating materials together may be ${MOST_WATER_PERCENT} % of the volume (27 CFR 24.246(a)(2)), and this solution alone is more.`,
      ]
    : [];
}

const SOLUTION_VOLUME: Calculation = {
  name: 'solution-volume',
  say: 'how much of a solution or slurry holds an amount, and how to make it up',
  inputs: [
    { ...AMOUNT, say: 'the amount wanted' },
    { ...STRENGTH, optional: true },
    {
      name: 'made-up',
      say: 'or the volume that amount was made up to',
      unit: 'mL',
      dimensions: ['volume'],
      optional: true,
    },
    { ...VOLUME, say: 'the wine it goes into, for its share of water' },
  ],
  formula: 'volume of solution = amount × 100 / solution; solution = amount × 100 / made-up',
  range: 'Strengths up to 100 % as grams in 100 mL.',
  sources: ['By definition: per cent is grams in 100 mL of solution', US_WATER],
  caution: SHEETS,
  example: '--amount "640 g" --solution "5 %" --volume "1840 L"',
  work: (given) => {
    const amount = figure(given, 'amount');
    const { solution, volume } = given.figures;
    const madeUp = given.figures['made-up'];
    if ((solution === undefined) === (madeUp === undefined)) {
      return refuse('give the strength of the solution, or the volume the amount was made up to');
    }
    if (madeUp !== undefined) {
      return andThen(strengthOfSolution(amount, madeUp), (percent) => ({
        figures: [{ say: 'the strength', value: percent, unit: '%', decimals: 3 }],
        method: 'grams in 100 mL of solution',
        remarks: ['Made up to the volume, not added to it: the powder takes room of its own.'],
      }));
    }
    return andThen(millilitresOfSolution(amount, solution ?? Number.NaN), (millilitres): Worked<Answer> => {
      const percent = volume === undefined || !(volume > 0) ? undefined : millilitres / volume / 10;
      return {
        figures: [
          ...shown('measure of the solution', millilitres, 'mL', LIQUIDS),
          ...(percent === undefined ? [] : [{ say: 'of the wine', value: percent, unit: '%', decimals: 3 }]),
        ],
        method: 'grams in 100 mL of solution',
        remarks: [
          'Made up to the volume, not added to it: the powder takes room of its own.',
          ...waterRemark(percent ?? 0),
        ],
      };
    });
  },
};

const DILUTION: Calculation = {
  name: 'dilution',
  say: 'how much of a strong solution makes a weaker one',
  inputs: [
    { ...STRENGTH, name: 'strong', say: 'the strength there is' },
    { ...STRENGTH, name: 'weak', say: 'the strength wanted' },
    { name: 'made-up', say: 'the volume to make', unit: 'mL', dimensions: ['volume'] },
  ],
  formula: 'strong solution = made-up × weak / strong',
  range: 'Strengths up to 100 %, the weak one no stronger than the strong one; both in the same per cent.',
  sources: ['By definition: what is dissolved stays the same'],
  caution:
    'Acid and caustic go into the water, never the water into them; goggles and gloves. The safety data sheet and local codes come first.',
  example: '--strong "1 %" --weak "0.004 %" --made-up "250 mL"',
  work: (given) => {
    const madeUp = figure(given, 'made-up');
    return andThen(millilitresToDilute(figure(given, 'strong'), figure(given, 'weak'), madeUp), (millilitres) => ({
      figures: [
        { say: 'take of the strong solution', value: millilitres, unit: 'mL', decimals: 2 },
        { say: 'and make up to', value: madeUp, unit: 'mL', decimals: 1 },
      ],
      method: 'what is dissolved stays the same',
      remarks: [],
    }));
  },
};

export const ADDITION_CALCULATIONS: readonly Calculation[] = [
  ADDITION,
  FRUIT_ADDITION,
  LIQUID_ADDITION,
  BENCH_TO_CELLAR,
  SOLUTION_VOLUME,
  DILUTION,
];
