/** What can be reckoned of acid: conversions, additions, deacidification, malolactic conversion, the pH of a blend. */
import {
  ACIDITY_BASES,
  type AcidityBasis,
  ADDED_ACIDS,
  acidForRise,
  convertAcidity,
  TARTARIC_PER_GRAM_OF_BITARTRATE,
} from '../acids.ts';
import { DEACIDIFIERS, deacidify } from '../deacidification.ts';
import { MALOLACTIC_THRESHOLDS, malolacticChange, malolacticStage } from '../malolactic.ts';
import { pHOfBlend } from '../ph-of-blend.ts';
import { andThen, outside, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';

const figure = (given: Given, name: string): number => given.figures[name] ?? Number.NaN;

const VOLUME: Input = {
  name: 'volume',
  say: 'the volume treated',
  unit: 'L',
  dimensions: ['volume'],
  record: 'volume',
};
const TA: Input = {
  name: 'ta',
  say: 'total acidity, as tartaric acid',
  unit: 'g/L',
  dimensions: ['mass per volume'],
  record: 'TA',
};
/** Where it is only followed: an answer can do without. */
const TA_KNOWN: Input = { ...TA, optional: true };

const MOLAR = 'Molar masses from the IUPAC abridged standard atomic weights (2021)';
const HANDBOOK_ACIDS = 'Ribéreau-Gayon and others, Handbook of Enology, volume 1: coefficients of conversion';
const COMES_FIRST = 'Local codes, the safety data sheet and trained, licensed people come first.';
const BITARTRATE = `Each g/L of potassium bitartrate that crystallises, as in the cold, takes ${TARTARIC_PER_GRAM_OF_BITARTRATE.toFixed(2)} g/L of total acidity with it.`;

/** Fixed acid, as tartaric, in g/L: the most after acid was added, and the least after it was taken. */
const US_MOST = 9;
const US_LEAST = 5;

/** Total acidity where a rise or drop leads to, or why there is none. */
function acidityAfter(ta: number | undefined, change: number): Worked<readonly Figure[]> {
  if (ta === undefined) return [];
  const after = ta + change;
  return (
    outside(after, 0, 25, 'the total acidity it would lead to', 'g/L') ?? [
      { say: 'total acidity afterwards, as tartaric acid', value: after, unit: 'g/L', decimals: 2 },
    ]
  );
}

/** Names of bases for people. */
const said = (basis: AcidityBasis): string => (basis === 'meq' ? 'milliequivalents' : `${basis} acid`);
const unitOf = (basis: AcidityBasis): string => (basis === 'meq' ? 'meq/L' : 'g/L');

const CONVERT: Calculation = {
  name: 'convert-acid',
  say: 'a total or volatile acidity expressed as another acid, or in milliequivalents',
  inputs: [
    { name: 'acidity', say: 'the acidity, in g/L of the one acid or in meq/L', unit: '' },
    { name: 'from', say: 'what it is expressed as', unit: '', choices: ACIDITY_BASES },
    {
      name: 'to',
      say: 'what it is wanted as; sulfuric acid where nothing is said',
      unit: '',
      choices: ['sulfuric', ...ACIDITY_BASES.filter((basis) => basis !== 'sulfuric')],
    },
  ],
  formula: 'acidity × equivalent mass of the one wanted / equivalent mass of the one given',
  range:
    '0 to 1000 meq/L. Total acidity is commonly given as tartaric or sulfuric acid, volatile as acetic or sulfuric.',
  sources: [MOLAR, HANDBOOK_ACIDS, 'Technical Note TN14, Interconversion of acidity units'],
  example: '--acidity 6 --from tartaric --to sulfuric',
  work: (given) => {
    const from = ACIDITY_BASES.find((basis) => basis === given.words.from) ?? 'tartaric';
    const to = ACIDITY_BASES.find((basis) => basis === given.words.to) ?? 'sulfuric';
    return andThen(convertAcidity(figure(given, 'acidity'), from, to), (value) =>
      andThen(
        convertAcidity(figure(given, 'acidity'), from, 'meq'),
        (equivalents): Answer => ({
          figures: [
            { say: `acidity as ${said(to)}`, value, unit: unitOf(to), decimals: 2 },
            ...(to === 'meq' ? [] : [{ say: 'which is', value: equivalents, unit: 'meq/L', decimals: 1 }]),
          ],
          method: `by equivalents, from ${said(from)} in ${unitOf(from)}`,
          remarks: [
            'The end point stays what it was: a titration to pH 8.2 reads a few tenths of a g/L above one to pH 7.0 (common practice, no source).',
          ],
        }),
      ),
    );
  },
};

const ADD: Calculation = {
  name: 'add-acid',
  say: 'how much of an acid raises the total acidity by so much',
  inputs: [
    VOLUME,
    {
      name: 'rise',
      say: 'rise of total acidity wanted, as tartaric acid',
      unit: 'g/L',
      dimensions: ['mass per volume'],
    },
    { name: 'acid', say: 'the acid added', unit: '', choices: ADDED_ACIDS },
    {
      name: 'purity',
      say: 'how much of what is weighed is the acid; lactic acid is sold at 80 to 90 %',
      unit: '%',
      dimensions: ['percent'],
      usual: 100,
    },
    TA_KNOWN,
  ],
  formula: 'amount = rise × volume × equivalent mass of the acid / 75.04 / purity',
  range: 'A rise of 0 to 10 g/L, a purity of 10 to 100 % by mass; before anything crystallises.',
  sources: [
    MOLAR,
    '27 CFR 24.182(b) (2015 edition): which acids in grape wine, and at most 9.0 g/L of fixed acid afterwards (11.0 with 80 g/L of solids or more)',
    'Regulation (EU) 1308/2013, Annex VIII: limits of acidification, from memory',
  ],
  caution: `Strong acid hurts eyes and skin as powder and as solution: goggles and gloves, acid into water, and never with sulfites in one bucket, which sets sulfur dioxide free. Sources: 29 CFR 1910.1200; NIOSH, IDLH 7446-09-5. Acid is limited by law, and some acids in some wines are not allowed: check the rule in force. ${COMES_FIRST}`,
  example: '--volume "2000 L" --rise "1.5 g/L"',
  work: (given) => {
    const acid = ADDED_ACIDS.find((each) => each === given.words.acid) ?? 'tartaric';
    const rise = figure(given, 'rise');
    const volume = figure(given, 'volume');
    const { ta, purity } = given.figures;
    return andThen(acidForRise(acid, rise, volume, purity ?? 100), (grams) =>
      andThen(
        acidityAfter(ta, rise),
        (after): Answer => ({
          figures: [
            { say: 'weigh in', value: grams, unit: 'g', decimals: 0 },
            ...(volume > 0 ? [{ say: 'which is', value: grams / volume, unit: 'g/L', decimals: 2 }] : []),
            ...after,
          ],
          method: `${acid} acid, ${(purity ?? 100).toFixed(0)} % pure, by equivalents`,
          remarks: [
            ...(acid === 'tartaric' ? [`Some of the rise goes again with potassium. ${BITARTRATE}`] : []),
            ...(acid === 'malic'
              ? [
                  'DL-malic acid counts the same here, but bacteria leave its D half, and an enzymatic test does not see it.',
                ]
              : []),
            ...(ta !== undefined && ta + rise > US_MOST
              ? [
                  `That is over ${US_MOST} g/L: in the United States grape wine may have at most that after acid was added (27 CFR 24.182(b)).`,
                ]
              : []),
            'How far the pH falls depends on the buffer of the wine: try it in a sample and measure.',
          ],
        }),
      ),
    );
  },
};

const DEACIDIFY: Calculation = {
  name: 'deacidify',
  say: 'how much carbonate lowers the total acidity by so much, by both assumptions',
  inputs: [
    VOLUME,
    {
      name: 'drop',
      say: 'drop of total acidity wanted, as tartaric acid',
      unit: 'g/L',
      dimensions: ['mass per volume'],
    },
    { name: 'agent', say: 'the carbonate', unit: '', choices: DEACIDIFIERS },
    TA_KNOWN,
  ],
  formula:
    'protons = drop × volume / 75.04; amount = protons × molar mass / protons it neutralises, or / (those + the potassium it brings)',
  range: 'A drop of 0 to 5 g/L. Beyond about 2 g/L malic acid has to go as well, by the double salt or by bacteria.',
  sources: [
    MOLAR,
    'Ribéreau-Gayon and others, Handbook of Enology, volume 2, chapter 1: 1 g/L of potassium bicarbonate takes 0.49 g/L as sulfuric acid, calcium carbonate 0.98',
    'Mattick, Plane and Weirs, American Journal of Enology and Viticulture 31 (1980) 350–355',
    '27 CFR 24.246 (2015 edition): fixed acid not below 5 g/L after acid was taken',
  ],
  caution: `Carbonates foam as the gas breaks out: leave room in the vessel, stir the powder in slowly, stay clear of the opening, and let fresh air in before people; the gas gathers low and gives no warning (5,000 ppm over eight hours, 40,000 ppm dangerous to life: NIOSH, IDLH 124-38-9). Potassium carbonate burns skin and eyes: goggles and gloves. Deacidification is limited by law. ${COMES_FIRST}`,
  example: '--volume "1000 L" --drop "1 g/L"',
  work: (given) => {
    const agent = DEACIDIFIERS.find((each) => each === given.words.agent) ?? 'potassium bicarbonate';
    const drop = figure(given, 'drop');
    const { ta } = given.figures;
    return andThen(
      deacidify(agent, drop, figure(given, 'volume')),
      ({ neutralisationGrams, precipitationGrams, carbonDioxideLitres }) =>
        andThen(
          acidityAfter(ta, -drop),
          (after): Answer => ({
            figures: [
              ...carbonateFigures(agent === 'calcium carbonate', neutralisationGrams, precipitationGrams),
              { say: 'carbon dioxide it sets free, at most', value: carbonDioxideLitres, unit: 'L', decimals: 0 },
              ...after,
            ],
            method: `${agent}, by stoichiometry`,
            remarks: [
              agent === 'calcium carbonate'
                ? 'In wine calcium carbonate reaches about 85 % of the deacidifying capacity of the potassium salt (Usseglio-Tomasset 1989, in the Handbook of Enology), and calcium tartrate may fall for months.'
                : 'The two assumptions are a factor of two apart, and the wine lies between: 0.9 to 1.0 g of the bicarbonate for 1 g/L is common practice. Add the smaller dose, chill, measure, and add again.',
              ...(agent === 'calcium carbonate' ? [] : [BITARTRATE]),
              ...(ta !== undefined && ta - drop < US_LEAST
                ? [
                    `That is below ${US_LEAST} g/L: in the United States fixed acid may not be taken below it (27 CFR 24.246).`,
                  ]
                : []),
            ],
          }),
        ),
    );
  },
};

/** Both assumptions, the smaller dose first: what was added too much can't be taken back. */
function carbonateFigures(same: boolean, neutralisation: number, precipitation: number): [Figure, ...Figure[]] {
  if (same) return [{ say: 'weigh in', value: neutralisation, unit: 'g', decimals: 0 }];
  return [
    { say: 'weigh in, if all its potassium crystallises', value: precipitation, unit: 'g', decimals: 0 },
    { say: 'weigh in, if nothing crystallises', value: neutralisation, unit: 'g', decimals: 0 },
  ];
}

const MALOLACTIC: Calculation = {
  name: 'malolactic',
  say: 'what malolactic conversion does and has done to the acids, and whether it may be called finished',
  inputs: [
    {
      name: 'malic',
      say: 'malic acid now',
      unit: 'g/L',
      dimensions: ['mass per volume'],
      record: 'malic',
    },
    {
      name: 'malic-start',
      say: 'malic acid before it began',
      unit: 'g/L',
      dimensions: ['mass per volume'],
      optional: true,
    },
    TA_KNOWN,
  ],
  formula: 'total acidity falls by 0.5597 × malic; lactic acid 0.6718 × malic; carbon dioxide 0.3282 × malic',
  range: 'Malic acid 0 to 15 g/L. L-malic acid alone: added DL-malic acid is half D, which bacteria leave.',
  sources: [
    MOLAR,
    `A supplier's encyclopaedia of oenology, 4.2.4.a: finished below ${MALOLACTIC_THRESHOLDS.finished} g/L in practice, rules of appellations 0.3 to 0.4`,
    `Common practice, no source: below ${MALOLACTIC_THRESHOLDS.unfiltered} g/L for wine bottled unfiltered; pH rises by 0.1 to 0.3`,
  ],
  example: '--malic "0.25 g/L" --malic-start "2.4 g/L" --ta "6.1 g/L"',
  work: (given) => {
    const malic = figure(given, 'malic');
    const start = given.figures['malic-start'];
    if (start !== undefined && start < malic)
      return refuse('malic acid before it began is less than what is there now');
    return andThen(malolacticStage(malic), (stage) =>
      andThen(malolacticChange(malic), (ahead) =>
        andThen(
          acidityAfter(given.figures.ta, -ahead.acidityDrop),
          (after): Worked<Answer> =>
            andThen(behind(malic, start), (done) => ({
              figures: [
                {
                  say: 'total acidity that will still go, as tartaric acid',
                  value: ahead.acidityDrop,
                  unit: 'g/L',
                  decimals: 2,
                },
                { say: 'lactic acid still to come', value: ahead.lactic, unit: 'g/L', decimals: 2 },
                { say: 'carbon dioxide still to come', value: ahead.carbonDioxide, unit: 'g/L', decimals: 2 },
                ...after,
                ...done,
              ],
              method: 'one molecule of lactic acid and one of carbon dioxide for each of malic acid',
              remarks: [
                `By the malic reading it is ${stage}: below ${MALOLACTIC_THRESHOLDS.finished} g/L it is called finished, below ${MALOLACTIC_THRESHOLDS.unfiltered} g/L for wine bottled unfiltered.`,
                'pH rises by 0.1 to 0.3 as a rule; how far is for measuring.',
              ],
            })),
        ),
      ),
    );
  },
};

/** What the conversion has done already, where its beginning is known. */
function behind(malic: number, start: number | undefined): Worked<readonly Figure[]> {
  if (start === undefined || start === 0) return [];
  return andThen(malolacticChange(start - malic), ({ acidityDrop, lactic }) => [
    { say: 'converted so far', value: ((start - malic) / start) * 100, unit: '%', decimals: 0 },
    { say: 'total acidity gone by it, as tartaric acid', value: acidityDrop, unit: 'g/L', decimals: 2 },
    { say: 'lactic acid formed by it', value: lactic, unit: 'g/L', decimals: 2 },
  ]);
}

const BLEND: Calculation = {
  name: 'ph-of-blend',
  say: 'an estimate of the pH of a blend of two wines, and how far it may be off',
  inputs: [
    { ...VOLUME, say: 'volume of the one wine' },
    { name: 'ph', say: 'its pH', unit: 'pH', record: 'pH' },
    { ...TA, say: 'its total acidity, as tartaric acid' },
    { name: 'other-volume', say: 'volume of the other wine', unit: 'L', dimensions: ['volume'] },
    { name: 'other-ph', say: 'its pH', unit: 'pH' },
    { name: 'other-ta', say: 'its total acidity, as tartaric acid', unit: 'g/L', dimensions: ['mass per volume'] },
  ],
  formula: 'weight = volume × ta / (7 − ph); pH = sum of weight × ph / sum of weights',
  range: 'pH 2.8 to 4.2, total acidity 3 to 15 g/L. Crystals that fall and gas that escapes are not counted.',
  sources: [
    'The weighting is worked out here, not published, and was held against the charge balance of model wines',
    'Mattick, Plane and Weirs, American Journal of Enology and Viticulture 31 (1980) 350–355: titration curves of wine are straight up to pH 5',
    'Dartiguenave, Jeandet and Maujean, American Journal of Enology and Viticulture 51 (2000) 352–356: buffer capacity grows with the acids',
  ],
  example: '--volume "600 L" --ph 3.3 --ta "6.4 g/L" --other-volume "400 L" --other-ph 3.7 --other-ta "5.2 g/L"',
  work: (given) =>
    andThen(
      pHOfBlend([
        { litres: figure(given, 'volume'), pH: figure(given, 'ph'), totalAcidity: figure(given, 'ta') },
        {
          litres: figure(given, 'other-volume'),
          pH: figure(given, 'other-ph'),
          totalAcidity: figure(given, 'other-ta'),
        },
      ]),
      ({ pH, mayBeOff, totalAcidity }): Answer => ({
        figures: [
          { say: 'pH of the blend, estimated', value: pH, unit: '', decimals: 2 },
          { say: 'which may be off by', value: mayBeOff, unit: '', decimals: 2 },
          { say: 'total acidity, as tartaric acid', value: totalAcidity, unit: 'g/L', decimals: 2 },
        ],
        method: 'pH weighted by volume and buffer capacity, as total acidity / (7 − pH)',
        remarks: [
          'An estimate to choose trials by: blend a sample, let it stand, and measure.',
          `A blend may be unstable where its parts were stable. ${BITARTRATE} pH then moves too: down where it is below about 3.65, up above (common knowledge, no source).`,
        ],
      }),
    ),
};

export const ACID_CALCULATIONS: readonly Calculation[] = [CONVERT, ADD, DEACIDIFY, MALOLACTIC, BLEND];
