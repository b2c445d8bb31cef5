/** What a fitted curve adds to a ferment's: dotted beyond the last reading, in the light band it lies in with 95 % certainty, and when it is expected dry. */
import type { CurveSeries, Forecast, ForecastPoint } from '../report/charted.ts';
import { dayOf, dayText, MINUTES_A_DAY, shortDayText } from '../report/dates.ts';
import type { Scale } from './axis.ts';
import { shorten, widthOf } from './labels.ts';
import { bandPath, type Ends, linePath, MOST_NAMED, MOST_THIN, type Panel } from './lines.ts';
import { element, hint, round, text } from './svg.ts';

/** Time ahead is shown for so many times what was read, or these days where that is little: a far guess would squeeze what is known. */
const AHEAD = 3;
const LEAST_AHEAD = 10 * MINUTES_A_DAY;

/** Forecasts without what has no place on a panel. */
export function sound(forecasts: readonly Forecast[]): Forecast[] {
  return forecasts.map(({ name, points, dry }) => ({
    name,
    points: points.filter(
      ({ minute, value, low, high }) =>
        Number.isFinite(minute + value) && Number.isFinite(low) && Number.isFinite(high),
    ),
    ...(dry !== undefined && [dry.minute, dry.low, dry.high].every(Number.isFinite) ? { dry } : {}),
  }));
}

/** The last minute to show: of the forecasts, as far as there is room for them beside what was read. */
export function aheadUntil(forecasts: readonly Forecast[], from: number, read: number): number {
  let until = read;
  for (const { points, dry } of forecasts) {
    until = Math.max(until, points.at(-1)?.minute ?? until, dry?.high ?? until);
  }
  return Math.min(until, read + Math.max(LEAST_AHEAD, AHEAD * (read - from)));
}

/** The part of a curve between two minutes, cut where they fall between its points. */
export function cutOf(points: readonly ForecastPoint[], from: number, until: number): ForecastPoint[] {
  const cut: ForecastPoint[] = [];
  for (const [index, point] of points.entries()) {
    const before = points[index - 1];
    if (before !== undefined) {
      for (const edge of [from, until]) {
        if (before.minute < edge && edge < point.minute) cut.push(between(before, point, edge));
      }
    }
    if (point.minute >= from && point.minute <= until) cut.push(point);
  }
  return cut;
}

function between(before: ForecastPoint, after: ForecastPoint, minute: number): ForecastPoint {
  const share = (minute - before.minute) / (after.minute - before.minute);
  const mix = (a: number, b: number): number => a + share * (b - a);
  return {
    minute,
    value: mix(before.value, after.value),
    low: mix(before.low, after.low),
    high: mix(before.high, after.high),
  };
}

/** How far a band may widen a panel beyond what was read and what is expected, in parts of that. */
const WIDENING = 0.25;

/** The lowest and highest value a panel has to show for what was read and its forecasts. */
export function withForecasts(
  [low, high]: readonly [number, number],
  forecasts: readonly Forecast[],
  until: number,
): [number, number] {
  const shown = forecasts.flatMap(({ points }) => points.filter(({ minute }) => minute <= until));
  const least = shown.reduce((least, { value }) => Math.min(least, value), low);
  const most = shown.reduce((most, { value }) => Math.max(most, value), high);
  const margin = (most - least) * WIDENING;
  return [
    Math.max(
      least - margin,
      shown.reduce((least, { low }) => Math.min(least, low), least),
    ),
    Math.min(
      most + margin,
      shown.reduce((most, { high }) => Math.max(most, high), most),
    ),
  ];
}

/** The curves with their bands, to lie under what was read, and where their ends are. */
export function forecastLines(
  forecasts: readonly Forecast[],
  read: readonly CurveSeries[],
  looks: ReadonlyMap<string, string>,
  into: Panel,
  until: number,
): { readonly svg: string; readonly ends: Ends } {
  const ends = new Map<string, ForecastPoint>();
  const [bottom = 0, top = 0] = into.y.domain();
  const within = (value: number): number => Math.min(top, Math.max(bottom, value));
  const curves = forecasts.map(({ name, points, dry }) => {
    const kept = cutOf(points, Number.NEGATIVE_INFINITY, until).map(({ minute, value, low, high }) => ({
      minute,
      value: within(value),
      low: within(low),
      high: within(high),
    }));
    const last = read.find((series) => series.name === name)?.points.at(-1)?.minute ?? Number.NEGATIVE_INFINITY;
    const end = kept.at(-1);
    if (end !== undefined && end.minute >= last) ends.set(name, end);
    const fit = cutOf(kept, Number.NEGATIVE_INFINITY, last);
    return { name, look: looks.get(name) ?? 's1', kept, fit, ahead: cutOf(kept, last, Number.POSITIVE_INFINITY), dry };
  });
  if (forecasts.length > MOST_THIN) return { svg: spanOf(curves, into), ends };
  const named = read.length <= MOST_NAMED;
  const svg = curves.map(({ look, kept, fit, ahead, dry }) => {
    const dots = dry === undefined ? undefined : cutOf(kept, dry.minute, dry.minute)[0];
    return element(
      'g',
      { class: `forecast ${named ? look : 'muted'}` },
      named && kept.length > 1 ? element('path', { class: 'trust', d: bandPath(kept, into) }) : '',
      named && fit.length > 1 ? element('path', { class: 'fit', d: linePath(fit, into) }) : '',
      ahead.length > 1 ? element('path', { class: 'ahead', d: linePath(ahead, into) }) : '',
      named && dots !== undefined
        ? element('path', { class: 'dry', d: diamond(into.x(dots.minute), into.y(dots.value)) })
        : '',
    );
  });
  return { svg: svg.join(''), ends };
}

/** Steps at which the span of very many curves is taken. */
const STEPS = 24;

/** Very many curves: the room they all lie in. */
function spanOf(curves: readonly { readonly ahead: readonly ForecastPoint[] }[], into: Panel): string {
  const from = Math.min(...curves.flatMap(({ ahead }) => ahead.slice(0, 1).map(({ minute }) => minute)));
  const until = Math.max(...curves.flatMap(({ ahead }) => ahead.slice(-1).map(({ minute }) => minute)));
  if (!(until > from)) return '';
  const bounds = Array.from({ length: STEPS + 1 }, (_, step) => from + ((until - from) * step) / STEPS).flatMap(
    (minute) => {
      const values = curves.flatMap(({ ahead }) => {
        const next = ahead.findIndex((point) => point.minute >= minute);
        const [before, after] = [ahead[next - 1], ahead[next]];
        if (after === undefined || (before === undefined && after.minute > minute)) return [];
        return [before === undefined ? after.value : between(before, after, minute).value];
      });
      return values.length === 0 ? [] : [{ minute, low: Math.min(...values), high: Math.max(...values) }];
    },
  );
  return element('g', { class: 'forecast muted' }, element('path', { class: 'trust', d: bandPath(bounds, into) }));
}

function diamond(x: number, y: number, size = 4.5): string {
  return `M${round(x)},${round(y - size)}L${round(x + size)},${round(y)}L${round(x)},${round(y + size)}L${round(x - size)},${round(y)}Z`;
}

/** Where what was read ends and what is expected begins. */
export function boundary(x: number, top: number, bottom: number, right: number): string {
  const words = 'forecast';
  return (
    element('line', { class: 'boundary', x1: x, x2: x, y1: top - 4, y2: bottom }) +
    (right - x < widthOf(words) + 8 ? '' : text(words, { class: 'tick halo', x: x + 5, y: top + 4 }))
  );
}

const ROW = 17;
const HEAD = 14;

/** When each is expected to be dry, as spans beneath a panel; where many are, one row holds them all. */
export function expectedDry(
  forecasts: readonly Forecast[],
  looks: ReadonlyMap<string, string>,
  { x, until, top, left, right, room }: DryStrip,
): { readonly svg: string; readonly height: number } {
  const dry = forecasts.flatMap(({ name, dry }) => (dry === undefined ? [] : [{ name, ...dry }]));
  if (dry.length === 0) return { svg: '', height: 0 };
  const named = dry.length <= MOST_NAMED;
  const rows = dry.map(({ name, minute, low, high }, index) => {
    const y = top + HEAD + 9 + (named ? index * ROW : 0);
    const look = named ? (looks.get(name) ?? 's1') : 'muted';
    const from = Math.max(left, x(low));
    const end = Math.min(right, x(high));
    const said = `${name}: dry about ${dayText(dayOf(minute))}, between ${dayText(dayOf(low))} and ${dayText(dayOf(high))}`;
    return (
      (named || index === 0 ? element('line', { class: 'grid', x1: left, x2: right, y1: y, y2: y }) : '') +
      element(
        'g',
        { class: `whisker ${look}` },
        hint(said),
        from > end
          ? ''
          : element('path', {
              class: 'reach',
              d: named ? reachOf(from, end, y, high > until) : `M${round(from)},${round(y)}H${round(end)}`,
            }),
        minute > until ? '' : element('path', { class: 'dry', d: diamond(x(minute), y) }),
      ) +
      (named
        ? text(shorten(name, room), { class: `name ${look}`, x: right + 7, y: y + 4 }) +
          dayBeside(shortDayText(dayOf(minute)), Math.min(from, right), minute > until ? right : end, y, left, right)
        : '')
    );
  });
  const words = named ? 'Dry, expected' : `Dry, expected (${dry.length})`;
  return {
    svg: text(words, { class: 'strip', x: left, y: top + 9 }) + rows.join(''),
    height: HEAD + 22 + (named ? (dry.length - 1) * ROW : 0),
  };
}

interface DryStrip {
  readonly x: Scale;
  readonly until: number;
  readonly top: number;
  readonly left: number;
  readonly right: number;
  readonly room: number;
}

/** A span with a stop at each end, or with an arrow where it goes on beyond what is shown. */
function reachOf(from: number, end: number, y: number, on: boolean): string {
  const stop = (x: number): string => `M${round(x)},${round(y - 4)}V${round(y + 4)}`;
  const arrow = `M${round(end - 4)},${round(y - 4)}L${round(end)},${round(y)}L${round(end - 4)},${round(y + 4)}`;
  return `M${round(from)},${round(y)}H${round(end)}${stop(from)}${on ? arrow : stop(end)}`;
}

/** The day in words, before its span where there is room, else after it. */
function dayBeside(words: string, from: number, end: number, y: number, left: number, right: number): string {
  const width = widthOf(words) + 6;
  if (from - width >= left) return text(words, { class: 'tick halo', x: from - 6, y: y + 4, 'text-anchor': 'end' });
  return end + width <= right ? text(words, { class: 'tick halo', x: end + 6, y: y + 4 }) : '';
}
