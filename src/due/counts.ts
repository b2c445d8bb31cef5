/** How much of a work a day, a week or a month asks, and how much of it is done. */
import type { DayNumber, Minute } from '../journal/events.ts';
import type { DueRow, Period } from '../journal/plans.ts';
import type { Force } from './demands.ts';
import { countUntil } from './holding.ts';
import { MINUTES_A_DAY, periodOf } from './periods.ts';
import type { Doing } from './stays.ts';

/** What a period asks for: the line that asks least, and how often. */
export interface Need {
  readonly force: Force<DueRow>;
  readonly row: DueRow;
  readonly count: number;
  readonly first: DayNumber;
  readonly last: DayNumber;
}

/**
 * What the period a day lies in asks for: the least that any stretch of it asks, and nothing where a stretch of it asks
 * nothing or lies outside the plan. `at` is where to begin to look in the stretches.
 */
export function needOf(forces: readonly Force<DueRow>[], day: DayNumber, period: Period, at = 0): Need | undefined {
  const { first, last } = periodOf(day, period);
  const from = first * MINUTES_A_DAY;
  const to = (last + 1) * MINUTES_A_DAY;
  let covered: Minute = from;
  let need: Need | undefined;
  for (let i = at; i < forces.length; i++) {
    const force = forces[i];
    if (force === undefined || force.from >= to) break;
    if (force.to <= from) continue;
    const { row } = force;
    if (force.from > covered || row === undefined || row.rhythm.kind !== 'count' || row.rhythm.period !== period)
      return undefined;
    covered = force.to;
    const { count } = row.rhythm;
    if (need === undefined || count < need.count) need = { force, row, count, first, last };
  }
  return covered >= to ? need : undefined;
}

/** How often something was done from one moment to before another. */
export function timesBetween(doings: readonly Doing[], from: Minute, to: Minute): number {
  let times = 0;
  for (let i = countUntil(doings, from - 1); i < doings.length; i++) {
    const doing = doings[i];
    if (doing === undefined || doing.minute >= to) break;
    times += doing.times;
  }
  return times;
}

/** The periods lines of these stretches count by. */
export function periodsOf(forces: readonly Force<DueRow>[]): Set<Period> {
  const periods = new Set<Period>();
  for (const { row } of forces) if (row?.rhythm.kind === 'count') periods.add(row.rhythm.period);
  return periods;
}
