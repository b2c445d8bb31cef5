/** Work that a plan asked for and the record does not have: what was left out, or came too late. */
import type { DayNumber, Minute, Place } from '../journal/events.ts';
import type { DueRow, Period } from '../journal/plans.ts';
import { type Need, needOf, periodsOf, timesBetween } from './counts.ts';
import { type Demand, doingsOf, type Force, type Once } from './demands.ts';
import { countUntil } from './holding.ts';
import { dayOf, MINUTES_A_DAY } from './periods.ts';
import type { Away, PlanInForce, PlanLog } from './plan-log.ts';
import type { Doing, Figure, Stay } from './stays.ts';

/** One piece of work missed in one vessel. */
export interface Missed {
  readonly plan: PlanInForce;
  readonly row: DueRow;
  readonly stay: Stay;
  /** The part of the work that is missing: each measurement of a reading is done by itself. */
  readonly key: string;
  /** The last day on which it was still in time. */
  readonly day: DayNumber;
  /** Of a count: how often it was asked and done in the period that ended on the day. */
  readonly count?: { readonly asked: number; readonly done: number; readonly period: Period };
  /** Days it came late; undefined where it never came. */
  readonly late?: number;
  /** The line of the record where it is told: the work that came late or was too little, else what stands before it. */
  readonly place: Place;
  /** That line says `sic`. */
  readonly sic: boolean;
}

/** A seventh of a rhythm is let pass before it is told of: a day in a week (common practice, no source). */
const GRACE = 1 / 7;
/** What is due once may be done on the day after (common practice, no source). */
const GRACE_ONCE = 1;

/** Everything missed of what is asked, up to the end of a day, which itself is not over and is not judged. */
export function missedWork(log: PlanLog, asked: Iterable<Demand>, on: DayNumber): Missed[] {
  const missed: Missed[] = [];
  /** What is asked once, by stay: told where the wine lies last. */
  const onces = new Map<string, Missed>();
  for (const demand of asked) {
    const look = new MissedOf(log, demand, on);
    for (const [key, forces] of demand.rhythms) {
      for (const period of periodsOf(forces)) missed.push(...look.counts(key, forces, period));
      for (const force of forces) missed.push(...look.intervals(key, force));
    }
    for (const once of demand.onces) {
      const name = ({ id }: Stay): string => `${id} ${once.row.place.file} ${once.row.place.line} ${once.key}`;
      if (once.goesOn && demand.stay.before !== undefined) onces.delete(name(demand.stay.before));
      for (const one of look.once(once)) onces.set(name(demand.stay), one);
    }
  }
  return [...missed, ...onces.values()];
}

/** Whether somebody whose work it is was away on a day; work that is nobody's in particular is answered by anybody's absence. */
function awayOn(away: readonly Away[], row: DueRow, day: DayNumber): boolean {
  const gone = new Set(away.filter(({ from, until }) => from <= day && day <= until).flatMap(({ hands }) => hands));
  return row.by.length === 0 ? gone.size > 0 : row.by.every((hand) => gone.has(hand));
}

class MissedOf {
  private readonly log: PlanLog;
  private readonly stay: Stay;
  private readonly on: DayNumber;

  constructor(log: PlanLog, { stay }: Demand, on: DayNumber) {
    this.log = log;
    this.stay = stay;
    this.on = on;
  }

  /** A line that could not be read may have told of it. */
  private maybeDone(from: Minute, to: Minute): boolean {
    return this.stay.missing.some((minute) => from <= minute && minute < to);
  }

  /** The days from one to another that count: those on which whoever does the work was there. */
  private days(row: DueRow, from: DayNumber, to: DayNumber): number {
    if (this.log.away.length === 0) return Math.max(0, to - from);
    let days = 0;
    for (let day = from + 1; day <= to; day++) if (!awayOn(this.log.away, row, day)) days++;
    return days;
  }

  counts(key: string, forces: readonly Force<DueRow>[], period: Period): Missed[] {
    const found: Missed[] = [];
    const [first] = forces;
    const last = forces[forces.length - 1];
    if (first === undefined || last === undefined) return found;
    const until = Math.min(dayOf(last.to), this.on - 1);
    let at = 0;
    for (let day = dayOf(first.from); day <= until; ) {
      while ((forces[at]?.to ?? Number.POSITIVE_INFINITY) <= day * MINUTES_A_DAY) at++;
      const need = needOf(forces, day, period, at);
      if (need === undefined) {
        day++;
        continue;
      }
      day = need.last + 1;
      if (need.last > until) break;
      const one = this.tooFew(key, need, period);
      if (one !== undefined) found.push(one);
    }
    return found;
  }

  private tooFew(key: string, need: Need, period: Period): Missed | undefined {
    const { row, count: asked, first, last } = need;
    const { plan, counting } = need.force;
    const { stay } = this;
    const [from, to] = [first * MINUTES_A_DAY, (last + 1) * MINUTES_A_DAY];
    const doings = doingsOf(stay, counting);
    const done = timesBetween(doings, from, to);
    if (done >= asked || this.maybeDone(from, to)) return undefined;
    for (let day = first; day <= last; day++) if (awayOn(this.log.away, row, day)) return undefined;
    // what was done in it, or the last that was done before
    const before = doings[countUntil(doings, to - 1) - 1] ?? stay;
    return {
      plan,
      row,
      stay,
      key,
      day: last,
      count: { asked, done, period },
      place: before.place,
      sic: before.sic,
    };
  }

  intervals(key: string, force: Force<DueRow>): Missed[] {
    const { plan, row, counting, from, to } = force;
    const found: Missed[] = [];
    if (row?.rhythm.kind !== 'every') return found;
    const { minutes } = row.rhythm;
    const { stay } = this;
    const doings = doingsOf(stay, counting);
    let at = from;
    let before: Pick<Doing, 'place' | 'sic'> = stay;
    for (let i = countUntil(doings, from - 1); i < doings.length; i++) {
      const doing = doings[i];
      if (doing === undefined || doing.minute >= to) break;
      const late = this.late(row, minutes, at, doing.minute);
      if (late !== undefined) found.push({ plan, row, stay, key, ...late, place: doing.place, sic: doing.sic });
      at = doing.minute;
      before = doing;
    }
    // the day that is not over is not judged
    const late = this.late(row, minutes, at, Math.min(to, this.on * MINUTES_A_DAY) - 1);
    if (late !== undefined) found.push({ plan, row, stay, key, day: late.day, place: before.place, sic: before.sic });
    return found;
  }

  /** By how much something is late that was done at one moment and again, or not by, another. */
  private late(
    row: DueRow,
    minutes: number,
    at: Minute,
    again: Minute,
  ): { readonly day: DayNumber; readonly late: number } | undefined {
    if (this.maybeDone(at, again)) return undefined;
    if (minutes % MINUTES_A_DAY !== 0) {
      const due = at + minutes;
      const day = dayOf(due);
      if (again <= due + minutes * GRACE || awayOn(this.log.away, row, day)) return undefined;
      return { day, late: dayOf(again) - day };
    }
    const days = minutes / MINUTES_A_DAY;
    const day = dayOf(at) + days;
    const late = this.days(row, day, dayOf(again));
    return late > Math.floor(days * GRACE) ? { day, late } : undefined;
  }

  once({ plan, row, key, met, ended, doing }: Once): Missed[] {
    const { stay } = this;
    // in another vessel before this one it was told of already
    if (met === undefined || (doing !== undefined && doing.minute < stay.from)) return [];
    const day = dayOf(met);
    const until = doing?.minute ?? Math.min(ended ?? Number.POSITIVE_INFINITY, this.on * MINUTES_A_DAY) - 1;
    const late = this.days(row, day, dayOf(until));
    if (late <= GRACE_ONCE || this.maybeDone(met - MINUTES_A_DAY, until)) return [];
    if (doing !== undefined) return [{ plan, row, stay, key, day, late, place: doing.place, sic: doing.sic }];
    const { place, sic } = this.metBy(row, met) ?? stay;
    return [{ plan, row, stay, key, day, place, sic }];
  }

  /** The reading by which a line came to be due. */
  private metBy(row: DueRow, met: Minute): Figure | undefined {
    for (const condition of row.conditions) {
      if (!('test' in condition) || condition.test.kind === 'stage') continue;
      const analyte = condition.test.kind === 'gone' ? 'brix' : condition.test.analyte;
      const figures = this.stay.figures.get(analyte) ?? [];
      const figure = figures[countUntil(figures, met) - 1];
      if (figure?.minute === met) return figure;
    }
    return undefined;
  }
}
