/** Readings outside what a plan keeps to, or past what it warns of. */

import { DRY, FALL } from '../cellar/stages.ts';
import type { DayNumber, Minute } from '../journal/events.ts';
import type { KeepRow, WarnRow } from '../journal/plans.ts';
import type { Demand, Force } from './demands.ts';
import { countUntil, within } from './holding.ts';
import { MINUTES_A_DAY } from './periods.ts';
import type { PlanInForce } from './plan-log.ts';
import type { Figure, Stay } from './stays.ts';

/** A reading that a plan's line has something to say to. */
export interface Crossing {
  readonly plan: PlanInForce;
  readonly row: KeepRow | WarnRow;
  readonly stay: Stay;
  readonly figure: Figure;
  /** Of a pace: by how much it fell or rose, in the time the line counts by, since the earlier reading. */
  readonly pace?: number;
  readonly since?: Figure;
}

/** A pace is reckoned from a reading at least so long before: yesterday's at about the same hour (common practice, no source). */
const PACE_OVER = 20 * 60;

/** Every crossing of what is asked, up to the end of a day, in the order of stays, lines and time. */
export function crossings(asked: Iterable<Demand>, on: DayNumber): Crossing[] {
  const end = (on + 1) * MINUTES_A_DAY;
  const found: Crossing[] = [];
  for (const { stay, bounds } of asked) {
    const told = new Set<string>();
    for (const [key, forces] of bounds) {
      const side = key.endsWith(' low') ? 'low' : 'high';
      for (const force of forces) {
        for (const one of crossed(force, stay, side, end)) {
          // a line with both sides stands under two keys; one figure is told once
          const twin = `${one.row.place.file} ${one.row.place.line} ${one.figure.minute} ${one.figure.said}`;
          if (!told.has(twin)) found.push(one);
          told.add(twin);
        }
      }
    }
  }
  return found;
}

function* crossed(force: Force, stay: Stay, side: 'low' | 'high', end: Minute): Generator<Crossing> {
  const { plan, row, from, to } = force;
  if (row === undefined || row.kind === 'due') return;
  const figures = stay.figures.get(row.analyte) ?? [];
  const bound = row.bounds[side];
  if (bound === undefined) return;
  const matters = row.kind === 'warn' ? paceMatters(row, stay) : undefined;
  for (let i = countUntil(figures, Math.max(from, stay.from) - 1); i < figures.length; i++) {
    const figure = figures[i];
    if (figure === undefined || figure.minute >= to || figure.minute >= end) break;
    if (row.kind === 'keep') {
      if (outside(figure, side, bound)) yield { plan, row, stay, figure };
    } else if (row.of === 'figure') {
      // the side a warning names is where it warns: `above 32` is the low bound of what it warns of
      if (within(figure, row.bounds)) yield { plan, row, stay, figure };
    } else {
      const before = paceSince(figures, i);
      if (before === undefined || matters?.(figure) !== true) continue;
      const change = row.of === 'falling' ? before.value - figure.value : figure.value - before.value;
      const pace = (change * row.per) / (figure.minute - before.minute);
      if (within({ value: pace, mark: '' }, row.bounds)) yield { plan, row, stay, figure, pace, since: before };
    }
  }
}

/** Whether a figure lies past a bound that is to be kept; on the bound it is kept. */
function outside({ value, high, mark }: Figure, side: 'low' | 'high', bound: number): boolean {
  // what lies below or above what the method sees may be anything there
  if (side === 'low') return mark !== '>' && (value < bound || (value === bound && mark === '<'));
  const most = high ?? value;
  return mark !== '<' && (most > bound || (most === bound && mark === '>'));
}

/** The newest reading that is long enough before the one at an index. */
function paceSince(figures: readonly Figure[], at: number): Figure | undefined {
  const now = figures[at];
  if (now === undefined || now.mark === '<' || now.mark === '>') return undefined;
  const earlier = figures[countUntil(figures, now.minute - PACE_OVER) - 1];
  return earlier === undefined || earlier.mark === '<' || earlier.mark === '>' ? undefined : earlier;
}

/**
 * Tells, reading by reading, whether the pace of one matters: a slow fall of sugar does from when the ferment shows until
 * the wine is dry, as before and after it sugar stands still; any other pace always does.
 */
function paceMatters(row: WarnRow, stay: Stay): (figure: Figure) => boolean {
  if (row.analyte !== 'brix' || row.of !== 'falling' || row.bounds.high === undefined) return () => true;
  const figures = stay.figures.get('brix') ?? [];
  let most = stay.brixBefore ?? Number.NEGATIVE_INFINITY;
  let last = most;
  let next = 0;
  return ({ minute, value }) => {
    for (let one = figures[next]; one !== undefined && one.minute < minute; one = figures[++next]) {
      most = Math.max(most, one.value);
      last = one.value;
    }
    return value > DRY && most - last >= FALL;
  };
}
