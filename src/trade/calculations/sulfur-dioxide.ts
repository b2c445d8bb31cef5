/** What can be reckoned of sulfur dioxide: the molecular share, the free that gives it, doses, and the total against limits. */
import { findSubstance } from '../substances.ts';
import {
  freeForMolecular,
  type MolecularSulfurDioxide,
  molecularSulfurDioxide,
  PLAIN_PK,
  SULFUR_DIOXIDE_METHOD_NAMES,
  SULFUR_DIOXIDE_METHODS,
  type SulfurDioxideConditions,
  type SulfurDioxideMethod,
} from '../sulfur-dioxide.ts';
import {
  DECLARED_FROM,
  doseForFreeRise,
  LIMIT_CAUTION,
  type SulfitingSource,
  type SulfurDioxideDose,
  totalLimits,
  USUAL_BOUND_PERCENT,
} from '../sulfur-dioxide-dose.ts';
import { andThen, firstRefusal, isRefused, outside, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';

const figure = (given: Given, name: string): number => given.figures[name] ?? Number.NaN;

/** The temperature pH is measured at, and the first of the OIV's tables. */
const USUAL_CELSIUS = 20;

const FREE: Input = {
  name: 'free-so2',
  say: 'free sulfur dioxide, as measured',
  unit: 'mg/L',
  dimensions: ['mass per volume'],
  record: 'free SO2',
};
const TOTAL: Input = {
  name: 'total-so2',
  say: 'total sulfur dioxide, as measured',
  unit: 'mg/L',
  dimensions: ['mass per volume'],
  record: 'total SO2',
};
const TARGET: Input = {
  name: 'target',
  say: 'molecular sulfur dioxide wanted',
  unit: 'mg/L',
  dimensions: ['mass per volume'],
};
const BY_METHOD: readonly Input[] = [
  {
    name: 'method',
    say: 'by which constant: the plain one of water, or the tables of the OIV for alcohol and temperature',
    unit: '',
    choices: SULFUR_DIOXIDE_METHODS,
  },
  {
    name: 'alcohol',
    say: 'alcohol by volume; the OIV method asks for it',
    unit: '%vol',
    optional: true,
    record: 'alcohol',
  },
  {
    name: 'temp',
    say: 'temperature the OIV method is asked for; its tables begin at 20 °C, which is taken where none is given',
    unit: 'C',
    dimensions: ['temperature'],
    optional: true,
  },
];
const PH: Input = { name: 'ph', say: 'pH', unit: 'pH', record: 'pH' };

const OIV = 'OIV-MA-AS323-04C (type IV): equation 1 and Table 1 as read; Table 2 and the row for 20 % vol from memory';
const PLAIN =
  'University of California Cooperative Extension, Enology Briefs I (1), 1982: percentages of the plain constant';
const TARGETS = 'Common practice, no source: 0.5 mg/L molecular for reds, 0.8 for whites; the nose finds about 2';
const METHOD_RANGE =
  'pH 2.5 to 4.5. OIV: 0 to 20 % vol and 20 to 40 °C; for a colder cellar it refuses, and says to ask for 20 °C or to take the plain method.';

const CAUTION =
  'Sulfites give off sulfur dioxide, at once and much of it where they meet acid: weigh in fresh air or under a hood with goggles, gloves and an acid-gas mask that fits, powder into cold water and the solution into the wine, never with acid in one bucket. People with asthma keep away. 100 ppm in the air is dangerous to life at once (NIOSH, IDLH 7446-09-5), 5 ppm the limit over eight hours (29 CFR 1910.1000). Local codes, the safety data sheet and trained, licensed people come first.';

/** The method asked for and what it asks of the wine. */
function conditionsOf(given: Given, method = methodOf(given)): Worked<SulfurDioxideConditions> {
  const pH = figure(given, 'ph');
  if (method === 'plain') return { method, pH };
  const { alcohol, temp } = given.figures;
  if (alcohol === undefined) return refuse('the OIV method asks for the alcohol of the wine');
  return { method, pH, percentVolume: alcohol, celsius: temp ?? USUAL_CELSIUS };
}

function methodOf(given: Given): SulfurDioxideMethod {
  return SULFUR_DIOXIDE_METHODS.find((each) => each === given.words.method) ?? 'plain';
}

/** The method in print, with what it was asked for. */
function methodSaid(conditions: SulfurDioxideConditions, pK: number): string {
  const name = SULFUR_DIOXIDE_METHOD_NAMES[conditions.method];
  if (conditions.method === 'plain') return name;
  return `${name} ${pK.toFixed(3)} at ${conditions.percentVolume.toFixed(1)} % vol and ${conditions.celsius.toFixed(0)} °C`;
}

/** One figure by the method that was not asked for, as a remark: so that nobody takes the two for one. */
function otherwise(
  given: Given,
  work: (conditions: SulfurDioxideConditions) => Worked<MolecularSulfurDioxide>,
  say: (by: MolecularSulfurDioxide) => string,
): readonly string[] {
  if (given.figures.alcohol === undefined) {
    return [
      'By the tables of the OIV the molecular share at 20 °C is larger, by a fourth to a half in wine of 10 to 14 % vol: the alcohol would tell.',
    ];
  }
  const other = conditionsOf(given, methodOf(given) === 'plain' ? 'oiv' : 'plain');
  const by = andThen(other, work);
  if (isRefused(other) || isRefused(by)) return [];
  return [`${say(by)} by ${methodSaid(other, by.pK)}: never compare or chart the two together.`];
}

const PIGMENT =
  'In red wine some of what is measured as free is held by pigments, so its molecular share is less than it looks (common knowledge, no source).';

const MOLECULAR: Calculation = {
  name: 'molecular-so2',
  say: 'the molecular sulfur dioxide of a free reading at a pH',
  inputs: [FREE, PH, ...BY_METHOD],
  formula: `molecular = free-so2 / (1 + 10^(ph − pK)); pK = ${PLAIN_PK} (plain), or by alcohol and temp (oiv)`,
  range: `Free sulfur dioxide 0 to 500 mg/L, ${METHOD_RANGE}`,
  sources: [OIV, PLAIN, TARGETS],
  example: '--free-so2 "30 mg/L" --ph 3.4',
  work: (given) =>
    andThen(conditionsOf(given), (conditions) => {
      const free = figure(given, 'free-so2');
      return andThen(
        molecularSulfurDioxide(free, conditions),
        ({ molecular, share, pK }): Worked<Answer> => ({
          figures: [
            { say: 'molecular sulfur dioxide', value: molecular, unit: 'mg/L', decimals: 2 },
            { say: 'share of the free', value: share * 100, unit: '%', decimals: 2 },
          ],
          method: methodSaid(conditions, pK),
          remarks: [
            ...otherwise(
              given,
              (other) => molecularSulfurDioxide(free, other),
              (by) => `It is ${by.molecular.toFixed(2)} mg/L`,
            ),
            PIGMENT,
          ],
        }),
      );
    }),
};

const FREE_NEEDED: Calculation = {
  name: 'free-so2-needed',
  say: 'the free sulfur dioxide that gives the molecular one wanted at a pH',
  inputs: [TARGET, PH, { ...FREE, optional: true }, ...BY_METHOD],
  formula: `free = target × (1 + 10^(ph − pK)); pK = ${PLAIN_PK} (plain), or by alcohol and temp (oiv)`,
  range: `Molecular sulfur dioxide 0 to 5 mg/L, ${METHOD_RANGE}`,
  sources: [OIV, PLAIN, TARGETS],
  example: '--target "0.8 mg/L" --ph 3.4',
  work: (given) =>
    andThen(conditionsOf(given), (conditions) => {
      const target = figure(given, 'target');
      const has = given.figures['free-so2'];
      return andThen(
        freeForMolecular(target, conditions),
        ({ free, pK }): Worked<Answer> => ({
          figures: [
            { say: 'free sulfur dioxide needed', value: free, unit: 'mg/L', decimals: 0 },
            ...(has === undefined
              ? []
              : [{ say: 'more than it has', value: Math.max(0, free - has), unit: 'mg/L', decimals: 0 }]),
          ],
          method: methodSaid(conditions, pK),
          remarks: [
            ...otherwise(
              given,
              (other) => freeForMolecular(target, other),
              (by) => `It is ${by.free.toFixed(0)} mg/L`,
            ),
            ...(free > 50
              ? [
                  'Above about 50 mg/L of free it can be tasted (common practice): a lower pH helps more than more sulfur dioxide.',
                ]
              : []),
          ],
        }),
      );
    }),
};

/** What is dosed: a solution where its strength is given, else the substance named. */
function sourceOf(given: Given): Worked<SulfitingSource> {
  const { strength, purity } = given.figures;
  if (strength !== undefined) return { percentMassVolume: strength };
  const name = given.words.source ?? 'potassium metabisulfite';
  const substance = findSubstance(name);
  return substance === undefined
    ? refuse(`${name} is no substance known here`)
    : { substance, purityPercent: purity ?? 100 };
}

function sourceSaid(source: SulfitingSource): string {
  return 'substance' in source
    ? `${source.substance.name}, ${source.purityPercent.toFixed(0)} % pure`
    : `a solution of ${source.percentMassVolume.toFixed(1)} g of sulfur dioxide in 100 mL`;
}

/** The rise of free sulfur dioxide wanted: given, or from the free reading to what the molecular target needs. */
function riseOf(given: Given): Worked<{ readonly rise: number; readonly by: readonly string[] }> {
  const { target, rise } = given.figures;
  if (target !== undefined && rise !== undefined)
    return refuse('give the molecular target or the rise of the free, not both');
  if (rise !== undefined) return { rise, by: [] };
  if (target === undefined) return refuse('give the molecular target, or the rise of the free that is wanted');
  const has = given.figures['free-so2'];
  if (has === undefined) return refuse('a molecular target asks for the free reading as well');
  const refused = outside(has, 0, 500, 'free sulfur dioxide', 'mg/L');
  if (refused !== undefined) return refused;
  return andThen(conditionsOf(given), (conditions) =>
    andThen(freeForMolecular(target, conditions), ({ free, pK }) => ({
      rise: Math.max(0, free - has),
      by: [`free needed ${free.toFixed(0)} mg/L by ${methodSaid(conditions, pK)}`],
    })),
  );
}

/** Decimals a scale for such an amount shows. */
const scaleDecimals = (amount: number): number => (amount < 100 ? 1 : 0);

/** Readings that are only followed have to be readings all the same. */
function badReading(given: Given) {
  const { 'free-so2': free, 'total-so2': total } = given.figures;
  return firstRefusal(
    outside(free ?? 0, 0, 500, 'free sulfur dioxide', 'mg/L'),
    outside(total ?? 0, 0, 1000, 'total sulfur dioxide', 'mg/L'),
  );
}

function doseAnswer(given: Given, source: SulfitingSource, boundPercent: number): Worked<Answer> {
  const bad = badReading(given);
  if (bad !== undefined) return bad;
  return andThen(riseOf(given), ({ rise, by }) =>
    andThen(
      doseForFreeRise({ litres: figure(given, 'volume'), freeRise: rise, shareBound: boundPercent / 100, source }),
      (dose): Answer => ({
        figures: doseFigures(given, dose, rise),
        method: [sourceSaid(source), ...by].join('; '),
        remarks: [
          ...(rise === 0 ? ['The wine has what is wanted already: nothing is to be added.'] : []),
          `${boundPercent.toFixed(0)} % of the addition is taken to bind; 30 to 60 % is usual and nobody knows before: measure a day later.`,
          ...('substance' in source && source.purityPercent === 100
            ? [
                'Taken as pure. Powder loses strength with age and damp: the trade reckons 57 % sulfur dioxide in good potassium metabisulfite and 50 % in old, which is a purity of 87 (common practice, no source).',
              ]
            : []),
        ],
      }),
    ),
  );
}

function doseFigures(given: Given, dose: SulfurDioxideDose, rise: number): [Figure, ...Figure[]] {
  const free = given.figures['free-so2'];
  const total = given.figures['total-so2'];
  return [
    {
      say: dose.unit === 'g' ? 'weigh in' : 'measure in',
      value: dose.amount,
      unit: dose.unit,
      decimals: scaleDecimals(dose.amount),
    },
    {
      say: 'sulfur dioxide in it',
      value: dose.sulfurDioxideGrams,
      unit: 'g',
      decimals: scaleDecimals(dose.sulfurDioxideGrams),
    },
    { say: 'the free rises by', value: rise, unit: 'mg/L', decimals: 0 },
    ...(free === undefined
      ? []
      : [{ say: 'free sulfur dioxide afterwards', value: free + rise, unit: 'mg/L', decimals: 0 }]),
    { say: 'the total rises by', value: dose.totalRise, unit: 'mg/L', decimals: 0 },
    ...(total === undefined
      ? []
      : [{ say: 'total sulfur dioxide afterwards', value: total + dose.totalRise, unit: 'mg/L', decimals: 0 }]),
  ];
}

const DOSE: Calculation = {
  name: 'so2-dose',
  say: 'how much of a sulfiting agent to add, for a molecular target or for a rise of the free',
  inputs: [
    { name: 'volume', say: 'the volume treated', unit: 'L', dimensions: ['volume'], record: 'volume' },
    { ...TARGET, optional: true },
    {
      name: 'rise',
      say: 'or the rise of free sulfur dioxide wanted',
      unit: 'mg/L',
      dimensions: ['mass per volume'],
      optional: true,
    },
    { ...FREE, optional: true },
    { ...TOTAL, optional: true },
    { ...PH, optional: true },
    ...BY_METHOD,
    {
      name: 'source',
      say: 'the sulfiting agent; potassium metabisulfite where none is named',
      unit: '',
      names: 'substance',
      optional: true,
    },
    {
      name: 'purity',
      say: 'how much of the substance is still itself',
      unit: '%',
      dimensions: ['percent'],
      usual: 100,
    },
    {
      name: 'strength',
      say: 'for a solution instead: grams of sulfur dioxide in 100 mL',
      unit: '%',
      dimensions: ['percent'],
      optional: true,
    },
    {
      name: 'binds',
      say: 'the share of the addition that binds',
      unit: '%',
      dimensions: ['percent'],
      usual: USUAL_BOUND_PERCENT,
    },
  ],
  formula:
    'total rise = rise / (1 − binds); sulfur dioxide = total rise × volume; amount = sulfur dioxide / (share by molar mass × purity), or / strength',
  range: `A rise of 0 to 300 mg/L, 0 to 90 % bound, purity 50 to 100 %, solutions of 0.1 to 25 g in 100 mL. ${METHOD_RANGE}`,
  sources: [
    'Molar masses from the IUPAC abridged standard atomic weights (2021): potassium metabisulfite 57.63 % sulfur dioxide, sodium metabisulfite 67.40 %',
    'USP 35, Potassium Metabisulfite: 51.8 to 57.6 % sulfur dioxide; JECFA, FNP 52 Add 7 (1999): at least 90 % pure',
    'Common practice, no source: the share that binds',
    OIV,
    PLAIN,
  ],
  caution: CAUTION,
  example: '--volume "225 L" --target "0.5 mg/L" --free-so2 "12 mg/L" --ph 3.6',
  work: (given) =>
    andThen(sourceOf(given), (source) => doseAnswer(given, source, given.figures.binds ?? USUAL_BOUND_PERCENT)),
};

const COLOURS = ['white', 'rosé', 'red'] as const;

const TOTAL_AGAINST: Calculation = {
  name: 'so2-total',
  say: 'the total sulfur dioxide against what the law allows, with what is still to be added',
  inputs: [
    TOTAL,
    {
      name: 'added',
      say: 'total sulfur dioxide still to be added',
      unit: 'mg/L',
      dimensions: ['mass per volume'],
      usual: 0,
    },
    { name: 'colour', say: 'the colour of the wine', unit: '', choices: COLOURS, record: 'colour' },
    {
      name: 'sugar',
      say: 'glucose and fructose',
      unit: 'g/L',
      dimensions: ['mass per volume'],
      usual: 0,
      record: 'glucose fructose',
    },
  ],
  formula: 'left = limit − (total-so2 + added)',
  range: 'Still wine; total sulfur dioxide 0 to 1000 mg/L, sugar 0 to 500 g/L.',
  sources: [
    '27 CFR 4.22(b)(1): 350 mg/L; 27 CFR 4.32(e): declared from 10 mg/L (2015 edition)',
    'Delegated Regulation (EU) 2019/934, Annex I, part B: 150 mg/L red, 200 mg/L white and rosé; 50 more from 5 g/L of glucose and fructose',
  ],
  caution: LIMIT_CAUTION,
  example: '--total-so2 "92 mg/L" --colour white',
  work: (given) => {
    const total = figure(given, 'total-so2') + (given.figures.added ?? 0);
    const refused = outside(total, 0, 1000, 'total sulfur dioxide', 'mg/L');
    if (refused !== undefined) return refused;
    const colour = COLOURS.find((each) => each === given.words.colour) ?? COLOURS[0];
    const sugar = given.figures.sugar ?? 0;
    return andThen(
      totalLimits(colour, sugar),
      (limits): Answer => ({
        figures: [
          { say: 'total sulfur dioxide', value: total, unit: 'mg/L', decimals: 0 },
          ...limits.map(({ where, milligramsPerLitre }) => ({
            say: `left below the ${milligramsPerLitre} mg/L of the ${where}`,
            value: milligramsPerLitre - total,
            unit: 'mg/L',
            decimals: 0,
          })),
        ],
        method: limits.map(({ where, covers, source }) => `${where}, ${covers}: ${source}`).join('; '),
        remarks: [
          ...limits
            .filter(({ milligramsPerLitre }) => total > milligramsPerLitre)
            .map(({ where, milligramsPerLitre }) => `It is over the ${milligramsPerLitre} mg/L of the ${where}.`),
          ...(total >= DECLARED_FROM
            ? [`From ${DECLARED_FROM} mg/L on, sulfites stand on the label (27 CFR 4.32(e)).`]
            : []),
        ],
      }),
    );
  },
};

export const SULFUR_DIOXIDE_CALCULATIONS: readonly Calculation[] = [MOLECULAR, FREE_NEEDED, DOSE, TOTAL_AGAINST];
