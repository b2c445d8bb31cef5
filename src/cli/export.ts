/** `ullage export FOLDER`: the whole derived state as JSON. */

import { makeBook } from '../cellar/make-book.ts';
import { checkJournal } from '../checks/check-journal.ts';
import { compareFindings } from '../journal/findings.ts';
import { exportBook } from '../report/export.ts';
import { readFolder } from './journal-files.ts';
import { painter, showFinding, tally } from './show.ts';

/** 0 clean, 1 errors in the journal, 2 the folder cannot be read. */
export function exportJournal(folder: string, on: number | undefined): number {
  const read = readFolder(folder);
  if (read.missing) {
    const paint = painter(process.stderr);
    for (const finding of read.findings) process.stderr.write(`${showFinding(finding, read.files, paint)}\n`);
    return 2;
  }
  const book = makeBook(read.files, on, checkJournal);
  const findings = [...read.findings, ...book.findings].sort(compareFindings);
  process.stdout.write(`${JSON.stringify(exportBook({ ...book, findings }), null, 2)}\n`);
  return tally(findings).errors > 0 ? 1 : 0;
}
