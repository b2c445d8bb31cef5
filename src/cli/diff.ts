/** `ullage diff A B`: what two journals, or two revisions of one, tell differently, and who made it so. */
import type { Book } from '../cellar/book.ts';
import { makeBook } from '../cellar/make-book.ts';
import { checkJournal } from '../checks/check-journal.ts';
import { makersOn } from '../report/compare/commits.ts';
import { compareJournals, type Side } from '../report/compare/comparison.ts';
import { comparisonJson } from '../report/compare/comparison-json.ts';
import type { ComparisonReport, End } from '../report/compare/comparison-report.ts';
import { type ToldComparison, toldComparison } from '../report/compare/comparison-told.ts';
import type { ToldChange, ToldClass } from '../report/compare/told-changes.ts';
import { counted } from '../report/names.ts';
import { type Ends, NoEnds, type ReadEnd, readEnds } from './compared-ends.ts';
import { GitFailure } from './git.ts';
import { handOut } from './hand-out.ts';
import { allFindings } from './journal-files.ts';
import { sheetText } from './sheet-text.ts';
import { type Paint, painter, tally, visible } from './show.ts';

export interface DiffOptions {
  /** The folder of the journal, in the repository that revisions are looked up in. */
  readonly journal: string;
  readonly format: 'text' | 'json';
  /** Show everything, however long. */
  readonly all: boolean;
  /** A file for a page that tells the same. */
  readonly page?: string;
}

/** Changes of new work, and rows of a table, before the rest is only counted. */
const SHOWN = { new: 20, rows: 40 };
/** The same on a page. */
const ON_PAGE = 400;

function bookOf({ files, findings }: ReadEnd, on: number | undefined): Book {
  const book = makeBook(files, on, checkJournal);
  return { ...book, findings: allFindings(findings, book.findings) };
}

/** The report of two ends. */
export function reportOf({ before, after, unseen, way }: Ends): ComparisonReport {
  const [one, other] = [bookOf(before, undefined), bookOf(after, undefined)];
  const common = Math.min(one.on, other.on);
  const side = (read: ReadEnd, book: Book): Side => ({
    journal: read.journal,
    book,
    common: book.on === common ? book : bookOf(read, common),
  });
  const comparison = compareJournals(side(before, one), side(after, other));
  const makers = way === undefined ? undefined : makersOn(way);
  const end = ({ kind, name, commit }: ReadEnd, book: Book): End => ({ kind, name, commit, book });
  return {
    before: end(before, one),
    after: end(after, other),
    unseen,
    comparison,
    history:
      way === undefined || makers === undefined
        ? undefined
        : { way, makers: comparison.changes.map(({ change }) => makers(change)) },
  };
}

/** 0 both could be read, 1 the newer one has errors, 2 wrong usage, or something that cannot be read or written. */
export async function diff(
  first: string | undefined,
  second: string | undefined,
  options: DiffOptions,
): Promise<number> {
  let ends: Ends;
  try {
    ends = await readEnds(first, second, options.journal);
  } catch (error) {
    if (!(error instanceof NoEnds || error instanceof GitFailure)) throw error;
    process.stderr.write(`${visible(error.message)}\n`);
    return 2;
  }
  const report = reportOf(ends);
  const mostNew = (most: number): number => (options.all ? Number.POSITIVE_INFINITY : most);
  if (options.page !== undefined) {
    const { comparisonPage } = await import('../site/comparison-page.ts');
    const { packagePath } = await import('./package-path.ts');
    const html = await comparisonPage(
      toldComparison(report, mostNew(ON_PAGE)),
      report.after.book.settings.name,
      packagePath('templates'),
    );
    const why = handOut(html, options.page);
    if (why !== undefined) {
      process.stderr.write(`${visible(options.page)} was not written: ${why}\n`);
      return 2;
    }
  }
  const lines =
    options.format === 'json'
      ? [JSON.stringify(comparisonJson(report), null, 2)]
      : options.page === undefined
        ? text(toldComparison(report, mostNew(SHOWN.new)), options.all, painter(process.stdout))
        : [`a page in ${visible(options.page)}`];
  process.stdout.write(`${lines.join('\n')}\n`);
  return tally(report.after.book.findings).errors > 0 ? 1 : 0;
}

const COLOURS = { '−': 'red', '+': 'green', ' ': 'dim' } as const;

export function changeText({ what, where, lines, lots, vessels, made }: ToldChange, paint: Paint): string[] {
  const touches = [lots, vessels].filter((part) => part !== '').join('; ');
  return [
    `  ${paint('bold', what)}  ${paint('dim', visible(where))}`,
    ...lines.map(({ sign, text: line }) => paint(COLOURS[sign], `    ${sign} ${visible(line)}`)),
    ...(touches === '' ? [] : [`      touches ${visible(touches)}`]),
    ...made.map((one) => `      ${visible(one)}`),
  ];
}

function classText({ class: kind, title, count, further, days }: ToldClass, paint: Paint): string[] {
  return [
    paint(kind === 'correction' ? 'yellow' : 'cyan', `${title} (${count})`),
    ...days.flatMap((day) => [day.title, ...day.changes.flatMap((change) => changeText(change, paint))]),
    ...(further > 0 ? [`  and ${further} more: --all shows them`] : []),
  ];
}

function text(told: ToldComparison, all: boolean, paint: Paint): string[] {
  const rows = all ? Number.POSITIVE_INFINITY : SHOWN.rows;
  const first = told.lots.length + told.vessels.length;
  return [
    ...told.ends.map(({ side, name, told: to }) => `${side === 'before' ? '−' : '+'} ${visible(name)}, ${to}`),
    ...told.unseen.map((one) => paint('yellow', `not seen: ${visible(one)}`)),
    '',
    told.lead,
    ...told.classes.flatMap((one) => ['', ...classText(one, paint)]),
    ...(first === 0 ? [] : ['', paint('cyan', 'Lots and vessels they touch')]),
    ...[...told.lots, ...told.vessels].slice(0, rows).map(({ name, count, first: day }) => {
      const own = count === 0 ? 'no entry of its own' : counted(count, 'change');
      return `  ${visible(name)}: ${own}${day === '' ? '' : `; ${day}`}`;
    }),
    ...(first > rows ? [`  and ${first - rows} more: --all shows them`] : []),
    ...told.states
      .filter(({ same }) => !same)
      .flatMap(({ title, sheets }) => [
        '',
        paint('cyan', title),
        ...sheets.flatMap((sheet) => [sheet.caption, ...sheetText(sheet, paint, rows)]),
      ]),
    ...(told.findings.length === 0 ? [] : ['', paint('cyan', 'Findings')]),
    ...told.findings
      .slice(0, rows)
      .flatMap(({ sign, severity, title, message, where }) => [
        paint(COLOURS[sign], `  ${sign} ${severity}: ${title}  ${visible(where)}`),
        `      ${visible(message)}`,
      ]),
    ...(told.findings.length > rows ? [`  and ${told.findings.length - rows} more: --all shows them`] : []),
    ...(told.work === undefined
      ? []
      : ['', paint('cyan', told.work.title), ...sheetText(told.work.sheet, paint, rows)]),
    ...(told.commits === undefined
      ? []
      : ['', paint('cyan', 'Commits between them'), ...sheetText(told.commits, paint, rows)]),
    ...(told.corrections.length === 0 ? [] : ['', paint('cyan', 'What each commit did to days past at its time')]),
    ...told.corrections.flatMap(({ title, newest, classes }) => [
      '',
      paint('bold', visible(newest === '' ? title : `${title}; ${newest}`)),
      ...classes.flatMap((one) => classText(one, paint)),
    ]),
  ];
}
