/** The newest figure of a measurement in a vessel, for a sheet that asks for the next. */
import type { VesselRecord } from '../../cellar/book.ts';
import type { DayNumber, Measure, Minute } from '../../journal/events.ts';
import { happeningsOf, type ReportContext } from '../context.ts';
import { clock, dayOf, shortDayText } from '../dates.ts';
import { analyteUnit, measureText, withUnit } from '../figures.ts';

export interface LastRead {
  readonly measure: Measure;
  readonly minute: Minute;
}

/** Read of what is in the vessel now: what was in it before does not count. */
export function lastRead(context: ReportContext, vessel: VesselRecord, analyte: string): LastRead | undefined {
  const happenings = happeningsOf(context, vessel.happenings);
  for (let i = happenings.length - 1; i >= 0; i--) {
    const event = happenings[i]?.event;
    if (event?.kind !== 'reading') continue;
    const minute = event.sampled ?? event.minute;
    if (vessel.since !== undefined && event.minute < vessel.since) return undefined;
    const measure = event.measures.find((one) => one.analyte === analyte);
    if (measure !== undefined) return { measure, minute };
  }
  return undefined;
}

/** `24.4 yesterday`, `3.61 on 12 May`; with its unit where no column names it. */
export function lastReadText(
  { settings }: ReportContext,
  { measure, minute }: LastRead,
  on: DayNumber,
  unit = false,
): string {
  const figure = measureText(measure, settings);
  return `${unit ? withUnit(figure, analyteUnit(measure.analyte, settings)) : figure} ${nearText(minute, on)}`;
}

/** `06:40` of the day itself, `yesterday`, else its day. */
export function nearText(minute: Minute, on: DayNumber): string {
  const day = dayOf(minute);
  return day === on ? clock(minute) : day === on - 1 ? 'yesterday' : shortDayText(day);
}
