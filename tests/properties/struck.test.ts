/** Striking lines of random seasons: every figure and every finding is as if the lines were not there. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Book } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { exportBook } from '../../src/report/export.ts';
import { journalOf, seasons } from './season.ts';

const HEAD = /^\d\d:\d\d (?!struck )/;

/** The files with every entry whose number is among the chosen ones changed, the lines below it as well. */
function changed(
  files: readonly SourceFile[],
  chosen: ReadonlySet<number>,
  head: (line: string) => string,
  below: (line: string) => string,
): SourceFile[] {
  let entry = -1;
  return files.map(({ path, text }) => {
    let on = false;
    const lines = text.split('\n').map((line) => {
      if (HEAD.test(line)) {
        entry += 1;
        on = chosen.has(entry);
        return on ? head(line) : line;
      }
      if (!/^\s+\S/.test(line)) on = false;
      return on ? below(line) : line;
    });
    return { path, text: lines.join('\n') };
  });
}

/** All a book comes to but for the texts it was read from. */
const figures = (book: Book): unknown => {
  const { findings, ...rest } = exportBook(book);
  return [rest, findings.map(({ code, message, line }) => [code, message, line])];
};

const bookOf = (files: readonly SourceFile[]): Book => makeBook(files, undefined, checkJournal);

test('a struck line is as one that is not there, and is kept', () => {
  fc.assert(
    fc.property(
      seasons({ minLength: 5, maxLength: 40 }),
      fc.uniqueArray(fc.nat(39), { minLength: 1 }),
      (season, some) => {
        const files = journalOf(season);
        const chosen = new Set(some);
        const struck = bookOf(
          changed(
            files,
            chosen,
            (line) => line.replace(/^(\d\d:\d\d )/, '$1struck '),
            (line) => line,
          ),
        );
        // a comment keeps the numbers of the lines
        const gone = bookOf(
          changed(
            files,
            chosen,
            (line) => `# ${line}`,
            (line) => `# ${line}`,
          ),
        );
        expect(figures(struck)).toEqual(figures(gone));
        const entries = files.flatMap(({ text }) => text.split('\n').filter((line) => HEAD.test(line))).length;
        expect(struck.struck).toHaveLength(some.filter((one) => one < entries).length);
        expect(gone.struck).toHaveLength(0);
      },
    ),
    { numRuns: 40, interruptAfterTimeLimit: 60_000, markInterruptAsFailure: true },
  );
});
