/** `ullage stocktake FOLDER`: what should be in the cellar, to be gone through: lines for the journal, or a sheet to print. */
import { compareFindings } from '../journal/findings.ts';
import { contextOf } from '../report/context.ts';
import { stocktakeText } from '../report/stocktake-text.ts';
import { handOut } from './hand-out.ts';
import { packagePath } from './package-path.ts';
import { readBook } from './read-book.ts';
import { sayTally, tally, visible } from './show.ts';

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
  const found = readBook(folder, options.on);
  if (found === undefined) return 2;
  const { book, read } = found;
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
    const why = handOut(text, options.out);
    if (why !== undefined) {
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
