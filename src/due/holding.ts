/** When the conditions of a plan's line are met by the record: a line holds while all of them are. */
import type { Minute } from '../journal/events.ts';
import type { Bounds, Condition, PlanRow, Test } from '../journal/plans.ts';
import type { Figure, Stay, Stays } from './stays.ts';

/** From this minute on a line holds, or holds no longer. */
export interface Switch {
  readonly minute: Minute;
  readonly holds: boolean;
}

/** Shares of the sugar are compared within this much, so that a third is a third. */
const NEARLY = 1e-9;

/** Whether a figure lies within bounds; what lies below what the method sees is below it. */
export function within(figure: Pick<Figure, 'value' | 'high' | 'mark'>, { low, high, strict }: Bounds): boolean {
  const value = figure.high === undefined ? figure.value : (figure.value + figure.high) / 2;
  if (low !== undefined) {
    if (figure.mark === '<') return false;
    if (value < low || (strict && value === low && figure.mark !== '>')) return false;
  }
  if (high !== undefined) {
    if (figure.mark === '>') return false;
    if (value > high || (strict && value === high && figure.mark !== '<')) return false;
  }
  return true;
}

/** How many of a list in the order of time are not after a moment. */
export function countUntil(list: readonly { readonly minute: Minute }[], minute: Minute): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((list[middle]?.minute ?? 0) <= minute) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The last figure of an analyte that was read of a stay up to a moment. */
function lastFigure(stay: Stay, analyte: string, minute: Minute): Figure | undefined {
  const figures = stay.figures.get(analyte) ?? [];
  return figures[countUntil(figures, minute) - 1];
}

/** What a condition remembers from moment to moment: whether it was ever met, and the highest sugar so far. */
interface Memory {
  met: boolean;
  brixRead: number;
  brixMost: number | undefined;
}

function mostSugar(stay: Stay, minute: Minute, memory: Memory): number | undefined {
  const figures = stay.figures.get('brix') ?? [];
  for (let next = figures[memory.brixRead]; next !== undefined && next.minute <= minute; ) {
    if (memory.brixMost === undefined || next.value > memory.brixMost) memory.brixMost = next.value;
    next = figures[++memory.brixRead];
  }
  return memory.brixMost;
}

/** Whether a test is met at a moment. What nobody has read is not met. */
function met(stays: Stays, stay: Stay, test: Test, minute: Minute, memory: Memory): boolean {
  switch (test.kind) {
    case 'reading': {
      const figure = lastFigure(stay, test.analyte, minute);
      return figure !== undefined && within(figure, test.bounds);
    }
    case 'gone': {
      const most = mostSugar(stay, minute, memory);
      const now = lastFigure(stay, 'brix', minute)?.value;
      return most !== undefined && now !== undefined && most > 0 && (most - now) / most >= test.share - NEARLY;
    }
    case 'stage':
      return test.stage === 'fermenting'
        ? stays.stageAt(stay.lot, minute) === 'fermenting'
        : stays.kindAt(stay, minute) === test.stage;
  }
}

/** The minutes at which a condition may change within a stay. */
function changes(stays: Stays, stay: Stay, condition: Condition, since: Minute): Minute[] {
  if ('minutes' in condition) return [since + condition.minutes];
  if ('day' in condition) return [(condition.day + 1) * 1440];
  const { test } = condition;
  if (test.kind === 'stage') return stays.stageChanges(stay.lot);
  const analyte = test.kind === 'gone' ? 'brix' : test.analyte;
  return (stay.figures.get(analyte) ?? []).map((figure) => figure.minute);
}

function holdsAt(
  stays: Stays,
  stay: Stay,
  condition: Condition,
  since: Minute,
  minute: Minute,
  memory: Memory,
): boolean {
  if ('minutes' in condition) return minute >= since + condition.minutes;
  if ('day' in condition) {
    const past = minute >= (condition.day + 1) * 1440;
    return condition.word === 'after' ? past : !past;
  }
  const now = met(stays, stay, condition.test, minute, memory);
  if (condition.word === 'while') return now;
  memory.met ||= now;
  return condition.word === 'when' ? memory.met : !memory.met;
}

/**
 * When a line holds over a stay, between two moments, for wine that came under the plan at `since`: the first switch
 * stands at `from`, every further one changes.
 */
export function switches(stays: Stays, stay: Stay, row: PlanRow, from: Minute, to: Minute, since: Minute): Switch[] {
  const { conditions } = row;
  if (conditions.length === 0) return [{ minute: from, holds: true }];
  const points = new Set<Minute>([from]);
  for (const condition of conditions)
    for (const minute of changes(stays, stay, condition, since)) if (minute > from && minute < to) points.add(minute);
  const memories: Memory[] = conditions.map(() => ({ met: false, brixRead: 0, brixMost: stay.brixBefore }));
  const list: Switch[] = [];
  for (const minute of [...points].sort((a, b) => a - b)) {
    let holds = true;
    // every condition is asked, so that each remembers what it saw
    for (const [i, condition] of conditions.entries()) {
      const memory = memories[i];
      if (memory !== undefined && !holdsAt(stays, stay, condition, since, minute, memory)) holds = false;
    }
    if (list[list.length - 1]?.holds !== holds) list.push({ minute, holds });
  }
  return list;
}
