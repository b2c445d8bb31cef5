/** The readings that are due, as they are walked, as plain data for other programs; `round.schema.json` describes it. */
import type { ReportContext } from '../context.ts';
import { isoDay } from '../dates.ts';
import type { CrewOrder } from './crew-sheet.ts';
import { roundTables } from './round-text.ts';

export const roundJson = (context: ReportContext, order: CrewOrder, time: string) => ({
  format: 'ullage-round',
  version: 1,
  on: isoDay(order.on),
  for: order.of === '' ? null : order.of,
  tables: roundTables(context, order, time).map(({ columns, rows, time: at }) => ({
    time: at === '' ? null : at,
    columns: columns.map(({ analyte, unit }) => ({ analyte, unit: unit ?? null })),
    vessels: rows.map(({ name }) => name),
  })),
});
