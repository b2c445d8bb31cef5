/** Work due, worded for people: what, where, by which line of which plan, and when it was done last. */

import { nearest } from '../../grammar/suggest.ts';
import { fold } from '../../grammar/words.ts';
import type { Book } from '../cellar/book.ts';
import type { CalendarNames } from '../due/calendar.ts';
import type { DueItem, DueStatus } from '../due/due-work.ts';
import { groupsOf } from '../due/groups.ts';
import type { DayNumber, Minute, Place } from '../journal/events.ts';
import { clock, dayOf, dayText, fullDayText } from './dates.ts';
import { nameList } from './names.ts';

/** One work by one line of a plan on one day, in words. */
export interface DueLine {
  /** `punch-down, 2 of 3 left` */
  readonly what: string;
  /** Lot by lot. */
  readonly where: readonly {
    /** `LS in B1..B4` */
    readonly text: string;
    /** `last today 07:40`, `last 12 May 2027`, or nothing where it has not been done. */
    readonly last: string;
  }[];
  /** `since 12 Apr 2027`, `Sun 20 Sep 2026`, or nothing where it is due on the day asked for. */
  readonly day: string;
  /** `07:40` where the rhythm is one of hours, or nothing. */
  readonly at: string;
  /** `red-ferment, cellar.cellar:63` */
  readonly why: string;
  readonly by: readonly string[];
  /** The line of the plan. */
  readonly place: Place;
}

export interface DueSection {
  readonly status: DueStatus;
  readonly lines: readonly DueLine[];
}

const STATUSES: readonly DueStatus[] = ['overdue', 'now', 'next'];

/** Work due in three sections; one that is empty is left out. */
export function dueList(book: Book, items: readonly DueItem[], on: DayNumber): DueSection[] {
  const names = namesOf(book);
  const groups = groupsOf(items);
  return STATUSES.flatMap((status) => {
    const lines = new Map<string, DueLine>();
    for (const { item, vessels, last } of groups) {
      if (item.status !== status) continue;
      const line = lineOf(item, names);
      const where = [
        {
          text: `${names.lot(item.lot)} in ${names.vessels(vessels)}`,
          last: last === undefined ? '' : `last ${momentText(last, on)}`,
        },
      ];
      // the same work on several lots is told once
      const key = [line.what, line.day, line.at, line.place.file, line.place.line].join(' ');
      const known = lines.get(key);
      lines.set(key, known === undefined ? { ...line, where } : { ...known, where: [...known.where, ...where] });
    }
    return lines.size === 0 ? [] : [{ status, lines: [...lines.values()] }];
  });
}

function lineOf(item: DueItem, names: CalendarNames): Omit<DueLine, 'where'> {
  return {
    what: `${item.what}${timesText(item)}`,
    day: dayOfWork(item),
    at: item.dueAt === undefined ? '' : clock(item.dueAt),
    why: `${item.plan.name}, ${names.place(item.row.place)}`,
    by: item.row.by,
    place: item.row.place,
  };
}

/** `, 2 of 3 left`: how much of a count there is still to do; nothing where it is asked once. */
export function timesText({ left, asked }: DueItem): string {
  if (left === undefined || asked === undefined || asked === 1) return '';
  return left < asked ? `, ${left} of ${asked} left` : `, ${asked} times`;
}

function dayOfWork({ status, due }: DueItem): string {
  if (status === 'now') return '';
  return status === 'overdue' ? `since ${dayText(due)}` : fullDayText(due);
}

/** A moment of the day itself by its time, any other by its day. */
const momentText = (minute: Minute, on: DayNumber): string =>
  dayOf(minute) === on ? `today ${clock(minute)}` : dayText(dayOf(minute));

/** The names of a book, as a list and a calendar of its work show them. */
export function namesOf(book: Book): CalendarNames {
  return {
    title: book.settings.name === '' ? 'Work due' : `${book.settings.name}: work due`,
    lot: (lot) => book.lots[lot]?.facts.name ?? '',
    vessels: (vessels) => nameList(vessels.map((id) => book.vessels[id]?.facts.name ?? '')),
    place: ({ file, line }) => {
      const path = book.files[file]?.path ?? '';
      return `${path.slice(path.lastIndexOf('/') + 1)}:${line}`;
    },
  };
}

/** What of the work concerns a name: a hand it is given to, a lot, a vessel or a plan; a likeness where nothing has that name. */
export function workFor(
  book: Book,
  items: readonly DueItem[],
  name: string,
): { readonly items: readonly DueItem[] } | { readonly unknown: string; readonly near: string | undefined } {
  const wanted = fold(name);
  const named = [
    ...book.hands,
    ...book.lots.map(({ facts }) => facts.name),
    ...book.vessels.map(({ facts }) => facts.name),
    ...book.plans.map((plan) => plan.name),
  ];
  if (!named.some((one) => fold(one) === wanted)) return { unknown: name, near: nearest(name, named) };
  return {
    items: items.filter((item) =>
      [
        ...item.row.by,
        book.lots[item.lot]?.facts.name ?? '',
        book.vessels[item.vessel]?.facts.name ?? '',
        item.plan.name,
      ].some((one) => fold(one) === wanted),
    ),
  };
}
