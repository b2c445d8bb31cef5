/** Small journals with plans, and what is due by them in one line a piece, for cases to be read at a glance. */
import { formatDate, parseDate } from '../../grammar/dates.ts';
import type { Book } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { type DueItem, dueWork } from '../../src/due/due-work.ts';
import { clock, dayOf } from '../../src/report/dates.ts';

/** Vessels, a block, hands and materials that the cases name. */
export const CELLAR = `vessel B1..B4 bin 1000 L
vessel T1..T4 tank 1200 L
vessel FB-01..FB-06 barrel 225 L
vessel K1..K3 keg 50 L
block ledge-2 Syrah
block ledge-7 "Pinot blanc"
hand ana, bo
material kms is potassium metabisulfite
material dap is diammonium phosphate
material ey-7 yeast
material mlb-1 bacteria
material nutri-a nutrient, nitrogen 10 %
`;

/** Must in B1 and B2 on Monday 14 September 2026, at nine. */
export const MUST = `
2026-09-14 Mon
07:00 receive LS from ledge-2, net 1540 kg
09:00 crush LS to B1..B2 ~680 L each, destemmed, stems 60 kg
`;

/** Wine in two barrels and a tank on Monday 2 November 2026, at eight. */
export const WINE = `
2026-11-02 Mon
08:00 found FB-01..FB-02 225 L each, T1 400 L as GR of ledge-2, vintage 2025
`;

export const bookOf = (text: string, on?: string): Book =>
  makeBook([{ path: 'journal.cellar', text }], on === undefined ? undefined : parseDate(on), checkJournal);

/** `now B1 LS punch-down 2 of 3, last 2026-09-16 07:40` */
export function sayItem(book: Book, { status, due, dueAt, vessel, lot, what, left, asked, last }: DueItem): string {
  const when = status === 'now' ? '' : ` ${formatDate(due)}`;
  const at = dueAt === undefined ? '' : ` ${clock(dueAt)}`;
  const count = left === undefined ? '' : ` ${left} of ${asked ?? ''}`;
  const before = last === undefined ? '' : `, last ${formatDate(dayOf(last))} ${clock(last)}`;
  return `${status}${when}${at} ${book.vessels[vessel]?.facts.name} ${book.lots[lot]?.facts.name} ${what}${count}${before}`;
}

/** What is due as of a day, in the order of the list. The whole journal is read first, later days too. */
export function dueOn(text: string, on: string, days = 7): string[] {
  const book = bookOf(text);
  return dueWork(book, parseDate(on), days).map((item) => sayItem(book, item));
}

/** The findings of plans in a journal: line, code and message. */
export function foundIn(text: string): string[] {
  const codes = ['work-missed', 'bounds-left', 'plan-warns', 'not-under-plan'];
  return bookOf(text)
    .findings.filter(({ code }) => codes.includes(code))
    .map(({ where, code, message }) => `${where.line} ${code} ${message}`);
}

/** All findings of a journal, for cases that should have none. */
export const allFound = (text: string): string[] =>
  bookOf(text).findings.map(({ where, code, message }) => `${where.line} ${code} ${message}`);
