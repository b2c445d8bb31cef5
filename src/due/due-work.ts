/** Work that is due by the plans of a journal: overdue, now and next, as of a day. */
import type { Book } from '../cellar/book.ts';
import type { DayNumber, LotId, Minute, Place, VesselId } from '../journal/events.ts';
import type { DueRow, PlanFacts } from '../journal/plans.ts';
import { needOf, periodsOf, timesBetween } from './counts.ts';
import { type Demand, demands, doingsOf, type Force } from './demands.ts';
import { logOf } from './from-book.ts';
import { countUntil } from './holding.ts';
import { partOf } from './keys.ts';
import { dayOf, MINUTES_A_DAY } from './periods.ts';
import type { Doing } from './stays.ts';

/** `overdue`: its day is past. `now`: it is today. `next`: it is one of the days ahead. */
export type DueStatus = 'overdue' | 'now' | 'next';

/** One piece of work due in one vessel. */
export interface DueItem {
  readonly status: DueStatus;
  readonly vessel: VesselId;
  readonly lot: LotId;
  readonly plan: PlanFacts;
  /** The line of the plan that asks for it. */
  readonly row: DueRow;
  /** In words, narrowed to the measurements that are due where a line asks for several: `reading temp`. */
  readonly what: string;
  /** Of a reading: the measurements that are due. */
  readonly analytes?: readonly string[];
  readonly due: DayNumber;
  /** To the minute, where the rhythm is one of hours. */
  readonly dueAt?: Minute;
  /** Of a count: how often it is still to be done, and how often it is asked, in the period it is due in. */
  readonly left?: number;
  readonly asked?: number;
  /** When it was last done; absent where the record has it not done in this vessel. */
  readonly last?: Minute;
  /** The line that tells of it. */
  readonly lastAt?: Place;
}

/** The longest period a plan counts by; a count is looked for so far beyond the days asked for. */
const LONGEST_PERIOD = 31;

/**
 * Work due as of a day, and on so many days after it. What the book tells of later days is left out, so a day gives the
 * same whatever was written after it. Ordered by status and day, then as the plans stand, then by lot and vessel.
 */
export function dueWork(book: Book, on: DayNumber, days: number): DueItem[] {
  if (book.plans.length === 0) return [];
  const log = logOf(book, on);
  const horizon = (on + days + LONGEST_PERIOD + 1) * MINUTES_A_DAY;
  const found: Found[] = [];
  for (const demand of demands(log, horizon)) {
    if (demand.stay.until === undefined) found.push(...new DueOf(demand, on, days).all());
  }
  return together(found)
    .map(({ key: _, ...item }) => ({ ...item, status: statusOf(item.due, on) }))
    .sort(inOrder);
}

type Found = Omit<DueItem, 'status'> & { readonly key: string };

const statusOf = (due: DayNumber, on: DayNumber): DueStatus => (due < on ? 'overdue' : due === on ? 'now' : 'next');

const RANK: Readonly<Record<DueStatus, number>> = { overdue: 0, now: 1, next: 2 };

function inOrder(a: DueItem, b: DueItem): number {
  return (
    RANK[a.status] - RANK[b.status] ||
    a.due - b.due ||
    a.plan.id - b.plan.id ||
    a.row.place.line - b.row.place.line ||
    a.lot - b.lot ||
    a.vessel - b.vessel
  );
}

/** Measurements of one line that are due together in one vessel are one piece of work: one reading. */
function together(found: readonly Found[]): Found[] {
  const groups = new Map<string, Found[]>();
  for (const one of found) {
    const { place } = one.row;
    const group = [one.vessel, one.lot, place.file, place.line, one.due, one.left ?? ''].join(' ');
    const known = groups.get(group);
    if (known === undefined) groups.set(group, [one]);
    else known.push(one);
  }
  return [...groups.values()].flatMap((group) => {
    const [first] = group;
    if (first === undefined) return [];
    const { work } = first.row;
    if (work.kind !== 'reading') return [first];
    const keys = new Set(group.map(({ key }) => key));
    const done = group.filter(({ last }) => last !== undefined);
    const oldest = done.length < group.length ? undefined : Math.min(...done.map(({ last }) => last ?? 0));
    const told = group.find(({ last }) => last === oldest);
    const { last: _, lastAt: __, ...rest } = first;
    const part = partOf(work, keys);
    const what = part === undefined ? first.what : `reading ${part.join(', ')}`;
    const analytes = part ?? work.analytes;
    return [
      { ...rest, what, analytes, ...(oldest === undefined ? {} : lastOf({ minute: oldest, place: told?.lastAt })) },
    ];
  });
}

/** When something was done last, and its line. */
const lastOf = ({ minute, place }: { minute: Minute; place: Place | undefined }): Pick<DueItem, 'last' | 'lastAt'> =>
  place === undefined ? { last: minute } : { last: minute, lastAt: place };

class DueOf {
  private readonly demand: Demand;
  private readonly on: DayNumber;
  private readonly until: DayNumber;

  constructor(demand: Demand, on: DayNumber, days: number) {
    this.demand = demand;
    this.on = on;
    this.until = on + days;
  }

  *all(): Generator<Found> {
    for (const [key, forces] of this.demand.rhythms) {
      const count = this.count(key, forces);
      if (count !== undefined) yield count;
      const interval = this.interval(key, forces);
      if (interval !== undefined) yield interval;
    }
    yield* this.onces();
  }

  private item(
    force: Pick<Force<DueRow>, 'plan'>,
    row: DueRow,
    key: string,
    due: DayNumber,
    last: Doing | undefined,
  ): Found {
    const { vessel, lot } = this.demand.stay;
    return {
      key,
      vessel,
      lot,
      plan: force.plan.facts,
      row,
      what: row.what,
      due,
      ...(last === undefined ? {} : lastOf(last)),
    };
  }

  private lastDone(counting: readonly string[]): Doing | undefined {
    const doings = doingsOf(this.demand.stay, counting);
    return doings[doings.length - 1];
  }

  /** What is left of today's, this week's or this month's count, else the next one that asks for something. */
  private count(key: string, forces: readonly Force<DueRow>[]): Found | undefined {
    let found: Found | undefined;
    for (const period of periodsOf(forces)) {
      for (let day = this.on; day <= this.until; ) {
        const need = needOf(forces, day, period);
        if (need === undefined) {
          day++;
          continue;
        }
        const { force, row, count, first, last } = need;
        const doings = doingsOf(this.demand.stay, force.counting);
        const left = count - timesBetween(doings, first * MINUTES_A_DAY, (last + 1) * MINUTES_A_DAY);
        // one a day is always in time: a week's last of two waits until its last two days
        const due = Math.max(this.on, first, last - left + 1);
        if (left > 0 && due <= this.until) {
          const item = { ...this.item(force, row, key, due, this.lastDone(force.counting)), left, asked: count };
          if (found === undefined || item.due < found.due) found = item;
          break;
        }
        day = last + 1;
      }
    }
    return found;
  }

  /** When something that is due every so often is due again. */
  private interval(key: string, forces: readonly Force<DueRow>[]): Found | undefined {
    const now = (this.on + 1) * MINUTES_A_DAY;
    for (const force of forces) {
      const { row, counting, from, to } = force;
      if (to <= now - 1 || row?.rhythm.kind !== 'every') continue;
      const { minutes } = row.rhythm;
      const doings = doingsOf(this.demand.stay, counting);
      const last = doings[countUntil(doings, now - 1) - 1];
      const at = Math.max(from, last?.minute ?? from) + minutes;
      const due = dayOf(at);
      // what comes to be due after the line no longer holds is not
      if (at >= to || due > this.until) continue;
      const item = this.item(force, row, key, due, last);
      return minutes % MINUTES_A_DAY === 0 ? item : { ...item, dueAt: at };
    }
    return undefined;
  }

  private *onces(): Generator<Found> {
    for (const { plan, row, key, met, ended, doing, last } of this.demand.onces) {
      if (met === undefined || doing !== undefined || dayOf(met) > this.until) continue;
      if (ended !== undefined && ended <= Math.max(met, (this.on + 1) * MINUTES_A_DAY)) continue;
      yield this.item({ plan }, row, key, dayOf(met), last);
    }
  }
}
