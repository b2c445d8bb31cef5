/** A round as lines of a journal, to be filled in: a table of readings with a dash for every figure that is due. */
import type { ReportContext } from '../context.ts';
import { readingsText, type TextTable, textColumn } from '../readings-text.ts';
import type { CrewOrder } from './crew-sheet.ts';
import { lastRead, lastReadText } from './last-read.ts';
import { type RoundStop, roundStops } from './round.ts';

/** Vessels in which the same is due stand in one table; the tables, and the rows in them, follow the walk. */
export function roundTables(context: ReportContext, order: CrewOrder, time: string): TextTable[] {
  const tables = new Map<string, RoundStop[]>();
  for (const stop of roundStops(context, order)) {
    const key = stop.analytes.join('\n');
    const known = tables.get(key);
    if (known === undefined) tables.set(key, [stop]);
    else known.push(stop);
  }
  return [...tables.values()].map((stops) => ({
    day: order.on,
    time,
    columns: (stops[0]?.analytes ?? []).map((analyte) => textColumn(analyte, context.settings.temperature)),
    rows: stops.map(({ vessel, analytes }) => ({
      name: vessel.facts.name,
      cells: analytes.map(() => ''),
      comment: lastText(context, order, { vessel, analytes }),
    })),
  }));
}

function lastText(context: ReportContext, { on }: CrewOrder, { vessel, analytes }: RoundStop): string {
  const lasts = analytes.flatMap((analyte) => {
    const last = lastRead(context, vessel, analyte);
    return last === undefined ? [] : [lastReadText(context, last, on, true)];
  });
  return lasts.length === 0 ? '' : `last ${lasts.join(', ')}`;
}

/** The round, or nothing where no reading is due. */
export const roundText = (context: ReportContext, order: CrewOrder, time: string): string =>
  readingsText(
    roundTables(context, order, time),
    time === '' ? 'put the time before `readings`; a dash that stays is a reading not taken' : '',
  );
