/** What was done each day of a season: a row a kind of work, a column a day, months in bands beneath each other. */
import type { DayNumber } from '../journal/events.ts';
import type { CalendarRow, SeasonCalendar } from '../report/charted.ts';
import { civil, dayText, firstOfMonth, monthWord } from '../report/dates.ts';
import { counted } from '../report/names.ts';
import { shorten, TICK_SIZE, widthOf } from './labels.ts';
import { drawing, element, type Frame, hint, isWide, round, text } from './svg.ts';

/** Months in a band: as many as leave a day more than three pixels on a desk; on a phone one. */
const MONTHS_WIDE = 6;
const DAYS_WIDE = 184;
const DAYS_NARROW = 31;
/** Room for the kinds of work at the left. */
const LEAST_LABELS = 64;
const MOST_LABELS = 108;
const HEAD = 20;
const ROW = 14;
const BAR = 11;
const GAP = 12;
/** Days of a month that are named where a band holds but one. */
const NAMED_DAYS = [1, 8, 15, 22, 29];

/** How often a thing was done on a day, in four steps that differ by height and by darkness. */
const LEVELS = [
  { from: 1, height: 4, words: 'once' },
  { from: 2, height: 6, words: '2–4' },
  { from: 5, height: 8.5, words: '5–9' },
  { from: 10, height: BAR, words: '10 and more' },
] as const;

/** Of more days than this the marks of a row are drawn as one: a page has to stay light, and its table tells each. */
const MOST_HINTED = 600;

interface Band {
  readonly first: DayNumber;
  /** The day after its last. */
  readonly next: DayNumber;
  readonly rows: readonly CalendarRow[];
}

export function seasonCalendar(data: SeasonCalendar, frame: Frame): string {
  const wide = isWide(frame);
  const names = data.rows.map(({ name }) => Math.ceil(widthOf(name, TICK_SIZE)) + 9);
  const left = Math.min(MOST_LABELS, Math.max(LEAST_LABELS, ...names));
  const column = (frame.width - left) / (wide ? DAYS_WIDE : DAYS_NARROW);
  const parts: string[] = [];
  const marks = data.rows.reduce((sum, { days }) => sum + days.length, 0);
  let top = 2;
  let empty: Band[] = [];
  const tellEmpty = (): void => {
    if (empty.length === 0) return;
    parts.push(text(`${spanText(empty)}: none of these`, { class: 'tick', x: 0, y: top + 12 }));
    top += HEAD;
    empty = [];
  };
  for (const band of bandsOf(data, wide ? MONTHS_WIDE : 1)) {
    if (band.rows.length === 0) {
      empty.push(band);
      continue;
    }
    tellEmpty();
    parts.push(bandAt(band, top, { left, column, wide, many: marks > MOST_HINTED }));
    top += HEAD + band.rows.length * ROW + GAP;
  }
  tellEmpty();
  parts.push(key(top));
  return drawing(frame, top + 20, data.title, describe(data), ...parts);
}

/** Whole months from the first day to the last, so many at a time. */
function bandsOf({ from, until, rows }: SeasonCalendar, months: number): Band[] {
  const { year, month } = civil(from);
  const bands: Band[] = [];
  for (let start = month; firstOfMonth(year, start) <= until; start += months) {
    const first = firstOfMonth(year, start);
    let next = firstOfMonth(year, start + months);
    // The last band ends with the month of the last day.
    for (let end = start + months - 1; end > start && firstOfMonth(year, end) > until; end -= 1) {
      next = firstOfMonth(year, end);
    }
    const within = rows
      .map(({ name, days }) => ({
        name,
        days: days.filter(({ day, count }) => day >= first && day < next && day >= from && day <= until && count > 0),
      }))
      .filter(({ days }) => days.length > 0);
    bands.push({ first, next, rows: within });
  }
  return bands;
}

/** Where the days begin, how wide each is, whether a band holds more than one month, and whether marks are too many to hint at. */
interface Columns {
  readonly left: number;
  readonly column: number;
  readonly wide: boolean;
  readonly many: boolean;
}

function bandAt({ first, next, rows }: Band, top: number, { left, column, wide, many }: Columns): string {
  const x = (day: DayNumber): number => left + (day - first) * column;
  const body = top + HEAD;
  const bottom = body + rows.length * ROW;
  const parts: string[] = [];
  const { year, month } = civil(first);
  for (let index = 0; firstOfMonth(year, month + index) < next; index += 1) {
    const day = firstOfMonth(year, month + index);
    const date = civil(day);
    const words = `${monthWord(date.month)}${index === 0 || date.month === 1 ? ` ${date.year}` : ''}`;
    parts.push(
      element('line', { class: 'grid', x1: x(day), x2: x(day), y1: wide ? top + 4 : body - 4, y2: bottom }),
      text(words, { class: 'month', x: wide ? x(day) + 4 : 1, y: top + 13 }),
    );
  }
  if (!wide) {
    for (const date of NAMED_DAYS) {
      const day = first + date - 1;
      if (day >= next) continue;
      parts.push(text(String(date), { class: 'tick', x: x(day) + column / 2, y: top + 13, 'text-anchor': 'middle' }));
    }
  }
  for (const [index, row] of rows.entries()) {
    const base = body + index * ROW + BAR;
    parts.push(
      text(shorten(row.name, left - 8, TICK_SIZE), { class: 'row-name', x: 1, y: base }),
      element('line', { class: 'grid', x1: left, x2: x(next), y1: base, y2: base }),
      ...(many
        ? rowMarks(row, x, base, column)
        : row.days.map(({ day, count }) => dayMark(row.name, day, count, x(day), base, column))),
    );
  }
  return parts.join('');
}

function dayMark(name: string, day: DayNumber, count: number, x: number, base: number, column: number): string {
  const level = levelOf(count);
  const { height } = LEVELS[level];
  return element(
    'rect',
    { class: `work w${level + 1}`, x, y: base - height, width: column - airOf(column), height },
    hint(`${dayText(day)}: ${count} × ${name}`),
  );
}

/** All days of a row, a path for each step. */
function rowMarks({ days }: CalendarRow, x: (day: DayNumber) => number, base: number, column: number): string[] {
  const width = round(column - airOf(column));
  return LEVELS.flatMap(({ height }, level) => {
    const of = days.filter(({ count }) => levelOf(count) === level);
    if (of.length === 0) return [];
    const d = of.map(({ day }) => `M${round(x(day))},${round(base)}v-${height}h${width}v${height}z`).join('');
    return [element('path', { class: `work w${level + 1}`, d })];
  });
}

/** What stands between a day and the next. */
function airOf(column: number): number {
  return column > 5 ? 1 : 0.6;
}

function levelOf(count: number): 0 | 1 | 2 | 3 {
  return count >= LEVELS[3].from ? 3 : count >= LEVELS[2].from ? 2 : count >= LEVELS[1].from ? 1 : 0;
}

/** What the steps mean, drawn as they are. */
function key(top: number): string {
  let x = 0;
  const parts: string[] = [];
  for (const [level, { height, words }] of LEVELS.entries()) {
    const label = level === 0 ? `${words} a day` : words;
    parts.push(
      element('rect', { class: `work w${level + 1}`, x, y: top + 14 - height, width: 7, height }) +
        text(label, { class: 'tick', x: x + 11, y: top + 14 }),
    );
    x += 11 + widthOf(label, TICK_SIZE) + 14;
  }
  return parts.join('');
}

function spanText(bands: readonly Band[]): string {
  const first = civil(bands[0]?.first ?? 0);
  const last = civil((bands.at(-1)?.next ?? 1) - 1);
  const end = `${monthWord(last.month)} ${last.year}`;
  if (first.year === last.year && first.month === last.month) return end;
  return `${monthWord(first.month)}${first.year === last.year ? '' : ` ${first.year}`} to ${end}`;
}

function describe({ from, until, rows }: SeasonCalendar): string {
  const told = rows.map(({ name, days }) => {
    const times = days.reduce((sum, { count }) => sum + count, 0);
    return `${name}: ${times} on ${counted(days.length, 'day')}`;
  });
  return `From ${dayText(from)} to ${dayText(until)}.${told.length === 0 ? '' : ` ${told.join('; ')}.`}`;
}
