/** Lines over time on a panel: a few with a look and a name each, many thin about their median, very many as a band. */
import { area, line } from 'd3-shape';
import type { CurvePoint, CurveSeries } from '../report/charted.ts';
import { MINUTES_A_DAY } from '../report/dates.ts';
import { middleOf } from '../report/median.ts';
import { type Scale, spread } from './axis.ts';
import { shorten } from './labels.ts';
import { DIGITS, element, hint, text } from './svg.ts';

/** Up to so many lines each has its own look and name; more are drawn thin about their median. */
export const MOST_NAMED = 6;
/** Thin lines beyond these would be a smear: their span is drawn as a band. */
export const MOST_THIN = 40;

/** What a line needs for its points and, where it has one, its name at the end. */
export interface Panel {
  readonly x: Scale;
  readonly y: Scale;
  readonly top: number;
  readonly bottom: number;
  readonly right: number;
  /** What is left for names beyond it. */
  readonly room: number;
}

/** Where a line's name is led to from, by the line's name; without one it is the last point. */
export type Ends = ReadonlyMap<string, { readonly minute: number; readonly value: number }>;

export function lines(
  series: readonly CurveSeries[],
  looks: ReadonlyMap<string, string>,
  into: Panel,
  ends: Ends = new Map(),
): string {
  const drawn = series.filter(isLine);
  const dots = series.filter((one) => !isLine(one)).map((one) => loneDot(one, into));
  return dots.join('') + (drawn.length <= MOST_NAMED ? namedLines(drawn, looks, into, ends) : bundle(drawn, into));
}

/** As `lines`, but while they are few each is named, even if it is a single point. */
export function linesAndPoints(
  series: readonly CurveSeries[],
  looks: ReadonlyMap<string, string>,
  into: Panel,
): string {
  const drawn = series.filter(({ points }) => points.length > 0);
  return drawn.length <= MOST_NAMED ? namedLines(drawn, looks, into, new Map()) : lines(drawn, looks, into);
}

/** Without the points that have no place on a panel. */
export function finite(points: readonly CurvePoint[]): CurvePoint[] {
  return points.filter(({ minute, value }) => Number.isFinite(minute) && Number.isFinite(value));
}

/** The lowest and highest value of all, with further ones that a panel has to show; undefined where there is none. */
export function extentOf(series: readonly CurveSeries[], ...further: number[]): [number, number] | undefined {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  const take = (value: number): void => {
    low = Math.min(low, value);
    high = Math.max(high, value);
  };
  for (const { points } of series) for (const { value } of points) take(value);
  for (const value of further) take(value);
  return low > high ? undefined : [low, high];
}

/** The first and last minute of all, at least a day apart; a day from nowhere where there is none. */
export function timeOf(
  series: readonly CurveSeries[],
  further: readonly { readonly minute: number }[],
): [number, number] {
  let from = Number.POSITIVE_INFINITY;
  let until = Number.NEGATIVE_INFINITY;
  const take = (minute: number): void => {
    from = Math.min(from, minute);
    until = Math.max(until, minute);
  };
  for (const { points } of series) for (const { minute } of points) take(minute);
  for (const { minute } of further) take(minute);
  if (from > until) return [0, MINUTES_A_DAY];
  return until - from < MINUTES_A_DAY ? [from, from + MINUTES_A_DAY] : [from, until];
}

export const isLine = ({ points }: CurveSeries): boolean => points.length > 1;

/** One reading alone makes no line, and needs no name at an end: it says what it is when pointed at. */
function loneDot({ name, points }: CurveSeries, { x, y }: Panel): string {
  return points
    .map(({ minute, value, below }) =>
      element(
        'g',
        { class: below === true ? 'dot below' : 'dot' },
        hint(below === true ? `${name}: below ${value}` : name),
        element('circle', { cx: x(minute), cy: y(value), r: 3 }),
      ),
    )
    .join('');
}

/** A line looks the same on every panel. */
export function looksOf(series: readonly { readonly name: string }[]): Map<string, string> {
  const looks = new Map<string, string>();
  for (const { name } of series) {
    if (!looks.has(name)) looks.set(name, `s${(looks.size % MOST_NAMED) + 1}`);
  }
  return looks;
}

export function linePath(points: readonly CurvePoint[], { x, y }: Pick<Panel, 'x' | 'y'>): string {
  return (
    line<CurvePoint>()
      .x((point) => x(point.minute))
      .y((point) => y(point.value))
      .digits(DIGITS)(points) ?? ''
  );
}

function namedLines(
  series: readonly CurveSeries[],
  looks: ReadonlyMap<string, string>,
  into: Panel,
  ends: Ends,
): string {
  const drawn = series.map(({ name, points }) => {
    const look = looks.get(name) ?? 's1';
    const dots = points.map((point) => dot(point, into, points.length === 1 ? 3 : 1.7)).join('');
    const path = points.length < 2 ? '' : element('path', { d: linePath(points, into) });
    return element('g', { class: `line ${look}` }, path, dots);
  });
  return (
    drawn.join('') +
    endLabels(
      series,
      series.map(({ name }) => looks.get(name) ?? 's1'),
      into,
      ends,
    )
  );
}

function dot(point: CurvePoint, { x, y }: Panel, r: number): string {
  const place = { cx: x(point.minute), cy: y(point.value) };
  return point.below === true ? hollow(place) : element('circle', { ...place, r });
}

/** What could only be told to be less than it stands at. */
function hollow(place: { readonly cx: number; readonly cy: number }): string {
  return element('circle', { class: 'below', ...place, r: 3 });
}

/** Many lines: every one thin, or their span as a band, and the middle of them strong; the highest and lowest at the end are named. */
function bundle(series: readonly CurveSeries[], into: Panel): string {
  const all = rounds(series);
  // Where hardly two were read together there is no span to draw.
  const thin =
    series.length > MOST_THIN && all.length > 1
      ? element('path', { class: 'band', d: bandPath(all, into) })
      : series.map(({ points }) => element('path', { class: 'thin', d: linePath(points, into) })).join('');
  const unclear = series.flatMap(({ points }) => points.filter(({ below }) => below === true));
  const places = new Set(unclear.map((point) => hollow({ cx: into.x(point.minute), cy: into.y(point.value) })));
  const middle: CurveSeries = {
    name: 'median',
    points: all.map((round) => ({ minute: round.minute, value: round.middle })),
  };
  const strong =
    all.length === 0
      ? ''
      : element('g', { class: 'line s1' }, element('path', { d: linePath(middle.points, into), 'stroke-width': 2.5 }));
  const ends = series
    .filter(({ points }) => points.length > 0)
    .map((one) => ({ one, last: one.points.at(-1)?.value ?? 0 }))
    .sort((a, b) => a.last - b.last);
  const outer = [ends[0], ends.at(-1)].flatMap((found) => (found === undefined ? [] : [found.one]));
  const named = [middle, ...new Set(outer)];
  return (
    thin +
    (places.size === 0 ? '' : element('g', { class: 'dot' }, ...places)) +
    strong +
    endLabels(
      named,
      named.map((_, index) => (index === 0 ? 's1' : 'muted')),
      into,
      new Map(),
    )
  );
}

/** What was read at one minute over all vessels. */
interface Round {
  readonly minute: number;
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

/** Every minute at which at least half of the vessels were read. */
function rounds(series: readonly CurveSeries[]): Round[] {
  const values = new Map<number, number[]>();
  for (const { points } of series) {
    for (const { minute, value } of points) {
      const already = values.get(minute);
      if (already === undefined) values.set(minute, [value]);
      else already.push(value);
    }
  }
  return [...values]
    .filter(([, read]) => read.length * 2 >= series.length)
    .sort(([a], [b]) => a - b)
    .map(([minute, read]) => {
      const sorted = read.sort((a, b) => a - b);
      return { minute, low: sorted[0] ?? 0, middle: middleOf(sorted), high: sorted.at(-1) ?? 0 };
    });
}

/** The room between two bounds over time. */
export function bandPath(
  bounds: readonly { readonly minute: number; readonly low: number; readonly high: number }[],
  { x, y }: Pick<Panel, 'x' | 'y'>,
): string {
  return (
    area<(typeof bounds)[number]>()
      .x(({ minute }) => x(minute))
      .y0(({ low }) => y(low))
      .y1(({ high }) => y(high))
      .digits(DIGITS)(bounds) ?? ''
  );
}

const LABEL_GAP = 13;

function endLabels(series: readonly CurveSeries[], looks: readonly string[], into: Panel, at: Ends): string {
  const ends = series.flatMap(({ name, points }, index) => {
    const last = at.get(name) ?? points.at(-1);
    return last === undefined
      ? []
      : [{ name, look: looks[index] ?? '', at: into.x(last.minute), y: into.y(last.value) }];
  });
  const placed = spread(
    ends.map(({ y }) => y + 4),
    LABEL_GAP,
    into.top + 4,
    into.bottom + 4,
  );
  return ends
    .map(({ name, look, at, y }, index) => {
      const labelY = placed[index] ?? y;
      // A leader runs from the line's end to its name, wherever the ferment ended.
      const leader =
        Math.abs(labelY - 4 - y) > 2 || into.right - at > 4
          ? element('path', {
              class: 'leader',
              d: `M${at.toFixed(DIGITS)},${y.toFixed(DIGITS)}L${(into.right + 5).toFixed(DIGITS)},${(labelY - 4).toFixed(DIGITS)}`,
            })
          : '';
      return leader + text(shorten(name, into.room), { class: `name ${look}`, x: into.right + 7, y: labelY });
    })
    .join('');
}
