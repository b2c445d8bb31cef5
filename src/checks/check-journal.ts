/** Checks a journal: reads, folds and looks on; pure. */
import { type Folded, type FoldOptions, foldJournal } from '../cellar/fold.ts';
import type { SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';
import { severityOf } from '../journal/findings.ts';
import { CHECKS } from './index.ts';

/** Folds with every check looking on; further watchers may look on with them. */
export function checkJournal(files: readonly SourceFile[], options: FoldOptions = {}): Folded {
  return orEmpty(files, foldJournal(files, { ...options, watchers: [...CHECKS, ...(options.watchers ?? [])] }));
}

/** What was folded, with a finding where there was nothing to fold. */
export function orEmpty(files: readonly SourceFile[], folded: Folded): Folded {
  if (folded.entries > 0 || folded.findings.length > 0) return folded;
  const finding: Finding = {
    code: 'journal-empty',
    severity: severityOf('journal-empty'),
    where: { file: files.length === 0 ? -1 : 0, line: 0, column: 1, endColumn: 2 },
    message: files.length === 0 ? 'there is no `*.cellar` file in the folder' : 'the journal holds no entries',
    help: 'write the first vessels and the first day: `vessel T1 tank 1200 L`, `2026-09-14 Mon`, `found T1 800 L as GR25 ...`',
    related: [],
  };
  return { ...folded, findings: [finding] };
}

/** The findings of journal files given as texts. */
export function checkTexts(files: readonly SourceFile[]): { findings: readonly Finding[] } {
  return { findings: checkJournal(files).findings };
}
