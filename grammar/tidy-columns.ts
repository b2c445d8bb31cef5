/** How the columns of a table of readings are laid out: each by what its own head says, never by the rows below it. */
import { type Analyte, findAnalyte } from './analytes.ts';
import type { Item, Part, Word } from './entries.ts';
import { findUnit } from './units.ts';

export interface TableColumn {
  /** The first place of its field, counted from the beginning of the row's name. */
  readonly from: number;
  /** Places before the decimal point, and behind it. */
  readonly whole: number;
  readonly decimals: number;
}

export interface TableLayout {
  readonly columns: readonly TableColumn[];
  /** Where a remark or a comment begins, counted from the beginning of the row's name. */
  readonly remark: number;
  /** The units in the head, each a word behind its measurement. */
  readonly units: readonly Word[];
}

/** The first column's place: short names and three blanks. */
const FIRST = 7;
const GAP = 3;
const REMARK_GAP = 4;

/** Words of a measurement at most: `ambient temp`. */
const LONGEST = 3;

interface Head {
  readonly analyte: Analyte;
  readonly unit: Word | undefined;
}

const isWord = (part: Part | undefined): part is Word => part?.type === 'word' && part.to === undefined;

/** The measurement that begins at a part, by as many words as belong to it. */
function analyteAt(parts: readonly Part[], at: number): { analyte: Analyte; next: number } | undefined {
  let words = '';
  let found: { analyte: Analyte; next: number } | undefined;
  for (let i = at; i < at + LONGEST; i++) {
    const part = parts[i];
    if (!isWord(part)) break;
    words = words === '' ? part.text : `${words} ${part.text}`;
    const analyte = findAnalyte(words);
    if (analyte !== undefined) found = { analyte, next: i + 1 };
  }
  return found;
}

/** Whether a list item begins with a measurement and not with a name. */
export const beginsWithAnalyte = (item: Item): boolean => analyteAt(item.parts, 0) !== undefined;

function headsOf(items: readonly Item[]): Head[] | undefined {
  const parts = items.flatMap((item): Part[] => [...item.parts]);
  const heads: Head[] = [];
  let at = 0;
  while (at < parts.length) {
    const found = analyteAt(parts, at);
    if (found === undefined) return undefined;
    const next = parts[found.next];
    const isUnit = isWord(next) && findUnit(next.text) !== undefined && analyteAt(parts, found.next) === undefined;
    heads.push({ analyte: found.analyte, unit: isUnit ? next : undefined });
    at = found.next + (isUnit ? 1 : 0);
  }
  return heads;
}

/** Places for the figures of a measurement: as many as its usual range needs, and decimals to make three figures or four. */
function widthOf({ analyte, unit }: Head): { whole: number; decimals: number } {
  const [low, high] = analyte.plausible;
  const own = unit === undefined || findUnit(unit.text)?.symbol === (findUnit(analyte.unit)?.symbol ?? analyte.unit);
  // a figure in another unit may be longer: 60 F is 15.6 C
  if (!own) return { whole: 3, decimals: 1 };
  const whole = Math.max(String(Math.trunc(low)).length, String(Math.trunc(high)).length);
  return { whole, decimals: high >= 100 ? 0 : high >= 5 ? 1 : high >= 2 ? 2 : 3 };
}

/** The layout that the head of a `readings` line gives its rows; undefined where a column is not known. */
export function layoutOf(items: readonly Item[]): TableLayout | undefined {
  const heads = headsOf(items);
  if (heads === undefined) return undefined;
  let from = FIRST;
  const columns = heads.map((head): TableColumn => {
    const column = { from, ...widthOf(head) };
    from = endOfColumn(column) + GAP;
    return column;
  });
  return {
    columns,
    remark: from - GAP + REMARK_GAP,
    units: heads.flatMap(({ unit }) => (unit === undefined ? [] : [unit])),
  };
}

/** One past the last place of a column. */
export const endOfColumn = ({ from, whole, decimals }: TableColumn): number =>
  from + whole + (decimals === 0 ? 0 : decimals + 1);
