/** The volumes of wine as the United States ask for them, as far as it is known here: 27 CFR part 24, 26 U.S.C. 5041. */
import { PRESCRIBED_GALLONS_PER_LITRE, prescribedGallons } from '../trade/formats.ts';
import { percentOf, type Rule } from './rules.ts';
import type { VolumeRules, WineClass } from './volume-rules.ts';

const older = { dated: 'CFR, annual edition of 2015', read: 'read in an older edition' } as const;

/** Where one class of still wine ends and the next begins, in per cent of the volume. */
export const US_CLASS_BOUNDARIES = [16, 21, 24] as const;

const TAX_CLASS: Rule = {
  id: 'us-volume-classes',
  title: 'Classes of wine',
  section: '26 U.S.C. 5041(b)',
  figure: `still wine up to ${US_CLASS_BOUNDARIES.join(', up to ')} % of alcohol; sparkling; artificially carbonated`,
  dated: 'U.S. Code, as read in 2026',
  read: 'read',
  leaves: 'hard cider; what is taxed, and how much',
};

/** Milligrams of carbon dioxide a litre. */
const MOST_GAS = 3920;
export const US_CARBON_DIOXIDE: Rule = {
  id: 'us-carbon-dioxide',
  title: 'Carbon dioxide in still wine',
  section: '27 CFR 24.245',
  figure: `at most ${MOST_GAS / 10_000} g/100 mL`,
  leaves: 'the 0.009 g/100 mL that may vary without anybody’s doing',
  ...older,
};

const PRODUCED: Rule = {
  id: 'us-produced',
  title: 'When wine is produced',
  section: '27 CFR 24.176(b)',
  figure: 'once fermentation ends or the wine leaves the fermenter, by measure; what still ferments is told apart',
  ...older,
};

const BLENDED: Rule = {
  id: 'us-blended-classes',
  title: 'Blends of different classes',
  section: '27 CFR 24.301(e)',
  figure: 'volumes used and produced, where wines of different tax classes are blended',
  ...older,
};

const GALLONS: Rule = {
  id: 'us-gallons',
  title: 'Litres to gallons',
  section: '27 CFR 24.300',
  figure: `litres × ${prescribedGallons(1_000_000, 5)}`,
  ...older,
};

const STORED_SHARE = 30_000;
const PRODUCED_SHARE = 60_000;
const losses = { dated: 'CFR, annual editions of 2001 and 2006, and 2015', read: 'read in an older edition' } as const;
const LOSS_STORED: Rule = {
  id: 'us-loss-stored',
  title: 'Losses of a year, of what was stored',
  section: '27 CFR 24.266(b)(2)',
  figure: `a claim above ${percentOf(STORED_SHARE)} of what was there at the start and what was received in bond`,
  leaves: 'wine moved to distilling material at once; an annual period other than the calendar year',
  ...losses,
};
const LOSS_PRODUCED: Rule = {
  id: 'us-loss-produced',
  title: 'Losses of a year, of what was produced',
  section: '27 CFR 24.266(b)(2)',
  figure: `a claim above ${percentOf(PRODUCED_SHARE)} of the still wine produced by fermentation`,
  leaves: 'the shares of sparkling, special natural and carbonated wine',
  ...losses,
};
const SHORTAGE: Rule = {
  id: 'us-bottled-shortage',
  title: 'Bottles that are missing',
  section: '27 CFR 24.266',
  figure: 'no loss is natural to bottled wine: a shortage nobody can explain counts as removed',
  ...losses,
};

/** Wine gallons to account for: what was there at the start and all that came. */
const MOST_IN_QUARTER = 60_000;
const MOST_IN_MONTH = 20_000;
const period = (id: string, title: string, figure: string): Rule => ({
  id,
  title,
  section: '27 CFR 24.300(g)',
  figure,
  leaves: 'which tax returns are filed, and since when',
  ...older,
});
const MONTHLY = period('us-period-month', 'Told by the month', 'unless another period is allowed');
const QUARTERLY = period(
  'us-period-quarter',
  'Told by the quarter',
  `with quarterly returns, and at most ${MOST_IN_QUARTER} wine gallons to account for in any quarter`,
);
const YEARLY = period(
  'us-period-year',
  'Told by the calendar year',
  `with annual returns, and at most ${MOST_IN_MONTH} wine gallons to account for in any month`,
);

const still = (id: string, title: string, percent: number | undefined): WineClass => ({
  id,
  title,
  ...(percent === undefined ? {} : { upTo: percent * 10_000 }),
  effervescent: false,
  rule: TAX_CLASS,
});
const [first, second, third] = US_CLASS_BOUNDARIES;

export const US_VOLUMES: VolumeRules = {
  classes: [
    still('still-16', `Still wine up to ${first}\u00A0%`, first),
    still('still-21', `Still wine above ${first} to ${second}\u00A0%`, second),
    still('still-24', `Still wine above ${second} to ${third}\u00A0%`, third),
    still('above-24', `Above ${third}\u00A0%: no wine by this rule`, undefined),
  ],
  sparkling: { id: 'sparkling', title: 'Sparkling wine', effervescent: true, rule: TAX_CLASS },
  carbonated: {
    id: 'carbonated',
    title: 'Effervescent wine nobody calls sparkling',
    effervescent: true,
    rule: TAX_CLASS,
  },
  gas: { above: MOST_GAS, rule: US_CARBON_DIOXIDE },
  gallons: { ...PRESCRIBED_GALLONS_PER_LITRE, text: prescribedGallons(1_000_000, 5), rule: GALLONS },
  produced: PRODUCED,
  blended: BLENDED,
  losses: {
    counted: ['lees', 'spill', 'leak', 'evaporation', 'cleaning', 'handling', 'short'],
    allowances: [
      { of: 'stored', share: STORED_SHARE, rule: LOSS_STORED },
      { of: 'produced', share: PRODUCED_SHARE, rule: LOSS_PRODUCED },
    ],
    shortage: SHORTAGE,
  },
  periods: [
    { of: 'month', rule: MONTHLY },
    { of: 'quarter', most: { gallons: MOST_IN_QUARTER, within: 'quarter' }, rule: QUARTERLY },
    { of: 'year', most: { gallons: MOST_IN_MONTH, within: 'month' }, rule: YEARLY },
  ],
  asked: {
    list: 'Periodic report of wine premises',
    known: 'lines of part A as read in the published form, those of part B from memory',
    lines: {
      'must in made': 'materials: fruit used',
      'must in bought': 'materials: juice received',
      'must end': 'part on fermenters',
      'must out for sale': 'materials: juice removed',
      'must out for bond': 'materials: juice removed',
      'bulk start': 'A 1',
      'bulk in found': 'A 1',
      'bulk in produced': 'A 2',
      'bulk in juice': 'A 3',
      'bulk in blended': 'A 5',
      'bulk in liquid': 'A 6 as amelioration; else A 10',
      'bulk in bought': 'A 7',
      'bulk in gain': 'A 9',
      'bulk in settled': 'A 9',
      'bulk in corrected': 'A 10, with a remark',
      'bulk in effervescent': 'A 2',
      'bulk out bottled': 'A 13',
      'bulk out for sale': 'A 14',
      'bulk out for bond': 'A 15',
      'bulk out for distilling': 'A 16',
      'bulk out for vinegar': 'A 17',
      'bulk out blended': 'A 20',
      'bulk out effervescent': 'A 22',
      'bulk out sample': 'A 23',
      'bulk out for samples': 'A 23',
      'bulk out for tasting': 'A 24',
      'bulk out for export': 'A 24',
      'bulk out for destroyed': 'A 24',
      'bulk out refermented': 'A 24',
      'bulk out corrected': 'A 24, with a remark',
      'bulk out breakage': 'A 29',
      'bulk out spoilage': 'A 29',
      'bulk out theft': 'A 29',
      'bulk out other': 'A 29',
      'bulk out lees': 'A 30',
      'bulk out pomace': 'A 30',
      'bulk out spill': 'A 30',
      'bulk out leak': 'A 30',
      'bulk out evaporation': 'A 30',
      'bulk out cleaning': 'A 30',
      'bulk out handling': 'A 30',
      'bulk out short': 'A 30',
      'bulk out settled': 'A 30',
      'bulk end': 'A 31',
      'bottled start': 'B 1',
      'bottled in found': 'B 1',
      'bottled in bottled': 'B 2',
      'bottled in gain': 'B 5',
      'bottled in corrected': 'B 5, with a remark',
      'bottled out for sale': 'B 8',
      'bottled out for bond': 'B 9',
      'bottled out for tasting': 'B 11',
      'bottled out for export': 'B 12',
      'bottled out sample': 'B 14',
      'bottled out for samples': 'B 14',
      'bottled out for distilling': 'B 15',
      'bottled out for vinegar': 'B 15',
      'bottled out for destroyed': 'B 15',
      'bottled out corrected': 'B 15, with a remark',
      'bottled out spoilage': 'B 15',
      'bottled out theft': 'B 15',
      'bottled out leak': 'B 15',
      'bottled out other': 'B 15',
      'bottled out breakage': 'B 18',
      'bottled out short': 'B 19',
      'bottled end': 'B 20',
    },
  },
  rules: [
    TAX_CLASS,
    PRODUCED,
    BLENDED,
    GALLONS,
    US_CARBON_DIOXIDE,
    LOSS_STORED,
    LOSS_PRODUCED,
    SHORTAGE,
    MONTHLY,
    QUARTERLY,
    YEARLY,
  ],
};
