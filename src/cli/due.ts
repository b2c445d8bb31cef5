/** `ullage due FOLDER`: the work that is due by the plans of a journal, for people or for programs. */
import type { Book } from '../cellar/book.ts';
import { type DueItem, dueWork } from '../due/due-work.ts';
import { compareFindings } from '../journal/findings.ts';
import { fullDayText } from '../report/dates.ts';
import { dueJson } from '../report/due-json.ts';
import { type DueLine, dueList, workFor } from '../report/due-list.ts';
import { counted } from '../report/names.ts';
import { readBook } from './read-book.ts';
import { type Paint, painter, sayTally, tally, visible, width } from './show.ts';

export interface DueOptions {
  readonly format: 'text' | 'json';
  /** As of this day; without it, as of the last day written. */
  readonly on: number | undefined;
  /** Days ahead that are told as well. */
  readonly days: number;
  /** Only what concerns a hand, a lot, a vessel or a plan. */
  readonly for: string | undefined;
}

/** A line of a telephone's terminal. */
const WIDTH = 44;

/** 0 clean, 1 errors in the journal, 2 wrong usage, or a folder that cannot be read. */
export function due(folder: string, options: DueOptions): number {
  const found = readBook(folder, options.on);
  if (found === undefined) return 2;
  const { book, read } = found;
  const on = options.on ?? book.on;
  let items: readonly DueItem[] = dueWork(book, on, options.days);
  if (options.for !== undefined) {
    const wanted = workFor(book, items, options.for);
    if ('unknown' in wanted) {
      const near = wanted.near === undefined ? '' : `; did you mean ${visible(wanted.near)}?`;
      process.stderr.write(`no hand, lot, vessel or plan is called ${visible(wanted.unknown)}${near}\n`);
      return 2;
    }
    items = wanted.items;
  }
  const counts = tally([...read.findings, ...book.findings].sort(compareFindings));
  if (options.format === 'json') {
    process.stdout.write(`${JSON.stringify(dueJson(book, items, on, options.days, options.for), null, 2)}\n`);
  } else {
    process.stdout.write(`${text(book, items, on, options, painter(process.stdout)).join('\n')}\n`);
    if (counts.errors > 0)
      process.stderr.write(
        `the journal has ${sayTally(counts)}: what they touch may be missing here; ullage check tells them\n`,
      );
  }
  return counts.errors > 0 ? 1 : 0;
}

function text(book: Book, items: readonly DueItem[], on: number, options: DueOptions, paint: Paint): string[] {
  const who = [book.settings.name, options.for ?? ''].filter((part) => part !== '').map(visible);
  const lines = [...wrapped(who.join(', '), '').map((line) => paint('bold', line)), fullDayText(on)];
  if (book.plans.length === 0) {
    return [
      ...lines,
      '',
      ...wrapped('The journal has no plan. Write one with its standing facts:', ''),
      '',
      '  plan barrel-age for wine in barrel',
      '    due top every 21 days',
    ];
  }
  const heads = { overdue: 'overdue', now: 'today', next: `the next ${counted(options.days, 'day')}` } as const;
  const colours = { overdue: 'red', now: 'yellow', next: 'cyan' } as const;
  const sections = dueList(book, items, on);
  for (const { status, lines: work } of sections) {
    lines.push('', paint(colours[status], heads[status]));
    let day = '';
    for (const line of work) {
      // days ahead are told once each, above their work
      const ahead = status === 'next';
      if (ahead && line.day !== day) lines.push(`  ${line.day}`);
      day = line.day;
      lines.push(...pieceOf(ahead ? { ...line, day: '' } : line, ahead ? '    ' : '  ', paint));
    }
  }
  if (sections.length === 0)
    lines.push('', ...wrapped(`Nothing is due, nor on ${counted(options.days, 'day')} ahead.`, ''));
  return lines;
}

/** One work: what, where and when it was last done there, and why. */
function pieceOf(line: DueLine, indent: string, paint: Paint): string[] {
  const below = `${indent}  `;
  const when = [line.day, line.at].filter((part) => part !== '').join(' ');
  const by = line.by.length === 0 ? '' : `by ${line.by.join(', ')}`;
  return [
    ...wrapped(line.what, indent).map((one) => paint('bold', one)),
    ...wrapped([when, by].filter((part) => part !== '').join('; '), below),
    ...line.where.flatMap(({ text: where, last }) => wrapped(last === '' ? where : `${where}; ${last}`, below)),
    ...wrapped(line.why, below).map((one) => paint('dim', one)),
  ];
}

/** A text on lines of a telephone's width, each with what stands before it; a word longer than a line stays whole. */
function wrapped(said: string, before: string): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of visible(said).split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && width(before + longer) > WIDTH) {
      lines.push(before + line);
      line = word;
    } else line = longer;
  }
  return line === '' ? lines : [...lines, before + line];
}
