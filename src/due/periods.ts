/** Days, weeks from Monday and months of the calendar, as plans count them. */
import type { DayNumber, Minute } from '../journal/events.ts';
import type { Period } from '../journal/plans.ts';

export const MINUTES_A_DAY = 1440;

export const dayOf = (minute: Minute): DayNumber => Math.floor(minute / MINUTES_A_DAY);

/** The first and the last day of the period a day lies in. Weeks begin on Monday, as in ISO 8601. */
export function periodOf(day: DayNumber, period: Period): { readonly first: DayNumber; readonly last: DayNumber } {
  if (period === 'day') return { first: day, last: day };
  if (period === 'week') {
    // 1970-01-01 was a Thursday
    const first = day - ((((day + 3) % 7) + 7) % 7);
    return { first, last: first + 6 };
  }
  const date = new Date(day * 86_400_000);
  const [year, month] = [date.getUTCFullYear(), date.getUTCMonth()];
  return {
    first: Math.round(Date.UTC(year, month, 1) / 86_400_000),
    last: Math.round(Date.UTC(year, month + 1, 1) / 86_400_000) - 1,
  };
}
