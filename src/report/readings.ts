/** The readings of a lot or a vessel as a table: a row a reading, a column an analyte; crowded rounds fold to their span. */
import { ANALYTES } from '../../grammar/analytes.ts';
import type { Happening } from '../cellar/book.ts';
import type { Measure, Minute, Reading } from '../journal/events.ts';
import { type ReportContext, vesselNames } from './context.ts';
import { dayOf, dayText, isoDay, timeText } from './dates.ts';
import { analyteUnit, measureText, valueText, withUnit } from './figures.ts';
import type { Link } from './links.ts';
import { nameList } from './names.ts';

export interface ReadingRow {
  readonly day: string;
  readonly iso: string;
  readonly time: string;
  readonly of: string;
  readonly cells: readonly string[];
  readonly using: string;
  readonly line: Link;
}

export interface ReadingTable {
  readonly columns: readonly { readonly name: string; readonly unit: string }[];
  readonly rows: readonly ReadingRow[];
}

/** Rows of one moment beyond which they are told as a span. */
const MOST_ROWS_A_ROUND = 8;

const ORDER: ReadonlyMap<string, number> = new Map(ANALYTES.map(({ key }, index) => [key, index]));

/** A reading and the moment it counts from: that of the sampling, where it was measured on a sample. */
export interface ReadingTaken {
  readonly event: Reading;
  readonly minute: Minute;
  readonly vessels: readonly number[];
  readonly lots: readonly number[];
}

export function readingsIn(happenings: readonly Happening[]): ReadingTaken[] {
  return happenings
    .flatMap(({ event, vessels, lots }) =>
      event.kind === 'reading' ? [{ event, minute: event.sampled ?? event.minute, vessels, lots }] : [],
    )
    .sort((a, b) => a.minute - b.minute);
}

/** What a reading was of: the lots and vessels its line names. */
export function readOf(context: ReportContext, { event }: ReadingTaken): string[] {
  return event.targets.flatMap((target) => {
    const name =
      target.kind === 'lot'
        ? context.book.lots[target.lot]?.facts.name
        : context.book.vessels[target.vessel]?.facts.name;
    return name === undefined ? [] : [name];
  });
}

/** `skip`: analytes that a chart's own table shows already. */
export function readingTable(
  context: ReportContext,
  happenings: readonly Happening[],
  skip: ReadonlySet<string> = new Set(),
): ReadingTable {
  const taken = readingsIn(happenings)
    .map((reading) => ({ reading, measures: reading.event.measures.filter(({ analyte }) => !skip.has(analyte)) }))
    .filter(({ measures }) => measures.length > 0);
  const analytes = [...new Set(taken.flatMap(({ measures }) => measures.map(({ analyte }) => analyte)))].sort(
    (a, b) => (ORDER.get(a) ?? ORDER.size) - (ORDER.get(b) ?? ORDER.size),
  );
  const rounds = new Map<string, typeof taken>();
  for (const one of taken) {
    const key = `${one.reading.minute} ${one.measures.map(({ analyte }) => analyte).join()}`;
    const round = rounds.get(key);
    if (round === undefined) rounds.set(key, [one]);
    else round.push(one);
  }
  const rows: ReadingRow[] = [];
  for (const round of rounds.values()) {
    if (round.length <= MOST_ROWS_A_ROUND) {
      for (const { reading, measures } of round) {
        const cells = analytes.map((analyte) =>
          measures
            .filter((measure) => measure.analyte === analyte)
            .map((measure) => measureText(measure, context.settings))
            .join(', '),
        );
        rows.push(rowOf(context, reading, nameList(readOf(context, reading)), cells));
      }
      continue;
    }
    const [first] = round;
    if (first === undefined) continue;
    const all = round.flatMap(({ measures }) => measures);
    const where = nameList([...new Set(round.flatMap(({ reading }) => readOf(context, reading)))], 4);
    const cells = analytes.map((analyte) =>
      spanText(
        context,
        all.filter((measure) => measure.analyte === analyte),
      ),
    );
    rows.push(rowOf(context, first.reading, `${where} (${round.length} readings)`, cells));
  }
  return {
    columns: analytes.map((analyte) => ({ name: analyte, unit: analyteUnit(analyte, context.settings) })),
    rows,
  };
}

function rowOf(context: ReportContext, { event, minute }: ReadingTaken, of: string, cells: string[]): ReadingRow {
  return {
    day: dayText(dayOf(minute)),
    iso: isoDay(dayOf(minute)),
    time: timeText(minute),
    of,
    cells,
    using: event.using ?? '',
    line: context.links.line(event.place),
  };
}

function spanText(context: ReportContext, measures: readonly Measure[]): string {
  const [first] = measures;
  if (first === undefined) return '';
  const values = measures.flatMap(({ value, high }) => (high === undefined ? [value] : [value, high]));
  const low = valueText(first.analyte, Math.min(...values), context.settings);
  const high = valueText(first.analyte, Math.max(...values), context.settings);
  return low === high ? low : `${low} to ${high}`;
}

export interface LatestReading {
  readonly text: string;
  readonly when: string;
  readonly line: Link;
}

/** The newest figure of each analyte, the newest first, with the day it was read. */
export function latestReadings(
  context: ReportContext,
  happenings: readonly Happening[],
  most: number,
): LatestReading[] {
  const latest = new Map<string, LatestReading>();
  const vesselsOf = (reading: ReadingTaken): string =>
    reading.vessels.length > 1 ? '' : (vesselNames(context, reading.vessels)[0] ?? '');
  for (const reading of readingsIn(happenings).reverse()) {
    for (const measure of reading.event.measures) {
      if (latest.size >= most || latest.has(measure.analyte)) continue;
      const figure = withUnit(measureText(measure, context.settings), analyteUnit(measure.analyte, context.settings));
      const vessel = vesselsOf(reading);
      latest.set(measure.analyte, {
        text: `${measure.analyte} ${figure}`,
        when: `${dayText(dayOf(reading.minute))}${vessel === '' ? '' : `, ${vessel}`}`,
        line: context.links.line(reading.event.place),
      });
    }
  }
  return [...latest.values()];
}
