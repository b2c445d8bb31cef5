/** The course of a lot's ferment as a chart's data and as tables: sugar and temperature by vessel, and what was done. */
import { findAnalyte } from '../../grammar/analytes.ts';
import type { Happening } from '../cellar/book.ts';
import type { CurveSeries, FermentCurve, MarkShape } from './charted.ts';
import { lotOf, type ReportContext, vesselNames } from './context.ts';
import { dayOf, isoDay, shortDayText, timeText } from './dates.ts';
import { shownValue, temperatureUnit, valueText } from './figures.ts';
import { forecastsOf, type VesselForecast } from './forecast.ts';
import type { Link } from './links.ts';
import { middleOf } from './median.ts';
import { nameList } from './names.ts';
import { type ReadingTaken, readingsIn, readOf } from './readings.ts';

export interface FermentTable {
  readonly caption: string;
  readonly vessels: readonly string[];
  readonly rows: readonly {
    readonly day: string;
    readonly iso: string;
    readonly time: string;
    readonly line: Link;
    readonly cells: readonly string[];
  }[];
}

export interface FermentModel {
  readonly curve: FermentCurve;
  readonly sugar: FermentTable;
  readonly temperature: FermentTable | undefined;
  readonly marks: readonly { readonly name: string; readonly rows: readonly FermentMark[] }[];
  /** What is foretold of the vessels that still ferment, the one that will be dry last first. */
  readonly forecasts: readonly VesselForecast[];
  /** The analytes its tables show. */
  readonly analytes: ReadonlySet<string>;
}

export interface FermentMark {
  readonly when: string;
  readonly what: string;
  readonly line: Link;
}

/** Scales on which sugar is read, in the order they win where a lot was read on several equally often. */
const SUGAR_SCALES = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato'];
/** More vessels than this make no table that anybody reads: their span is told. */
const MOST_COLUMNS = 40;
/** Fewer readings than this make no curve. */
const FEWEST = 3;

/** `undefined` where a lot has too few readings of sugar to draw. */
export function fermentOf(
  context: ReportContext,
  title: string,
  happenings: readonly Happening[],
): FermentModel | undefined {
  const readings = readingsIn(happenings);
  const scale = commonest(readings);
  if (scale === undefined) return undefined;
  const sugar = seriesOf(context, readings, scale);
  if (sugar.reduce((sum, { points }) => sum + points.length, 0) < FEWEST) return undefined;
  const from = Math.min(...sugar.flatMap(({ points }) => points.slice(0, 1).map(({ minute }) => minute)));
  const until = Math.max(...sugar.flatMap(({ points }) => points.slice(-1).map(({ minute }) => minute)));
  // A wine's temperature goes on being read in barrel: the curve shows the ferment only.
  const during = readings.filter(({ minute }) => minute >= from && minute <= until);
  const warmth = seriesOf(context, during, 'temp');
  const temperature = warmth.reduce((sum, { points }) => sum + points.length, 0) < FEWEST ? [] : warmth;
  const strips = stripsOf(context, happenings, from, until);
  const unit = findAnalyte(scale)?.unit ?? scale;
  const forecasts = forecastsOf(sugar, scale, context.book.on);
  const drawn = forecasts.flatMap((forecast) => (forecast.drawn === undefined ? [] : [forecast.drawn]));
  return {
    curve: {
      title,
      unit,
      sugar,
      temperatureUnit: temperatureUnit(context.settings),
      temperature,
      strips: strips.map(({ name, shape, rows }) => ({
        name,
        shape,
        marks: rows.map(({ minute, label }) => ({ minute, label })),
      })),
      ...(drawn.length === 0 ? {} : { forecast: drawn }),
    },
    sugar: tableOf(context, `${scale} by vessel, in ${unit}`, readings, scale, sugar),
    temperature:
      temperature.length === 0
        ? undefined
        : tableOf(
            context,
            `Temperature by vessel, in ${temperatureUnit(context.settings)}`,
            during,
            'temp',
            temperature,
          ),
    marks: strips
      .filter(({ shape }) => shape === 'diamond' || shape === 'triangle')
      .map(({ name, rows }) => ({ name, rows: rows.map(({ when, what, line }) => ({ when, what, line })) })),
    forecasts,
    analytes: new Set(temperature.length === 0 ? [scale] : [scale, 'temp']),
  };
}

function commonest(readings: readonly ReadingTaken[]): string | undefined {
  const counts = new Map<string, number>();
  for (const { event } of readings) {
    for (const { analyte } of event.measures) counts.set(analyte, (counts.get(analyte) ?? 0) + 1);
  }
  let best: string | undefined;
  for (const scale of SUGAR_SCALES) {
    const count = counts.get(scale) ?? 0;
    if (count > (best === undefined ? 0 : (counts.get(best) ?? 0))) best = scale;
  }
  return best;
}

function seriesOf(context: ReportContext, readings: readonly ReadingTaken[], analyte: string): CurveSeries[] {
  const series = new Map<string, { minute: number; value: number }[]>();
  for (const reading of readings) {
    for (const measure of reading.event.measures) {
      if (measure.analyte !== analyte || !Number.isFinite(measure.value)) continue;
      const value = shownValue(analyte, measure.value, context.settings);
      for (const name of readOf(context, reading)) {
        const points = series.get(name);
        if (points === undefined) series.set(name, [{ minute: reading.minute, value }]);
        else points.push({ minute: reading.minute, value });
      }
    }
  }
  return [...series].map(([name, points]) => ({ name, points }));
}

function tableOf(
  context: ReportContext,
  caption: string,
  readings: readonly ReadingTaken[],
  analyte: string,
  series: readonly CurveSeries[],
): FermentTable {
  const names = series.map(({ name }) => name);
  const crowded = names.length > MOST_COLUMNS;
  const vessels = crowded ? ['lowest', 'median', 'highest', 'vessels read'] : names;
  const rows = new Map<number, { line: Link; cells: Map<string, string>; values: number[] }>();
  for (const reading of readings) {
    for (const measure of reading.event.measures) {
      if (measure.analyte !== analyte) continue;
      let row = rows.get(reading.minute);
      if (row === undefined) {
        row = { line: context.links.line(reading.event.place), cells: new Map(), values: [] };
        rows.set(reading.minute, row);
      }
      const text = measure.mark + valueText(analyte, measure.value, context.settings);
      for (const name of readOf(context, reading)) row.cells.set(name, text);
      row.values.push(measure.value);
    }
  }
  return {
    caption,
    vessels,
    rows: [...rows].map(([minute, { line, cells, values }]) => ({
      day: shortDayText(dayOf(minute)),
      iso: isoDay(dayOf(minute)),
      time: timeText(minute),
      line,
      cells: crowded ? spanCells(context, analyte, values) : names.map((name) => cells.get(name) ?? ''),
    })),
  };
}

function spanCells(context: ReportContext, analyte: string, values: readonly number[]): string[] {
  const sorted = [...values].sort((a, b) => a - b);
  const span = [sorted[0] ?? 0, middleOf(sorted), sorted.at(-1) ?? 0];
  return [...span.map((value) => valueText(analyte, value, context.settings)), String(values.length)];
}

interface DatedMark extends FermentMark {
  readonly minute: number;
  readonly label: string;
}

interface Strip {
  readonly name: string;
  readonly shape: MarkShape;
  readonly rows: DatedMark[];
}

/** Days before the first reading and after the last within which work still belongs to the ferment. */
const MARGIN = 3 * 1440;

/** What is marked beneath a curve, in this order; all else stands in the timeline. */
const STRIPS: readonly (readonly [verb: string, name: string, shape: MarkShape])[] = [
  ['inoculate', 'Inoculations', 'triangle'],
  ['add', 'Additions', 'diamond'],
  ['punch-down', 'Punch-downs', 'stroke'],
  ['pump-over', 'Pump-overs', 'circle'],
  ['rack-and-return', 'Rack and return', 'square'],
  ['aerate', 'Aerations', 'cross'],
];

function stripsOf(context: ReportContext, happenings: readonly Happening[], from: number, until: number): Strip[] {
  return STRIPS.flatMap(([verb, name, shape]) => {
    const rows: DatedMark[] = [];
    const seen = new Set<number>();
    for (const { event, sentence, vessels } of happenings) {
      if (event.verb !== verb || event.minute < from - MARGIN || event.minute > until + MARGIN) continue;
      const when = `${shortDayText(dayOf(event.minute))} ${timeText(event.minute)}`.trim();
      const where = nameList(vesselNames(context, vessels), 4);
      const work = event.kind === 'cap';
      // Cap work of several vessels in one minute is one round, and one mark.
      if (work && seen.has(event.minute)) continue;
      seen.add(event.minute);
      rows.push({
        minute: event.minute,
        label: work ? `${when}: ${where}` : `${when}: ${sentence}`,
        when,
        what: sentence,
        line: context.links.line(event.place),
      });
    }
    return rows.length === 0 ? [] : [{ name, shape, rows }];
  });
}

/** Whether a lot, or anything in a vessel, is fermenting or about to: gas is to be reckoned with. */
export function isFermenting(context: ReportContext, lot: number | undefined): boolean {
  const stage = lotOf(context, lot)?.stage;
  return stage === 'must' || stage === 'juice' || stage === 'fermenting';
}
