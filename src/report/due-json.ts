/** Work due as plain data for other programs; `due.schema.json` describes it. */
import { formatDate } from '../../grammar/dates.ts';
import type { Book } from '../cellar/book.ts';
import type { DueItem } from '../due/due-work.ts';
import type { DayNumber } from '../journal/events.ts';
import { timestamp } from './export.ts';

export function dueJson(book: Book, items: readonly DueItem[], on: DayNumber, days: number, only: string | undefined) {
  return {
    format: 'ullage-due',
    version: 1,
    on: formatDate(on),
    days,
    for: only ?? null,
    items: items.map((item) => ({
      status: item.status,
      due: formatDate(item.due),
      dueAt: item.dueAt === undefined ? null : timestamp(item.dueAt),
      work: item.what,
      vessel: book.vessels[item.vessel]?.facts.name ?? '',
      lot: book.lots[item.lot]?.facts.name ?? '',
      left: item.left ?? null,
      asked: item.asked ?? null,
      last: item.last === undefined ? null : timestamp(item.last),
      by: item.row.by,
      plan: item.plan.name,
      says: item.row.said,
      source: { file: book.files[item.row.place.file]?.path ?? '', line: item.row.place.line },
    })),
  };
}
