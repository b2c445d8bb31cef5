/** Two small journals held side by side, and what differs in one line a piece, for cases to be read at a glance. */
import { formatDate } from '../../grammar/dates.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { type ChangeClass, classOf } from '../../src/report/compare/classes.ts';
import { type Comparison, compareJournals, type Side } from '../../src/report/compare/comparison.ts';
import { type EntryChange, entryChanges } from '../../src/report/compare/entry-changes.ts';
import { journalOf, newestDay } from '../../src/report/compare/journal-entries.ts';

export const files = (text: string, path = 'a.cellar'): SourceFile[] => [{ path, text }];

/** `14: changed words: 10:00 rack T1 to T2 → 10:00 rack T1 to T3`, with the day of the month first. */
export function sayChange(change: EntryChange): string {
  const day = (change.after ?? change.before)?.day;
  const manner = change.kind === 'changed' ? `${change.kind} ${change.manner}` : change.kind;
  const lines = change.lines.map(({ before, after }) => [before?.text ?? '', after?.text ?? ''].join(' → ').trim());
  return `${day === undefined ? 'standing' : formatDate(day).slice(8)}: ${manner}: ${lines.join(' | ')}`;
}

export const changesOf = (before: string, after: string): string[] =>
  entryChanges(journalOf(files(before)), journalOf(files(after))).map(sayChange);

/** The classes of all changes, in the order of time. */
export function classesOf(before: string, after: string): ChangeClass[] {
  const journal = journalOf(files(before));
  return entryChanges(journal, journalOf(files(after))).map((change) => classOf(change, newestDay(journal)));
}

/** As the command holds two journals side by side. */
export function compare(before: readonly SourceFile[], after: readonly SourceFile[]): Comparison {
  const [one, other] = [makeBook(before, undefined, checkJournal), makeBook(after, undefined, checkJournal)];
  const common = Math.min(one.on, other.on);
  const side = (read: readonly SourceFile[], book: typeof one): Side => ({
    journal: journalOf(read),
    book,
    common: book.on === common ? book : makeBook(read, common, checkJournal),
  });
  return compareJournals(side(before, one), side(after, other));
}
