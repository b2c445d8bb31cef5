/** Every sheet for the crew, made from a book: for a day, for somebody or something, in an order. */
import type { VesselRecord } from '../../cellar/book.ts';
import { type DueItem, dueWork } from '../../due/due-work.ts';
import type { DayNumber } from '../../journal/events.ts';
import type { ReportContext } from '../context.ts';
import { weekOf } from '../work-due.ts';
import { additionsSheet, isAddition } from './additions.ts';
import { bottlingSheet, isBottling } from './bottling.ts';
import { capWorkSheet, isCapWork } from './cap-work.ts';
import { type CrewContent, type CrewOrder, type CrewSheet, crewSheetOf, shortened } from './crew-sheet.ts';
import type { CrewSheetKind } from './kinds.ts';
import { isPressing, pressingSheet } from './pressing.ts';
import { isReading, roundSheet } from './round.ts';
import { isTopping, toppingSheet } from './topping.ts';

interface Kind {
  /** The work it is about. */
  readonly about: (item: DueItem) => boolean;
  readonly content: (context: ReportContext, order: CrewOrder) => CrewContent;
}

const KINDS: Readonly<Record<CrewSheetKind, Kind>> = {
  round: { about: isReading, content: roundSheet },
  'cap-work': { about: isCapWork, content: capWorkSheet },
  topping: { about: isTopping, content: toppingSheet },
  additions: { about: isAddition, content: additionsSheet },
  pressing: { about: isPressing, content: pressingSheet },
  bottling: { about: isBottling, content: bottlingSheet },
};

export const crewSheet = (context: ReportContext, kind: CrewSheetKind, order: CrewOrder): CrewSheet =>
  crewSheetOf(kind, order, KINDS[kind].content(context, order));

/** Rows that a page of the site holds; the sheet by itself has all. */
const MOST_ROWS = 240;

/** The sheet as a page of the site. */
export const siteSheet = (context: ReportContext, kind: CrewSheetKind): CrewSheet =>
  shortened(crewSheet(context, kind, siteOrder(context, kind)), MOST_ROWS);

const upToNow = (items: readonly DueItem[]): DueItem[] => items.filter(({ status }) => status !== 'next');
const anyVessel = (_: VesselRecord): boolean => true;

/** For everybody, as of a day, in the order the journal gives. */
export const orderOn = (context: ReportContext, on: DayNumber): CrewOrder => ({
  on,
  items: upToNow(dueWork(context.book, on, 0)),
  of: '',
  wanted: anyVessel,
  walk: context.settings.walk ?? [],
});

/**
 * As the site has a sheet: for the day the book tells of, or, where nothing of its kind is due by then, for the next day of
 * the week after it on which something is.
 */
export function siteOrder(context: ReportContext, kind: CrewSheetKind): CrewOrder {
  const { book } = context;
  const week = weekOf(book);
  const about = week.filter(KINDS[kind].about);
  const ahead = about.every(({ status }) => status === 'next') ? Math.min(...about.map(({ due }) => due)) : book.on;
  const on = Number.isFinite(ahead) ? ahead : book.on;
  return {
    on,
    items: week.filter(({ due }) => due <= on),
    of: '',
    wanted: anyVessel,
    walk: context.settings.walk ?? [],
  };
}
