/**
 * Substances a cellar buys and adds: what each is, what it brings by its molar mass, its allergen and its caution.
 *
 * Molar masses are computed from the formula with the IUPAC abridged standard atomic weights (2021). The names and kinds
 * are the trade's, from memory. A product's own label and safety data sheet, local codes and trained people come first.
 */

/** Standard atomic weights in thousandths of g/mol: IUPAC, abridged, 2021. */
const ATOMIC_WEIGHTS: Readonly<Record<string, number>> = {
  H: 1008,
  C: 12_011,
  N: 14_007,
  O: 15_999,
  Na: 22_990,
  P: 30_974,
  S: 32_060,
  Ar: 39_950,
  K: 39_098,
  Ca: 40_078,
  Cu: 63_546,
};

/** A bracketed group, an element, or a stray character of a formula; groups and elements with their counts. */
const TERM = /\(([^()]*)\)([0-9]*)|([A-Z][a-z]?)([0-9]*)|(.)/gu;

export type SubstanceKind =
  | 'sulfiting agent'
  | 'acid'
  | 'deacidifier'
  | 'nutrient'
  | 'sugar'
  | 'fining agent'
  | 'stabiliser'
  | 'preservative'
  | 'antioxidant'
  | 'carbon'
  | 'tannin'
  | 'oak'
  | 'enzyme'
  | 'yeast'
  | 'bacteria'
  | 'gas'
  | 'water'
  | 'cleaning agent';

/** What an addition can bring that the tool counts. `N` is nitrogen yeast can take up, `sugar` is as glucose and fructose. */
export type BroughtAnalyte =
  | 'SO2'
  | 'N'
  | 'Cu'
  | 'K'
  | 'Ca'
  | 'tartaric'
  | 'malic'
  | 'lactic'
  | 'citric'
  | 'ascorbic'
  | 'sorbic'
  | 'sugar';

/** Allergens as food law names them; which must be declared, and when, is for the law of the place. */
export type Allergen = 'sulfites' | 'egg' | 'milk' | 'fish' | 'wheat';

/** The exact share of a pure substance's mass that is the analyte: num / den, from molar masses in mg/mol. */
export interface Brings {
  readonly analyte: BroughtAnalyte;
  readonly num: number;
  readonly den: number;
  /** The same share rounded to parts per million, for display. */
  readonly partsPerMillion: number;
}

export interface Substance {
  readonly name: string;
  readonly kind: SubstanceKind;
  readonly form: 'solid' | 'liquid' | 'gas';
  /** Other names, without regard to case, hyphens or the spelling of sulfur. */
  readonly names: readonly string[];
  /** For a pure substance. */
  readonly formula?: string;
  /** In g/mol, for a pure substance. */
  readonly molarMass?: number;
  readonly brings: readonly Brings[];
  readonly allergen?: Allergen;
  /** One line, where handling can hurt. */
  readonly caution?: string;
}

const SHEET = 'read its safety data sheet and follow your local code';
const SULFITE = `Gives off sulfur dioxide, worse with acid: fresh air, goggles and gloves, asthmatics keep away; ${SHEET}.`;
const ACID = `Hurts eyes and skin as powder and as solution: goggles and gloves, acid into water; ${SHEET}.`;
const DUST = `The dust hurts the lungs: a mask, no draught, and keep sparks away where it is fine; ${SHEET}.`;
const SMOTHERS = `Displaces air without a warning smell: ventilate, measure, never enter or lean into a tank; ${SHEET}.`;
const CAUSTIC = `Burns eyes and skin in seconds: face shield, long gloves, apron; into water, never with acid; ${SHEET}.`;
const OXIDISER = `Burns skin and feeds fire: goggles and gloves, never with acid, chlorine or organic matter; ${SHEET}.`;

interface Part {
  readonly analyte: BroughtAnalyte;
  /** Molecules or atoms of the analyte, by formula, that one molecule of the substance brings. */
  readonly formula: string;
  readonly count: number;
}

interface Extra {
  readonly names?: readonly string[];
  readonly formula?: string;
  readonly form?: Substance['form'];
  readonly brings?: readonly Part[];
  readonly allergen?: Allergen;
  readonly caution?: string;
}

const part = (analyte: BroughtAnalyte, formula: string, count: number): Part => ({ analyte, formula, count });

/** Glucose and fructose weigh the same. */
const HEXOSE = 'C6H12O6';
const SO2 = 'SO2';
const TARTARIC = 'C4H6O6';

const ROWS: readonly (readonly [name: string, kind: SubstanceKind, extra: Extra])[] = [
  [
    'potassium metabisulfite',
    'sulfiting agent',
    {
      names: ['KMS', 'KMBS', 'potassium disulfite', 'potassium pyrosulfite', 'metabisulfite of potassium'],
      formula: 'K2S2O5',
      brings: [part('SO2', SO2, 2), part('K', 'K', 2)],
      allergen: 'sulfites',
      caution: SULFITE,
    },
  ],
  [
    'sodium metabisulfite',
    'sulfiting agent',
    {
      names: ['SMBS', 'sodium disulfite', 'sodium pyrosulfite'],
      formula: 'Na2S2O5',
      brings: [part('SO2', SO2, 2)],
      allergen: 'sulfites',
      caution: SULFITE,
    },
  ],
  [
    'potassium bisulfite',
    'sulfiting agent',
    {
      names: ['potassium hydrogen sulfite'],
      formula: 'KHSO3',
      brings: [part('SO2', SO2, 1), part('K', 'K', 1)],
      allergen: 'sulfites',
      caution: SULFITE,
    },
  ],
  [
    'sulfur dioxide',
    'sulfiting agent',
    {
      names: ['sulfur dioxide gas', 'sulfurous anhydride'],
      formula: SO2,
      form: 'gas',
      brings: [part('SO2', SO2, 1)],
      allergen: 'sulfites',
      caution: `A poisonous gas under pressure: outside air, cylinder chained, acid-gas mask, trained people only; ${SHEET}.`,
    },
  ],
  // A solution's strength is its maker's: the journal says it, the table cannot.
  [
    'sulfur dioxide solution',
    'sulfiting agent',
    { names: ['SO2 solution', 'sulfurous acid'], form: 'liquid', allergen: 'sulfites', caution: SULFITE },
  ],
  [
    'sulfur wick',
    'sulfiting agent',
    {
      names: ['sulfur wicks', 'sulfur strip', 'sulfur disc', 'sulfur pastille'],
      allergen: 'sulfites',
      caution: `Flame and poisonous gas at once: no alcohol vapour near, outside air, one barrel at a time; ${SHEET}.`,
    },
  ],

  [
    'tartaric acid',
    'acid',
    { formula: TARTARIC, names: ['L-tartaric acid'], brings: [part('tartaric', TARTARIC, 1)], caution: ACID },
  ],
  [
    'malic acid',
    'acid',
    {
      formula: 'C4H6O5',
      names: ['L-malic acid'],
      brings: [part('malic', 'C4H6O5', 1)],
      caution: ACID,
    },
  ],
  // Half of it is D-malic acid, which bacteria leave and enzymatic tests do not see: what it brings depends on the test.
  ['DL-malic acid', 'acid', { formula: 'C4H6O5', caution: ACID }],
  [
    'lactic acid',
    'acid',
    {
      formula: 'C3H6O3',
      names: ['L-lactic acid'],
      form: 'liquid',
      brings: [part('lactic', 'C3H6O3', 1)],
      caution: ACID,
    },
  ],
  [
    'citric acid',
    'acid',
    { formula: 'C6H8O7', names: ['anhydrous citric acid'], brings: [part('citric', 'C6H8O7', 1)], caution: ACID },
  ],
  [
    'citric acid monohydrate',
    'acid',
    { formula: 'C6H8O7·H2O', names: ['hydrated citric acid'], brings: [part('citric', 'C6H8O7', 1)], caution: ACID },
  ],

  [
    'potassium bicarbonate',
    'deacidifier',
    { formula: 'KHCO3', names: ['potassium hydrogen carbonate'], brings: [part('K', 'K', 1)] },
  ],
  ['potassium carbonate', 'deacidifier', { formula: 'K2CO3', brings: [part('K', 'K', 2)], caution: CAUSTIC }],
  [
    'calcium carbonate',
    'deacidifier',
    { formula: 'CaCO3', names: ['chalk', 'precipitated chalk'], brings: [part('Ca', 'Ca', 1)] },
  ],

  [
    'diammonium phosphate',
    'nutrient',
    { names: ['DAP', 'diammonium hydrogen phosphate'], formula: '(NH4)2HPO4', brings: [part('N', 'N', 2)] },
  ],
  ['ammonium sulfate', 'nutrient', { formula: '(NH4)2SO4', brings: [part('N', 'N', 2)] }],
  ['monoammonium phosphate', 'nutrient', { names: ['MAP'], formula: 'NH4H2PO4', brings: [part('N', 'N', 1)] }],
  ['nutrient', 'nutrient', { names: ['yeast nutrient', 'complex nutrient'] }],
  [
    'organic nutrient',
    'nutrient',
    { names: ['autolysed yeast', 'inactivated yeast', 'inactive yeast', 'yeast autolysate'] },
  ],
  ['rehydration nutrient', 'nutrient', { names: ['yeast rehydration nutrient', 'yeast protectant'] }],
  ['yeast hulls', 'nutrient', { names: ['yeast ghosts', 'yeast cell walls'] }],
  ['thiamine', 'nutrient', { names: ['vitamin B1', 'thiamine hydrochloride'] }],

  [
    'sucrose',
    'sugar',
    {
      names: ['sugar', 'cane sugar', 'beet sugar', 'white sugar'],
      formula: 'C12H22O11',
      // One sucrose takes up a water and becomes one glucose and one fructose.
      brings: [part('sugar', HEXOSE, 2)],
    },
  ],
  [
    'dextrose',
    'sugar',
    { names: ['glucose', 'anhydrous dextrose'], formula: HEXOSE, brings: [part('sugar', HEXOSE, 1)] },
  ],
  [
    'dextrose monohydrate',
    'sugar',
    { names: ['glucose monohydrate', 'corn sugar'], formula: 'C6H12O6·H2O', brings: [part('sugar', HEXOSE, 1)] },
  ],
  ['fructose', 'sugar', { formula: HEXOSE, brings: [part('sugar', HEXOSE, 1)] }],
  [
    'grape concentrate',
    'sugar',
    { names: ['grape must concentrate', 'juice concentrate', 'concentrated must'], form: 'liquid' },
  ],
  ['rectified concentrated must', 'sugar', { names: ['RCM', 'rectified grape concentrate'], form: 'liquid' }],

  ['bentonite', 'fining agent', { names: ['sodium bentonite', 'calcium bentonite'], caution: DUST }],
  ['gelatin', 'fining agent', { names: ['gelatine'] }],
  ['isinglass', 'fining agent', { names: ['fish glue'], allergen: 'fish' }],
  ['egg white', 'fining agent', { names: ['egg', 'egg whites', 'egg albumin', 'albumen', 'albumin'], allergen: 'egg' }],
  ['casein', 'fining agent', { names: ['potassium caseinate', 'caseinate'], allergen: 'milk' }],
  ['skim milk', 'fining agent', { names: ['milk', 'skimmed milk', 'milk powder'], allergen: 'milk' }],
  ['pea protein', 'fining agent', { names: ['vegetable protein'] }],
  ['potato protein', 'fining agent', {}],
  ['wheat gluten', 'fining agent', { names: ['gluten', 'wheat protein'], allergen: 'wheat' }],
  ['chitosan', 'fining agent', { names: ['fungal chitosan'] }],
  ['silica sol', 'fining agent', { names: ['silica gel', 'kieselsol', 'colloidal silica'], form: 'liquid' }],
  ['PVPP', 'fining agent', { names: ['polyvinylpolypyrrolidone', 'crospovidone'], caution: DUST }],
  ['fining agent', 'fining agent', { names: ['fining'] }],
  [
    'activated carbon',
    'carbon',
    { names: ['carbon', 'active carbon', 'activated charcoal', 'fining carbon'], caution: DUST },
  ],
  [
    'copper sulfate',
    'fining agent',
    {
      names: ['copper sulfate pentahydrate', 'cupric sulfate pentahydrate', 'blue vitriol', 'bluestone'],
      formula: 'CuSO4·5H2O',
      brings: [part('Cu', 'Cu', 1)],
      caution: `Poisonous and limited by law: trial first, weigh to the milligram, analyse after; ${SHEET}.`,
    },
  ],
  [
    'anhydrous copper sulfate',
    'fining agent',
    {
      formula: 'CuSO4',
      brings: [part('Cu', 'Cu', 1)],
      caution: `Poisonous and limited by law: trial first, weigh to the milligram, analyse after; ${SHEET}.`,
    },
  ],

  // Seed crystals for the cold: they come out again with the wine's own, so they bring nothing that stays.
  [
    'potassium bitartrate',
    'stabiliser',
    { names: ['cream of tartar', 'potassium hydrogen tartrate', 'KHT'], formula: 'KC4H5O6' },
  ],
  ['metatartaric acid', 'stabiliser', {}],
  ['carboxymethylcellulose', 'stabiliser', { names: ['CMC', 'cellulose gum'] }],
  ['potassium polyaspartate', 'stabiliser', { names: ['KPA'] }],
  ['mannoprotein', 'stabiliser', { names: ['mannoproteins', 'yeast mannoprotein'] }],
  ['gum arabic', 'stabiliser', { names: ['acacia', 'acacia gum', 'arabic gum'] }],
  [
    'potassium sorbate',
    'preservative',
    { names: ['sorbate'], formula: 'C6H7KO2', brings: [part('sorbic', 'C6H8O2', 1), part('K', 'K', 1)] },
  ],
  ['lysozyme', 'preservative', { names: ['egg lysozyme'], allergen: 'egg' }],
  [
    'dimethyl dicarbonate',
    'preservative',
    {
      names: ['DMDC'],
      formula: 'C4H6O5',
      form: 'liquid',
      caution: `Poisonous to breathe and burns the skin until it has broken down: closed dosing by trained people; ${SHEET}.`,
    },
  ],
  [
    'ascorbic acid',
    'antioxidant',
    { names: ['vitamin C', 'L-ascorbic acid'], formula: 'C6H8O6', brings: [part('ascorbic', 'C6H8O6', 1)] },
  ],
  ['erythorbic acid', 'antioxidant', { names: ['isoascorbic acid'], formula: 'C6H8O6' }],

  [
    'tannin',
    'tannin',
    { names: ['oenological tannin', 'enological tannin', 'grape tannin', 'oak tannin'], caution: DUST },
  ],
  ['oak', 'oak', { names: ['oak chips', 'oak staves', 'oak cubes', 'oak powder', 'chips', 'staves'] }],
  ['enzyme', 'enzyme', { names: ['pectic enzyme', 'pectinase', 'pectolytic enzyme', 'enzymes'], caution: DUST }],
  ['yeast', 'yeast', { names: ['active dry yeast', 'dried yeast', 'yeast starter'] }],
  ['malolactic bacteria', 'bacteria', { names: ['MLB', 'lactic bacteria', 'bacteria', 'malolactic culture'] }],

  ['carbon dioxide', 'gas', { names: ['carbonic gas'], formula: 'CO2', form: 'gas', caution: SMOTHERS }],
  [
    'dry ice',
    'gas',
    { names: ['carbon dioxide snow', 'solid carbon dioxide'], formula: 'CO2', caution: `Freezes skin. ${SMOTHERS}` },
  ],
  ['nitrogen', 'gas', { formula: 'N2', form: 'gas', caution: SMOTHERS }],
  ['argon', 'gas', { formula: 'Ar', form: 'gas', caution: SMOTHERS }],
  ['water', 'water', { formula: 'H2O', form: 'liquid' }],

  ['sodium hydroxide', 'cleaning agent', { names: ['caustic soda', 'caustic'], formula: 'NaOH', caution: CAUSTIC }],
  ['sodium carbonate', 'cleaning agent', { names: ['soda ash', 'washing soda'], formula: 'Na2CO3', caution: CAUSTIC }],
  ['sodium percarbonate', 'cleaning agent', { names: ['percarbonate'], caution: OXIDISER }],
  [
    'peracetic acid',
    'cleaning agent',
    { names: ['PAA', 'peroxyacetic acid'], formula: 'C2H4O3', form: 'liquid', caution: OXIDISER },
  ],
  ['hydrogen peroxide', 'cleaning agent', { formula: 'H2O2', form: 'liquid', caution: OXIDISER }],
  [
    'ozone',
    'cleaning agent',
    {
      formula: 'O3',
      form: 'gas',
      caution: `Poisonous at a tenth of a part per million: ventilate and measure; ${SHEET}.`,
    },
  ],
];

/** Every substance the tool knows. */
export const SUBSTANCES: readonly Substance[] = ROWS.map(([name, kind, extra]) => {
  const { formula } = extra;
  return {
    name,
    kind,
    form: extra.form ?? 'solid',
    names: extra.names ?? [],
    ...(formula === undefined ? {} : { formula, molarMass: milligramsPerMole(formula) / 1000 }),
    brings: formula === undefined ? [] : (extra.brings ?? []).map((brought) => share(brought, formula)),
    ...(extra.allergen === undefined ? {} : { allergen: extra.allergen }),
    ...(extra.caution === undefined ? {} : { caution: extra.caution }),
  };
});

function share(brought: Part, formula: string): Brings {
  const num = brought.count * milligramsPerMole(brought.formula);
  const den = milligramsPerMole(formula);
  return { analyte: brought.analyte, num, den, partsPerMillion: Math.round((num / den) * 1_000_000) };
}

/**
 * The molar mass of a formula such as `(NH4)2HPO4` or `CuSO4·5H2O`, in whole mg/mol (thousandths of g/mol).
 *
 * @throws RangeError for an element the table does not hold or a formula that does not close: formulas are the program's own.
 */
export function milligramsPerMole(formula: string): number {
  let sum = 0;
  for (const molecule of formula.split('·')) {
    const [, count, body = ''] = /^([0-9]*)(.*)$/u.exec(molecule) ?? [];
    sum += Number(count || 1) * groupMass(body);
  }
  return sum;
}

function groupMass(body: string): number {
  let sum = 0;
  for (const [, group, groupCount, element, count, stray] of body.matchAll(TERM)) {
    const mass = group !== undefined ? groupMass(group) : ATOMIC_WEIGHTS[element ?? ''];
    if (stray !== undefined || mass === undefined) throw new RangeError(`no molar mass for ${body}`);
    sum += mass * Number((group !== undefined ? groupCount : count) || 1);
  }
  return sum;
}

const byName = new Map<string, Substance>();
for (const substance of SUBSTANCES) {
  const { formula } = substance;
  for (const name of [substance.name, ...substance.names]) byName.set(plainWords(name), substance);
  // The first substance of a formula has it as a name: glucose and fructose share one.
  if (formula !== undefined && !byName.has(plainWords(formula))) byName.set(plainWords(formula), substance);
}

/** A name without what spellings differ in: case, blanks and hyphens, `sulph` for `sulf`, small digits, the dot of a hydrate. */
function plainWords(words: string): string {
  return words
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s\-_·.]+/gu, ' ')
    .trim()
    .replace(/sulph/gu, 'sulf')
    .replace(/\bmeta bisulf/gu, 'metabisulf');
}

/** The substance that words mean, by name, other name or formula, without regard to case; `undefined` if unknown. */
export function findSubstance(words: string): Substance | undefined {
  return byName.get(plainWords(words));
}

/** The share of an analyte a substance brings, or `undefined` where it brings none or the table does not know. */
export function broughtShare(substance: Substance, analyte: BroughtAnalyte): Brings | undefined {
  return substance.brings.find((brought) => brought.analyte === analyte);
}
