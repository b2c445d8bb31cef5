/** How figures are worked out: the house's methods, the rules the volumes are kept by, and every calculation with its source. */
import { DRY, FALL, LONGEST_FERMENT, STILL_SWEET } from '../cellar/stages.ts';
import { alcoholConvention, molecularMethod, sayConvention } from '../journal/house-methods.ts';
import type { Tolerances } from '../journal/register.ts';
import { ACID_CALCULATIONS } from '../trade/calculations/acid.ts';
import { ADDITION_CALCULATIONS } from '../trade/calculations/additions.ts';
import { ALCOHOL_CALCULATIONS } from '../trade/calculations/alcohol.ts';
import { BLENDING_CALCULATIONS } from '../trade/calculations/blending.ts';
import type { Calculation } from '../trade/calculations/calculation.ts';
import { FERMENT_CALCULATIONS } from '../trade/calculations/ferment.ts';
import { GAS_AND_HEAT_CALCULATIONS } from '../trade/calculations/gas-and-heat.ts';
import { GAUGING_CALCULATIONS } from '../trade/calculations/gauging.ts';
import { NUTRIENT_CALCULATIONS } from '../trade/calculations/nutrients.ts';
import { SUGAR_CALCULATIONS } from '../trade/calculations/sugar.ts';
import { SULFUR_DIOXIDE_CALCULATIONS } from '../trade/calculations/sulfur-dioxide.ts';
import { SULFUR_DIOXIDE_METHOD_NAMES } from '../trade/sulfur-dioxide.ts';
import type { ReportContext } from './context.ts';
import { capital } from './names.ts';
import { cell, type Sheet } from './sheet.ts';

export interface Rule {
  /** Its anchor: figures on other pages lead to it. */
  readonly id: string;
  readonly title: string;
  readonly paragraphs: readonly string[];
  readonly sources: readonly string[];
}

export interface MethodModel {
  readonly path: string;
  readonly house: Sheet;
  readonly tolerances: Sheet;
  readonly rules: readonly Rule[];
  readonly groups: readonly {
    readonly id: string;
    readonly title: string;
    readonly rows: readonly (Pick<Calculation, 'name' | 'formula' | 'range' | 'sources' | 'example'> & {
      readonly say: string;
      readonly caution: string | undefined;
    })[];
  }[];
}

const GROUPS: readonly (readonly [id: string, title: string, rows: readonly Calculation[]])[] = [
  ['sugar', 'Sugar and density', SUGAR_CALCULATIONS],
  ['alcohol', 'Alcohol and extract', ALCOHOL_CALCULATIONS],
  ['ferment', 'Pace of a ferment', FERMENT_CALCULATIONS],
  ['sulfur-dioxide', 'Sulfur dioxide', SULFUR_DIOXIDE_CALCULATIONS],
  ['acid', 'Acids', ACID_CALCULATIONS],
  ['nutrients', 'Nutrients', NUTRIENT_CALCULATIONS],
  ['rates', 'Rates and solutions', ADDITION_CALCULATIONS],
  ['blending', 'Blends', BLENDING_CALCULATIONS],
  ['gas-and-heat', 'Gas and heat', GAS_AND_HEAT_CALCULATIONS],
  ['gauging', 'Gauging', GAUGING_CALCULATIONS],
];

const PRACTICE = 'Common practice, no source.';

/** The rules of the book, in the order a reader meets them. */
const RULES: readonly Rule[] = [
  {
    id: 'volumes',
    title: 'Volumes',
    paragraphs: [
      'Every volume is kept in whole microlitres, whatever unit it was written in, and no litre goes unexplained: in every movement what leaves equals what arrives, with the lees, what was lost and what was left behind. Pages round; the accounts of lots and months show as much as the book holds.',
      'What a lot was made of, plus what was bought, found, blended in, added as liquid, gained at dips and settled, is what was blended out, set apart, bottled, dispatched, drawn as samples, left with lees and pomace, lost, evaporated and lost at dips, plus what is on hand.',
    ],
    sources: [],
  },
  {
    id: 'dips',
    title: 'Dips and counts',
    paragraphs: [
      'A dip or a count is the word on what is there. The book takes it over, and the difference from what it had is a gain or a loss of that day; beyond the tolerance it is a finding as well.',
    ],
    sources: [],
  },
  {
    id: 'estimates',
    title: 'Estimates and settled must',
    paragraphs: [
      'A volume written with ~ was not measured. It may be off within the tolerance, and everything that follows from it shows ~ too. Draining and pressing settle it: by how much the must was more or less than guessed is told as settled must, and is neither gain nor loss.',
    ],
    sources: [],
  },
  {
    id: 'shares',
    title: 'What a wine is made of',
    paragraphs: [
      'Every litre carries its block, grape, vintage, region and grower, and whether it ran free or was pressed. A movement takes of all of them in proportion, to the last microlitre, so the share of each is known in every vessel on every day. Added water and solutions have no origin and are left out of shares. Shares are rounded down: none is made to look as if it reached a limit.',
      'The pages of vintages and blocks follow the same movements back to the loads of fruit. Losses of a blend fall on its vintages and blocks by what it was made of at that moment.',
    ],
    sources: [],
  },
  {
    id: 'topping',
    title: 'Topping and evaporation',
    paragraphs: [
      'After a topping the vessel is full. What went in beyond the headspace the book knew of had evaporated since, and is told as evaporation of the day of the topping. A barrel counts as untopped since its last top line, or since it was filled where that is later.',
    ],
    sources: [PRACTICE],
  },
  {
    id: 'must-yield',
    title: 'Must yield',
    paragraphs: [
      'Must as it was first written, over the fruit that was used (received, less what was sorted out). Where fruit was crushed that counts skins and pips too; where it was pressed as it came it is the juice. The two are not to be compared.',
    ],
    sources: [],
  },
  {
    id: 'wine-yield',
    title: 'Wine yield',
    paragraphs: [
      'What left the skins, free run and pressings with their lees, over the fruit that was used: must made, plus or minus what settled, less what stayed with the pomace. Later losses are no matter of the fruit and are not taken off. It is known once the must is pressed. Pages, the export and the check of pressings all use this one; the check asks whether it lies between 400 and 850 L/t.',
      'A block’s part of fruit crushed together is by weight.',
    ],
    sources: [
      'American Journal of Enology and Viticulture 34 (1983): 130 to 185 US gallons a short ton, which is 542 to 772 L/t.',
    ],
  },
  {
    id: 'crop',
    title: 'Crop',
    paragraphs: ['Net weight of a vintage’s loads from a block over the area the block is declared with.'],
    sources: [],
  },
  {
    id: 'months',
    title: 'Months',
    paragraphs: [
      'A month starts with what the last one ended with. At the start, plus made, received and gained, less bottled, dispatched and lost, is what it ends with: in vessels and in bottle each by itself. What moves between vessels is no part of it. An entry counts to the day it is written under.',
    ],
    sources: [],
  },
  {
    id: 'wine',
    title: 'When must is wine, and of which class',
    paragraphs: [
      `Must and juice are a material. A vessel holds wine from the moment its ferment has ended and its volume is known by measure, or from when the wine leaves the fermenter, whichever comes first: a drain or a pressing at ${STILL_SWEET} °Bx or less, a racking off a ferment that has ended, or filling it into bottles. A volume that is only estimated waits for its dip; wine that leaves the fermenter by an estimate counts at once, and is marked. What has not come so far stands apart at the end of a period, vessel by vessel. Must on its skins is must until it leaves them, however dry; pomace never was wine. What is brought in is wine unless its first reading of sugar, on that day or before anything else is done with it, is ${STILL_SWEET} °Bx or more: then it came as must. A must nobody ever read the sugar of stays must.`,
      'The class of a wine goes by the last alcohol read of it; where none was read, by the alcohol that the highest sugar seen of its must promises, and where there is neither, it is taken for the weakest class. Wine poured together has the mean of its parts by volume, until it is read. Its gas goes by the last carbon dioxide read, and bottles of a lot that is `for sparkling` are sparkling wine. Wine that goes from one class to another by blending, or because a reading shows it, is told in both; blending within a class moves nothing.',
      'Volumes by class are told in litres and wine gallons to a hundredth. Every line is the difference of two rounded running sums since the first day, and what there is at a start or an end is rounded from the exact volume; what the lines miss it by, half a hundredth at most for each kind of line, stands as a line of its own. So a start is the last end, months add up to quarters and years, and bottled wine is the same seen from either side.',
      'Losses of a year are held against what the chosen law lets be lost before a claim is needed: what was lost of wine produced in the same calendar year against what was produced, the rest against what was there at the start and received. What a vessel held goes by its larger part.',
    ],
    sources: [
      'Produced at the end of fermentation or on leaving the fermenter: 27 CFR 24.176(b), edition of 2015.',
      'Losses in production or storage: 27 CFR 24.266(b), editions of 2001, 2006 and 2015; that each share is held against its own losses is our reading.',
      'Litres × 0.26417: 27 CFR 24.300; the US gallon is 3.785411784 L: NIST Handbook 44, appendix C.',
    ],
  },
  {
    id: 'additions',
    title: 'Additions',
    paragraphs: [
      'A rate is worked out on the volume the vessel held at that moment, an amount in all is shared over the vessels by their volume, and both are kept in micrograms. What a material brings is worked out from its formula by molar masses, or taken from the line that declares it. Materials move with the wine, in proportion, so a blend knows what its parts were given.',
    ],
    sources: ['Atomic weights: IUPAC, abridged standard values, 2021.'],
  },
  {
    id: 'store',
    title: 'The store and its batches',
    paragraphs: [
      'What should be there of a material is what was counted last, plus what was bought since, less what was used since; without a count it is all that was bought less all that was used. A count takes over, and the difference is told.',
      'A batch is followed from the lines that added it through every movement into other lots and bottles. Where a line names no batch, the only one bought by then is taken for it; where there were several, each may have been the one.',
    ],
    sources: [],
  },
  {
    id: 'ferments',
    title: 'Ferments',
    paragraphs: [
      `A lot ferments from its yeast on, or from a fall of ${FALL} °Bx from the highest reading, until it reads ${String(DRY).replace('-', '−')} °Bx or less, is pressed or drained dry, or has lasted ${LONGEST_FERMENT / 1440} days and lies on no skins. Its length is the days between.`,
    ],
    sources: [PRACTICE],
  },
];

export function methodModel({ settings }: ReportContext): MethodModel {
  return {
    path: 'method.html',
    house: houseSheet(settings.methods, [
      ['molecular SO2', SULFUR_DIOXIDE_METHOD_NAMES[molecularMethod(settings)]],
      ['alcohol from sugar', sayConvention(alcoholConvention(settings))],
    ]),
    tolerances: toleranceSheet(settings.tolerances),
    rules: RULES,
    groups: GROUPS.map(([id, title, rows]) => ({
      id: `about-${id}`,
      title,
      rows: rows.map(({ name, say, formula, range, sources, caution, example }) => ({
        name,
        say: sentence(say),
        formula,
        range: sentence(range),
        sources: sources.map(sentence),
        caution,
        example,
      })),
    })),
  };
}

const sentence = (text: string): string => (/[.!?]$/u.test(text) ? capital(text) : `${capital(text)}.`);

/** What the house takes where it says nothing stands too: it decides figures as well. */
function houseSheet(
  methods: ReadonlyMap<string, string>,
  decided: readonly (readonly [what: string, how: string])[],
): Sheet {
  const written = [...methods].filter(([analyte]) => analyte !== 'molecular SO2' && analyte !== 'alcohol');
  return {
    label: 'Methods of the house',
    caption: 'A method line sets them; readings are taken as made by them where their line says nothing',
    columns: [{ name: 'Of' }, { name: 'By', kind: 'words' }],
    rows: [...decided, ...written].map(([what, how]) => ({ cells: [cell(what), cell(how)] })),
    sort: false,
  };
}

const TOLERATED: readonly (readonly [key: keyof Tolerances, says: string])[] = [
  ['dip', 'a dip against the book'],
  ['volume', 'volumes of a movement against each other'],
  ['estimate', 'a volume written with ~'],
  ['topping', 'wine of another lot in a vessel before it wants a name of its own'],
  ['capacity', 'wine beyond what a vessel takes'],
  ['pressing', 'wine and pomace against the must or the fruit pressed'],
];

function toleranceSheet(tolerances: Tolerances): Sheet {
  return {
    label: 'Tolerances',
    caption: 'How far things may be off before a finding says so; a tolerance line sets it',
    columns: [{ name: 'Of' }, { name: 'What may differ', kind: 'words' }, { name: 'By', kind: 'number' }],
    rows: TOLERATED.map(([key, says]) => ({
      cells: [cell(key), cell(says), cell(`${tolerances[key] / 10_000} %`)],
    })),
    sort: false,
  };
}
