/** `ullage enter FILE FOLDER`: readings out of a laboratory's or a logger's table as lines of a journal. */
import { readFileSync } from 'node:fs';
import { fold } from '../../grammar/words.ts';
import { type ColumnMeaning, columnMeaning, sameMeaning } from '../journal/csv-columns.ts';
import type { DecimalMark } from '../report/entered-cells.ts';
import type { HandedIn, Told } from '../report/entered-headings.ts';
import { enteredJson } from '../report/entered-json.ts';
import { type Entered, enterReadings } from '../report/entered-readings.ts';
import { counted } from '../report/names.ts';
import { readingsText } from '../report/readings-text.ts';
import { appendEntries } from './append-entries.ts';
import { contextIn, refuse } from './crew-order.ts';
import { readTable } from './handed-in-table.ts';
import { diskReason } from './replace-file.ts';
import { visible } from './show.ts';

export interface EnterOptions {
  /** `Brix=brix`, each over what the journal says of the heading. */
  readonly column: readonly string[];
  readonly vessel: string | undefined;
  readonly day: number | undefined;
  readonly decimal: DecimalMark | undefined;
  readonly into: string | undefined;
  readonly format: 'text' | 'json';
}

/** The heading of `Brix=brix`; empty where there is none. A heading may have `=` in it; what it means has none. */
const headingOf = (said: string): string => said.slice(0, Math.max(0, said.lastIndexOf('='))).trim();

/** What the command line says of headings; a text where it cannot be understood. */
function columnsSaid(said: readonly string[]): ReadonlyMap<string, ColumnMeaning> | string {
  const columns = new Map<string, ColumnMeaning>();
  for (const one of said) {
    const heading = headingOf(one);
    if (heading === '')
      return `--column ${visible(one)}: write the heading, \`=\` and what it means: --column "Brix=brix"`;
    const meaning = columnMeaning(
      one
        .slice(one.lastIndexOf('=') + 1)
        .trim()
        .split(/\s+/u)
        .filter((word) => word !== ''),
    );
    if ('problem' in meaning) return `--column ${visible(one)}: ${meaning.problem}; ${meaning.help}`;
    const before = columns.get(fold(heading));
    if (before !== undefined && !sameMeaning(before, meaning))
      return `--column "${visible(heading)}" is said twice, and means two things: keep the one that is right`;
    columns.set(fold(heading), meaning);
  }
  return columns;
}

/** What is said of headings that the table does not have; nothing where it has them all. */
function notThere(said: readonly string[], { headings }: HandedIn): string | undefined {
  const there = new Set(headings.map((heading) => fold(heading.trim())));
  const gone = said.map(headingOf).filter((heading) => !there.has(fold(heading)));
  if (gone.length === 0) return undefined;
  const quoted = (list: readonly string[]): string =>
    list
      .map((heading) => heading.trim())
      .filter((heading) => heading !== '')
      .map((heading) => `"${visible(heading)}"`)
      .join(', ');
  return `--column ${quoted(gone)}: the table has no such heading; it has ${quoted(headings)}`;
}

/** 0 all was taken or known; 1 some of it was left out, as is told; 2 wrong usage, or something that cannot be read or written. */
export function enter(file: string, folder: string, options: EnterOptions): number {
  const { into, format } = options;
  if (format === 'json' && into !== undefined)
    return refuse('--into takes lines of a journal: leave out --format json');
  const said = columnsSaid(options.column);
  if (typeof said === 'string') return refuse(said);
  const context = contextIn(folder, undefined);
  if (context === undefined) return 2;
  const { book, settings } = context;
  const table = tableIn(file);
  if (typeof table === 'string') return refuse(`${visible(file)} was not read: ${visible(table)}`);
  const gone = notThere(options.column, table);
  if (gone !== undefined) return refuse(gone);
  const columns = new Map([...(settings.columns ?? []), ...said]);
  const entered = enterReadings(book, table, {
    columns,
    vessel: options.vessel,
    day: options.day,
    decimal: options.decimal,
  });
  const broken = entered.refused.filter(({ line }) => line === 0);
  if (broken.length > 0) {
    for (const { why } of broken) process.stderr.write(`${visible(file)}: ${visible(why)}\n`);
    return 2;
  }
  if (format === 'json') process.stdout.write(`${JSON.stringify(enteredJson(entered), null, 2)}\n`);
  else {
    const text = readingsText(entered.tables);
    if (into === undefined) process.stdout.write(text);
    else if (text !== '') {
      const why = appendEntries(into, folder, text);
      if (why !== undefined) return refuse(`${visible(into)} was not written: ${why}`);
    }
    tell(file, entered);
  }
  return entered.differing.length + entered.clashing.length + entered.refused.length > 0 ? 1 : 0;
}

/** The table of a file, or why there is none. */
function tableIn(file: string): HandedIn | string {
  let bytes: Buffer;
  try {
    bytes = readFileSync(file);
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return why;
  }
  const read = readTable(bytes);
  return 'refused' in read ? read.refused : read;
}

/** What became of the table, beside the lines themselves. */
function tell(file: string, { taken, known, doubled, differing, clashing, refused, passedOver }: Entered): void {
  const say = (text: string): void => {
    process.stderr.write(`${visible(text)}\n`);
  };
  const told = (what: string, list: readonly Told[]): void => {
    for (const { line, why } of list) say(`${file}:${line}: ${what}: ${why}`);
  };
  told('left out', refused);
  told('not what the journal has', differing);
  told('not what another row has', clashing);
  if (passedOver.length > 0) say(`headings passed over: ${passedOver.join(', ')}`);
  say(
    [
      `${counted(taken, 'figure')} taken`,
      `${known} in the journal already`,
      ...(doubled === 0 ? [] : [`${doubled} twice in the table`]),
      ...(differing.length === 0 ? [] : [`${differing.length} not what the journal has`]),
      ...(clashing.length === 0 ? [] : [`${clashing.length} not what another row has`]),
      ...(refused.length === 0 ? [] : [`${counted(refused.length, 'row')} left out`]),
    ].join(', '),
  );
}
