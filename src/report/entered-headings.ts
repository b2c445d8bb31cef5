/** The headings of a table from outside: which column means what, and what of it cannot be so. */
import { ANALYTES, findAnalyte } from '../../grammar/analytes.ts';
import { type Dimension, findUnit, type UnitWord } from '../../grammar/units.ts';
import { fold } from '../../grammar/words.ts';
import type { ColumnMeaning } from '../journal/csv-columns.ts';
import type { DayNumber } from '../journal/events.ts';

/** A table as it was handed in: the cells of a row as they stand, and the line of the file they end in. */
export interface HandedIn {
  readonly headings: readonly string[];
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[];
  /** What parts the cells: `,`, `;`, a tab, or what the table itself says. */
  readonly parted: string;
}

/** Something of the table that is not taken, and why. */
export interface Told {
  /** The line of the table; 0 for all of it. */
  readonly line: number;
  readonly why: string;
}

export interface Column {
  readonly at: number;
  readonly heading: string;
  readonly meaning: ColumnMeaning;
}

/** The columns that something is said of, or why they cannot be understood. */
export function columnsOf(
  { headings }: HandedIn,
  {
    columns,
    vessel,
    day,
  }: {
    readonly columns: ReadonlyMap<string, ColumnMeaning>;
    readonly vessel: string | undefined;
    readonly day: DayNumber | undefined;
  },
):
  | { readonly columns: readonly Column[]; readonly passedOver: readonly string[] }
  | { readonly problems: readonly Told[]; readonly passedOver: readonly string[] } {
  const found: Column[] = [];
  const passedOver: string[] = [];
  const problems: Told[] = [];
  const wrong = (why: string): void => {
    problems.push({ line: 0, why });
  };
  for (const [at, heading] of headings.entries()) {
    const meaning = columns.get(fold(heading.trim()));
    if (meaning === undefined) passedOver.push(heading.trim());
    else {
      if (found.some((one) => fold(one.heading) === fold(heading.trim())))
        wrong(`the heading "${heading.trim()}" stands there twice: which of the columns is meant?`);
      const problem = headingProblem(heading.trim(), meaning);
      if (problem !== undefined) wrong(problem);
      found.push({ at, heading: heading.trim(), meaning });
    }
  }
  const has = (kind: ColumnMeaning['kind']): number => found.filter(({ meaning }) => meaning.kind === kind).length;
  for (const kind of ['vessel', 'day', 'time', 'remark'] as const)
    if (has(kind) > 1) wrong(`several columns are said to be the ${kind}`);
  if (has('reading') === 0) {
    const unsaid = passedOver.filter((heading) => heading !== '').map((heading) => `"${heading}"`);
    wrong(
      `no column is known to be a measurement: say which, as --column "Brix=brix" says it of a heading "Brix"; ${
        unsaid.length === 0 ? 'every heading here means something else' : `nothing is said of ${unsaid.join(', ')}`
      }`,
    );
  }
  if (has('vessel') === 0 && vessel === undefined)
    wrong('no column tells the vessel: say which, as --column "Tank=vessel", or name one for all by --vessel');
  if (has('day') === 0 && day === undefined)
    wrong('no column tells the day: say which, as --column "Date=day day/month/year", or give one for all by --day');
  return problems.length > 0 ? { problems, passedOver } : { columns: found, passedOver };
}

/** A heading that names a unit, and a meaning that names another: one of them is wrong. */
function headingProblem(heading: string, meaning: ColumnMeaning): string | undefined {
  if (meaning.kind !== 'reading') return undefined;
  const said = namedIn(heading);
  const analyte = findAnalyte(meaning.analyte);
  if (said === undefined || analyte === undefined) return undefined;
  const { unit = analyte.unit } = meaning;
  // `F` may be short for anything
  if (heading.length === 1 && said.unit !== undefined && !analyte.dimensions.includes(said.unit.dimension))
    return undefined;
  // sugar by mass is called a percentage too
  const fits = said.unit === undefined ? fold(said.text) === fold(unit) : isOf(said.unit, meaning.unit);
  return fits ? undefined : `the heading "${heading}" says ${said.text}, and its figures are said to be in ${unit}`;
}

/** Whether figures in one unit are the same figures in another; where a word fixes its own scale, it may be called a percentage. */
function isOf(said: UnitWord, unit: string | undefined): boolean {
  if (unit === undefined) return said.dimension === 'percent';
  const meant = findUnit(unit);
  if (meant === undefined) return true;
  return (
    said.dimension === meant.dimension && said.num * meant.den === meant.num * said.den && said.offset === meant.offset
  );
}

interface NamedUnit {
  readonly text: string;
  /** Undefined for a scale that has a word of its own, as degrees Brix. */
  readonly unit: UnitWord | undefined;
}

/** Their words are everyday ones as well: `Temp min`, `Malic ac.`, `Cap temp in`. Only brackets make units of them. */
const EVERYDAY: ReadonlySet<Dimension> = new Set(['duration', 'count', 'length', 'area', 'power']);

const SCALES: readonly string[] = ANALYTES.filter(({ fixed, unit }) => fixed && unit.startsWith('°')).map(
  ({ unit }) => unit,
);

/** The unit a heading ends in, in brackets or without: `TA (g/L)`, `Temp °F`, `Temp/°C`, `free SO2, mg per L`. */
function namedIn(heading: string): NamedUnit | undefined {
  const bracketed = /[([]\s*([^()[\]]+?)\s*[)\]]\s*$/u.exec(heading)?.[1];
  if (bracketed !== undefined) return asUnit(bracketed);
  const words = heading.replace(/\s+per\s+|\s*\/\s*/giu, '/').replace(/[\s.:;,]+$/u, '');
  // the longest end that is one; a stroke may part a quantity from its unit
  const parts = [...words.matchAll(/[\s_,;:|–-]+|(?<=^\p{L}+)\//gu)];
  for (const [by, start] of [['', 0] as const, ...parts.map(({ 0: by, index }) => [by, index + by.length] as const)]) {
    const named = asUnit(words.slice(start));
    if (named === undefined) continue;
    const dimension = named.unit?.dimension;
    // behind a number it is a condition, `SG 20/20 °C`, and of `mgN/L` only the end
    const isCondition = /(?:^|[\s_,;:@])[\d.,/]+[\s_]*$/u.test(words.slice(0, start));
    const isEnd = by === '/' && (dimension === 'volume' || dimension === 'mass');
    return isCondition || isEnd || (dimension !== undefined && EVERYDAY.has(dimension)) ? undefined : named;
  }
  return undefined;
}

function asUnit(text: string): NamedUnit | undefined {
  const unit = findUnit(text);
  if (unit !== undefined) return { text, unit };
  return SCALES.some((scale) => fold(scale) === fold(text)) ? { text, unit: undefined } : undefined;
}
