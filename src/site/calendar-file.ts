/** The calendar of work due as a file of the site: nothing where the journal has no plan. */
import { calendarOf } from '../due/calendar.ts';
import { dueWork } from '../due/due-work.ts';
import type { ReportContext } from '../report/context.ts';
import { namesOf } from '../report/due-list.ts';
import { CALENDAR } from '../report/work.ts';
import type { SiteFile } from './pages.ts';

/** Days ahead of the day the book tells of. */
const DAYS_AHEAD = 31;

export function calendarFile({ book }: ReportContext): SiteFile[] {
  if (book.plans.length === 0) return [];
  return [{ path: CALENDAR, text: calendarOf(dueWork(book, book.on, DAYS_AHEAD), book.on, namesOf(book)) }];
}
