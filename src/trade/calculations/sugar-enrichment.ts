/** Calculations on what brings must to another strength: sugar, water, concentrate. */
import {
  type Addition,
  ameliorationLimit,
  concentrateToBrix,
  type EnrichmentCap,
  EU_CAPS,
  LITRES_PER_KILOGRAM_SUGAR,
  leastBrixWatered,
  sugarForMust,
  sugarForWine,
  US_MOST_BRIX_ENRICHED,
  waterToBrix,
} from '../enrichment.ts';
import { andThen, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';
import {
  ARRETE,
  brixInput,
  conventionOf,
  ICUMSA,
  litres,
  needed,
  perPercent,
  US_SUGAR_VOLUME,
} from './sugar-inputs.ts';

const LAW =
  'Whether must may be enriched or watered at all, by how much and with what, is for the law of the place: the figures here are ' +
  'from Regulation (EU) No 1308/2013, annex VIII, and 27 CFR 24.176 to 24.178 (2015 edition). Read the text in force and ask ' +
  'the authority first. ' +
  'Must that ferments gives off carbon dioxide, which smothers without warning: no head and no arm into the tank, fresh air, a gas ' +
  'meter, and the code of the place for confined spaces. A sack of sugar weighs 25 kg and more: two people or a hoist.';

const zone: Input = {
  name: 'zone',
  say: 'wine-growing zone of the EU, whose caps are compared',
  unit: '',
  choices: ['none', 'A', 'B', 'C'],
};
const toBrix: Input = { name: 'to-brix', say: 'Brix wanted', unit: '°Bx' };

/** Whether a figure keeps to a cap of the zone the user named; nothing where none was named. */
function capRemark(given: Given, say: (cap: EnrichmentCap) => { cap: number; found: number; words: string }): string[] {
  const word = given.words.zone;
  if (word !== 'A' && word !== 'B' && word !== 'C') return [];
  const { cap, found, words } = say(EU_CAPS[word]);
  // A hair of binary arithmetic is no breach.
  const side = found > cap * (1 + 1e-9) ? 'above' : 'within';
  return [`Zone ${word}: this is ${side} the cap of ${words}. The text in force and the authority decide.`];
}

const kilogramsOf = (say: string, { kilograms }: Addition): Figure => ({
  say: `${say}, by weight`,
  value: kilograms,
  unit: 'kg',
  decimals: 2,
});
const litresOf = (say: string, addition: Addition): Figure => ({
  say: `${say}, by volume`,
  value: addition.litres,
  unit: 'L',
  decimals: 1,
});
const after = ({ finalLitres }: Addition): Figure => ({
  say: 'volume after',
  value: finalLitres,
  unit: 'L',
  decimals: 1,
});

function addSugar(given: Given): Worked<Answer> {
  const volume = needed(given, 'volume');
  const rise = needed(given, 'rise');
  const before = given.figures.potential;
  const convention = conventionOf(given);
  const worked =
    before === undefined ? sugarForMust(volume, rise, convention) : sugarForWine(volume, rise, convention, before);
  const basis = before === undefined ? 'a litre of must as it is' : 'a litre of must and sugar together';
  return andThen(
    worked,
    (sugar): Answer => ({
      figures: [kilogramsOf('sugar', sugar), litresOf('what it takes up dissolved', sugar), after(sugar)],
      method: `${convention} g/L sugar for 1 % vol, ${basis}`,
      remarks: [
        ...(before === undefined
          ? ['The sugar thins what was there: with the potential alcohol before, it is reckoned for the whole.']
          : []),
        ...capRemark(given, ({ percentVolume, inBadYears }) => ({
          cap: percentVolume,
          found: rise,
          words: `${percentVolume} % vol (${inBadYears} in years found unfavourable)`,
        })),
        `United States: juice not above ${US_MOST_BRIX_ENRICHED} °Bx after sugar or concentrate (27 CFR 24.177, 2015 edition).`,
      ],
    }),
  );
}

const WATER_METHOD = 'the sugar stays, the mass grows; sucrose densities of ICUMSA SPS-4';

function addWater(given: Given): Worked<Answer> {
  const volume = needed(given, 'volume');
  const from = needed(given, 'brix');
  const to = needed(given, 'to-brix');
  const acid = given.figures.ta;
  return andThen(waterToBrix(volume, from, to), (water): Worked<Answer> => {
    const figures: readonly [Figure, Figure] = [litresOf('water', water), after(water)];
    const floor = leastBrixWatered(from);
    const remark =
      `United States: water to ease the ferment brings this juice to ${floor} °Bx at the least (27 CFR 24.176(a), 2015 edition): ` +
      `this is ${to < floor ? 'below' : 'within'} that. In the EU water is not added but where a rule names it.`;
    if (acid === undefined) return { figures, method: WATER_METHOD, remarks: [remark] };
    return andThen(
      ameliorationLimit(volume, acid),
      (limit): Answer => ({
        figures: [
          ...figures,
          { say: 'total acidity after', value: (acid * volume) / water.finalLitres, unit: 'g/L', decimals: 2 },
          { say: 'most by United States amelioration', value: limit, unit: 'L', decimals: 1 },
        ],
        method: WATER_METHOD,
        remarks: [
          remark,
          'Amelioration goes by fixed acid, and counts sugar and water together (26 U.S.C. 5383(b); 27 CFR 24.178): ' +
            `this is ${water.litres > limit ? 'above' : 'within'} it, if the acid given is fixed acid and no sugar is added.`,
        ],
      }),
    );
  });
}

function addConcentrate(given: Given): Worked<Answer> {
  const volume = needed(given, 'volume');
  const to = needed(given, 'to-brix');
  const worked = concentrateToBrix(volume, needed(given, 'brix'), to, needed(given, 'concentrate-brix'));
  return andThen(worked, (concentrate): Answer => {
    const rise = (concentrate.finalLitres / volume - 1) * 100;
    return {
      figures: [
        litresOf('concentrate', concentrate),
        kilogramsOf('concentrate', concentrate),
        after(concentrate),
        { say: 'rise of the volume', value: rise, unit: '%', decimals: 2 },
      ],
      method: 'cross by mass, sucrose densities of ICUMSA SPS-4',
      remarks: [
        ...capRemark(given, ({ concentratePercent }) => ({
          cap: concentratePercent,
          found: rise,
          words: `${concentratePercent} % of the volume`,
        })),
        `United States: juice not above ${US_MOST_BRIX_ENRICHED} °Bx after sugar or concentrate (27 CFR 24.177, 2015 edition): ` +
          `this is ${to > US_MOST_BRIX_ENRICHED ? 'above' : 'within'} it.`,
      ],
    };
  });
}

export const ENRICHMENT_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'add-sugar',
    say: 'Sugar that raises the alcohol of a must by so many % vol.',
    inputs: [
      litres,
      { name: 'rise', say: 'rise of alcohol wanted', unit: '%vol', dimensions: ['percent'] },
      perPercent,
      {
        name: 'potential',
        say: 'potential alcohol of the must before',
        unit: '%vol',
        dimensions: ['percent'],
        optional: true,
      },
      zone,
    ],
    formula: `sugar = volume × rise × per-percent / 1000; with potential: volume × rise / (1000/per-percent − ${LITRES_PER_KILOGRAM_SUGAR.toFixed(3)} (potential + rise))`,
    range: 'rise 0 to 5 % vol, potential 0 to 17 % vol.',
    sources: [
      US_SUGAR_VOLUME,
      ARRETE,
      '17 g/L: common practice, no source',
      'Regulation (EU) No 1308/2013, annex VIII, part I',
    ],
    caution: LAW,
    example: '--volume "1000 L" --rise "1.5 %vol" --per-percent 17',
    work: addSugar,
  },
  {
    name: 'add-water',
    say: 'Water that brings a must down to a lower Brix.',
    inputs: [
      litres,
      brixInput('Brix of the must'),
      toBrix,
      {
        name: 'ta',
        say: 'total acidity as tartaric, before',
        unit: 'g/L',
        dimensions: ['mass per volume'],
        optional: true,
        record: 'TA',
      },
    ],
    formula: 'water = volume × density(brix) × (brix / to-brix − 1)',
    range: 'brix and to-brix 1 to 40, to-brix not above brix.',
    sources: [ICUMSA, '26 U.S.C. 5383(b)', '27 CFR 24.176 to 24.178 (2015 edition)'],
    caution: LAW,
    example: '--volume "1000 L" --brix 27.2 --to-brix 25',
    work: addWater,
  },
  {
    name: 'add-concentrate',
    say: 'Grape concentrate that brings a must up to a higher Brix.',
    inputs: [
      litres,
      brixInput('Brix of the must'),
      toBrix,
      { name: 'concentrate-brix', say: 'Brix of the concentrate', unit: '°Bx' },
      zone,
    ],
    formula: 'mass of concentrate = mass of must × (to-brix − brix) / (concentrate-brix − to-brix)',
    range: 'brix and to-brix 5 to 35, concentrate to 70 and above to-brix.',
    sources: [ICUMSA, 'the cross (mass balance): arithmetic', 'Regulation (EU) No 1308/2013, annex VIII, part I'],
    caution: LAW,
    example: '--volume "1000 L" --brix 20 --to-brix 22 --concentrate-brix 68',
    work: addConcentrate,
  },
];
