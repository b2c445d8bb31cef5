/** Journal files as one sequence in the order of time: events, and the lines that could not be read, a day at a time. */

import { formatDate } from '../../grammar/dates.ts';
import type { Entry, Item, Word } from '../../grammar/entries.ts';
import { FRAMES } from '../../grammar/frames.ts';
import { MOVING_VERBS, type VerbWord } from '../../grammar/words.ts';
import type { DayNumber, Event, Minute } from './events.ts';
import {
  cutIntoDays,
  type DayBlock,
  entryWords,
  type PlacedBroken,
  type PlacedEntry,
  type PlacedRow,
  placeProblem,
  readBlock,
  type SourceFile,
  whereOf,
} from './files.ts';
import { type Finding, severityOf } from './findings.ts';
import { Line, type LineProblem } from './line.ts';
import type { Register } from './names.ts';
import { type StruckLine, struckLine, struckUnread } from './struck.ts';
import { READERS } from './verbs/index.ts';
import type { Below } from './verbs/reader.ts';

/** A line that was not counted and may have told of something. */
export interface Unread {
  /** Names the line may have touched. */
  readonly words: readonly Word[];
  readonly finding: Finding;
  /** False where its verb leaves volumes alone. */
  readonly doubt: boolean;
  /** Its verb and its time, where that much is known. */
  readonly verb?: VerbWord;
  readonly minute?: Minute;
}

/** Who is told of the journal, in the order of time, one thing after the other. */
export interface Listener {
  event(event: Event): void;
  unread(unread: Unread): void;
  report(finding: Finding): void;
  /** A line that is struck: nothing comes of it. */
  struck?(line: StruckLine): void;
  /** A finding about the line of a day, told before all else; without it such a finding is reported as any other. */
  reportDay?(finding: Finding): void;
  /** A name is unknown so far; whoever listens decides what becomes of the finding. */
  wait(waiting: Waiting): void;
}

/** A finding that names something unknown waits for the end: the name may be declared later. */
export interface Waiting {
  readonly finding: Finding;
  readonly name: string;
}

/** Where reading stands between two days: whoever goes on from it leaves it as it was. */
export interface Pause {
  /** The day that comes next. */
  readonly day: DayNumber;
  /** Entry lines read so far. */
  readonly entries: number;
  /** What was written past midnight and has its time on a day to come. */
  readonly late: readonly Scheduled[];
}

export interface SequenceOptions {
  /** Nothing after this day is told. */
  readonly until?: DayNumber;
  /** What stands above the first day and all before this day has been told already. */
  readonly from?: Pause;
  /** Asked before each day; where it gives true nothing further is told, and the end is not reached. */
  readonly before?: (pause: Pause) => boolean;
  /** Cuts a file into its days; who reads the same files again and again may keep what came of it. */
  readonly cut?: typeof cutIntoDays;
  /** Reads the lines of a block, as `cut` cuts. */
  readonly read?: typeof readBlock;
}

export interface Sequence {
  readonly firstDay: DayNumber | undefined;
  readonly lastDay: DayNumber | undefined;
  /** Entry lines read, rows included. */
  readonly entries: number;
  /** It stopped before the end. */
  readonly paused: boolean;
}

/** Something that has its time: an entry, a line that could not be read, a note of the day. */
interface Scheduled {
  readonly minute: Minute;
  readonly file: number;
  readonly line: number;
  readonly entry?: PlacedEntry;
  /** The first of several times: the note belongs to it. */
  readonly first?: boolean;
  readonly unread?: Unread;
  readonly event?: Event;
}

const byTime = (a: Scheduled, b: Scheduled): number => a.minute - b.minute || a.file - b.file || a.line - b.line;

/** A row as the entry a line wants: the name in it is looked up as any other. */
function rowEntry(row: PlacedRow): Entry {
  const { name } = row.row;
  const item: Item = { parts: [name], start: name.start, end: name.end };
  return { type: 'entry', struck: false, verb: 'reading', verbSpan: name, head: [item], phrases: [] };
}

/** Reads journal files and tells a listener of them in the order of time. */
export function readSequence(
  files: readonly SourceFile[],
  register: Register,
  listener: Listener,
  options: SequenceOptions = {},
): Sequence {
  const { until, from, before, cut = cutIntoDays, read: readLines = readBlock } = options;
  const report = (finding: Finding): void => listener.report(finding);
  const reportDay = (finding: Finding): void =>
    listener.reportDay === undefined ? listener.report(finding) : listener.reportDay(finding);
  const byDay = new Map<DayNumber, DayBlock[]>();
  const undated: DayBlock[] = [];
  const dayRemarks = new Map<DayNumber, { file: number; line: number; remark: string }[]>();
  for (let file = 0; file < files.length; file++) {
    const { blocks, dayLines } = cut(files, file, reportDay);
    for (const block of blocks) {
      if (block.day === undefined) undated.push(block);
      else {
        const known = byDay.get(block.day);
        if (known === undefined) byDay.set(block.day, [block]);
        else known.push(block);
      }
    }
    for (const { day, line } of dayLines) {
      if (!byDay.has(day.day) && !Number.isNaN(day.day)) byDay.set(day.day, []);
      if (day.remark === undefined) continue;
      const said = { file, line, remark: day.remark };
      const known = dayRemarks.get(day.day);
      if (known === undefined) dayRemarks.set(day.day, [said]);
      else known.push(said);
    }
  }
  const days = [...byDay.keys()].sort((a, b) => a - b);
  const wanted = until === undefined ? days : days.filter((day) => day <= until);
  const remaining = from === undefined ? wanted : wanted.filter((day) => day >= from.day);
  let entries = from?.entries ?? 0;

  /** Reports what a line came to; gives the finding that cost it. */
  function settle(line: Line): Finding | undefined {
    const placed = (problem: LineProblem): Finding => {
      const finding = placeProblem(line.source, line.place.file, line.place.line, line.start, problem);
      if (problem.related === undefined) return finding;
      const { place, message } = problem.related;
      return {
        ...finding,
        related: [{ where: { file: place.file, line: place.line, column: 1, endColumn: 2 }, message }],
      };
    };
    // a line that failed is told of once
    for (const remark of line.failure === undefined ? line.remarks : []) {
      if (!line.has('sic') || severityOf(remark.code) === 'error') report(placed(remark));
    }
    if (line.failure === undefined) return undefined;
    const finding = placed(line.failure);
    if (line.failure.name !== undefined) listener.wait({ finding, name: line.failure.name });
    else report(finding);
    return finding;
  }

  /** What stands below an entry, as its reader is given it. */
  class BelowEntry implements Below {
    readonly note: string | undefined;
    readonly rows: readonly PlacedRow[];
    readonly children: readonly PlacedEntry[];
    readonly lacking: boolean;
    /** A line below that failed, without which the entry tells too little. */
    spoiled: { readonly finding: Finding; readonly words: readonly Word[] } | undefined;
    private readonly above: Line;

    constructor(placed: PlacedEntry, above: Line, first: boolean) {
      this.note = first ? placed.note : undefined;
      this.rows = placed.rows;
      this.children = placed.children.some(({ entry }) => entry.struck)
        ? placed.children.filter(({ entry }) => !entry.struck)
        : placed.children;
      this.lacking = placed.lacking === true;
      this.spoiled = placed.spoiled;
      this.above = above;
    }

    private open(entry: Entry, line: number, start: number): Line {
      const { place, minute, source } = this.above;
      return new Line(entry, register, { file: place.file, line }, minute, source, start);
    }
    child({ entry, line, start }: PlacedEntry): Line {
      return this.open(entry, line, start);
    }
    rowLine(row: PlacedRow): Line {
      return this.open(rowEntry(row), row.line, row.start);
    }
    rowText(row: PlacedRow): string {
      return this.rowLine(row).text().trim().replace(/\s+/g, ' ');
    }
    settle(line: Line): void {
      const finding = settle(line);
      if (finding === undefined) return;
      const words = entryWords(line.entry);
      if (line.entry.verb === 'cut') this.spoiled ??= { finding, words };
      // what a row of a table would have told is missing; a name it got wrong is its own affair
      const known = words.filter((word) => register.place(word.text) !== undefined);
      if (this.above.entry.verb === 'readings' && known.length > 0)
        listener.unread({ words: known, finding, doubt: false, verb: 'reading', minute: line.minute });
    }
  }

  function runEntry(placed: PlacedEntry, minute: Minute, first: boolean): void {
    const { entry, file } = placed;
    const line = new Line(entry, register, { file, line: placed.line }, minute, files[file]?.text ?? '', placed.start);
    const below = new BelowEntry(placed, line, first);
    const events = READERS[entry.verb](line, below);
    const failed = settle(line);
    const cause = failed ?? below.spoiled?.finding;
    if (cause !== undefined) {
      const children = placed.children.flatMap((child) => entryWords(child.entry));
      listener.unread({
        words: [...entryWords(entry), ...children, ...(failed === undefined ? (below.spoiled?.words ?? []) : [])],
        finding: cause,
        doubt: MOVING_VERBS.has(entry.verb),
        verb: entry.verb,
        minute,
      });
      // a failed row of a table costs only that row; a failed table costs all of it
      if (entry.verb !== 'readings') return;
    }
    for (const event of events) listener.event(event);
  }

  function schedule(block: DayBlock, day: DayNumber, into: Scheduled[], seen: Map<string, PlacedEntry>): void {
    const read = readLines(files, block, report);
    const text = files[block.file]?.text ?? '';
    const midnight = day * 1440;
    let minute = midnight;
    let unreadSoFar = 0;
    /** Lines that could not be read, up to a line: each at its own time, else at that of the line above it. */
    const unreadBefore = (line: number): void => {
      for (let next = read.broken[unreadSoFar]; next !== undefined && next.line < line; ) {
        if (next.minute !== undefined) minute = midnight + next.minute;
        if (next.struck === 'line') listener.struck?.(struckUnread(next, block.file, minute));
        if (next.struck === undefined) into.push({ minute, file: block.file, line: next.line, unread: unreadOf(next) });
        next = read.broken[++unreadSoFar];
      }
    };
    for (const placed of read.entries) {
      entries += 1 + placed.rows.length;
      const { entry } = placed;
      const when = entry.when;
      unreadBefore(placed.line);
      if (when !== undefined) minute = midnight + (when.minutes[when.minutes.length - 1] ?? 0);
      if (entry.struck) {
        listener.struck?.(struckLine(placed, minute));
        continue;
      }
      for (const child of placed.children) if (child.entry.struck) listener.struck?.(struckLine(child, minute));
      if (when !== undefined) {
        const key = text.slice(placed.start, firstLineEnd(text, placed.start));
        const twin = seen.get(key);
        if (twin === undefined) seen.set(key, placed);
        else if (wholeText(files, twin) === wholeText(files, placed)) {
          const at = whereOf(text, block.file, placed.line, placed.start, entry.verbSpan.start, entry.verbSpan.end);
          if (!entry.phrases.some((phrase) => phrase.word === 'sic')) {
            report({
              code: 'line-repeated',
              severity: severityOf('line-repeated'),
              where: at,
              message: `the same line, at the same time of ${formatDate(day)}, stands twice; both are counted`,
              help: 'take one out, or answer with `sic` if it was done twice',
              related: [
                { where: { file: twin.file, line: twin.line, column: 1, endColumn: 2 }, message: 'it stands here too' },
              ],
            });
          }
        }
      }
      if (when === undefined || when.minutes.length === 1) {
        into.push({ minute, file: block.file, line: placed.line, entry: placed, first: true });
      } else {
        for (const [i, m] of when.minutes.entries()) {
          into.push({ minute: midnight + m, file: block.file, line: placed.line, entry: placed, first: i === 0 });
        }
      }
    }
    unreadBefore(Number.POSITIVE_INFINITY);
    if (read.dayNote !== undefined) {
      const note = read.dayNote;
      into.push({
        minute: midnight,
        file: block.file,
        line: block.line - 1,
        event: {
          kind: 'day',
          verb: 'note',
          minute: midnight,
          place: { file: block.file, line: Math.max(1, block.line - 1) },
          hands: [],
          sic: false,
          note,
        },
      });
    }
  }

  /** What stands above the first day of a file: standing facts hold from the beginning, anything else lacks its day. */
  function runUndated(block: DayBlock): void {
    const read = readLines(files, block, report);
    let unreadSoFar = 0;
    // in the order they stand: a material that could not be read is missed by the plan below it
    const unreadBefore = (line: number): void => {
      for (let next = read.broken[unreadSoFar]; next !== undefined && next.line < line; ) {
        if (next.struck === 'line') listener.struck?.(struckUnread(next, block.file, undefined));
        if (next.struck === undefined) listener.unread(unreadOf(next));
        next = read.broken[++unreadSoFar];
      }
    };
    for (const placed of read.entries) {
      entries += 1;
      unreadBefore(placed.line);
      if (placed.entry.struck) {
        listener.struck?.(struckLine(placed, undefined));
        continue;
      }
      for (const child of placed.children) if (child.entry.struck) listener.struck?.(struckLine(child, undefined));
      if (FRAMES[placed.entry.verb].standing === true) {
        runEntry(placed, (days[0] ?? 0) * 1440, true);
        continue;
      }
      let finding = block.lost;
      if (finding === undefined) {
        const text = files[block.file]?.text ?? '';
        finding = placeProblem(text, block.file, placed.line, placed.start, {
          code: 'entry-without-day',
          start: placed.entry.verbSpan.start,
          end: placed.entry.verbSpan.end,
          message: `\`${placed.entry.verb}\` stands above the first day`,
          help: 'write the day above it: `2026-09-14 Mon`',
        });
        report(finding);
      }
      const { verb } = placed.entry;
      listener.unread({ words: entryWords(placed.entry), finding, doubt: MOVING_VERBS.has(verb), verb });
    }
    unreadBefore(Number.POSITIVE_INFINITY);
  }

  function run(one: Scheduled): void {
    if (one.entry !== undefined) runEntry(one.entry, one.minute, one.first === true);
    else if (one.unread !== undefined) listener.unread({ ...one.unread, minute: one.minute });
    else if (one.event !== undefined) listener.event(one.event);
  }

  if (from === undefined) for (const block of undated) runUndated(block);
  let late: Scheduled[] = [...(from?.late ?? [])];
  const told = (paused: boolean): Sequence => ({
    firstDay: days[0],
    lastDay: wanted[wanted.length - 1],
    entries,
    paused,
  });
  for (const day of remaining) {
    if (before?.({ day, entries, late: [...late] }) === true) return told(true);
    const due = late;
    late = [];
    const seen = new Map<string, PlacedEntry>();
    for (const block of byDay.get(day) ?? []) schedule(block, day, due, seen);
    for (const { file, line, remark } of dayRemarks.get(day) ?? []) {
      const minute = day * 1440;
      due.push({
        minute,
        file,
        line,
        event: { kind: 'day', verb: 'note', minute, place: { file, line }, hands: [], sic: false, remark },
      });
    }
    due.sort(byTime);
    const end = (day + 1) * 1440;
    for (const one of due) {
      // what was written `+00:40` comes in its own time, after what the next day has before it
      if (one.minute >= end) late.push(one);
      else run(one);
    }
  }
  // what was written `+00:40` on the last day asked for is of the day after it
  for (const one of late) if (until === undefined || one.minute < (until + 1) * 1440) run(one);
  return told(false);
}

const unreadOf = (broken: PlacedBroken): Unread => ({
  words: broken.words,
  finding: broken.finding,
  doubt: broken.verb === undefined || MOVING_VERBS.has(broken.verb),
  ...(broken.verb === undefined ? {} : { verb: broken.verb }),
});

function firstLineEnd(text: string, start: number): number {
  const end = text.indexOf('\n', start);
  return end === -1 ? text.length : end;
}

/** The text of an entry, its rows included. */
function wholeText(files: readonly SourceFile[], placed: PlacedEntry): string {
  const text = files[placed.file]?.text ?? '';
  const last = placed.rows[placed.rows.length - 1]?.start ?? placed.start;
  return text.slice(placed.start, firstLineEnd(text, last));
}
