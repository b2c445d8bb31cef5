/** `ullage stocktake FOLDER`: what should be in the cellar, to be gone through: lines for the journal, or a sheet to print. */
import { makeBook } from '../cellar/make-book.ts';
import { checkJournal } from '../checks/check-journal.ts';
import { compareFindings } from '../journal/findings.ts';
import { contextOf } from '../report/context.ts';
import { stocktakeText } from '../report/stocktake-text.ts';
import { readFolder } from './journal-files.ts';
import { packagePath } from './package-path.ts';
import { diskReason, writeWhole } from './replace-file.ts';
import { painter, sayTally, showFinding, tally, visible } from './show.ts';

export interface StocktakeOptions {
  readonly format: 'journal' | 'html';
  readonly on: number | undefined;
  /** What should be there is left out. */
  readonly blind: boolean;
  /** The file it goes to; without one it is printed. */
  readonly out: string | undefined;
}

/** 0 no errors in the journal, 1 errors in it, 2 a folder that cannot be read or a file that cannot be written. */
export async function stocktake(folder: string, options: StocktakeOptions): Promise<number> {
  const read = readFolder(folder);
  if (read.missing) {
    const errors = painter(process.stderr);
    for (const finding of read.findings) process.stderr.write(`${showFinding(finding, read.files, errors)}\n`);
    return 2;
  }
  const book = makeBook(read.files, options.on, checkJournal);
  const context = contextOf(book);
  const text =
    options.format === 'html'
      ? await (await import('../site/stocktake-sheet.ts')).stocktakeSheet(
          context,
          options.blind,
          packagePath('templates'),
        )
      : `${stocktakeText(context, options.blind).join('\n')}\n`;
  if (options.out === undefined) process.stdout.write(text);
  else {
    try {
      writeWhole(options.out, Buffer.from(text));
    } catch (error) {
      const why = diskReason(error);
      if (why === undefined) throw error;
      process.stderr.write(`${visible(options.out)} was not written: ${why}\n`);
      return 2;
    }
    process.stdout.write(`a stocktake in ${visible(options.out)}\n`);
  }
  const counts = tally([...read.findings, ...book.findings].sort(compareFindings));
  if (counts.errors === 0) return 0;
  process.stderr.write(`the journal has ${sayTally(counts)}: what should be there may be told wrongly\n`);
  return 1;
}
