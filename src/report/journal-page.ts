/** The journal itself, a page a file: its lines with their numbers, and the findings beside them. */
import { CODES, type Severity } from '../../grammar/codes.ts';
import type { ReportContext } from './context.ts';
import { findingHref, findingsInOrder, linesOf } from './finding-list.ts';
import { counted } from './names.ts';

export type LineKind = 'day' | 'note' | 'comment' | 'plain';

export interface JournalLine {
  readonly number: number;
  readonly text: string;
  readonly kind: LineKind;
  readonly findings: readonly { readonly severity: Severity; readonly title: string; readonly href: string }[];
}

export interface JournalModel {
  readonly path: string;
  readonly name: string;
  readonly lead: string;
  readonly lines: readonly JournalLine[];
}

export interface JournalsModel {
  readonly path: string;
  readonly files: readonly { readonly name: string; readonly href: string; readonly lines: string }[];
}

export function journalsModel(context: ReportContext): JournalsModel {
  return {
    path: 'journal.html',
    files: context.book.files.map(({ path, text }, index) => ({
      name: path,
      href: context.links.filePages[index] ?? '',
      lines: counted(linesOf(text).length, 'line'),
    })),
  };
}

/** The findings of each file by line, gathered once for all its pages. */
export function findingsByLine(context: ReportContext): Map<number, Map<number, JournalLine['findings'][number][]>> {
  const files = new Map<number, Map<number, JournalLine['findings'][number][]>>();
  for (const [position, { code, severity, where }] of findingsInOrder(context.book.findings).entries()) {
    let lines = files.get(where.file);
    if (lines === undefined) {
      lines = new Map();
      files.set(where.file, lines);
    }
    const told = { severity, title: CODES[code].title, href: findingHref(position) };
    const already = lines.get(where.line);
    if (already === undefined) lines.set(where.line, [told]);
    else already.push(told);
  }
  return files;
}

export function journalModel(
  context: ReportContext,
  file: number,
  findings: ReturnType<typeof findingsByLine>,
): JournalModel | undefined {
  const found = context.book.files[file];
  const path = context.links.filePages[file];
  if (found === undefined || path === undefined) return undefined;
  const said = findings.get(file);
  const lines = linesOf(found.text);
  return {
    path,
    name: found.path,
    lead: counted(lines.length, 'line'),
    lines: lines.map((text, index) => ({
      number: index + 1,
      text,
      kind: kindOf(text),
      findings: said?.get(index + 1) ?? [],
    })),
  };
}

function kindOf(line: string): LineKind {
  if (/^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}(?:\s|$)/u.test(line)) return 'day';
  if (/^\s*\|/u.test(line)) return 'note';
  return /^\s*#/u.test(line) ? 'comment' : 'plain';
}
