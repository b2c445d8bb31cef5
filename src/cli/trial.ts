/** `ullage trial FOLDER NAME`: a bench trial with its tasters, its sheets, and the amounts for the cellar. */

import { nearest } from '../../grammar/suggest.ts';
import { fold } from '../../grammar/words.ts';
import { readLitres } from '../blend/read-asked.ts';
import type { Book } from '../cellar/book.ts';
import type { TrialRow } from '../journal/trials.ts';
import { dayOf, dayText, isoDay } from '../report/dates.ts';
import { tastingSheets } from '../report/tasting-sheets.ts';
import { type ScaledUp, scaleUp } from '../report/trial-scale.ts';
import { panelOf, rowSaid, type Trial, targetName, trialNamed, trialsOf, winesOf } from '../report/trials.ts';
import { isRefused } from '../trade/worked.ts';
import { handOut } from './hand-out.ts';
import { readBook } from './read-book.ts';
import { visible, width } from './show.ts';

export interface TrialOptions {
  readonly sheet?: string;
  readonly tasters?: string;
  readonly row?: string;
  readonly make?: string;
  readonly on?: number;
  readonly format: 'text' | 'json';
}

const wrong = (why: string): 2 => {
  process.stderr.write(`${visible(why)}\n`);
  return 2;
};

/** 0 told, 1 errors in the journal, 2 wrong usage, or what cannot be read or written. */
export async function trial(folder: string, name: string | undefined, options: TrialOptions): Promise<number> {
  const there = readBook(folder, options.on);
  if (there === undefined) return 2;
  const { book } = there;
  const done = book.findings.some(({ severity }) => severity === 'error') ? 1 : 0;
  if (name === undefined) {
    process.stdout.write(
      options.format === 'json' ? json(trialsOf(book).map((one) => trialJson(book, one))) : list(book),
    );
    return done;
  }
  const found = trialNamed(book, name);
  if (found === undefined) {
    const near = nearest(
      name,
      trialsOf(book).map(({ said }) => said.name),
    );
    return wrong(
      `there is no trial \`${name}\` in ${folder}${near === undefined ? '' : `; did you mean \`${near}\`?`}`,
    );
  }
  const row = rowOf(found, options.row);
  if (typeof row === 'string') return wrong(row);
  const make = options.make === undefined ? undefined : readLitres(options.make);
  if (make !== undefined && isRefused(make)) return wrong(make.refused);
  if (options.sheet !== undefined) {
    const why = await writeSheets(book, found, options.sheet, options.tasters);
    if (why !== undefined) return wrong(`${options.sheet} was not written: ${why}`);
  }
  const scaled = row === undefined ? undefined : scaleUp(book, found, row, make);
  process.stdout.write(
    options.format === 'json'
      ? json(trialJson(book, found, row, scaled))
      : text(book, found, row, scaled, options.sheet),
  );
  return done;
}

const json = (data: unknown): string => `${JSON.stringify(data, null, 2)}\n`;

/** The row asked for, else the one that was chosen; why not, where there is no such row. */
function rowOf({ said }: Trial, asked: string | undefined): TrialRow | undefined | string {
  if (asked === undefined) return said.chosen === undefined ? undefined : said.rows[said.chosen];
  const row = said.rows.find(({ name, code }) => fold(name) === fold(asked) || code === asked);
  return row ?? `trial ${said.name} has no row \`${asked}\`: it has ${said.rows.map(({ name }) => name).join(', ')}`;
}

async function writeSheets(
  book: Book,
  found: Trial,
  path: string,
  tasters: string | undefined,
): Promise<string | undefined> {
  const { wholePage } = await import('../site/whole-page.ts');
  const { packagePath } = await import('./package-path.ts');
  const hands = (tasters ?? '')
    .split(',')
    .map((one) => one.trim())
    .filter((one) => one !== '');
  const page = tastingSheets(book, found, hands);
  const html = await wholePage(
    'tasting-sheets',
    ['tasting-sheets.css'],
    { page, title: `Tasting ${page.title}`, cellar: book.settings.name },
    packagePath('templates'),
  );
  return handOut(html, path);
}

function list(book: Book): string {
  const trials = trialsOf(book);
  if (trials.length === 0)
    return 'The journal has no trial. A line opens one, and rows below it say what is tried:\n\n  trial T1 as E-1\n        A egg 3 g/hL\n        B egg 6 g/hL\n        choose B\n';
  const widest = Math.max(...trials.map(({ said }) => width(visible(said.name))));
  return trials
    .map((one) => {
      const { said, event } = one;
      const chosen = said.chosen === undefined ? 'nothing chosen' : `chosen ${said.rows[said.chosen]?.name ?? ''}`;
      const name = visible(said.name);
      return `${name}${' '.repeat(widest - width(name))}  ${dayText(dayOf(event.minute))}  ${visible(winesOf(book, one))}; ${said.rows.length} rows, ${chosen}\n`;
    })
    .join('');
}

function text(
  book: Book,
  found: Trial,
  row: TrialRow | undefined,
  scaled: ScaledUp | undefined,
  sheet: string | undefined,
): string {
  const { said, event } = found;
  const panel = panelOf(said);
  const lines = [
    `${said.name}, ${dayText(dayOf(event.minute))}: ${winesOf(book, found)}`,
    '',
    ...said.rows.map((one, i) => {
      const marks = [
        panel.tasters > 0 ? `best of ${panel.firsts[i] ?? 0}` : '',
        panel.sums.length > 0 ? `ranks ${panel.sums[i] ?? ''}` : '',
        said.chosen === i ? 'chosen' : '',
      ].filter((part) => part !== '');
      const remark = one.remark === undefined ? '' : ` -- ${one.remark}`;
      return `  ${one.name}  ${one.code}  ${rowSaid(one)}${marks.length === 0 ? '' : ` (${marks.join(', ')})`}${remark}`;
    }),
    '',
    panel.words,
    ...(row === undefined || scaled === undefined
      ? ['', 'No row is chosen: --row tells the amounts of one.']
      : scaledLines(book, row, scaled)),
    ...(sheet === undefined ? [] : ['', `tasting sheets in ${sheet}`]),
  ];
  return `${lines.map(visible).join('\n')}\n`;
}

const scaledLines = (book: Book, row: TrialRow, { amounts, lines, notes }: ScaledUp): string[] => [
  '',
  `row ${row.name} for the cellar, by the volumes of ${dayText(book.on)}`,
  ...amounts.map((one) => `  ${one}`),
  ...(lines.length === 0 ? [] : ['', 'to paste', ...lines.map((line) => `  ${line}`)]),
  ...(notes.length === 0 ? [] : ['', ...notes.map((note) => `note  ${note}`)]),
];

function trialJson(book: Book, { said, event }: Trial, row?: TrialRow, scaled?: ScaledUp) {
  const panel = panelOf(said);
  return {
    trial: said.name,
    day: isoDay(dayOf(event.minute)),
    of: event.targets.map((target) => targetName(book, target)),
    rows: said.rows.map((one, i) => ({
      row: one.name,
      code: one.code,
      tried: rowSaid(one),
      parts: one.parts.map(({ name, share }) => ({ wine: name, share: share / 1e6 })),
      firsts: panel.firsts[i] ?? 0,
      rankSum: panel.sums[i] ?? null,
      remark: one.remark ?? null,
    })),
    chosen: said.chosen === undefined ? null : (said.rows[said.chosen]?.name ?? null),
    tasters: said.tastings.map(({ hand, order, scores }) => ({
      hand,
      order: order.map((i) => said.rows[i]?.name ?? ''),
      scores: scores.map(({ row: i, score }) => ({ row: said.rows[i]?.name ?? '', score })),
    })),
    test:
      panel.verdict === undefined
        ? null
        : { name: 'Friedman', statistic: panel.verdict.statistic, p: panel.verdict.p, exact: panel.verdict.exact },
    leastTasters: Number.isFinite(panel.least) ? panel.least : null,
    verdict: panel.words,
    cellar:
      row === undefined || scaled === undefined
        ? null
        : { row: row.name, on: isoDay(book.on), amounts: scaled.amounts, lines: scaled.lines, notes: scaled.notes },
  };
}
