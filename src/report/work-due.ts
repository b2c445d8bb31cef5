/** Work due on the day a book tells of and in the week after it: worked out once, looked up by vessel and by lot. */
import type { Book } from '../cellar/book.ts';
import { type DueItem, dueWork } from '../due/due-work.ts';
import type { DayNumber, LotId, VesselId } from '../journal/events.ts';
import type { Fact, ReportContext } from './context.ts';
import { fullDayText, shortDayText } from './dates.ts';
import { timesText } from './due-list.ts';
import { grouped } from './grouped.ts';
import { Known } from './known.ts';
import { counted } from './names.ts';

/** Days after the day itself that pages tell of. */
export const DAYS_AHEAD = 7;

const WEEK = new Known<Book, readonly DueItem[]>(weekOf);
const BY_VESSEL = new Known<Book, ReadonlyMap<VesselId, readonly DueItem[]>>(dueByVessel);
const BY_LOT = new Known<Book, ReadonlyMap<LotId, readonly DueItem[]>>(dueByLot);

/** Overdue, due on the day, and due on the days of a week after it. */
export function weekOf(book: Book): readonly DueItem[] {
  const known = WEEK.get(book);
  if (known !== undefined) return known;
  const found = dueWork(book, book.on, DAYS_AHEAD);
  WEEK.set(book, found);
  return found;
}

function dueByVessel(book: Book): ReadonlyMap<VesselId, readonly DueItem[]> {
  const known = BY_VESSEL.get(book);
  if (known !== undefined) return known;
  const found = grouped(weekOf(book), ({ vessel }) => vessel);
  BY_VESSEL.set(book, found);
  return found;
}

function dueByLot(book: Book): ReadonlyMap<LotId, readonly DueItem[]> {
  const known = BY_LOT.get(book);
  if (known !== undefined) return known;
  const found = grouped(weekOf(book), ({ lot }) => lot);
  BY_LOT.set(book, found);
  return found;
}

/** What a vessel's picture is marked with: nothing where nothing is due by the day. */
export interface DueMark {
  /** `overdue: top`, `due today: punch-down, 2 of 3 left`. */
  readonly text: string;
  /** `overdue`, `due today`: where there is no room for more. */
  readonly short: string;
  readonly overdue: boolean;
}

/** Works named in a mark; the rest are counted. */
const MOST_IN_MARK = 2;

/** What is overdue or due on the day itself in a vessel. */
export function dueMarkOf({ book }: ReportContext, vessel: VesselId): DueMark | undefined {
  const due = (dueByVessel(book).get(vessel) ?? []).filter(({ status }) => status !== 'next');
  const overdue = due.some(({ status }) => status === 'overdue');
  const told = overdue ? due.filter(({ status }) => status === 'overdue') : due;
  if (told.length === 0) return undefined;
  const short = overdue ? 'overdue' : 'due today';
  const words = told.slice(0, MOST_IN_MARK).map((item) => item.what + timesText(item));
  const more = told.length > MOST_IN_MARK ? ` and ${told.length - MOST_IN_MARK} more` : '';
  return { text: `${short}: ${words.join('; ')}${more}`, short, overdue };
}

/** Works told among the facts of a page. */
const MOST_FACTS = 4;

/** Work due in a vessel, as a fact of its page; nothing where nothing is due within the week. */
export const dueFactOfVessel = (context: ReportContext, vessel: VesselId): Fact[] =>
  factOf(context, dueByVessel(context.book).get(vessel) ?? []);

/** Work due on a lot, told once however many vessels it lies in. */
export const dueFactOfLot = (context: ReportContext, lot: LotId): Fact[] =>
  factOf(context, dueByLot(context.book).get(lot) ?? []);

function factOf({ book, links }: ReportContext, items: readonly DueItem[]): Fact[] {
  const told = new Map<string, string>();
  for (const item of items) {
    const text = `${item.what}${timesText(item)}, ${whenText(item, book.on)}`;
    const { href } = links.line(item.row.place);
    if (!told.has(text)) told.set(text, href ?? WORK_PAGE);
  }
  if (told.size === 0) return [];
  const figures = [...told].slice(0, MOST_FACTS).map(([text, href]) => ({ text, href }));
  const more = told.size - figures.length;
  return [
    {
      name: 'due',
      figures: more === 0 ? figures : [...figures, { text: counted(more, 'more work', 'more works'), href: WORK_PAGE }],
    },
  ];
}

/** The page of all work due. */
export const WORK_PAGE = 'work.html';

/** `overdue since 12 Apr`, `today`, `on Mon 13 Sep 2027`. */
export function whenText({ status, due }: DueItem, on: DayNumber): string {
  if (status === 'now') return 'today';
  if (status === 'next') return due === on + 1 ? 'tomorrow' : `on ${fullDayText(due)}`;
  return `overdue since ${shortDayText(due)}`;
}
