/** `ullage export FOLDER`: the whole derived state as JSON, or as CSV tables in a folder. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Book } from '../cellar/book.ts';
import { compareFindings } from '../journal/findings.ts';
import { csvText } from '../report/csv.ts';
import { DICTIONARY, dictionaryPage, dictionaryTable } from '../report/data-dictionary.ts';
import { isoDay } from '../report/dates.ts';
import { exportBook } from '../report/export.ts';
import { bookTables, type Table } from '../report/tables.ts';
import { readBook } from './read-book.ts';
import { diskReason, writeWhole } from './replace-file.ts';
import { tally, visible } from './show.ts';

export interface ExportOptions {
  readonly format: 'json' | 'csv';
  /** The folder of the tables; for CSV alone. */
  readonly out: string | undefined;
  /** As of this day; without it, as of the last day written. */
  readonly on: number | undefined;
}

const tableText = ({ columns, rows }: Table): string =>
  csvText(
    columns.map(({ name }) => name),
    rows,
  );

/** Every table of a book and the dictionary of their columns, as files. */
export function tableFiles(book: Book): { readonly name: string; readonly text: string }[] {
  const tables = bookTables(book);
  const dictionary = dictionaryTable(tables);
  return [
    ...[...tables, dictionary].map((table) => ({ name: `${table.name}.csv`, text: tableText(table) })),
    { name: `${DICTIONARY}.md`, text: dictionaryPage([...tables, dictionary], isoDay(book.on)) },
  ];
}

/** Writes the tables; files that hold the same already are left alone, and other files in the folder too. */
function writeTables(book: Book, out: string): 'written' | { readonly why: string } {
  const files = tableFiles(book);
  try {
    mkdirSync(out, { recursive: true });
    const done = files.map(({ name, text }) => writeWhole(join(out, name), Buffer.from(text)));
    const written = done.filter((one) => one === 'written').length;
    process.stdout.write(
      `${files.length} files in ${visible(out)}: ${written} written, ${done.length - written} unchanged\n`,
    );
    return 'written';
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return { why };
  }
}

/** 0 clean, 1 errors in the journal, 2 wrong usage, or something that cannot be read or written. */
export function exportJournal(folder: string, options: ExportOptions): number {
  const { format, out, on } = options;
  if ((format === 'csv') !== (out !== undefined)) {
    process.stderr.write(
      out === undefined
        ? 'tables are written to a folder: --format csv --out FOLDER\n'
        : '--out is for tables: --format csv --out FOLDER\n',
    );
    return 2;
  }
  const found = readBook(folder, on);
  if (found === undefined) return 2;
  const { book: made, read } = found;
  const book: Book = { ...made, findings: [...read.findings, ...made.findings].sort(compareFindings) };
  if (out === undefined) process.stdout.write(`${JSON.stringify(exportBook(book), null, 2)}\n`);
  else {
    const done = writeTables(book, out);
    if (done !== 'written') {
      process.stderr.write(`${visible(out)} was not written: ${done.why}\n`);
      return 2;
    }
  }
  return tally(book.findings).errors > 0 ? 1 : 0;
}
