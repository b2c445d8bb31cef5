/** `ullage volumes FOLDER`: the wine of a month, a quarter, a year or any days by class, in litres and wine gallons. */
import type { Book } from '../cellar/book.ts';
import { compareFindings } from '../journal/findings.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { contextOf } from '../report/context.ts';
import { csvText } from '../report/csv.ts';
import { civil, dayText } from '../report/dates.ts';
import { accountSection, type PeriodModel, periodModel } from '../report/period-page.ts';
import { type PeriodVolumes, periodVolumes, toldUnits } from '../report/period-volumes.ts';
import { daysPeriod, monthPeriod, type Period, readDay, readMonth, readQuarter, readYear } from '../report/periods.ts';
import { VOLUME_HEADS, volumeRows, volumesJson } from '../report/volumes-json.ts';
import { wineFlowsTo } from '../report/wine-flows.ts';
import { yearLosses } from '../report/year-losses.ts';
import { lossSections } from '../report/year-losses-page.ts';
import { handOut } from './hand-out.ts';
import { readBook } from './read-book.ts';
import { sheetText } from './sheet-text.ts';
import { type Paint, painter, sayTally, tally, visible } from './show.ts';

export interface VolumesOptions {
  readonly month?: string;
  readonly quarter?: string;
  readonly year?: string;
  readonly from?: string;
  readonly to?: string;
  readonly format: 'text' | 'json' | 'csv';
  readonly gallons: 'rule' | 'exact';
  readonly places: number;
  /** The file it is written to; without it, it is printed. */
  readonly out?: string;
  /** As of this day; without it, as of the last day written. */
  readonly on?: number;
}

/** 0 clean, 1 errors in the journal, 2 wrong usage, or something that cannot be read or written. */
export function volumes(folder: string, options: VolumesOptions): number {
  const asked = askedPeriod(options);
  if (asked !== undefined && 'wrong' in asked) {
    process.stderr.write(`${asked.wrong}\n`);
    return 2;
  }
  const found = readBook(folder, options.on);
  if (found === undefined) return 2;
  const { book, read } = found;
  const { year, month } = civil(book.on);
  const period = asked ?? monthPeriod(year, month);
  if (period.from > book.on) {
    process.stderr.write(`the record ends on ${dayText(book.on)}: nothing is known of ${period.title}\n`);
    return 2;
  }
  const flows = wineFlowsTo(book, period.to);
  const told = periodVolumes(flows, period, toldUnits(flows.rules, options.gallons === 'exact', options.places));
  const paint: Paint = options.out === undefined ? painter(process.stdout) : (_, text) => text;
  const failed = put(textOf(book, told, options.format, paint), options.out);
  if (failed !== undefined) {
    process.stderr.write(`${visible(options.out ?? '')} was not written: ${failed}\n`);
    return 2;
  }
  const counts = tally([...read.findings, ...book.findings].sort(compareFindings));
  if (counts.errors > 0)
    process.stderr.write(`the journal has ${sayTally(counts)}: what they touch may be told wrongly here\n`);
  return counts.errors > 0 ? 1 : 0;
}

/** Prints a text, or writes it to a file; why it could not, if it could not. */
function put(text: string, out: string | undefined): string | undefined {
  if (out !== undefined) return handOut(text, out);
  process.stdout.write(text);
  return undefined;
}

function textOf(book: Book, told: PeriodVolumes, format: VolumesOptions['format'], paint: Paint): string {
  switch (format) {
    case 'json':
      return `${JSON.stringify(volumesJson(book, told), null, 2)}\n`;
    case 'csv':
      return csvText(VOLUME_HEADS, volumeRows(book, told));
    case 'text':
      return `${plainText(book, told, paint).join('\n')}\n`;
  }
}

const WAYS = '--month 2027-07, --quarter 2027-Q3, --year 2027, or --from 2027-07-01 --to 2027-07-19';

/** The period the options name; `undefined` where they name none. */
function askedPeriod(options: VolumesOptions): Period | { readonly wrong: string } | undefined {
  const { month, quarter, year, from, to } = options;
  const named = [month, quarter, year, from ?? to].filter((one) => one !== undefined).length;
  if (named > 1) return { wrong: `one period at a time: ${WAYS}` };
  const wrong = (text: string): { readonly wrong: string } => ({
    wrong: `${visible(text)} is no such period: ${WAYS}`,
  });
  if (month !== undefined) return readMonth(month) ?? wrong(month);
  if (quarter !== undefined) return readQuarter(quarter) ?? wrong(quarter);
  if (year !== undefined) return readYear(year) ?? wrong(year);
  if (from === undefined && to === undefined) return undefined;
  if (from === undefined || to === undefined) return { wrong: `--from and --to go together: ${WAYS}` };
  const [first, last] = [readDay(from), readDay(to)];
  if (first === undefined) return wrong(from);
  if (last === undefined) return wrong(to);
  return last < first ? { wrong: `--to lies before --from` } : daysPeriod(first, last);
}

/** More rows than any account has lines. */
const ALL_ROWS = 60;

function plainText(book: Book, told: PeriodVolumes, paint: Paint): string[] {
  const context = contextOf(book);
  const set = RULE_SETS[book.settings.law];
  const model: PeriodModel = periodModel(context, told, {
    path: '',
    parts: [],
    ways: [],
    before: undefined,
    after: undefined,
  });
  const section = ({ title, sheet }: PeriodModel['accounts'][number]): string[] =>
    sheet === undefined ? [] : [paint('bold', title), ...sheetText(withFoot(sheet), paint, ALL_ROWS), ''];
  return [
    paint('bold', visible(`${book.settings.name === '' ? '' : `${book.settings.name}: `}${model.title}`)),
    visible(model.lead),
    '',
    ...told.accounts.flatMap((account) => section(accountSection(set, account, told.units))),
    ...(model.notYetWine === undefined
      ? []
      : [paint('bold', model.notYetWine.caption), ...sheetText(model.notYetWine, paint, ALL_ROWS), '']),
    ...(model.bottles === undefined
      ? []
      : [paint('bold', model.bottles.label), ...sheetText(model.bottles, paint, ALL_ROWS), '']),
    ...(told.period.kind === 'year'
      ? lossSections(context, told, yearLosses(set.volumes, told)).flatMap((one) => section(one))
      : []),
    model.units,
    ...model.law.rules.map(({ title, section: where, figure, known }) =>
      paint('dim', `${title}: ${where}: ${figure} (${known})`),
    ),
    model.law.caution,
  ];
}

/** A terminal shows the sums as a last row. */
const withFoot = (sheet: NonNullable<PeriodModel['accounts'][number]['sheet']>): typeof sheet =>
  sheet.foot === undefined ? sheet : { ...sheet, rows: [...sheet.rows, sheet.foot] };
