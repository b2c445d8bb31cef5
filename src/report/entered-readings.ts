/** A laboratory's or a logger's table as readings of a journal: its columns understood, its rows held against the record. */
import { findAnalyte } from '../../grammar/analytes.ts';
import { nearest } from '../../grammar/suggest.ts';
import { fold } from '../../grammar/words.ts';
import type { Book } from '../cellar/book.ts';
import type { ColumnMeaning } from '../journal/csv-columns.ts';
import type { DayNumber, Measure, Minute } from '../journal/events.ts';
import { valueIn } from '../journal/measures.ts';
import { clock, dayOf, isoDay, MINUTES_A_DAY } from './dates.ts';
import { type DecimalMark, decimalMarkOf, readDay, readFigure, readTime } from './entered-cells.ts';
import { type Column, columnsOf, type HandedIn, type Told } from './entered-headings.ts';
import type { TextColumn, TextTable } from './readings-text.ts';

export interface EnterOptions {
  /** By heading, folded. */
  readonly columns: ReadonlyMap<string, ColumnMeaning>;
  /** What all rows are of, and the day of all, where the table has no column that says so. */
  readonly vessel: string | undefined;
  readonly day: DayNumber | undefined;
  /** What stands before decimals; without it, as far as the figures tell. */
  readonly decimal: DecimalMark | undefined;
}

export interface Entered {
  /** In the order of time. */
  readonly tables: readonly TextTable[];
  /** Figures that are taken. */
  readonly taken: number;
  /** Figures that the journal has already. */
  readonly known: number;
  /** Figures that another row of the table has as well: they are taken once. */
  readonly doubled: number;
  /** Figures that are not what the journal has: they are left out. */
  readonly differing: readonly Told[];
  /** Figures that are not what an earlier row of the table has: they are left out. */
  readonly clashing: readonly Told[];
  /** Rows that cannot be read: they are left out whole. */
  readonly refused: readonly Told[];
  /** Headings that nothing says the meaning of. */
  readonly passedOver: readonly string[];
}

/** A figure of a row. */
interface Figure {
  readonly column: TextColumn;
  readonly value: number;
  readonly text: string;
  readonly mark: Measure['mark'];
}

interface Row {
  readonly line: number;
  readonly name: string;
  /** What it names: `vessel 3`. */
  readonly target: string;
  readonly day: DayNumber;
  /** Within the day; undefined where the table tells none. */
  readonly minute: Minute | undefined;
  /** Where it stands in the journal: as told, or where there was something to be read of for the first time on that day. */
  readonly stands: Minute | undefined;
  readonly figures: readonly Figure[];
  readonly remark: string;
}

/** What the table comes to; nothing of it is taken where its columns cannot be understood, which `refused` tells then. */
export function enterReadings(book: Book, table: HandedIn, options: EnterOptions): Entered {
  const found = columnsOf(table, options);
  const none = { tables: [], taken: 0, known: 0, doubled: 0, differing: [], clashing: [] };
  if ('problems' in found) return { ...none, refused: found.problems, passedOver: found.passedOver };
  const decimal = options.decimal ?? decimalMarkOf(figuresIn(table, found.columns), table.parted);
  if (typeof decimal !== 'string')
    return { ...none, refused: [{ line: 0, why: decimal.why }], passedOver: found.passedOver };
  const names = new Names(book);
  const refused: Told[] = [];
  const rows: Row[] = [];
  for (const { line, cells } of table.rows) {
    if (cells.every((cell) => cell.trim() === '')) continue;
    const row = rowOf(line, cells, found.columns, { table, options, names, decimal });
    if ('why' in row) refused.push(row);
    else rows.push(row);
  }
  return { ...against(book, rows, columnsAsRead(found.columns)), refused, passedOver: found.passedOver };
}

// names

/** What a row names. */
interface Named {
  readonly name: string;
  readonly target: string;
  /** Nothing can be read of it before. */
  readonly since: Minute;
}

/** What a name of the table can be: a vessel, a lot, or a sample that was drawn. */
class Names {
  private readonly known = new Map<string, Named>();

  constructor({ vessels, lots, happenings }: Book) {
    const add = (name: string, target: string, since: Minute): void => {
      if (!this.known.has(fold(name))) this.known.set(fold(name), { name, target, since });
    };
    for (const { facts } of vessels) add(facts.name, `vessel ${facts.id}`, Number.NEGATIVE_INFINITY);
    for (const { facts } of lots) add(facts.name, `lot ${facts.id}`, facts.since);
    for (const { event } of happenings)
      if (event.kind === 'leave' && event.sample !== undefined)
        add(event.sample, `sample ${fold(event.sample)}`, event.minute);
  }

  find(name: string): Named | { readonly why: string } {
    const found = this.known.get(fold(name.trim()));
    if (found !== undefined) return found;
    const near = nearest(
      name.trim(),
      [...this.known.values()].map((one) => one.name),
    );
    const likeness = near === undefined ? '' : `; did you mean ${near}?`;
    return { why: `there is no vessel, lot or sample "${name.trim()}"${likeness}` };
  }
}

// rows

/** What a row is read with. */
interface Reading {
  readonly table: HandedIn;
  readonly options: EnterOptions;
  readonly names: Names;
  readonly decimal: DecimalMark;
}

/** The cells in which figures stand. */
const figuresIn = ({ rows }: HandedIn, columns: readonly Column[]): string[] =>
  columns.flatMap(({ at, meaning }) => (meaning.kind === 'reading' ? rows.map(({ cells }) => cells[at] ?? '') : []));

function rowOf(
  line: number,
  cells: readonly string[],
  columns: readonly Column[],
  { table: { headings }, options, names, decimal }: Reading,
): Row | Told {
  const no = (why: string): Told => ({ line, why });
  if (cells.length !== headings.length)
    return no(`it has ${cells.length} cells, and there are ${headings.length} headings`);
  const cellOf = (kind: ColumnMeaning['kind']): string | undefined => {
    const column = columns.find(({ meaning }) => meaning.kind === kind);
    return column === undefined ? undefined : (cells[column.at] ?? '').trim();
  };
  const named = names.find(cellOf('vessel') ?? options.vessel ?? '');
  if ('why' in named) return no(named.why);
  const when = whenOf(columns, cellOf('day'), cellOf('time'), options.day);
  if ('why' in when) return no(when.why);
  const figures: Figure[] = [];
  for (const { at, heading, meaning } of columns) {
    if (meaning.kind !== 'reading') continue;
    const read = readFigure(cells[at] ?? '', meaning, decimal);
    if (read === undefined) continue;
    if ('why' in read) return no(`${heading}: ${read.why}`);
    const analyte = findAnalyte(meaning.analyte);
    const value = analyte === undefined ? undefined : valueIn(analyte, read.text, meaning.unit);
    if (value === undefined) return no(`${heading}: ${read.text} is no figure of ${meaning.analyte}`);
    figures.push({ column: { analyte: meaning.analyte, unit: meaning.unit }, value, ...read });
  }
  const { name, target, since } = named;
  const first = since - when.day * MINUTES_A_DAY;
  if (first >= MINUTES_A_DAY || (when.minute !== undefined && when.minute < first))
    return no(`${name} was not there yet: it begins on ${isoDay(dayOf(since))} at ${clock(since)}`);
  const stands = when.minute ?? (first > 0 ? first : undefined);
  return { line, name, target, ...when, stands, figures, remark: cellOf('remark') ?? '' };
}

function whenOf(
  columns: readonly Column[],
  day: string | undefined,
  time: string | undefined,
  all: DayNumber | undefined,
): { readonly day: DayNumber; readonly minute: Minute | undefined } | { readonly why: string } {
  const own = time === undefined || time === '' ? undefined : readTime(time);
  if (own !== undefined && typeof own !== 'number') return own;
  const meaning = columns.find((column) => column.meaning.kind === 'day')?.meaning;
  if (day === undefined || meaning?.kind !== 'day')
    return all === undefined ? { why: 'it has no day' } : { day: all, minute: own };
  const read = readDay(day, meaning.order);
  return 'why' in read ? read : { day: read.day, minute: own ?? read.minute };
}

// against the record

/** Figures of one thing measured in one place on one day, by the minute within it; `undefined` for no time told. */
type OnDay = {
  readonly minute: Minute | undefined;
  readonly value: number;
  readonly mark: string;
  readonly where: string;
  /** Whether the journal has it, or an earlier row of the table. */
  readonly recorded: boolean;
}[];

function against(
  book: Book,
  rows: readonly Row[],
  columns: readonly TextColumn[],
): Omit<Entered, 'refused' | 'passedOver'> {
  const record = recordOf(book);
  const differing: Told[] = [];
  const clashing: Told[] = [];
  const accepted: Row[] = [];
  let taken = 0;
  let known = 0;
  let doubled = 0;
  for (const row of [...rows].sort(byTime)) {
    const fresh = row.figures.filter((figure) => {
      const key = keyOf(row.target, row.day, figure.column.analyte);
      const there = record.get(key) ?? [];
      // without a time it can be any of the day's
      const met = there.filter(
        (one) => one.minute === undefined || row.minute === undefined || one.minute === row.minute,
      );
      const same = met.filter((one) => one.value === figure.value && one.mark === figure.mark);
      if (same.length > 0) {
        if (same.some(({ recorded }) => recorded)) known++;
        else doubled++;
        return false;
      }
      const [other] = met;
      if (other !== undefined) {
        const { analyte, unit = '' } = figure.column;
        (other.recorded ? differing : clashing).push({
          line: row.line,
          why: `${row.name}, ${isoDay(row.day)}: ${analyte} is ${figure.mark}${figure.text}${unit === '' ? '' : ` ${unit}`} here and ${other.where}`,
        });
        return false;
      }
      record.set(key, [
        ...there,
        {
          ...figure,
          minute: row.stands,
          where: `${figure.mark}${figure.text} in line ${row.line} of the table`,
          recorded: false,
        },
      ]);
      return true;
    });
    taken += fresh.length;
    if (fresh.length > 0) accepted.push({ ...row, figures: fresh });
  }
  return { tables: tablesOf(accepted, columns), taken, known, doubled, differing, clashing };
}

const byTime = (a: Row, b: Row): number => a.day - b.day || (a.stands ?? -1) - (b.stands ?? -1) || a.line - b.line;

const keyOf = (target: string, day: DayNumber, analyte: string): string => `${target} ${day} ${analyte}`;

/** What the journal has read, by place, day and analyte. */
function recordOf({ happenings, files }: Book): Map<string, OnDay> {
  const record = new Map<string, OnDay>();
  for (const { event } of happenings) {
    if (event.kind !== 'reading') continue;
    const day = dayOf(event.minute);
    const within = event.minute - day * MINUTES_A_DAY;
    const path = files[event.place.file]?.path ?? '';
    const targets =
      event.sample === undefined
        ? event.targets.flatMap((target) =>
            target.kind === 'vessel' ? [`vessel ${target.vessel}`] : target.kind === 'lot' ? [`lot ${target.lot}`] : [],
          )
        : [`sample ${fold(event.sample)}`];
    for (const target of targets) {
      for (const { analyte, value, mark, said } of event.measures) {
        const key = keyOf(target, day, analyte);
        const where = `${said} in ${path}:${event.place.line}`;
        // an entry without a time stands at the start of its day
        const minute = within === 0 ? undefined : within;
        record.set(key, [...(record.get(key) ?? []), { minute, value, mark, where, recorded: true }]);
      }
    }
  }
  return record;
}

/** What is measured, each once, in the order of the headings. */
function columnsAsRead(columns: readonly Column[]): TextColumn[] {
  const found: TextColumn[] = [];
  for (const { meaning } of columns) {
    if (meaning.kind !== 'reading') continue;
    const column = { analyte: meaning.analyte, unit: meaning.unit };
    if (!found.some((one) => isSame(one, column))) found.push(column);
  }
  return found;
}

/** Rows of one day and one time stand in one table. */
function tablesOf(rows: readonly Row[], all: readonly TextColumn[]): TextTable[] {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const key = `${row.day} ${row.stands ?? ''}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [row]);
    else group.push(row);
  }
  return [...groups.values()].flatMap((group) => {
    const [first] = group;
    if (first === undefined) return [];
    const columns = all.filter((one) => group.some(({ figures }) => figures.some(({ column }) => isSame(one, column))));
    return [
      {
        day: first.day,
        time: first.stands === undefined ? '' : clock(first.stands),
        columns,
        rows: group.map(({ name, figures, remark }) => ({
          name,
          cells: columns.map((column) => {
            const figure = figures.find((one) => isSame(one.column, column));
            return figure === undefined ? '' : `${figure.mark}${figure.text}`;
          }),
          remark,
        })),
      },
    ];
  });
}

const isSame = (a: TextColumn, b: TextColumn): boolean => a.analyte === b.analyte && a.unit === b.unit;
