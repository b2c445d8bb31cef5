/** The closed vocabulary of the journal, each word once: verbs, links, clauses and quantities without a number. */

/** Verbs by the stage of the work they belong to, in the order the reference tells them. */
export const VERBS_BY_STAGE = {
  standing: [
    'cellar',
    'report',
    'law',
    'method',
    'tolerance',
    'vessel',
    'variety',
    'block',
    'hand',
    'material',
    'walk',
    'columns',
    'plan',
    'due',
    'keep',
    'warn',
  ],
  fruit: ['receive', 'sort', 'crush', 'press', 'cut'],
  must: ['bleed', 'chill', 'warm', 'inoculate', 'add', 'punch-down', 'pump-over', 'rack-and-return', 'aerate', 'drain'],
  wine: ['transfer', 'rack', 'top', 'stir', 'blend', 'fine', 'filter', 'bottle'],
  'any time': ['reading', 'readings', 'dip', 'count', 'loss', 'taste', 'note', 'sample', 'bring', 'found', 'dispatch'],
  bench: ['trial', 'choose', 'prepare'],
  store: ['buy', 'clean', 'gas', 'retire', 'rename', 'set-apart', 'label', 'away', 'put', 'take'],
} as const;

export type Stage = keyof typeof VERBS_BY_STAGE;
export type VerbWord = (typeof VERBS_BY_STAGE)[Stage][number];

export const STAGES = Object.keys(VERBS_BY_STAGE) as Stage[];
export const VERBS: readonly VerbWord[] = STAGES.flatMap((stage): readonly VerbWord[] => VERBS_BY_STAGE[stage]);

/** Verbs that can change what a vessel holds; a line of another verb that cannot be read leaves no doubt about volumes. */
export const MOVING_VERBS: ReadonlySet<VerbWord> = new Set<VerbWord>([
  'receive',
  'sort',
  'crush',
  'press',
  'cut',
  'bleed',
  'inoculate',
  'add',
  'drain',
  'transfer',
  'rack',
  'top',
  'blend',
  'fine',
  'filter',
  'bottle',
  'dip',
  'count',
  'loss',
  'sample',
  'bring',
  'found',
  'dispatch',
  'retire',
  'rename',
  'set-apart',
]);

/** Words that tie the parts of a line together. */
export const LINKS = [
  'to',
  'with',
  'from',
  'by',
  'as',
  'at',
  'of',
  'in',
  'for',
  'on',
  'using',
  'per',
  'under',
  'above',
  'over',
  'while',
  'until',
  'when',
  'after',
  'except',
  'written',
] as const;
export type LinkWord = (typeof LINKS)[number];

/** Words that open a clause: what they govern stands after them. */
export const CLAUSES = [
  'is',
  'gross',
  'tare',
  'net',
  'tag',
  'out',
  'stems',
  'destemmed',
  'crushed',
  'whole-cluster',
  'pomace',
  'lees',
  'loss',
  'leaving',
  'aerated',
  'gauge',
  'wood',
  'cooper',
  'toast',
  'first',
  'region',
  'grower',
  'planted',
  'clone',
  'estate',
  'nitrogen',
  'allergen',
  'brings',
  'batch',
  'code',
  'closure',
  'variety',
  'vintage',
  'block',
  'alcohol',
  'sic',
] as const;
export type ClauseWord = (typeof CLAUSES)[number];

/** Quantities that have no number. */
export const QUANTS = ['all', 'each', 'rest'] as const;
export type QuantWord = (typeof QUANTS)[number];

/** Other spellings of a reserved word; tidy prints the word on the right. */
export const SPELLINGS: Readonly<Record<string, LinkWord | ClauseWord | VerbWord>> = {
  into: 'to',
  leave: 'leaving',
  'set-aside': 'set-apart',
  punchdown: 'punch-down',
  pumpover: 'pump-over',
};

/** After these words the next run of characters is a code, kept letter for letter. */
export const CODE_WORDS: readonly string[] = ['tag', 'batch', 'code', 'paper'];

/** Kinds of vessel: what each holds, and whether fruit ferments in it. */
export const VESSEL_KINDS = [
  'bin',
  'tank',
  'barrel',
  'puncheon',
  'foudre',
  'keg',
  'carboy',
  'egg',
  'amphora',
  'drum',
  'flexitank',
  'press-pan',
] as const;
export type VesselKind = (typeof VESSEL_KINDS)[number];

/** Kinds of material the store keeps. */
export const MATERIAL_KINDS = [
  'yeast',
  'bacteria',
  'nutrient',
  'enzyme',
  'tannin',
  'fining agent',
  'acid',
  'sulfite',
  'solution',
  'sugar',
  'water',
  'cleaner',
  'gas',
  'oak',
  'filter aid',
  'closure',
  'glass',
  'other',
] as const;
export type MaterialKind = (typeof MATERIAL_KINDS)[number];

/** What `for` says a removal is for. */
export const REMOVALS = ['sale', 'bond', 'tasting', 'samples', 'distilling', 'vinegar', 'export', 'destroyed'] as const;

/** What `for` says of dips and counts that belong together: the cellar was gone through, vessel by vessel. */
export const STOCKTAKE = 'stocktake';

/** What `for` says a loss came from. */
export const LOSS_CAUSES = [
  'spill',
  'leak',
  'evaporation',
  'breakage',
  'spoilage',
  'cleaning',
  'theft',
  'other',
] as const;

/** What a label declares to be in the wine. */
export const DECLARED = [
  'sulfites',
  'egg',
  'milk',
  'fish',
  'crustaceans',
  'nuts',
  'wheat',
  'peanuts',
  'soybeans',
  'sesame',
] as const;
export type Declared = (typeof DECLARED)[number];

/** What a region on a label is, in the words of the laws that have a share for it. */
export const REGION_KINDS = ['area', 'county', 'state', 'country', 'protected', 'indication'] as const;
export type RegionKind = (typeof REGION_KINDS)[number];

/** The wine that fruit is meant for. */
export const STYLES = ['red', 'white', 'rosé', 'sparkling', 'sweet'] as const;
export type Style = (typeof STYLES)[number];

export const COLOURS = ['red', 'white', 'grey'] as const;
export type Colour = (typeof COLOURS)[number];

/** The form names are compared in: NFC, without regard to case, whatever the locale. */
export function fold(name: string): string {
  return name.normalize('NFC').toLowerCase();
}
