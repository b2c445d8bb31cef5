/** The course of a ferment: sugar by vessel, the temperature on a panel of its own, and what was done on strips beneath. */

import {
  area,
  line,
  type SymbolType,
  symbol,
  symbolCircle,
  symbolDiamond,
  symbolSquare,
  symbolTriangle,
} from 'd3-shape';
import type { CurvePoint, CurveSeries, FermentCurve, Mark, MarkShape, MarkStrip } from '../report/charted.ts';
import { dayOf, dayText, MINUTES_A_DAY } from '../report/dates.ts';
import { escapeText } from '../report/escape.ts';
import { middleOf } from '../report/median.ts';
import { nameList } from '../report/names.ts';
import {
  bottomAxis,
  dateTicks,
  leftAxis,
  linear,
  niceLinear,
  numberTicks,
  type Scale,
  spread,
  uprights,
} from './axis.ts';
import { DIGITS, drawing, element, type Frame, text } from './svg.ts';

const LEFT = 40;
const TOP = 24;
const PANEL_GAP = 34;
const STRIP = 30;
const FOOT = 26;
/** Up to so many vessels each line has its own look and name; more are drawn thin about their median. */
const MOST_NAMED = 6;
/** Thin lines beyond these would be a smear: their span is drawn as a band. */
const MOST_THIN = 40;

/** What a line needs for its points and, where it has one, its name at the end. */
interface Panel {
  readonly x: Scale;
  readonly y: Scale;
  readonly top: number;
  readonly bottom: number;
  readonly right: number;
  /** What is left for names beyond it. */
  readonly room: number;
}

export function fermentCurve(data: FermentCurve, frame: Frame): string {
  const wide = frame.width > 500;
  const sugarHeight = wide ? 220 : 180;
  const warmthHeight = data.temperature.length === 0 ? 0 : wide ? 90 : 80;
  const right = frame.width - (wide ? 96 : 66);

  const [from, until] = span(data);
  const x = linear([from, until], [LEFT, right]);
  const days = dateTicks(from, until, right - LEFT);

  const sugarBottom = TOP + sugarHeight;
  const ends = { right, room: frame.width - right - 7 };
  const sugar = panel(data.sugar, x, [TOP, sugarBottom], ends, wide ? 6 : 5);
  let end = sugarBottom;
  const looks = looksOf(data);
  const parts: string[] = [];
  let warmth: { panel: Panel; top: number } | undefined;
  if (warmthHeight > 0) {
    const top = end + PANEL_GAP;
    end = top + warmthHeight;
    warmth = { panel: panel(data.temperature, x, [top, end], ends, 4), top };
  }
  parts.push(uprights(x, days, TOP, end));
  parts.push(leftAxis(sugar.y, numberTicks(sugar.y, wide ? 6 : 5), LEFT, right, data.unit));
  parts.push(curves(data.sugar, looks, sugar));
  if (warmth !== undefined) {
    parts.push(leftAxis(warmth.panel.y, numberTicks(warmth.panel.y, 4), LEFT, right, data.temperatureUnit));
    parts.push(curves(data.temperature, looks, warmth.panel));
  }
  parts.push(bottomAxis(x, days, LEFT, right, end));
  end += FOOT;
  for (const strip of data.strips) {
    parts.push(markStrip(strip, x, end, right));
    end += STRIP;
  }
  return drawing(frame, end + 4, data.title, describe(data, from, until), ...parts);
}

/** From the first mark or reading to the last, never without extent. */
function span(data: FermentCurve): [number, number] {
  let from = Number.POSITIVE_INFINITY;
  let until = Number.NEGATIVE_INFINITY;
  for (const series of [...data.sugar, ...data.temperature]) {
    for (const { minute } of series.points) {
      from = Math.min(from, minute);
      until = Math.max(until, minute);
    }
  }
  for (const { marks } of data.strips) {
    for (const { minute } of marks) {
      from = Math.min(from, minute);
      until = Math.max(until, minute);
    }
  }
  if (from > until) return [0, MINUTES_A_DAY];
  return until - from < MINUTES_A_DAY ? [from, from + MINUTES_A_DAY] : [from, until];
}

function panel(
  series: readonly CurveSeries[],
  x: Scale,
  [top, bottom]: readonly [number, number],
  ends: Pick<Panel, 'right' | 'room'>,
  count: number,
): Panel {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const { points } of series) {
    for (const { value } of points) {
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (low > high) [low, high] = [0, 1];
  return { x, y: niceLinear(low, high, [bottom, top], count), top, bottom, ...ends };
}

function curves(series: readonly CurveSeries[], looks: ReadonlyMap<string, string>, into: Panel): string {
  const lines = series.filter(isLine);
  const dots = series.filter((one) => !isLine(one)).map((one) => loneDot(one, into));
  return dots.join('') + (lines.length <= MOST_NAMED ? namedLines(lines, looks, into) : bundle(lines, into));
}

const isLine = ({ points }: CurveSeries): boolean => points.length > 1;

/** One reading alone makes no line, and needs no name at an end: it says what it is when pointed at. */
function loneDot({ name, points }: CurveSeries, { x, y }: Panel): string {
  return points
    .map(({ minute, value }) =>
      element(
        'g',
        { class: 'dot' },
        element('title', {}, escapeText(name)),
        element('circle', { cx: x(minute), cy: y(value), r: 3 }),
      ),
    )
    .join('');
}

/** A vessel looks the same on both panels. */
function looksOf(data: FermentCurve): Map<string, string> {
  const looks = new Map<string, string>();
  for (const { name } of [...data.sugar, ...data.temperature].filter(isLine)) {
    if (!looks.has(name)) looks.set(name, `s${(looks.size % MOST_NAMED) + 1}`);
  }
  return looks;
}

function path(points: readonly CurvePoint[], { x, y }: Panel): string {
  return (
    line<CurvePoint>()
      .x((point) => x(point.minute))
      .y((point) => y(point.value))
      .digits(DIGITS)(points) ?? ''
  );
}

function namedLines(series: readonly CurveSeries[], looks: ReadonlyMap<string, string>, into: Panel): string {
  const drawn = series.map(({ name, points }) => {
    const look = looks.get(name) ?? 's1';
    const dots = points
      .map((point) => element('circle', { cx: into.x(point.minute), cy: into.y(point.value), r: 1.7 }))
      .join('');
    return element('g', { class: `line ${look}` }, element('path', { d: path(points, into) }), dots);
  });
  return (
    drawn.join('') +
    endLabels(
      series,
      series.map(({ name }) => looks.get(name) ?? 's1'),
      into,
    )
  );
}

/** Many vessels: every line thin, or their span as a band, and the middle of them strong; the highest and lowest at the end are named. */
function bundle(series: readonly CurveSeries[], into: Panel): string {
  const all = rounds(series);
  const thin =
    series.length > MOST_THIN
      ? element('path', { class: 'band', d: bandPath(all, into) })
      : series.map(({ points }) => element('path', { class: 'thin', d: path(points, into) })).join('');
  const middle: CurveSeries = {
    name: 'median',
    points: all.map((round) => ({ minute: round.minute, value: round.middle })),
  };
  const strong = element(
    'g',
    { class: 'line s1' },
    element('path', { d: path(middle.points, into), 'stroke-width': 2.5 }),
  );
  const ends = series
    .filter(({ points }) => points.length > 0)
    .map((one) => ({ one, last: one.points.at(-1)?.value ?? 0 }))
    .sort((a, b) => a.last - b.last);
  const outer = [ends[0], ends.at(-1)].flatMap((found) => (found === undefined ? [] : [found.one]));
  const named = [middle, ...new Set(outer)];
  return (
    thin +
    strong +
    endLabels(
      named,
      named.map((_, index) => (index === 0 ? 's1' : 'muted')),
      into,
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

function bandPath(all: readonly Round[], { x, y }: Panel): string {
  return (
    area<Round>()
      .x(({ minute }) => x(minute))
      .y0(({ low }) => y(low))
      .y1(({ high }) => y(high))
      .digits(DIGITS)(all) ?? ''
  );
}

const LABEL_GAP = 13;

function endLabels(series: readonly CurveSeries[], looks: readonly string[], into: Panel): string {
  const ends = series.flatMap(({ name, points }, index) => {
    const last = points.at(-1);
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

/** Room a letter needs, in pixels, generously. */
const LETTER = 7;

function shorten(name: string, room: number): string {
  const letters = [...name];
  const most = Math.floor(room / LETTER);
  return letters.length > most ? `${letters.slice(0, most - 1).join('')}…` : name;
}

const SYMBOLS: Readonly<Record<Exclude<MarkShape, 'stroke' | 'cross'>, SymbolType>> = {
  diamond: symbolDiamond,
  triangle: symbolTriangle,
  circle: symbolCircle,
  square: symbolSquare,
};

function markStrip(strip: MarkStrip, x: Scale, top: number, right: number): string {
  const middle = top + 20;
  return (
    text(`${strip.name} (${strip.marks.length})`, { class: 'strip', x: LEFT, y: top + 9 }) +
    element('line', { class: 'grid', x1: LEFT, x2: right, y1: middle, y2: middle }) +
    strip.marks.map((mark) => markAt(mark, strip.shape, x(mark.minute), middle)).join('')
  );
}

function markAt(mark: Mark, shape: MarkShape, x: number, y: number): string {
  const title = element('title', {}, escapeText(mark.label));
  const place = `translate(${x.toFixed(DIGITS)},${y.toFixed(DIGITS)})`;
  const d =
    shape === 'stroke'
      ? 'M0,-5V5'
      : shape === 'cross'
        ? 'M-4,-4L4,4M-4,4L4,-4'
        : (symbol(SYMBOLS[shape], 42).digits(DIGITS)() ?? '');
  return element('g', { class: `mark ${shape}`, transform: place }, title, element('path', { d }));
}

function describe(data: FermentCurve, from: number, until: number): string {
  const readings = data.sugar.reduce((sum, { points }) => sum + points.length, 0);
  const first = data.sugar.flatMap(({ points }) => points.slice(0, 1)).map(({ value }) => value);
  const last = data.sugar.flatMap(({ points }) => points.slice(-1)).map(({ value }) => value);
  const fell =
    first.length === 0
      ? ''
      : ` From about ${trim(middleOf(first.sort((a, b) => a - b)))} to about ${trim(middleOf(last.sort((a, b) => a - b)))} ${data.unit} in the middle.`;
  const marks = data.strips.map(({ name, marks }) => `${name}: ${marks.length}`).join('; ');
  return (
    `${readings} readings of ${nameList(data.sugar.map(({ name }) => name))} ` +
    `from ${dayText(dayOf(from))} to ${dayText(dayOf(until))}.${fell}${marks === '' ? '' : ` Marked beneath: ${marks}.`}`
  );
}

function trim(value: number): string {
  return String(Number(value.toFixed(3)));
}
