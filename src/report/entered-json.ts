/** What a table taken in comes to, as plain data for other programs; `entered.schema.json` describes it. */
import { isoDay } from './dates.ts';
import type { Entered } from './entered-readings.ts';

export const enteredJson = ({ tables, taken, known, doubled, differing, clashing, refused, passedOver }: Entered) => ({
  format: 'ullage-entered',
  version: 1,
  tables: tables.map(({ day, time, columns, rows }) => ({
    day: isoDay(day),
    time: time === '' ? null : time,
    columns: columns.map(({ analyte, unit }) => ({ analyte, unit: unit ?? null })),
    rows: rows.map(({ name, cells, remark }) => ({
      of: name,
      figures: cells.map((cell) => (cell === '' ? null : cell)),
      remark: remark ?? '',
    })),
  })),
  taken,
  known,
  doubled,
  differing,
  clashing,
  refused,
  passedOver,
});
