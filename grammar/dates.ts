/** Days and times of the calendar: the proleptic Gregorian calendar of ISO 8601, with no clock and no zone. */

export const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;

/** Days since 1970-01-01 of a written date, or NaN where there is no such day. */
export function parseDate(text: string): number {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (match === null) return Number.NaN;
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])];
  const ms = Date.UTC(year, month - 1, day);
  const date = new Date(ms);
  if (year < 1900 || date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day) return Number.NaN;
  return ms / 86_400_000;
}

/** `2026-09-14` of a day number. */
export function formatDate(day: number): string {
  return new Date(day * 86_400_000).toISOString().slice(0, 10);
}

/** `Mon` of a day number. */
export function weekday(day: number): (typeof WEEKDAYS)[number] {
  // 1970-01-01 was a Thursday
  return WEEKDAYS[(((day + 3) % 7) + 7) % 7] ?? 'Mon';
}

export const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

/** `3 October` of a day number, for messages. */
export function sayDay(day: number): string {
  const date = new Date(day * 86_400_000);
  return `${date.getUTCDate()} ${MONTHS[date.getUTCMonth()] ?? ''}`;
}

/** Minutes after midnight of `07:40`, or 1440 and more for `+00:40`; NaN where there is no such time. */
export function parseTime(text: string): number {
  if (text.length === 5 && text.charCodeAt(2) === 58) {
    const h = (text.charCodeAt(0) - 48) * 10 + text.charCodeAt(1) - 48;
    const m = (text.charCodeAt(3) - 48) * 10 + text.charCodeAt(4) - 48;
    if (h >= 0 && h <= 23 && m >= 0 && m <= 59) return h * 60 + m;
  }
  const next = text.charCodeAt(0) === 43;
  const colon = text.indexOf(':');
  const h = Number(text.slice(next ? 1 : 0, colon));
  const m = Number(text.slice(colon + 1));
  if (!(h <= 23 && m <= 59) && !(h === 24 && m === 0 && !next)) return Number.NaN;
  return (next ? 1440 : 0) + h * 60 + m;
}
