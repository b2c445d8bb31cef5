/** The rules of the European Union for labels of still wine, as far as they are known here; most are from memory. */
import { ADDITION_LIMITS } from '../trade/rates-of-addition.ts';
import { totalLimits } from '../trade/sulfur-dioxide-dose.ts';
import { volatileAcidityLimit } from '../trade/volatile-acidity.ts';
import { isRefused } from '../trade/worked.ts';
import { EU_VOLUMES } from './eu-volumes.ts';
import { atLeast, percentOf, type Rule, type RuleSet } from './rules.ts';

const recalled = { dated: 'not known', read: 'from memory' } as const;
const copied = {
  dated: 'as kept by the United Kingdom, read in 2026',
  read: 'read in a notice or copy of it',
} as const;

const LABELS = 'Delegated Regulation (EU) 2019/33';
const PRACTICES = 'Delegated Regulation (EU) 2019/934';

const variety = atLeast({
  id: 'eu-variety',
  title: 'One grape named',
  section: `${LABELS}, article 50`,
  least: 850_000,
  leaves: 'sweetening and expedition liquor',
  ...recalled,
});

const varieties = atLeast({
  id: 'eu-varieties',
  title: 'Several grapes named',
  section: `${LABELS}, article 50`,
  least: 1_000_000,
  ...recalled,
});

const vintage = atLeast({
  id: 'eu-vintage',
  title: 'Year of harvest',
  section: `${LABELS}, article 49`,
  least: 850_000,
  leaves: 'sweetening and expedition liquor',
  ...recalled,
});

const protectedOrigin = atLeast({
  id: 'eu-protected-origin',
  title: 'Protected designation of origin',
  section: 'Regulation (EU) 1308/2013, article 93(1)(a)',
  least: 1_000_000,
  leaves: 'the specification of the name itself, which may ask for more',
  ...recalled,
});

const protectedIndication = atLeast({
  id: 'eu-protected-indication',
  title: 'Protected geographical indication',
  section: 'Regulation (EU) 1308/2013, article 93(1)(b)',
  least: 850_000,
  leaves: 'the specification of the name itself, and that the rest is of the same country',
  ...recalled,
});

const OFF = 5_000;
const STEP = 5_000;
const tolerance: Rule = {
  id: 'eu-alcohol',
  title: 'Actual alcohol on the label',
  section: `${LABELS}, article 44`,
  figure: `within ${percentOf(OFF)} of the volume`,
  leaves: 'the wider 0.8 % of protected names kept in bottle for over three years, and of some others',
  ...recalled,
};
const step: Rule = {
  id: 'eu-alcohol-step',
  title: 'Actual alcohol in whole or half units',
  section: `${LABELS}, article 44`,
  figure: `a multiple of ${percentOf(STEP)} of the volume`,
  ...recalled,
};

const SULFITES_ABOVE = 10;
const sulfites: Rule = {
  id: 'eu-sulfites',
  title: 'Sulfites declared',
  section: 'Regulation (EU) 1169/2011, annex II',
  figure: `above ${SULFITES_ABOVE} mg/L of total sulfur dioxide`,
  ...recalled,
};

const allergens: Rule = {
  id: 'eu-allergens',
  title: 'Egg and milk declared',
  section: 'Regulation (EU) 1169/2011, annex II',
  figure: 'where what was used can still be found in the wine',
  leaves: 'whether it can be found: a laboratory tells that',
  ...recalled,
};

const total = (colour: 'red' | 'white' | 'rosé', sugar: number): number => {
  const both = totalLimits(colour, sugar);
  return isRefused(both) ? 0 : both[1].milligramsPerLitre;
};
const totalRule = (id: string, title: string, colour: 'red' | 'white'): Rule => ({
  id,
  title,
  section: `${PRACTICES}, annex I B`,
  figure: `at most ${total(colour, 0)} mg/L, ${total(colour, 5)} with 5 g/L of sugar or more`,
  leaves: 'sparkling, liqueur and listed sweet wines, bad years, and stricter limits of a state',
  ...copied,
});
const TOTAL_RED = totalRule('eu-total-so2-red', 'Total sulfur dioxide, red', 'red');
const TOTAL_OTHER = totalRule('eu-total-so2-other', 'Total sulfur dioxide, white and rosé', 'white');

const volatileRule = (id: string, title: string, printed: string): Rule => ({
  id,
  title,
  section: `${PRACTICES}, annex I C`,
  figure: `at most ${printed}`,
  leaves: 'wines aged for two years or more, of special methods, or of 13 % of total alcohol or more',
  ...copied,
});
const VOLATILE_RED = volatileRule('eu-va-red', 'Volatile acidity, red', volatileAcidityLimit('eu', 'red').printed);
const VOLATILE_OTHER = volatileRule(
  'eu-va-other',
  'Volatile acidity, white and rosé',
  volatileAcidityLimit('eu', 'white').printed,
);

const RECEIPTS = 1;
const REMOVALS = 3;
const OTHER = 1;
const posting: Rule = {
  id: 'eu-posting',
  title: 'Work put down later',
  section: 'Implementing Regulation (EU) 2018/274, articles 18 and 19',
  figure: `receipts and work by working day ${RECEIPTS} after, what left by working day ${REMOVALS}`,
  leaves: 'public holidays, work that is due the same day, and the longer times of some registers',
  ...recalled,
};

/** What no claim is compared with, told so that it stands in one list. */
const MAKING: readonly Rule[] = [
  {
    id: 'eu-enrichment',
    title: 'Enrichment',
    section: 'Regulation (EU) 1308/2013, annex VIII part I',
    figure: 'by at most 3 % of the volume in zone A, 2 % in zone B, 1.5 % in zone C',
    ...recalled,
  },
  {
    id: 'eu-acidification',
    title: 'Acid added',
    section: 'Regulation (EU) 1308/2013, annex VIII part I',
    figure: 'at most 1.50 g/L in must and 2.50 g/L in wine, as tartaric; perhaps raised since',
    ...recalled,
  },
  {
    id: 'eu-deacidification',
    title: 'Acid taken away',
    section: 'Regulation (EU) 1308/2013, annex VIII part I',
    figure: 'at most 1 g/L as tartaric',
    ...recalled,
  },
];

const materials: readonly Rule[] = ADDITION_LIMITS.filter(({ place }) => place === 'EU').map(
  ({ substances, printed, source }) => ({
    id: `eu-material-${(substances[0] ?? '').toLowerCase().replaceAll(' ', '-')}`,
    title: `Added: ${substances.join(', ')}`,
    section: source,
    figure: `at most ${printed.replace(/,$/u, '')}`,
    dated: 'the regulation before the present one',
    read: 'read in an older edition',
  }),
);

export const EU: RuleSet = {
  law: 'eu',
  name: 'European Union',
  version: 'eu 2',
  claims: {
    variety: {
      one: variety,
      several: varieties,
      shown: undefined,
      fromRegion: false,
      ordered: true,
      needsRegion: undefined,
    },
    vintageNeedsRegion: undefined,
    vintage,
    regions: [
      {
        kind: 'protected',
        say: 'a protected designation of origin',
        one: protectedOrigin,
        several: undefined,
        vintage,
      },
      {
        kind: 'indication',
        say: 'a protected geographical indication',
        one: protectedIndication,
        several: undefined,
        vintage,
      },
    ],
    regionShown: undefined,
    block: undefined,
    estate: undefined,
    alcohol: {
      tolerances: [{ upTo: 1_000_000, off: OFF, rule: tolerance }],
      boundaries: [],
      step: { of: STEP, rule: step },
    },
    sulfites: { from: SULFITES_ABOVE, above: true, rule: sulfites },
    allergens: { list: ['egg', 'milk'], all: false, rule: allergens },
    totalSulfurDioxide: (colour, sugar) => ({
      milligramsPerLitre: total(colour, sugar),
      rule: colour === 'red' ? TOTAL_RED : TOTAL_OTHER,
    }),
    volatileAcidity: (colour) => ({
      gramsPerLitre: volatileAcidityLimit('eu', colour).gramsPerLitre,
      rule: colour === 'red' ? VOLATILE_RED : VOLATILE_OTHER,
    }),
  },
  volumes: EU_VOLUMES,
  making: undefined,
  trail: undefined,
  posting: { receipts: RECEIPTS, removals: REMOVALS, other: OTHER, rule: posting },
  rules: [
    posting,
    variety,
    varieties,
    vintage,
    protectedOrigin,
    protectedIndication,
    tolerance,
    step,
    sulfites,
    allergens,
    TOTAL_RED,
    TOTAL_OTHER,
    VOLATILE_RED,
    VOLATILE_OTHER,
    ...EU_VOLUMES.rules,
    ...MAKING,
    ...materials,
  ],
  caution:
    'Most of these figures are written down from memory, and are compared with this record and nothing else. The present ' +
    'text, the specification of a protected name, and the authority of the place decide what a label may say; whoever is ' +
    'licensed answers for it.',
};
