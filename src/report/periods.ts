/** Months, quarters, years and stretches of days that volumes are told of. */
import { parseDate } from '../../grammar/dates.ts';
import type { Book } from '../cellar/book.ts';
import type { DayNumber } from '../journal/events.ts';
import { civil, dayText, firstOfMonth, isoDay, monthName } from './dates.ts';

export type PeriodKind = 'month' | 'quarter' | 'year' | 'days';

export interface Period {
  readonly kind: PeriodKind;
  /** `2027-07`, `2027-Q3`, `2027`, or `2027-07-01..2027-07-19`. */
  readonly id: string;
  readonly title: string;
  /** Both days belong to it. */
  readonly from: DayNumber;
  readonly to: DayNumber;
}

const two = (figure: number): string => String(figure).padStart(2, '0');
const ORDINALS = ['First', 'Second', 'Third', 'Fourth'] as const;

export function monthPeriod(year: number, month: number): Period {
  const id = `${year}-${two(month)}`;
  const from = firstOfMonth(year, month);
  return { kind: 'month', id, title: monthName(id), from, to: firstOfMonth(year, month + 1) - 1 };
}

/** Quarters count from 1. */
export function quarterPeriod(year: number, quarter: number): Period {
  const from = firstOfMonth(year, quarter * 3 - 2);
  const title = `${ORDINALS[quarter - 1] ?? ''} quarter of ${year}`;
  return { kind: 'quarter', id: `${year}-Q${quarter}`, title, from, to: firstOfMonth(year, quarter * 3 + 1) - 1 };
}

export function yearPeriod(year: number): Period {
  return {
    kind: 'year',
    id: String(year),
    title: String(year),
    from: firstOfMonth(year, 1),
    to: firstOfMonth(year, 13) - 1,
  };
}

export function daysPeriod(from: DayNumber, to: DayNumber): Period {
  return { kind: 'days', id: `${isoDay(from)}..${isoDay(to)}`, title: `${dayText(from)} to ${dayText(to)}`, from, to };
}

const YEAR = /^(?:19|20|21)\d\d$/u;

/** `2027-07`; `undefined` for anything else. */
export function readMonth(text: string): Period | undefined {
  const [year = '', month = '', ...more] = text.split('-');
  if (!YEAR.test(year) || !/^\d\d$/u.test(month) || more.length > 0) return undefined;
  return Number(month) >= 1 && Number(month) <= 12 ? monthPeriod(Number(year), Number(month)) : undefined;
}

/** `2027-Q3` */
export function readQuarter(text: string): Period | undefined {
  const match = /^(\d{4})-[Qq]([1-4])$/u.exec(text);
  return match === null || !YEAR.test(match[1] ?? '') ? undefined : quarterPeriod(Number(match[1]), Number(match[2]));
}

/** `2027` */
export const readYear = (text: string): Period | undefined => (YEAR.test(text) ? yearPeriod(Number(text)) : undefined);

/** `2027-07-19` */
export function readDay(text: string): DayNumber | undefined {
  const day = parseDate(text);
  return Number.isNaN(day) ? undefined : day;
}

/** Every month, quarter or year that has a day of the book, the oldest first; none where nothing was written. */
export function periodsOf({ firstDay, on, happenings }: Book, kind: Exclude<PeriodKind, 'days'>): Period[] {
  const periods: Period[] = [];
  if (happenings.length === 0) return periods;
  for (let day = Math.min(firstDay, on); day <= on; ) {
    const { year, month } = civil(day);
    const period =
      kind === 'year'
        ? yearPeriod(year)
        : kind === 'quarter'
          ? quarterPeriod(year, Math.ceil(month / 3))
          : monthPeriod(year, month);
    periods.push(period);
    day = period.to + 1;
  }
  return periods;
}
