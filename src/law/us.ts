/** The rules of the United States for labels and wine making, as far as they are known here: 27 CFR parts 4 and 24. */

import { ameliorationLimit, leastBrixWatered } from '../trade/enrichment.ts';
import { PRESCRIBED_CASES } from '../trade/formats.ts';
import { ADDITION_LIMITS, MOST_WATER_PERCENT } from '../trade/rates-of-addition.ts';
import { DECLARED_FROM, totalLimits } from '../trade/sulfur-dioxide-dose.ts';
import { volatileAcidityLimit } from '../trade/volatile-acidity.ts';
import { isRefused } from '../trade/worked.ts';
import { atLeast, type MakingRules, percentOf, type Rule, type RuleSet } from './rules.ts';
import { US_CLASS_BOUNDARIES, US_VOLUMES } from './us-volumes.ts';

/** One figure each, where the trade's calculations have it. */
const cases = PRESCRIBED_CASES.map(
  ({ bottles, millilitres, gallonsE5 }) => `${bottles} x ${millilitres} mL ${(gallonsE5 / 100_000).toFixed(5)}`,
).join(', ');
const totalOf = (colour: 'red' | 'white' | 'rosé', sugar: number): number => {
  const both = totalLimits(colour, sugar);
  return isRefused(both) ? 0 : both[0].milligramsPerLitre;
};

const EDITION = 'CFR, annual edition of 2015';
const older = { dated: EDITION, read: 'read in an older edition' } as const;

const variety = atLeast({
  id: 'us-variety',
  title: 'One grape named',
  section: '27 CFR 4.23(b)',
  least: 750_000,
  dated: 'CFR, as read in 2026',
  read: 'read',
  leaves: 'Vitis labrusca grapes and grapes the agency allows at 51 %',
});

const varieties = atLeast({
  id: 'us-varieties',
  title: 'Several grapes named',
  section: '27 CFR 4.23(d)',
  least: 1_000_000,
  dated: 'CFR, an older text of two or three grapes; the present one is read in a notice only',
  read: 'read in a notice or copy of it',
  leaves: 'percentages by county or state',
});

const needsAppellation: Rule = {
  id: 'us-variety-region',
  title: 'A grape named asks for a region',
  section: '27 CFR 4.23(a)',
  figure: 'an appellation of origin on the label',
  dated: 'CFR, annual edition of 2007',
  read: 'read in an older edition',
};

const vintageNeedsRegion: Rule = {
  id: 'us-vintage-region',
  title: 'A year asks for a region',
  section: '27 CFR 4.27',
  figure: 'an appellation of origin on the label',
  ...older,
};

const vintageOfArea = atLeast({
  id: 'us-vintage-area',
  title: 'Year, with a viticultural area',
  section: '27 CFR 4.27(a)(1)',
  least: 950_000,
  ...older,
});

const vintageElsewhere = atLeast({
  id: 'us-vintage-other',
  title: 'Year, with any other region',
  section: '27 CFR 4.27(a)(2)',
  least: 850_000,
  ...older,
});

const area = atLeast({
  id: 'us-area',
  title: 'Viticultural area',
  section: '27 CFR 4.25(e)(3)(ii)',
  least: 850_000,
  leaves: 'where the wine has to be finished, and wine from where areas overlap',
  ...older,
});

const place = atLeast({
  id: 'us-place',
  title: 'Country, state or county',
  section: '27 CFR 4.25(b)(1)',
  least: 750_000,
  leaves: 'where the wine has to be finished; some states ask for more',
  ...older,
});

const counties = atLeast({
  id: 'us-counties',
  title: 'Several counties of a state',
  section: '27 CFR 4.25(c)',
  least: 1_000_000,
  leaves: 'more than three of them',
  ...older,
});

const states = atLeast({
  id: 'us-states',
  title: 'Several states side by side',
  section: '27 CFR 4.25(d)',
  least: 1_000_000,
  leaves: 'more than three of them, and whether they lie side by side',
  ...older,
});

const block = atLeast({
  id: 'us-vineyard',
  title: 'One vineyard named',
  section: '27 CFR 4.39(m)',
  least: 950_000,
  dated: 'not known',
  read: 'from memory',
});

const estate = atLeast({
  id: 'us-estate',
  title: 'Estate bottled',
  section: '27 CFR 4.26',
  least: 1_000_000,
  leaves: 'that the winery lies in the area, controls the land, and did all the work in one go',
  ...older,
});

const alcohol = (id: string, title: string, section: string, figure: string): Rule => ({
  id,
  title,
  section,
  figure,
  ...older,
});

const LITTLE = 7_500;
const TABLE = 15_000;
const DESSERT = 10_000;
const UNDER_SEVEN = alcohol(
  'us-alcohol-low',
  'Alcohol on the label, under 7 %',
  '27 CFR 24.257(a)(3)',
  `within ${percentOf(LITTLE)} of the volume`,
);
const TO_FOURTEEN = alcohol(
  'us-alcohol-table',
  'Alcohol on the label, up to 14 %',
  '27 CFR 4.36(b)',
  `within ${percentOf(TABLE)} of the volume`,
);
const ABOVE_FOURTEEN = alcohol(
  'us-alcohol-dessert',
  'Alcohol on the label, above 14 %',
  '27 CFR 4.36(b)',
  `within ${percentOf(DESSERT)} of the volume`,
);
const CLASS = alcohol(
  'us-alcohol-class',
  'Class of the wine',
  '27 CFR 4.36(c) with 4.21(a)',
  'label and wine on one side of 14 %',
);
const taxed = (per: number): Rule => ({
  id: `us-alcohol-tax-${per}`,
  title: 'Tax class of the wine',
  section: '27 CFR 4.36(c) with 26 U.S.C. 5041(b)',
  figure: `label and wine on one side of ${per} %`,
  dated: 'U.S. Code, as read in 2026',
  read: 'read',
});
const TAX = US_CLASS_BOUNDARIES.map((per) => ({ at: per * 10_000, rule: taxed(per) }));

const sulfites: Rule = {
  id: 'us-sulfites',
  title: 'Sulfites declared',
  section: '27 CFR 4.32(e)',
  figure: `from ${DECLARED_FROM} mg/L of total sulfur dioxide on`,
  ...older,
};

const allergens: Rule = {
  id: 'us-allergens',
  title: 'Allergens declared',
  section: '27 CFR 4.32a',
  figure: 'free to declare; whoever declares one declares all that were used',
  leaves: 'sesame is from memory; what is not declared to the record',
  ...older,
};

const totalRule: Rule = {
  id: 'us-total-so2',
  title: 'Total sulfur dioxide',
  section: '27 CFR 4.22(b)(1)',
  figure: `at most ${totalOf('red', 0)} mg/L`,
  ...older,
};

const volatileRule = (id: string, title: string, printed: string): Rule => ({
  id,
  title,
  section: '27 CFR 4.21(a)(1)(iv)',
  figure: `at most ${printed}, as acetic acid`,
  leaves: 'wine from unameliorated juice of 28 °Brix or more, which may have more',
  ...older,
});
const VOLATILE_RED = volatileRule('us-va-red', 'Volatile acidity, red', volatileAcidityLimit('us', 'red').printed);
const VOLATILE_OTHER = volatileRule(
  'us-va-other',
  'Volatile acidity, other',
  volatileAcidityLimit('us', 'white').printed,
);

const BUSINESS_DAYS = 3;
const posting: Rule = {
  id: 'us-posting',
  title: 'Work put down later',
  section: '27 CFR 24.300(b)',
  figure: `by the close of business day ${BUSINESS_DAYS} after, from a paper of the day itself`,
  leaves: 'legal holidays, which no journal names; whether the paper of the day is kept',
  ...older,
};

const TRAIL: Rule = {
  id: 'us-trail',
  title: 'What a claim has behind it',
  section: '27 CFR 24.314',
  figure: 'a record from the source material to the removal, for every claim',
  leaves: 'papers that are no part of the journal, such as the seller’s of wine that was bought',
  ...older,
};
const MOST_SUGARED = 25;
const WATERED: Rule = {
  id: 'us-water-ferment',
  title: 'Water to ease a ferment',
  section: '27 CFR 24.176(a)',
  figure: 'juice not below 22 °Brix; by 1 °Brix at most where it is under 23 °Brix',
  ...older,
};
const WATER_WITH_MATERIALS: Rule = {
  id: 'us-water-materials',
  title: 'Water with materials',
  section: '27 CFR 24.246(a)(2)',
  figure: `at most ${MOST_WATER_PERCENT} % of the volume, all materials together`,
  dated: 'CFR, as read in 2026',
  read: 'read',
};
const SUGARED: Rule = {
  id: 'us-sugar',
  title: 'Sugar before or in the ferment',
  section: '27 CFR 24.177',
  figure: `not above ${MOST_SUGARED} °Brix of the juice`,
  ...older,
};
const AMELIORATED: Rule = {
  id: 'us-amelioration',
  title: 'Water and sugar into sour juice',
  section: '27 CFR 24.178',
  figure: 'only above 5.0 g/L of fixed acid and not below it; at most 35 % of the volume after',
  ...older,
};
const ACID_READ: Rule = {
  id: 'us-acid-read',
  title: 'Fixed acid before and after',
  section: '27 CFR 24.318 with 24.182',
  figure: 'read before acid is added and after it, and told in the record',
  leaves: 'acid that is taken away, which 24.246 asks to keep to 5 g/L of fixed acid',
  ...older,
};
const making: MakingRules = {
  watered: { leastBrix: leastBrixWatered, rule: WATERED },
  ameliorated: {
    mostLitres: (litres, acid) => {
      const most = ameliorationLimit(litres, acid);
      return isRefused(most) ? 0 : most;
    },
    rule: AMELIORATED,
  },
  waterWithMaterials: { mostPercent: MOST_WATER_PERCENT, rule: WATER_WITH_MATERIALS },
  sugared: { mostBrix: MOST_SUGARED, rule: SUGARED },
  acidRead: ACID_READ,
};

/** What the record is not compared with a claim for, told so that it stands in one list. */
const MAKING: readonly Rule[] = [
  WATERED,
  WATER_WITH_MATERIALS,
  SUGARED,
  AMELIORATED,
  ACID_READ,
  TRAIL,
  {
    id: 'us-water-yeast',
    title: 'Water for yeast',
    section: '27 CFR 24.176(a)',
    figure: 'at most 2 gal a pound of yeast, and 0.5 % of the juice',
    ...older,
  },
  {
    id: 'us-acid',
    title: 'Acid added',
    section: '27 CFR 24.182(b)',
    figure: 'at most 9.0 g/L of fixed acid as tartaric after (11.0 with 8.0 g/100 mL of solids or more)',
    ...older,
  },
  { id: 'us-cases', title: 'Gallons of a case', section: '27 CFR 24.300', figure: cases, ...older },
];

const materials: readonly Rule[] = ADDITION_LIMITS.filter(({ place: whose }) => whose === 'US').map(
  ({ substances, printed }) => ({
    id: `us-material-${(substances[0] ?? '').toLowerCase().replaceAll(' ', '-')}`,
    title: `Added: ${substances.join(', ')}`,
    section: '27 CFR 24.246',
    figure: `at most ${printed.replace(/,$/u, '')}`,
    ...older,
  }),
);

export const US: RuleSet = {
  law: 'us',
  name: 'United States',
  version: 'us 2',
  claims: {
    variety: {
      one: variety,
      several: varieties,
      shown: 20_000,
      fromRegion: true,
      ordered: false,
      needsRegion: needsAppellation,
    },
    vintageNeedsRegion,
    vintage: vintageElsewhere,
    regions: [
      { kind: 'area', say: 'a viticultural area', one: area, several: undefined, vintage: vintageOfArea },
      { kind: 'county', say: 'a county', one: place, several: counties, vintage: vintageElsewhere },
      { kind: 'state', say: 'a state', one: place, several: states, vintage: vintageElsewhere },
      { kind: 'country', say: 'a country', one: place, several: undefined, vintage: vintageElsewhere },
    ],
    regionShown: 20_000,
    block,
    estate,
    alcohol: {
      tolerances: [
        { upTo: 69_999, off: LITTLE, rule: UNDER_SEVEN },
        { upTo: 140_000, off: TABLE, rule: TO_FOURTEEN },
        { upTo: 1_000_000, off: DESSERT, rule: ABOVE_FOURTEEN },
      ],
      boundaries: [{ at: 140_000, rule: CLASS }, ...TAX],
      step: undefined,
    },
    sulfites: { from: DECLARED_FROM, above: false, rule: sulfites },
    allergens: {
      list: ['milk', 'egg', 'fish', 'crustaceans', 'nuts', 'wheat', 'peanuts', 'soybeans', 'sesame'],
      all: true,
      rule: allergens,
    },
    totalSulfurDioxide: (colour, sugar) => ({ milligramsPerLitre: totalOf(colour, sugar), rule: totalRule }),
    volatileAcidity: (colour) => ({
      gramsPerLitre: volatileAcidityLimit('us', colour).gramsPerLitre,
      rule: colour === 'red' ? VOLATILE_RED : VOLATILE_OTHER,
    }),
  },
  volumes: US_VOLUMES,
  making,
  trail: TRAIL,
  posting: { receipts: BUSINESS_DAYS, removals: BUSINESS_DAYS, other: BUSINESS_DAYS, rule: posting },
  rules: [
    posting,
    variety,
    varieties,
    needsAppellation,
    vintageOfArea,
    vintageElsewhere,
    vintageNeedsRegion,
    area,
    place,
    counties,
    states,
    block,
    estate,
    UNDER_SEVEN,
    TO_FOURTEEN,
    ABOVE_FOURTEEN,
    CLASS,
    ...TAX.map(({ rule }) => rule),
    sulfites,
    allergens,
    totalRule,
    VOLATILE_RED,
    VOLATILE_OTHER,
    ...US_VOLUMES.rules,
    ...MAKING,
    ...materials,
  ],
  caution:
    'Figures of older editions of the Code of Federal Regulations, compared with this record and nothing else. The present ' +
    'text, the agency, and the state and local authority decide what a label may say; whoever is licensed answers for it.',
};
