/** The book of the journal in a folder, for commands that tell of it. */
import type { Book } from '../cellar/book.ts';
import { makeBook } from '../cellar/make-book.ts';
import { checkJournal } from '../checks/check-journal.ts';
import type { DayNumber } from '../journal/events.ts';
import { type ReadFolder, readFolder } from './journal-files.ts';
import { painter, showFinding } from './show.ts';

export interface ReadBook {
  readonly read: ReadFolder;
  /** As of a day; without one, as of the last day written. Its findings are those of the texts alone. */
  readonly book: Book;
}

/** Undefined where there is no folder to read, which is said. */
export function readBook(folder: string, on: DayNumber | undefined): ReadBook | undefined {
  const read = readFolder(folder);
  if (read.missing) {
    const paint = painter(process.stderr);
    for (const finding of read.findings) process.stderr.write(`${showFinding(finding, read.files, paint)}\n`);
    return undefined;
  }
  return { read, book: makeBook(read.files, on, checkJournal) };
}
