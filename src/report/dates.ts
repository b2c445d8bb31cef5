/** Days and minutes as people write them, without locale or clock: `3 Oct 2026`, `Sat`, `07:40`. */
import { formatDate, weekday } from '../../grammar/dates.ts';
import type { DayNumber, Minute } from '../journal/events.ts';

export { formatDate as isoDay, weekday };

export const MINUTES_A_DAY = 1440;

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const;

export interface CivilDay {
  readonly year: number;
  /** From 1. */
  readonly month: number;
  readonly day: number;
}

/** The day a minute lies in. */
export function dayOf(minute: Minute): DayNumber {
  return Math.floor(minute / MINUTES_A_DAY);
}

/** Days worked out before: a site asks for the same few hundred again and again. */
const KNOWN = new Map<DayNumber, CivilDay>();
const MOST_KNOWN = 50_000;

export function civil(day: DayNumber): CivilDay {
  const known = KNOWN.get(day);
  if (known !== undefined) return known;
  const date = new Date(day * 86_400_000);
  const found = { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() };
  if (KNOWN.size >= MOST_KNOWN) KNOWN.clear();
  KNOWN.set(day, found);
  return found;
}

/** The first day of a month; months beyond 12 run on into the next years. */
export function firstOfMonth(year: number, month: number): DayNumber {
  return Math.round(Date.UTC(year, month - 1, 1) / 86_400_000);
}

export function monthWord(month: number): string {
  return MONTHS[(month - 1) % 12] ?? '';
}

const MONTH_NAMES = [
  ...['January', 'February', 'March', 'April', 'May', 'June'],
  ...['July', 'August', 'September', 'October', 'November', 'December'],
] as const;

/** `September 2026` of `2026-09`. */
export function monthName(month: string): string {
  const [year = '', number = ''] = month.split('-');
  return `${MONTH_NAMES[Number(number) - 1] ?? ''} ${year}`;
}

/** `3 Oct 2026` */
export function dayText(day: DayNumber): string {
  const { year, month, day: date } = civil(day);
  return `${date} ${monthWord(month)} ${year}`;
}

/** `Sat 3 Oct 2026` */
export function fullDayText(day: DayNumber): string {
  return `${weekday(day)} ${dayText(day)}`;
}

/** `3 Oct` */
export function shortDayText(day: DayNumber): string {
  const { month, day: date } = civil(day);
  return `${date} ${monthWord(month)}`;
}

/** `07:40` within its day. */
export function clock(minute: Minute): string {
  const within = minute - dayOf(minute) * MINUTES_A_DAY;
  return `${String(Math.floor(within / 60)).padStart(2, '0')}:${String(within % 60).padStart(2, '0')}`;
}

/** The time of an entry, with a place to break a span, or nothing where it gave none: such an entry stands at the start of its day. */
export function timeText(minute: Minute, until?: Minute): string {
  if (minute % MINUTES_A_DAY === 0 && until === undefined) return '';
  return until === undefined ? clock(minute) : `${clock(minute)}– ${clock(until)}`;
}

/** How long ago in the words people use: `today`, `1 day`, `12 days`, `5 months`, `2 years 3 months`. */
export function ageText(days: number): string {
  if (days <= 0) return 'today';
  if (days < 100) return days === 1 ? '1 day' : `${days} days`;
  const months = Math.floor(days / 30.4375);
  if (months < 24) return `${months} months`;
  const years = Math.floor(months / 12);
  const rest = months % 12;
  return rest === 0 ? `${years} years` : `${years} years ${rest} ${rest === 1 ? 'month' : 'months'}`;
}

/** From the first of some days to the last: `11 Sep`, `11 to 14 Sep`, `28 Sep to 3 Oct`. */
export function daySpanText(days: readonly DayNumber[]): string {
  const [low, high] = [shortDayText(Math.min(...days)), shortDayText(Math.max(...days))];
  if (low === high) return high;
  const month = / \S+$/u.exec(high)?.[0] ?? '';
  return `${low.endsWith(month) ? low.slice(0, -month.length) : low} to ${high}`;
}
