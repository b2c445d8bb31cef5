/** The readings of a lot or a vessel as a table: a row a reading, a column an analyte; crowded rounds fold to their span. */
import { ANALYTES } from '../../grammar/analytes.ts';
import type { Happening } from '../cellar/book.ts';
import type { Measure, Minute, Reading } from '../journal/events.ts';
import { type Figure, figureAt, type ReportContext, vesselNames } from './context.ts';
import { civil, dayOf, dayText, isoDay, shortDayText, timeText } from './dates.ts';
import { analyteUnit, measureText, namedMeasureText, valueText } from './figures.ts';
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
        : target.kind === 'vessel'
          ? context.book.vessels[target.vessel]?.facts.name
          : context.book.blocks[target.block]?.name;
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

/** Figures read at one moment in one place. */
export interface LatestReading {
  readonly when: string;
  readonly figures: readonly Figure[];
}

/** The newest figure of each analyte, the newest first, with the day it was read and, where asked for, the vessel. */
export function latestReadings(
  context: ReportContext,
  happenings: readonly Happening[],
  most: number,
  nameVessels = false,
): LatestReading[] {
  const seen = new Set<string>();
  const groups = new Map<string, Figure[]>();
  for (const reading of readingsIn(happenings).reverse()) {
    for (const measure of reading.event.measures) {
      if (seen.size >= most || seen.has(measure.analyte)) continue;
      seen.add(measure.analyte);
      const vessel = nameVessels && reading.vessels.length === 1 ? vesselNames(context, reading.vessels)[0] : undefined;
      const when = dayNear(dayOf(reading.minute), context.book.on) + (vessel === undefined ? '' : `, ${vessel}`);
      const figure = figureAt(context, namedMeasureText(measure, context.settings), reading.event.place);
      const group = groups.get(when);
      if (group === undefined) groups.set(when, [figure]);
      else group.push(figure);
    }
  }
  return [...groups].map(([when, figures]) => ({ when, figures }));
}

/** A day without its year where that is the year the record tells of. */
function dayNear(day: number, on: number): string {
  return civil(day).year === civil(on).year ? shortDayText(day) : dayText(day);
}
