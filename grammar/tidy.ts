/**
 * The tidy form of a journal file: the same record, written the one way. Pure; it changes blanks, spellings and look-alike
 * characters, never how many lines there are, and leaves a line it cannot read as it stands, byte for byte.
 */
import { CODES } from './codes.ts';
import type { Entry, ReadLine } from './entries.ts';
import { type FileLine, fileLines } from './file-lines.ts';
import { FRAMES } from './frames.ts';
import { LineCursor } from './lines.ts';
import { readLine } from './read.ts';
import { sameLine } from './same-reading.ts';
import { layoutOf, type TableLayout } from './tidy-columns.ts';
import { AS_WRITTEN, entryNames, rowNames, type Spelling } from './tidy-names.ts';
import { cutLine, printDay, printLines, printRow } from './tidy-print.ts';
import { findUnit } from './units.ts';
import { VERBS, type VerbWord } from './words.ts';

export interface Tidied {
  readonly text: string;
  /** Lines that say something and could not be read, left as they stand. */
  readonly left: number;
}

/** Blanks before what stands under the verb of a timed line, before a day's own note, and before a line of a plan. */
const UNDER_TIME = 6;
const DAY_NOTE = 4;
const PLAN_LINE = 2;
/** What goes on from a line above stands under its verb, or deeper where that line itself stands there. */
const goesOn = (indent: number): number => (indent < UNDER_TIME ? UNDER_TIME : indent + 2);

/** The verbs that have rows or lines of their own below them. */
const OWNERS: ReadonlySet<VerbWord> = new Set(
  VERBS.filter((verb) => FRAMES[verb].rows === true || VERBS.some((other) => FRAMES[other].under === verb)),
);

/** What a line stands below: rows and notes are laid out by it. */
class Surroundings {
  /** Below a day, and not above the first one. */
  private readonly day: boolean;
  /** A line with a time stands above, under the same day. */
  private timed = false;
  private owner: Entry | undefined;
  private layout: TableLayout | undefined;
  private above: 'nothing' | 'entry' | 'unread' = 'nothing';

  constructor(day: boolean) {
    this.day = day;
  }

  /** The blanks before a note; undefined for a note below a line that is left as it stands, or below nothing. */
  noteIndent(): number | undefined {
    if (this.above === 'entry') return UNDER_TIME;
    return this.above === 'nothing' && this.day ? DAY_NOTE : undefined;
  }

  /** A line that could not be read; rows of the table above it may still follow. */
  unread(read: ReadLine): void {
    if (read.line.type === 'broken' && read.line.minute !== undefined) this.timed = true;
    this.above = 'unread';
  }

  /** The blanks before an entry, which then is what stands above; undefined where the line it belongs under is missing. */
  enter(entry: Entry): number | undefined {
    const frame = FRAMES[entry.verb];
    if (frame.under !== undefined) {
      if (this.owner?.verb !== frame.under) {
        this.above = 'unread';
        return undefined;
      }
      this.above = 'entry';
      return frame.under === 'plan' ? PLAN_LINE : UNDER_TIME;
    }
    if (entry.when !== undefined) this.timed = true;
    this.above = 'entry';
    this.owner = OWNERS.has(entry.verb) ? entry : undefined;
    this.layout = entry.verb === 'readings' ? layoutOf(entry.head) : undefined;
    return entry.when === undefined && this.timed && frame.standing !== true ? UNDER_TIME : 0;
  }

  /** Standing facts above the first day are a list, and may be laid out by hand. */
  mayBeList(entry: Entry): boolean {
    return !this.day && FRAMES[entry.verb].standing === true;
  }

  /** The layout a row gets, `plain` for one blank between words; undefined where no line above has rows. */
  row(): TableLayout | 'plain' | undefined {
    if (this.owner === undefined || this.owner.verb === 'plan') {
      this.above = this.owner === undefined ? 'unread' : this.above;
      return undefined;
    }
    return this.layout ?? 'plain';
  }
}

/** Whether text that was printed is one line again, as it was. */
function isOneLine(text: string): boolean {
  const cursor = new LineCursor(text);
  return cursor.advance() && cursor.start === 0 && cursor.end === text.length && !cursor.note;
}

const isReadable = (read: ReadLine): boolean =>
  read.line.type !== 'broken' && read.problems.every((problem) => CODES[problem.code].severity !== 'error');

/** The tidy form of a line of a day or of a line below one; undefined where it is left as it stands. */
function printed(line: FileLine, around: Surroundings, spelling: Spelling): string | undefined {
  if (line.kind === 'conflict') return undefined;
  if (line.kind === 'note') {
    const indent = around.noteIndent();
    return indent === undefined ? undefined : ' '.repeat(indent) + line.text.trimStart();
  }
  const { read, text } = line;
  const said = read.line;
  if (line.kind === 'day') {
    // a weekday that does not belong to its date may mean that the date is wrong
    const sure = said.type === 'day' && read.problems.every((problem) => problem.code === 'odd-character');
    return sure ? printDay(said.day, cutLine(text)) : undefined;
  }
  if (said.type === 'blank') return printLines(cutLine(text), 0, 0, new Map())[0];
  if (!isReadable(read) || said.type === 'day' || said.type === 'broken') {
    around.unread(read);
    return undefined;
  }
  if (said.type === 'row') {
    const layout = around.row();
    if (layout === undefined) return undefined;
    const names = layout === 'plain' ? new Map<number, string>() : rowNames(said, spelling);
    return layout === 'plain' || text.includes('\n')
      ? printLines(cutLine(text), UNDER_TIME, goesOn(UNDER_TIME), names).join('\n')
      : printRow(said, cutLine(text), UNDER_TIME, layout, names);
  }
  const indent = around.enter(said);
  if (indent === undefined) return undefined;
  const instead = entryNames(said, spelling);
  const units = said.verb === 'readings' ? (layoutOf(said.head)?.units ?? []) : [];
  for (const unit of units) instead.set(unit.start, findUnit(unit.text)?.symbol ?? unit.text);
  return printLines(cutLine(text, around.mayBeList(said)), indent, goesOn(indent), instead).join('\n');
}

/** Whether a line says the same when its tidy form is read; where it would not, it is left as it stands. */
function isKept(line: FileLine, tidied: string): boolean {
  if (tidied === line.text || !('read' in line) || line.read.line.type === 'blank') return true;
  // a carriage return within a line is neither a blank to keep nor a line break
  if (/\r(?!\n|$)/.test(line.text)) return false;
  return isOneLine(tidied) && sameLine(line.read.line, readLine(tidied).line);
}

/**
 * The tidy form of a file's text, with line breaks, byte order mark and the end of the file as they were. Names are
 * written as in `spelling`; without it as they stand.
 */
export function tidy(text: string, spelling: Spelling = AS_WRITTEN): Tidied {
  const lines = text.split('\n').map((line) => (/^[ \t]+\r?$/.test(line) ? line.replace(/[ \t]+/, '') : line));
  let around = new Surroundings(false);
  let left = 0;
  for (const line of fileLines(text)) {
    if (line.kind === 'day') around = new Surroundings(true);
    const tidied = printed(line, around, spelling);
    if (tidied === undefined || !isKept(line, tidied)) {
      if (line.kind !== 'note') left++;
      continue;
    }
    for (const [i, physical] of tidied.split('\n').entries()) {
      const at = line.line - 1 + i;
      const before = lines[at] ?? '';
      const mark = at === 0 && before.charCodeAt(0) === 0xfeff ? '\ufeff' : '';
      lines[at] = mark + physical.replace(/\r$/, '') + (before.endsWith('\r') ? '\r' : '');
    }
  }
  return { text: lines.join('\n'), left };
}
