/** Readings as lines of a journal: tables by day and time, in the tidy form. */
import { type Analyte, findAnalyte } from '../../grammar/analytes.ts';
import { weekday } from '../../grammar/dates.ts';
import { asWritten } from '../../grammar/fixes.ts';
import { tidy } from '../../grammar/tidy.ts';
import type { DayNumber } from '../journal/events.ts';
import { isoDay } from './dates.ts';

/** A column: what was measured, and the unit its figures have where the word does not fix one. */
export interface TextColumn {
  readonly analyte: string;
  readonly unit: string | undefined;
}

export interface TextRow {
  /** The vessel, the lot or the sample. */
  readonly name: string;
  /** A figure a column, or nothing where none was taken. */
  readonly cells: readonly string[];
  readonly remark?: string;
  /** Stands behind `#`: it is no part of the record. */
  readonly comment?: string;
}

/** What was read at one time. */
export interface TextTable {
  readonly day: DayNumber;
  /** `07:40`, or nothing. */
  readonly time: string;
  readonly columns: readonly TextColumn[];
  readonly rows: readonly TextRow[];
}

/** Words that cannot leave their place: no line breaks, no marks that steer. */
const plain = (words: string): string => words.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\s]+/gu, ' ').trim();

/** A unit as it can head a column: the sign stands behind numbers only. */
const asWord = (unit: string): string => (unit === '%' ? 'percent' : unit);

/** The tables as text, each day named once; they stand in the order in which they come. */
export function readingsText(tables: readonly TextTable[], comment = ''): string {
  const lines: string[] = [];
  let day: DayNumber | undefined;
  for (const table of tables) {
    if (table.day !== day) {
      if (day !== undefined) lines.push('');
      lines.push(`${isoDay(table.day)} ${weekday(table.day)}`);
      if (comment !== '') lines.push(`# ${plain(comment)}`);
    }
    day = table.day;
    const head = table.columns.map(({ analyte, unit }) =>
      [analyte, ...(unit === undefined ? [] : [asWord(unit)])].join(' '),
    );
    lines.push([table.time, 'readings', head.join(', ')].filter((part) => part !== '').join(' '));
    for (const { name, cells, remark = '', comment: beside = '' } of table.rows) {
      const row = [asWritten(name), ...cells.map((cell) => (cell === '' ? '-' : cell))];
      const behind = [remark === '' ? '' : `-- ${plain(remark)}`, beside === '' ? '' : `# ${plain(beside)}`];
      lines.push(`      ${[...row, ...behind].filter((part) => part !== '').join(' ')}`);
    }
  }
  return lines.length === 0 ? '' : tidy(`${lines.join('\n')}\n`).text;
}

/** The unit a house writes figures of an analyte in; none where its word fixes it. */
export function writtenUnit({ fixed, unit }: Analyte, temperature: 'C' | 'F'): string | undefined {
  if (fixed) return undefined;
  return unit === '°C' ? temperature : unit === '%vol' ? '%' : unit;
}

export function textColumn(key: string, temperature: 'C' | 'F'): TextColumn {
  const analyte = findAnalyte(key);
  return { analyte: key, unit: analyte === undefined ? undefined : writtenUnit(analyte, temperature) };
}
