/** Work due by the plans of two books as of one day: what is no longer due, what is due now, and what is due otherwise. */
import type { Book } from '../../cellar/book.ts';
import { type DueItem, dueWork } from '../../due/due-work.ts';
import type { DayNumber } from '../../journal/events.ts';

/** A piece of work by the names of things, for books that number them differently. */
export interface Work {
  readonly status: DueItem['status'];
  readonly what: string;
  readonly vessel: string;
  readonly lot: string;
  readonly plan: string;
  readonly due: DayNumber;
  readonly left: number | undefined;
}

export interface WorkChanges {
  readonly on: DayNumber;
  readonly gone: readonly Work[];
  readonly come: readonly Work[];
  readonly changed: readonly { readonly before: Work; readonly after: Work }[];
}

/** Days ahead that are looked at. */
const AHEAD = 7;

function workOf(book: Book, on: DayNumber): Work[] {
  return dueWork(book, on, AHEAD).map(({ status, what, vessel, lot, plan, due, left }) => ({
    status,
    what,
    vessel: book.vessels[vessel]?.facts.name ?? '',
    lot: book.lots[lot]?.facts.name ?? '',
    plan: plan.name,
    due,
    left,
  }));
}

const key = ({ what, vessel, lot, plan }: Work): string => [what, vessel, lot, plan].join('\n');

const same = (a: Work, b: Work): boolean => a.due === b.due && a.left === b.left && a.status === b.status;

export function compareWork(before: Book, after: Book, on: DayNumber): WorkChanges {
  const waiting = new Map<string, Work[]>();
  for (const work of workOf(after, on)) waiting.set(key(work), [...(waiting.get(key(work)) ?? []), work]);
  const gone: Work[] = [];
  const changed: { before: Work; after: Work }[] = [];
  for (const work of workOf(before, on)) {
    const other = waiting.get(key(work))?.shift();
    if (other === undefined) gone.push(work);
    else if (!same(work, other)) changed.push({ before: work, after: other });
  }
  return { on, gone, come: [...waiting.values()].flat(), changed };
}
