/** The journal itself: its files with their days, and a page a file with its lines, their numbers and the findings beside them. */
import { CODES, type Severity } from '../../grammar/codes.ts';
import type { ReportContext } from './context.ts';
import { dayOf, dayText, isoDay } from './dates.ts';
import { findingHref, findingsInOrder, linesOf } from './finding-list.ts';
import type { Link } from './links.ts';
import { counted } from './names.ts';
import { cell, EMPTY, type Sheet, type SheetCell } from './sheet.ts';

export type LineKind = 'day' | 'note' | 'comment' | 'struck' | 'plain';

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
  /** The files that stand before and after it. */
  readonly before: Link | undefined;
  readonly after: Link | undefined;
}

export interface JournalsModel {
  readonly path: string;
  readonly sheet: Sheet | undefined;
}

export function journalsModel(context: ReportContext): JournalsModel {
  const { book, links } = context;
  const days = daysOf(context);
  const findings = new Map<number, number>();
  for (const { where } of book.findings) findings.set(where.file, (findings.get(where.file) ?? 0) + 1);
  const dayCell = (day: number | undefined): SheetCell =>
    day === undefined ? EMPTY : { figures: [{ text: dayText(day) }], iso: isoDay(day) };
  return {
    path: 'journal.html',
    sheet:
      book.files.length === 0
        ? undefined
        : {
            label: 'Files of the journal',
            caption: 'The files, in the order of their names',
            columns: [
              { name: 'File' },
              { name: 'First day', kind: 'nowrap' },
              { name: 'Last day', kind: 'nowrap' },
              { name: 'Lines', kind: 'number' },
              { name: 'Findings', kind: 'number' },
            ],
            rows: book.files.map(({ path, text }, index) => {
              const many = findings.get(index);
              return {
                cells: [
                  cell(path, links.filePages[index]),
                  dayCell(days.get(index)?.first),
                  dayCell(days.get(index)?.last),
                  cell(String(linesOf(text).length)),
                  many === undefined ? EMPTY : cell(String(many), 'findings.html'),
                ],
              };
            }),
            sort: true,
          },
  };
}

/** The first and the last day of which a file tells anything. */
function daysOf({ book }: ReportContext): Map<number, { first: number; last: number }> {
  const days = new Map<number, { first: number; last: number }>();
  for (const { event } of book.happenings) {
    const day = dayOf(event.minute);
    const known = days.get(event.place.file);
    if (known === undefined) days.set(event.place.file, { first: day, last: day });
    else {
      known.first = Math.min(known.first, day);
      known.last = Math.max(known.last, day);
    }
  }
  return days;
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
  let many = 0;
  for (const those of said?.values() ?? []) many += those.length;
  return {
    path,
    name: found.path,
    lead: `${counted(lines.length, 'line')}${many === 0 ? '' : `, ${counted(many, 'finding')}`}`,
    lines: lines.map((text, index) => ({
      number: index + 1,
      text,
      kind: kindOf(text),
      findings: said?.get(index + 1) ?? [],
    })),
    before: fileLink(context, file - 1),
    after: fileLink(context, file + 1),
  };
}

function fileLink({ book, links }: ReportContext, file: number): Link | undefined {
  const text = book.files[file]?.path;
  const href = links.filePages[file];
  return text === undefined || href === undefined ? undefined : { text, href };
}

/** `struck` stands behind the times of a line and before its verb. */
const STRUCK = /^\s*(?:\+?\d{1,2}:\d{2}[\s,.]*)*struck\s/iu;

export function kindOf(line: string): LineKind {
  if (/^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}(?:\s|$)/u.test(line)) return 'day';
  if (/^\s*\|/u.test(line)) return 'note';
  if (/^\s*#/u.test(line)) return 'comment';
  return STRUCK.test(line) ? 'struck' : 'plain';
}
