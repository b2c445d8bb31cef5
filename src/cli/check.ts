/** `ullage check FOLDER`: reads, folds and checks a journal, and says what was found. */
import { checkJournal } from '../checks/check-journal.ts';
import type { Finding } from '../journal/findings.ts';
import { findingsJson } from '../report/findings-json.ts';
import { allFindings, readFolder } from './journal-files.ts';
import { painter, sayTally, showFinding, tally } from './show.ts';

export interface CheckOptions {
  readonly format: 'text' | 'json' | 'sarif';
  readonly all: boolean;
}

/** Findings shown before the rest is only counted. */
const SHOWN = 30;

/** 0 clean, 1 errors, 2 the folder cannot be read. */
export async function check(folder: string, options: CheckOptions): Promise<number> {
  const read = readFolder(folder);
  const folded = read.missing ? undefined : checkJournal(read.files);
  const found = folded === undefined ? read.findings : allFindings(read.findings, folded.findings);
  const counted = tally(found);
  const exit = read.missing ? 2 : counted.errors > 0 ? 1 : 0;
  if (options.format === 'json') {
    process.stdout.write(`${JSON.stringify(findingsJson(found, read.files, folded?.entries ?? 0), null, 2)}\n`);
    return exit;
  }
  if (options.format === 'sarif') {
    const { printSarif } = await import('./sarif.ts');
    await printSarif(folder, found, read);
    return exit;
  }
  const paint = painter(process.stdout);
  const shown = options.all ? found : mostPressing(found);
  const parts = shown.map((finding) => showFinding(finding, read.files, paint));
  if (shown.length < found.length) parts.push(`and ${found.length - shown.length} more: --all shows them`);
  const entries = folded?.entries ?? 0;
  const summary = read.missing
    ? 'nothing was checked'
    : `${entries} lines of work in ${read.files.length} file${read.files.length === 1 ? '' : 's'}: ${sayTally(counted)}`;
  parts.push(counted.errors > 0 ? paint('red', summary) : summary);
  process.stdout.write(`${parts.join('\n\n')}\n`);
  return exit;
}

/** Errors before warnings before notes, in the order of the journal, as many as fit. */
function mostPressing(found: readonly Finding[]): readonly Finding[] {
  if (found.length <= SHOWN) return found;
  const rank = { error: 0, warning: 1, note: 2 };
  const chosen = new Set([...found].sort((a, b) => rank[a.severity] - rank[b.severity]).slice(0, SHOWN));
  return found.filter((finding) => chosen.has(finding));
}
