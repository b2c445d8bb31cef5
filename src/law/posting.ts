/** By which day work has to stand in the record: business days counted on, weekends left out. */
import type { DayNumber, Event } from '../journal/events.ts';
import type { PostingRules } from './rules.ts';

/** Monday is 0; the days of the calendar begin on a Thursday. */
const weekdayOf = (day: DayNumber): number => (((day + 3) % 7) + 7) % 7;

/** The last of so many business days after a day. Holidays of a place are not known here, and count as business days. */
export function businessDayAfter(day: DayNumber, businessDays: number): DayNumber {
  let last = day;
  for (let left = businessDays; left > 0; ) {
    last += 1;
    if (weekdayOf(last) < 5) left -= 1;
  }
  return last;
}

/** Work that no law asks a day for: what was seen, tasted, noted or done without moving or adding anything. */
const UNASKED: ReadonlySet<Event['kind']> = new Set<Event['kind']>(['reading', 'cap', 'work', 'kept', 'day', 'naming']);

/** The last day on which an event may be put down; undefined where the rules ask for none. */
export function lastDayToPost(rules: PostingRules, event: Event): DayNumber | undefined {
  if (UNASKED.has(event.kind)) return undefined;
  const came = event.kind === 'receive' || event.kind === 'bring' || event.kind === 'buy';
  const left = event.kind === 'leave' && event.how === 'dispatch';
  const done = Math.floor((event.until ?? event.minute) / 1440);
  return businessDayAfter(done, came ? rules.receipts : left ? rules.removals : rules.other);
}
