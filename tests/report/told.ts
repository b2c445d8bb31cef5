/** Books read from small journals, and tables of models as plain texts, to compare with. */
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { contextOf, type ReportContext } from '../../src/report/context.ts';
import type { Sheet, SheetCell } from '../../src/report/sheet.ts';

/** The context of a journal of one file; its findings are not looked at. */
export function contextFrom(text: string): ReportContext {
  return contextOf(makeBook([{ path: 'a.cellar', text }], undefined, checkJournal));
}

export const present = <T>(value: T | undefined): T => {
  if (value === undefined) throw new Error('nothing there');
  return value;
};

export const textOf = ({ figures, quiet }: SheetCell): string =>
  [figures.map(({ text }) => text).join(', '), quiet ?? ''].filter((part) => part !== '').join(' ');

/** Rows as texts, spaces that do not break as plain ones. */
export const rowsOf = (sheet: Sheet | undefined): string[][] =>
  present(sheet).rows.map(({ cells }) => cells.map((cell) => textOf(cell).replaceAll(/[\u00A0\u202F]/gu, ' ')));

/** The column of a table under a head, from the first row on. */
export function columnOf(sheet: Sheet | undefined, name: string): string[] {
  const at = present(sheet).columns.findIndex((column) => column.name === name);
  if (at < 0) throw new Error(`no column ${name}`);
  return rowsOf(sheet).map((row) => row[at] ?? '');
}

/** Every place a table leads to. */
export const hrefsIn = (sheet: Sheet | undefined): string[] =>
  present(sheet).rows.flatMap(({ cells }) => cells.flatMap(({ figures }) => figures.flatMap(({ href }) => href ?? [])));
