/** What happened to a lot or a vessel, day by day; rounds of readings and cap work of a day fold into a line each. */
import type { Happening } from '../cellar/book.ts';
import { happeningsOf, type ReportContext, vesselNames } from './context.ts';
import { dayOf, dayText, isoDay, timeText, weekday } from './dates.ts';
import { analyteUnit, measureText, valueText, withUnit } from './figures.ts';
import type { Link } from './links.ts';
import { capital, nameList } from './names.ts';

export interface TimelineEntry {
  readonly time: string;
  readonly sentence: string;
  readonly hands: string;
  readonly remark?: string;
  /** Markdown. */
  readonly note?: string;
  /** Late or corrected: the day it was written. */
  readonly written?: string;
  readonly lines: readonly Link[];
  /** Lines folded into this one beyond those that are linked. */
  readonly further: number;
}

export interface TimelineDay {
  readonly weekday: string;
  readonly day: string;
  readonly iso: string;
  readonly entries: readonly TimelineEntry[];
}

/** Folded lines that are still linked one by one. */
const MOST_LINKS = 4;

export function timelineOf(context: ReportContext, indexes: readonly number[]): TimelineDay[] {
  const days = new Map<number, Happening[]>();
  for (const happening of happeningsOf(context, indexes)) {
    const day = dayOf(happening.event.minute);
    const already = days.get(day);
    if (already === undefined) days.set(day, [happening]);
    else already.push(happening);
  }
  return [...days].map(([day, happenings]) => ({
    weekday: weekday(day),
    day: dayText(day),
    iso: isoDay(day),
    entries: foldDay(context, happenings),
  }));
}

/** Rounds of one sort stand where the first of them stood. */
function foldDay(context: ReportContext, happenings: readonly Happening[]): TimelineEntry[] {
  const rounds = new Map<string, Happening[]>();
  const order: (Happening | string)[] = [];
  for (const happening of happenings) {
    const sort = roundOf(happening);
    if (sort === undefined) {
      order.push(happening);
      continue;
    }
    const round = rounds.get(sort);
    if (round === undefined) {
      rounds.set(sort, [happening]);
      order.push(sort);
    } else round.push(happening);
  }
  return order.flatMap((item) => {
    if (typeof item !== 'string') return [entryOf(context, item)];
    const round = rounds.get(item) ?? [];
    const [only] = round;
    if (only !== undefined && round.length === 1) return [entryOf(context, only)];
    return foldRound(context, round);
  });
}

function roundOf({ event }: Happening): string | undefined {
  if (event.kind === 'cap') return event.verb;
  return event.kind === 'reading' && event.sample === undefined ? 'reading' : undefined;
}

function entryOf(context: ReportContext, { event, sentence }: Happening): TimelineEntry {
  return {
    time: timeText(event.minute, event.until),
    sentence: event.kind === 'day' ? '' : sentence,
    hands: event.hands.join(', '),
    ...(event.remark === undefined ? {} : { remark: event.remark }),
    ...(event.note === undefined ? {} : { note: event.note }),
    ...(event.written === undefined ? {} : { written: dayText(event.written) }),
    lines: [context.links.line(event.place)],
    further: 0,
  };
}

function foldRound(context: ReportContext, round: readonly Happening[]): TimelineEntry[] {
  const times = [...new Set(round.map(({ event }) => timeText(event.minute)).filter((time) => time !== ''))];
  const where = nameList(vesselNames(context, [...new Set(round.flatMap(({ vessels }) => vessels))]));
  const verb = round[0]?.event.verb ?? 'reading';
  const sentence =
    round[0]?.event.kind === 'reading'
      ? `Readings of ${where}: ${readingsText(context, round)}.`
      : `${capital(verb)} of ${where}: ${timesText(round, times)}.`;
  const lines = uniqueLines(context, round);
  const summary: TimelineEntry = {
    time: times[0] ?? '',
    sentence:
      round[0]?.event.kind === 'reading' && times.length > 1
        ? `${sentence.slice(0, -1)} (${times.join(', ')}).`
        : sentence,
    hands: [...new Set(round.flatMap(({ event }) => event.hands))].join(', '),
    lines: lines.slice(0, MOST_LINKS),
    further: Math.max(0, lines.length - MOST_LINKS),
  };
  // What somebody took the trouble to write is never folded away.
  const said = round
    .filter(({ event }) => event.remark !== undefined || event.note !== undefined || event.written !== undefined)
    .map((happening) => entryOf(context, happening));
  return [summary, ...said];
}

function uniqueLines(context: ReportContext, round: readonly Happening[]): Link[] {
  const seen = new Set<string>();
  const files = new Set<number>();
  return round.flatMap(({ event }) => {
    const key = `${event.place.file}:${event.place.line}`;
    if (seen.has(key)) return [];
    seen.add(key);
    const link = context.links.line(event.place);
    // The file is named once: after it a line's number is enough.
    const named = files.has(event.place.file);
    files.add(event.place.file);
    return [named ? { ...link, text: `:${event.place.line}` } : link];
  });
}

function timesText(round: readonly Happening[], times: readonly string[]): string {
  let count = 0;
  const byMinute = new Map<number, number>();
  for (const { event } of round) {
    if (event.kind !== 'cap') continue;
    byMinute.set(event.minute, Math.max(byMinute.get(event.minute) ?? 0, event.times));
  }
  for (const often of byMinute.values()) count += often;
  const often = count === 1 ? 'once' : `${count} times`;
  return times.length === 0 ? often : `${often} (${times.join(', ')})`;
}

/** The span of each analyte over a round: `brix 24.3 to 24.6 °Bx, temp 16 to 17.5 °C`. */
function readingsText(context: ReportContext, round: readonly Happening[]): string {
  const spans = new Map<string, { low: number; high: number; only: string | undefined }>();
  for (const { event } of round) {
    if (event.kind !== 'reading') continue;
    for (const measure of event.measures) {
      const high = measure.high ?? measure.value;
      const span = spans.get(measure.analyte);
      if (span === undefined) {
        spans.set(measure.analyte, {
          low: measure.value,
          high,
          only: measureText(measure, context.settings),
        });
        continue;
      }
      span.low = Math.min(span.low, measure.value);
      span.high = Math.max(span.high, high);
      span.only = undefined;
    }
  }
  return [...spans]
    .map(([analyte, { low, high, only }]) => {
      const from = valueText(analyte, low, context.settings);
      const to = valueText(analyte, high, context.settings);
      const text = only ?? (from === to ? from : `${from} to ${to}`);
      return `${analyte} ${withUnit(text, analyteUnit(analyte, context.settings))}`;
    })
    .join(', ');
}
