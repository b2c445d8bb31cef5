/** The season day by day: a calendar of the kinds of work, and a line a day that leads to where the journal tells it. */
import type { Happening } from '../cellar/book.ts';
import type { DayNumber, Event } from '../journal/events.ts';
import type { CalendarRow, SeasonCalendar } from './charted.ts';
import type { ReportContext } from './context.ts';
import { civil, dayOf, dayText, firstOfMonth, isoDay, monthWord, weekday } from './dates.ts';
import { linesOf } from './finding-list.ts';
import { kindOf } from './journal-page.ts';
import { Known } from './known.ts';
import { type Link, lineHref } from './links.ts';
import { counted } from './names.ts';

/** A year with its calendar and the days of its last month, or the days of another month. */
export interface DaysPage {
  readonly path: string;
  readonly title: string;
  readonly year: number;
  /** The month whose days it tells, from 1. */
  readonly month: number;
  readonly whole: boolean;
}

export interface DayRow {
  readonly iso: string;
  readonly weekday: string;
  readonly day: string;
  /** `3 rounds of punch-down, readings twice, racking` */
  readonly work: string;
  /** Where the journal tells the day, a link a file. */
  readonly lines: readonly Link[];
  /** What the day's own note says, as Markdown. */
  readonly notes: readonly string[];
}

export interface DaysModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  readonly calendar: SeasonCalendar | undefined;
  /** The same as the calendar: each kind of work by month. */
  readonly sums: {
    readonly months: readonly string[];
    readonly rows: readonly { readonly name: string; readonly cells: readonly string[]; readonly all: number }[];
  };
  /** The month whose days are told here, the newest day first. */
  readonly month: { readonly id: string; readonly title: string; readonly days: readonly DayRow[] } | undefined;
  /** The months of the year, each with its days here or on its own page. */
  readonly months: readonly Way[];
  readonly years: readonly Way[];
}

interface Way {
  readonly text: string;
  readonly href: string;
  readonly here: boolean;
}

/** Kinds of work as the calendar tells them apart, in the order of the season; each name has to fit a phone. */
const KINDS = [
  'Fruit',
  'Crushing',
  'Pressing',
  'Yeast',
  'Additions',
  'Punch-downs',
  'Pump-overs',
  'Readings',
  'Tastings',
  'Moves',
  'Topping',
  'Stirring',
  'Filtering',
  'Bottling',
  'Dispatches',
  'Cleaning',
  'Cooling',
  'Dips',
] as const;
type Kind = (typeof KINDS)[number];

/** The kind of a verb; one that is no work of the cellar, a note or a name, has none. */
const KIND_OF: Readonly<Partial<Record<Event['verb'], Kind>>> = {
  receive: 'Fruit',
  sort: 'Crushing',
  crush: 'Crushing',
  press: 'Pressing',
  drain: 'Pressing',
  bleed: 'Pressing',
  inoculate: 'Yeast',
  add: 'Additions',
  'punch-down': 'Punch-downs',
  'pump-over': 'Pump-overs',
  'rack-and-return': 'Pump-overs',
  aerate: 'Pump-overs',
  reading: 'Readings',
  readings: 'Readings',
  taste: 'Tastings',
  trial: 'Tastings',
  sample: 'Tastings',
  rack: 'Moves',
  transfer: 'Moves',
  blend: 'Moves',
  bring: 'Moves',
  top: 'Topping',
  stir: 'Stirring',
  fine: 'Filtering',
  filter: 'Filtering',
  bottle: 'Bottling',
  dispatch: 'Dispatches',
  clean: 'Cleaning',
  gas: 'Cleaning',
  warm: 'Cooling',
  chill: 'Cooling',
  dip: 'Dips',
  count: 'Dips',
};

const KNOWN = new Known<ReportContext, ReadonlyMap<DayNumber, readonly Happening[]>>(byDay);

/** What happened by day, the newest day first; gathered once for all pages. */
function byDay(context: ReportContext): ReadonlyMap<DayNumber, readonly Happening[]> {
  const known = KNOWN.get(context);
  if (known !== undefined) return known;
  const days = new Map<DayNumber, Happening[]>();
  for (const happening of context.book.happenings) {
    const day = dayOf(happening.event.minute);
    const of = days.get(day);
    if (of === undefined) days.set(day, [happening]);
    else of.push(happening);
  }
  const sorted = new Map([...days].sort(([a], [b]) => b - a));
  KNOWN.set(context, sorted);
  return sorted;
}

/** A page a year, the newest first, and one a month: decades of days are more than one page holds. */
export function daysPages(context: ReportContext): DaysPage[] {
  const months = new Set([...byDay(context).keys()].map(firstOf));
  if (months.size === 0) months.add(firstOf(context.book.on));
  const sorted = [...months].map((first) => civil(first));
  return sorted.map(({ year, month }, index): DaysPage => {
    const whole = sorted[index - 1]?.year !== year;
    const path = whole ? (index === 0 ? 'days.html' : `days/${year}.html`) : `days/${year}-${monthNumber(month)}.html`;
    return {
      path,
      title: whole ? `The days of ${year}` : `The days of ${monthWord(month)} ${year}`,
      year,
      month,
      whole,
    };
  });
}

const monthNumber = (month: number): string => String(month).padStart(2, '0');

/** The first day of the month a day lies in. */
function firstOf(day: DayNumber): DayNumber {
  const { year, month } = civil(day);
  return firstOfMonth(year, month);
}

export function daysModel(context: ReportContext, page: DaysPage, pages: readonly DaysPage[]): DaysModel {
  const days = byDay(context);
  const ordered = [...days.keys()].filter((day) => {
    const { year, month } = civil(day);
    return year === page.year && (month === page.month || page.whole);
  });
  const counts = new Map(ordered.map((day) => [day, countsOf(days.get(day) ?? [])]));
  const first = ordered.at(-1);
  const last = ordered[0];
  const rows = page.whole ? calendarRows(counts) : [];
  return {
    path: page.path,
    title: page.title,
    lead:
      first === undefined || last === undefined
        ? ''
        : `${counted(ordered.length, 'day')} with an entry from ${dayText(first)} to ${dayText(last)}.`,
    calendar:
      first === undefined || last === undefined || rows.length === 0
        ? undefined
        : { title: `What was done each day of ${page.year}`, from: first, until: last, rows },
    sums: sumsOf(rows),
    month: monthOf(context, page, ordered, days, counts),
    months: pages
      .filter(({ year }) => year === page.year)
      .map(({ path, month }) => ({ text: monthWord(month), href: path, here: path === page.path })),
    years: pages
      .filter(({ whole }) => whole)
      .map(({ path, year }) => ({ text: String(year), href: path, here: path === page.path })),
  };
}

/** How often each kind of work was done on a day: rounds, not lines. */
function countsOf(happenings: readonly Happening[]): Map<Kind, number> {
  const rounds = new Map<Kind, Set<string>>();
  for (const { event } of happenings) {
    const kind = KIND_OF[event.verb];
    if (kind === undefined) continue;
    const round = rounds.get(kind) ?? new Set<string>();
    // A round of the cellar is a line a vessel, at one time; else every line is a work of its own.
    const timed = event.kind === 'cap' || event.kind === 'reading' || event.kind === 'top' || event.kind === 'dip';
    round.add(timed ? String(event.minute) : `${event.place.file}:${event.place.line}`);
    rounds.set(kind, round);
  }
  return new Map(
    KINDS.flatMap((kind) => {
      const size = rounds.get(kind)?.size ?? 0;
      return size === 0 ? [] : [[kind, size] as const];
    }),
  );
}

function calendarRows(counts: ReadonlyMap<DayNumber, ReadonlyMap<Kind, number>>): CalendarRow[] {
  const ordered = [...counts].sort(([a], [b]) => a - b);
  return KINDS.flatMap((name) => {
    const days = ordered.flatMap(([day, of]) => {
      const count = of.get(name) ?? 0;
      return count === 0 ? [] : [{ day, count }];
    });
    return days.length === 0 ? [] : [{ name, days }];
  });
}

function sumsOf(rows: readonly CalendarRow[]): DaysModel['sums'] {
  const numberOf = (day: DayNumber): number => civil(day).month;
  const months = [...new Set(rows.flatMap(({ days }) => days.map(({ day }) => numberOf(day))))].sort((a, b) => a - b);
  return {
    months: months.map(monthWord),
    rows: rows.map(({ name, days }) => ({
      name,
      cells: months.map((month) => {
        const sum = days.reduce((total, { day, count }) => (numberOf(day) === month ? total + count : total), 0);
        return sum === 0 ? '' : String(sum);
      }),
      all: days.reduce((total, { count }) => total + count, 0),
    })),
  };
}

function monthOf(
  context: ReportContext,
  page: DaysPage,
  ordered: readonly DayNumber[],
  days: ReadonlyMap<DayNumber, readonly Happening[]>,
  counts: ReadonlyMap<DayNumber, ReadonlyMap<Kind, number>>,
): DaysModel['month'] {
  const headings = headingFinder(context);
  const own = ordered.filter((day) => civil(day).month === page.month);
  if (own.length === 0) return undefined;
  return {
    id: `m${page.month}`,
    title: `${monthWord(page.month)} ${page.year}`,
    days: own.map((day) => dayRow(context, day, days.get(day) ?? [], counts.get(day) ?? new Map(), headings)),
  };
}

function dayRow(
  context: ReportContext,
  day: DayNumber,
  happenings: readonly Happening[],
  counts: ReadonlyMap<Kind, number>,
  heading: HeadingFinder,
): DayRow {
  const files = new Map<number, number>();
  for (const { event } of happenings) {
    const { file, line } = event.place;
    files.set(file, Math.min(line, files.get(file) ?? Number.POSITIVE_INFINITY));
  }
  const lines = [...files].flatMap(([file, line]): Link[] => {
    const page = context.links.filePages[file];
    const path = context.book.files[file]?.path;
    if (page === undefined || path === undefined) return [];
    const at = heading(file, line);
    return [{ text: `${path.slice(path.lastIndexOf('/') + 1)}:${at}`, href: lineHref(page, at) }];
  });
  return {
    iso: isoDay(day),
    weekday: weekday(day),
    day: dayText(day).replace(/ \d+$/u, ''),
    work: [...counts].map(([kind, count]) => kind.toLowerCase() + (count === 1 ? '' : ` ${count}×`)).join(', '),
    lines,
    notes: happenings.flatMap(({ event }) => (event.kind === 'day' && event.note !== undefined ? [event.note] : [])),
  };
}

type HeadingFinder = (file: number, line: number) => number;

/** The line at which the day of a line begins; the line itself where no heading stands above it. */
function headingFinder({ book }: ReportContext): HeadingFinder {
  const cut = new Map<number, readonly string[]>();
  return (file, line) => {
    const lines = cut.get(file) ?? linesOf(book.files[file]?.text ?? '');
    cut.set(file, lines);
    for (let at = line; at > 0; at -= 1) if (kindOf(lines[at - 1] ?? '') === 'day') return at;
    return line;
  };
}
