/** What was read first of a lot's fruit and must: the figures a picking is judged by. */
import { type Figure, figureAt, type ReportContext } from './context.ts';
import { dayOf } from './dates.ts';
import { namedMeasureText } from './figures.ts';

const JUDGED_BY: ReadonlySet<string> = new Set(['brix', 'SG', 'oechsle', 'baume', 'plato', 'pH', 'TA', 'YAN']);

/** Readings later than so many days after the lot began are of its wine (common practice, no source). */
const FIRST_DAYS = 45;

/** The first figure of each of them, each with its line. */
export function firstReadings(context: ReportContext, lot: number): Figure[] {
  const record = context.book.lots[lot];
  if (record === undefined) return [];
  const until = dayOf(record.facts.since) + FIRST_DAYS;
  const seen = new Set<string>();
  const found: Figure[] = [];
  for (const index of record.happenings) {
    const event = context.book.happenings[index]?.event;
    if (event?.kind !== 'reading') continue;
    if (dayOf(event.minute) > until) break;
    for (const measure of event.measures) {
      if (!JUDGED_BY.has(measure.analyte) || seen.has(measure.analyte)) continue;
      seen.add(measure.analyte);
      found.push(figureAt(context, namedMeasureText(measure, context.settings), event.place));
    }
  }
  return found;
}
