/** The volumes of wine as the registers of the European Union ask for them, as far as it is known here; most from memory. */
import type { Rule } from './rules.ts';
import type { VolumeRules, WineClass } from './volume-rules.ts';

const recalled = { dated: 'not known', read: 'from memory' } as const;

const CATEGORIES: Rule = {
  id: 'eu-volume-classes',
  title: 'Categories of wine',
  section: 'Regulation (EU) 1308/2013, annex VII part II',
  figure: 'wine up to 15 % of alcohol, above that up to 22 % liqueur wine; sparkling wines by themselves',
  leaves:
    'wine above 15 % that its area allows, the pressure of semi-sparkling wine, and the accounts of each protected name ' +
    'and grape that registers keep apart',
  ...recalled,
};

const REGISTERS: Rule = {
  id: 'eu-registers',
  title: 'Registers',
  section: 'Delegated Regulation (EU) 2018/273, articles 28 to 30; Implementing Regulation (EU) 2018/274, article 13',
  figure: 'what comes and goes of each category, and the operations between',
  dated: 'as read in a copy in 2026',
  read: 'read in a notice or copy of it',
};

const BALANCE: Rule = {
  id: 'eu-annual-balance',
  title: 'Annual balance',
  section: 'Implementing Regulation (EU) 2018/274, article 21',
  figure: 'closed once a year with an inventory; what book and stock differ by is noted',
  dated: 'as read in a copy in 2026',
  read: 'read in a notice or copy of it',
};

const LOSSES: Rule = {
  id: 'eu-losses',
  title: 'Losses',
  section: 'Delegated Regulation (EU) 2018/273, article 29',
  figure: 'what a Member State sets as the most for evaporation and handling; what is lost beyond it is told',
  leaves: 'the shares themselves: each state has its own',
  ...recalled,
};

const still = (id: string, title: string, upTo: number | undefined): WineClass => ({
  id,
  title,
  ...(upTo === undefined ? {} : { upTo }),
  effervescent: false,
  rule: CATEGORIES,
});

const COUPAGE = 'operation: coupage';
const WITHDRAWAL = 'withdrawal, with its document';
const LOSS = 'loss';

export const EU_VOLUMES: VolumeRules = {
  classes: [
    still('still-15', 'Still wine up to 15\u00A0%', 150_000),
    still('still-22', 'Above 15 to 22\u00A0%', 220_000),
    still('above-22', 'Above 22\u00A0%', undefined),
  ],
  sparkling: { id: 'sparkling', title: 'Sparkling wine', effervescent: true, rule: CATEGORIES },
  carbonated: {
    id: 'carbonated',
    title: 'Effervescent wine nobody calls sparkling',
    effervescent: true,
    rule: CATEGORIES,
  },
  gas: undefined,
  gallons: undefined,
  produced: undefined,
  blended: undefined,
  losses: { counted: ['evaporation', 'handling', 'lees', 'spill', 'leak', 'short'], allowances: [], shortage: BALANCE },
  periods: [{ of: 'year', rule: BALANCE }],
  asked: {
    list: 'Registers',
    known: 'the operations of article 29 from memory',
    lines: {
      'must start': 'stock carried on',
      'must in made': 'entry: must of own grapes',
      'must in bought': 'entry, with its document',
      'must out produced': 'must made into wine',
      'must end': 'stock, not yet wine',
      'must out for sale': WITHDRAWAL,
      'must out for bond': WITHDRAWAL,
      'bulk start': 'stock carried on',
      'bulk in found': 'stock carried on',
      'bulk in produced': 'entry: wine of own must',
      'bulk in juice': 'operation: sweetening',
      'bulk in bought': 'entry, with its document',
      'bulk in blended': COUPAGE,
      'bulk in liquid': 'operation: water or solutions',
      'bulk in effervescent': 'operation: making effervescent',
      'bulk in gain': 'difference of book and stock',
      'bulk in settled': 'difference of book and stock',
      'bulk out bottled': 'operation: bottling',
      'bulk out blended': COUPAGE,
      'bulk out effervescent': 'operation: making effervescent',
      'bulk out for sale': WITHDRAWAL,
      'bulk out for bond': WITHDRAWAL,
      'bulk out for export': WITHDRAWAL,
      'bulk out for distilling': 'withdrawal for distillation',
      'bulk out for vinegar': 'withdrawal for vinegar',
      'bulk out for tasting': 'used on the spot',
      'bulk out for samples': 'used for analysis',
      'bulk out sample': 'used for analysis',
      'bulk out for destroyed': 'taken out of trade',
      'bulk out lees': LOSS,
      'bulk out evaporation': LOSS,
      'bulk out spill': LOSS,
      'bulk out leak': LOSS,
      'bulk out cleaning': LOSS,
      'bulk out handling': LOSS,
      'bulk out breakage': LOSS,
      'bulk out spoilage': LOSS,
      'bulk out theft': LOSS,
      'bulk out other': LOSS,
      'bulk out short': 'difference of book and stock',
      'bulk out settled': 'difference of book and stock',
      'bulk end': 'stock',
      'bottled start': 'stock carried on',
      'bottled in found': 'stock carried on',
      'bottled in bottled': 'operation: bottling',
      'bottled in gain': 'difference of book and stock',
      'bottled out for sale': WITHDRAWAL,
      'bottled out for bond': WITHDRAWAL,
      'bottled out for export': WITHDRAWAL,
      'bottled out for tasting': 'used on the spot',
      'bottled out for samples': 'used for analysis',
      'bottled out sample': 'used for analysis',
      'bottled out for destroyed': 'taken out of trade',
      'bottled out breakage': LOSS,
      'bottled out spoilage': LOSS,
      'bottled out theft': LOSS,
      'bottled out leak': LOSS,
      'bottled out other': LOSS,
      'bottled out short': 'difference of book and stock',
      'bottled end': 'stock',
    },
  },
  rules: [CATEGORIES, REGISTERS, BALANCE, LOSSES],
};
