/** Axes: pleasant ticks for days and numbers, and their lines and labels. */
import { type ScaleLinear, scaleLinear } from 'd3-scale';
import type { Minute } from '../journal/events.ts';
import { civil, dayOf, firstOfMonth, MINUTES_A_DAY, monthWord, shortDayText } from '../report/dates.ts';
import { signedText, TICK_SIZE, widthOf } from './labels.ts';
import { element, text } from './svg.ts';

export type Scale = ScaleLinear<number, number>;

export interface Tick {
  readonly value: number;
  readonly label: string;
}

export function linear(domain: readonly [number, number], range: readonly [number, number]): Scale {
  return scaleLinear(domain, range);
}

/** A scale that begins and ends on a tick, and never has no extent. */
export function niceLinear(low: number, high: number, range: readonly [number, number], count: number): Scale {
  const flat = high - low < 1e-9;
  return linear(flat ? [low - 0.5, high + 0.5] : [low, high], range).nice(count);
}

/** Ticks of numbers, all with the decimals their step needs. */
export function numberTicks(scale: Scale, count: number): Tick[] {
  const values = scale.ticks(count);
  const step = values.length > 1 ? Math.abs((values[1] ?? 0) - (values[0] ?? 0)) : 1;
  const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return values.map((value) => ({ value, label: signedText(value.toFixed(places)) }));
}

/** Days between ticks, where months would be too coarse. */
const DAY_STEPS = [1, 2, 3, 5, 7, 14];
const MONTH_STEPS = [1, 2, 3, 6, 12];
/** Room a label like `14 Sep` needs, and one like `Nov 2026`, in pixels. */
const DATE_ROOM = 50;
const MONTH_ROOM = 62;
/** Where even months would leave less than two ticks. */
const FOUR_WEEKS = 28;

/** Ticks at midnight of whole days or of firsts of months, as many as there is room for. */
export function dateTicks(from: Minute, until: Minute, width: number): Tick[] {
  const first = Math.ceil(from / MINUTES_A_DAY);
  const last = dayOf(until);
  const days = Math.max(1, last - first);
  const most = Math.max(2, Math.floor(width / DATE_ROOM));
  const step = DAY_STEPS.find((candidate) => days / candidate + 1 <= most);
  if (step !== undefined) return dayTicks(first, last, step);
  const months = monthTicks(first, last, Math.max(2, Math.floor(width / MONTH_ROOM)));
  return months.length < 2 ? dayTicks(first, last, FOUR_WEEKS) : months;
}

function dayTicks(first: number, last: number, step: number): Tick[] {
  const ticks: Tick[] = [];
  for (let day = first; day <= last; day += step) ticks.push({ value: day * MINUTES_A_DAY, label: shortDayText(day) });
  return ticks;
}

function monthTicks(first: number, last: number, most: number): Tick[] {
  const start = civil(first);
  const months = (last - first) / 30.4;
  const step =
    MONTH_STEPS.find((candidate) => Math.floor(months / candidate) + 1 <= most) ??
    12 * Math.ceil(months / 12 / (most - 1));
  // Months are counted from the year's first, so that ticks of two neighbouring charts agree.
  const offset = Math.floor((start.month - 1) / step) * step + 1;
  const ticks: Tick[] = [];
  for (let month = offset; ; month += step) {
    const day = firstOfMonth(start.year, month);
    if (day > last) return ticks;
    if (day < first) continue;
    const date = civil(day);
    const year = date.month === 1 || ticks.length === 0;
    ticks.push({ value: day * MINUTES_A_DAY, label: `${monthWord(date.month)}${year ? ` ${date.year}` : ''}` });
  }
}

/** How far above a panel its unit stands. */
const HEAD = 11;

/** Horizontal grid lines with their figures at the left, and the unit above them. */
export function leftAxis(scale: Scale, ticks: readonly Tick[], left: number, right: number, unit: string): string {
  const [, top = 0] = [...scale.range()].sort((a, b) => b - a);
  return [
    text(unit, { class: 'unit', x: 0, y: top - HEAD }),
    ...ticks.map(({ value, label }) => {
      const y = scale(value);
      return (
        element('line', { class: 'grid', x1: left, x2: right, y1: y, y2: y }) +
        text(label, { class: 'tick', x: left - 6, y: y + 4, 'text-anchor': 'end' })
      );
    }),
  ].join('');
}

/** What the labels of an axis need left of it, at least `least`. */
export function leftRoom(ticks: readonly Tick[], least: number): number {
  return ticks.reduce((room, { label }) => Math.max(room, Math.ceil(widthOf(label, TICK_SIZE)) + 8), least);
}

/** How far a label may stand out to the left of its axis, and what lies between two labels at least. */
const OUT = 12;
const BETWEEN = 5;

/**
 * The days along the foot of a panel; its line tells which minutes lie at its ends, for whoever reads the chart by script.
 * A label at the edge is pulled in; one that would touch its neighbour is left out.
 */
export function bottomAxis(scale: Scale, ticks: readonly Tick[], left: number, right: number, y: number): string {
  const [from, until] = [left, right].map((x) => String(Math.round(scale.invert(x))));
  const line = { class: 'axis', x1: left, x2: right, y1: y, y2: y, 'data-from': from, 'data-until': until };
  const parts = [element('line', line)];
  let taken = Number.NEGATIVE_INFINITY;
  for (const { value, label } of ticks) {
    const x = scale(value);
    parts.push(element('line', { class: 'axis', x1: x, x2: x, y1: y, y2: y + 5 }));
    const half = widthOf(label, TICK_SIZE) / 2;
    const middle = Math.min(Math.max(x, Math.max(0, left - OUT) + half), right - half);
    if (middle - half < taken + BETWEEN) continue;
    parts.push(text(label, { class: 'tick', x: middle, y: y + 18, 'text-anchor': 'middle' }));
    taken = middle + half;
  }
  return parts.join('');
}

/** Light upright lines that let the eye follow a day through several panels. */
export function uprights(scale: Scale, ticks: readonly Tick[], top: number, bottom: number): string {
  return ticks
    .map(({ value }) => {
      const x = scale(value);
      return element('line', { class: 'grid', x1: x, x2: x, y1: top, y2: bottom });
    })
    .join('');
}

/** Moves labels apart that would overlap, keeping their order; each stays as near to its place as the room lets it. */
export function spread(wanted: readonly number[], gap: number, top: number, bottom: number): number[] {
  const order = wanted.map((y, index) => ({ y, index })).sort((a, b) => a.y - b.y || a.index - b.index);
  let floor = top;
  for (const label of order) {
    label.y = Math.max(label.y, floor);
    floor = label.y + gap;
  }
  let ceiling = bottom;
  for (const label of order.reverse()) {
    label.y = Math.min(label.y, ceiling);
    ceiling = label.y - gap;
  }
  const placed = new Array<number>(wanted.length).fill(0);
  for (const { y, index } of order) placed[index] = y;
  return placed;
}
