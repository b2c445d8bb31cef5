/** The findings by kind, the gravest first, each with the line it is about; what was asked and answered stands apart. */
import { CODES, type Severity } from '../../grammar/codes.ts';
import type { Finding, Where } from '../journal/findings.ts';
import type { ReportContext } from './context.ts';
import type { Link } from './links.ts';
import { capital, counted } from './names.ts';

/** Words, or what stands in a journal as it is written there. */
export interface Span {
  readonly text: string;
  readonly code: boolean;
}

export interface FindingRow {
  /** Its anchor on the page. */
  readonly id: string;
  readonly severity: Severity;
  readonly code: string;
  readonly title: string;
  readonly explanation: string;
  readonly message: readonly Span[];
  readonly help: readonly Span[];
  readonly line: Link;
  /** The line, cut where the finding begins and ends. */
  readonly excerpt: { readonly before: string; readonly marked: string; readonly after: string } | undefined;
  readonly related: readonly { readonly line: Link; readonly message: string }[];
}

/** Findings of one kind. */
export interface FindingGroup {
  readonly id: string;
  readonly title: string;
  readonly severity: Severity;
  readonly explanation: string;
  readonly rows: readonly FindingRow[];
}

/** A line whose writer says that it is as it should be. */
export interface SicRow {
  readonly line: Link;
  readonly text: string;
}

export interface FindingsModel {
  readonly path: string;
  readonly lead: string;
  readonly groups: readonly FindingGroup[];
  /** Questions to the tool that it answered: nothing in them is to be mended. */
  readonly answers: readonly FindingRow[];
  /** Lines that say `sic`, the newest first, and how many more there are. */
  readonly sic: readonly SicRow[];
  readonly furtherSic: number;
  /** Findings beyond those a page can show, by title. */
  readonly further: readonly { readonly title: string; readonly explanation: string; readonly count: number }[];
}

/** Findings told one by one; the rest is counted. */
const MOST = 150;
/** Characters of a line that are shown about the place. */
const MOST_EXCERPT = 240;
const MOST_RELATED = 4;
const MOST_SIC = 60;
/** An answer to a `?` is no finding that wants anything. */
const ANSWER: Finding['code'] = 'question-answered';

const GRAVITY: Readonly<Record<Severity, number>> = { error: 0, warning: 1, note: 2 };

/** The findings in the order the page tells them. */
export function findingsInOrder(findings: readonly Finding[]): Finding[] {
  return findings
    .map((finding, index) => ({ finding, index }))
    .sort((a, b) => GRAVITY[a.finding.severity] - GRAVITY[b.finding.severity] || a.index - b.index)
    .map(({ finding }) => finding);
}

/** The anchor of a finding on the findings page, or the page itself for one that is only counted there. */
export function findingHref(position: number): string {
  return position < MOST ? `findings.html#f${position + 1}` : 'findings.html';
}

export function findingsModel(context: ReportContext): FindingsModel {
  const ordered = findingsInOrder(context.book.findings);
  const lines = lineReader(context);
  const further = new Map<Finding['code'], number>();
  for (const { code } of ordered.slice(MOST)) further.set(code, (further.get(code) ?? 0) + 1);
  const shown = ordered.slice(0, MOST).map((finding, index) => rowOf(context, lines, finding, index));
  const groups = new Map<string, FindingRow[]>();
  for (const row of shown) {
    if (row.code === ANSWER) continue;
    const group = groups.get(row.code);
    if (group === undefined) groups.set(row.code, [row]);
    else group.push(row);
  }
  const said = context.book.happenings.filter(({ event }) => event.sic).reverse();
  return {
    path: 'findings.html',
    lead: leadOf(ordered),
    groups: [...groups].flatMap(([code, rows]) => {
      const [first] = rows;
      if (first === undefined) return [];
      const { title, severity, explanation } = first;
      return [{ id: `of-${code}`, title, severity, explanation, rows }];
    }),
    answers: shown.filter(({ code }) => code === ANSWER),
    sic: said.slice(0, MOST_SIC).map(({ event: { place } }) => ({
      line: context.links.line(place),
      text: (lines({ ...place, column: 1, endColumn: 1 }) ?? '').trim().slice(0, MOST_EXCERPT),
    })),
    furtherSic: Math.max(0, said.length - MOST_SIC),
    further: [...further].map(([code, many]) => ({
      title: CODES[code].title,
      explanation: context.links.explanation(code),
      count: many,
    })),
  };
}

/** How many want looking at; answers are counted for themselves. */
function leadOf(findings: readonly Finding[]): string {
  const answers = findings.filter(({ code }) => code === ANSWER).length;
  const count = (severity: Severity): number =>
    findings.filter((finding) => finding.severity === severity && finding.code !== ANSWER).length;
  const told = [
    count('error') > 0 ? counted(count('error'), 'error') : '',
    count('warning') > 0 ? counted(count('warning'), 'warning') : '',
    count('note') > 0 ? counted(count('note'), 'note') : '',
  ].filter((text) => text !== '');
  const first = told.length === 0 ? 'The record holds together: nothing was found.' : `${told.join(', ')}.`;
  return answers === 0 ? first : `${first} ${capital(counted(answers, 'question'))} answered.`;
}

function rowOf(
  context: ReportContext,
  lines: (where: Where) => string | undefined,
  finding: Finding,
  index: number,
): FindingRow {
  return {
    id: `f${index + 1}`,
    severity: finding.severity,
    code: finding.code,
    title: CODES[finding.code].title,
    explanation: context.links.explanation(finding.code),
    message: sentenceOf(finding.message),
    help: sentenceOf(finding.help ?? ''),
    line: whereLink(context, finding.where),
    excerpt: excerptOf(lines(finding.where), finding.where),
    related: finding.related.slice(0, MOST_RELATED).map(({ where, message }) => ({
      line: whereLink(context, where),
      message,
    })),
  };
}

/** A message as a sentence of its own; what it gives between backquotes is set apart. */
export function sentenceOf(message: string): Span[] {
  const spans = message
    .split('`')
    .map((text, index) => ({ text, code: index % 2 === 1 }))
    .filter(({ text }) => text !== '');
  const [first] = spans;
  const last = spans.at(-1);
  if (first === undefined || last === undefined) return [];
  // A sentence that begins with a name keeps it as it is written: names may begin with a small letter.
  const named = /^[^\s]*[0-9]/u.test(first.text);
  return [
    ...spans.map((span) => (span === first && !span.code && !named ? { ...span, text: capital(span.text) } : span)),
    ...(/[.?!]$/u.test(last.text) ? [] : [{ text: '.', code: false }]),
  ];
}

function whereLink(context: ReportContext, where: Where): Link {
  if (where.file < 0) return { text: 'the journal’s folder' };
  return context.links.line(where);
}

/** Lines of files, each file cut once. */
function lineReader(context: ReportContext): (where: Where) => string | undefined {
  const cut = new Map<number, string[]>();
  return ({ file, line }) => {
    const text = context.book.files[file]?.text;
    if (text === undefined || line < 1) return undefined;
    let lines = cut.get(file);
    if (lines === undefined) {
      lines = linesOf(text);
      cut.set(file, lines);
    }
    return lines[line - 1];
  };
}

/** The lines of a text as its numbers count them. */
export function linesOf(text: string): string[] {
  return text.replace(/^\uFEFF/u, '').split(/\r\n|\n|\r/u);
}

function excerptOf(line: string | undefined, where: Where): FindingRow['excerpt'] {
  if (line === undefined || line.trim() === '') return undefined;
  const from = Math.min(line.length, Math.max(0, where.column - 1));
  const until = Math.min(line.length, Math.max(from, where.endColumn - 1), from + MOST_EXCERPT);
  const start = Math.max(0, from - MOST_EXCERPT);
  const end = Math.min(line.length, until + MOST_EXCERPT);
  return {
    before: `${start > 0 ? '…' : ''}${line.slice(start, from)}`,
    marked: line.slice(from, until),
    after: `${line.slice(until, end)}${end < line.length ? '…' : ''}`,
  };
}
