/** Journal files as one sequence in the order of time: events, and the lines that could not be read, a day at a time. */

import { formatDate } from '../../grammar/dates.ts';
import type { Entry, Item, Word } from '../../grammar/entries.ts';
import { FRAMES } from '../../grammar/frames.ts';
import { MOVING_VERBS } from '../../grammar/words.ts';
import type { DayNumber, Event, Minute } from './events.ts';
import {
  cutIntoDays,
  type DayBlock,
  entryWords,
  LineReader,
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
import { READERS } from './verbs/index.ts';
import type { Below } from './verbs/reader.ts';

/** One step of the journal: what happened, or a line that may have. */
export type Step =
  | { readonly type: 'event'; readonly event: Event }
  | {
      readonly type: 'unread';
      /** Names the line may have touched. */
      readonly words: readonly Word[];
      readonly finding: Finding;
      /** False where its verb leaves volumes alone. */
      readonly doubt: boolean;
    };

/** A finding that names something unknown waits for the end: the name may be declared later. */
export interface Waiting {
  readonly finding: Finding;
  readonly name: string;
}

export interface Sequence {
  readonly steps: Generator<Step>;
  readonly firstDay: DayNumber | undefined;
  readonly lastDay: DayNumber | undefined;
  readonly entries: () => number;
}

interface Scheduled {
  readonly minute: Minute;
  readonly file: number;
  readonly line: number;
  readonly run: () => Iterable<Step>;
}

const byTime = (a: Scheduled, b: Scheduled): number => a.minute - b.minute || a.file - b.file || a.line - b.line;

/** A row as the entry a line wants: the name in it is looked up as any other. */
function rowEntry(row: PlacedRow): Entry {
  const { name } = row.row;
  const item: Item = { parts: [name], start: name.start, end: name.end };
  return { type: 'entry', struck: false, verb: 'reading', verbSpan: name, head: [item], phrases: [] };
}

export function readSequence(
  files: readonly SourceFile[],
  register: Register,
  report: (finding: Finding) => void,
  options: {
    readonly reader?: LineReader;
    readonly until?: DayNumber;
    readonly wait?: (waiting: Waiting) => void;
  } = {},
): Sequence {
  const lines = options.reader ?? new LineReader();
  const byDay = new Map<DayNumber, DayBlock[]>();
  const undated: DayBlock[] = [];
  const dayRemarks = new Map<DayNumber, { file: number; line: number; remark: string }[]>();
  for (let file = 0; file < files.length; file++) {
    const { blocks, dayLines } = cutIntoDays(files, file, lines, report);
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
  const wanted = options.until === undefined ? days : days.filter((day) => day <= (options.until ?? day));
  let entries = 0;

  /** Reports what a line came to; true where it failed. */
  function settle(line: Line, start: number): boolean {
    const text = files[line.place.file]?.text ?? '';
    const placed = (problem: LineProblem): Finding => {
      const finding = placeProblem(text, line.place.file, line.place.line, start, problem);
      if (problem.related === undefined) return finding;
      const { place, message } = problem.related;
      return {
        ...finding,
        related: [{ where: { file: place.file, line: place.line, column: 1, endColumn: 2 }, message }],
      };
    };
    const answered = line.has('sic');
    for (const remark of line.remarks) if (!answered || severityOf(remark.code) === 'error') report(placed(remark));
    if (line.failure === undefined) return false;
    const finding = placed(line.failure);
    lastFinding = finding;
    if (line.failure.name !== undefined && options.wait !== undefined)
      options.wait({ finding, name: line.failure.name });
    else report(finding);
    return true;
  }
  let lastFinding: Finding | undefined;

  function* runEntry(placed: PlacedEntry, minute: Minute, first: boolean): Iterable<Step> {
    const { entry, file } = placed;
    const text = files[file]?.text ?? '';
    const lineText = (start: number): string => {
      const end = text.indexOf('\n', start);
      return text.slice(start, end === -1 ? text.length : end).replace(/\r$/, '');
    };
    const line = new Line(entry, register, { file, line: placed.line }, minute, lineText(placed.start));
    const starts = new Map<Line, number>();
    /** A line below that failed, without which this one tells too little. */
    let spoiled = placed.spoiled;
    const below: Below = {
      note: first ? placed.note : undefined,
      rows: placed.rows,
      children: placed.children,
      child: (child) => {
        const own = new Line(child.entry, register, { file, line: child.line }, minute, lineText(child.start));
        starts.set(own, child.start);
        return own;
      },
      rowLine: (row) => {
        const own = new Line(rowEntry(row), register, { file, line: row.line }, minute, '');
        starts.set(own, row.start);
        return own;
      },
      rowText: (row) => lineText(row.start).trim().replace(/\s+/g, ' '),
      settle: (own) => {
        if (settle(own, starts.get(own) ?? placed.start) && lastFinding !== undefined && own.entry.verb === 'cut')
          spoiled ??= { finding: lastFinding, words: entryWords(own.entry) };
      },
    };
    const events = READERS[entry.verb](line, below);
    const failed = settle(line, placed.start);
    if (failed || spoiled !== undefined) {
      const cause = failed ? lastFinding : spoiled?.finding;
      if (cause !== undefined) {
        const children = placed.children.flatMap((child) => entryWords(child.entry));
        yield {
          type: 'unread',
          words: [...entryWords(entry), ...children, ...(spoiled?.words ?? [])],
          finding: cause,
          doubt: MOVING_VERBS.has(entry.verb),
        };
      }
      // a failed row of a table costs only that row; a failed table costs all of it
      if (entry.verb !== 'readings') return;
    }
    for (const event of events) yield { type: 'event', event };
  }

  function schedule(block: DayBlock, day: DayNumber, into: Scheduled[], seen: Map<string, PlacedEntry>): void {
    const read = readBlock(files, block, lines, report);
    const text = files[block.file]?.text ?? '';
    const midnight = day * 1440;
    let minute = midnight;
    const times = new Map<number, Minute>();
    for (const placed of read.entries) {
      entries += 1 + placed.rows.length;
      const { entry } = placed;
      const when = entry.when;
      const minutes = when === undefined ? [minute] : when.minutes.map((m) => midnight + m);
      minute = minutes[minutes.length - 1] ?? minute;
      times.set(placed.line, minute);
      if (entry.struck) continue;
      if (when !== undefined) {
        const key = text.slice(placed.start, entryEnd(text, placed));
        const twin = seen.get(key);
        if (twin === undefined) seen.set(key, placed);
        else {
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
      for (const [i, m] of minutes.entries()) {
        into.push({ minute: m, file: block.file, line: placed.line, run: () => runEntry(placed, m, i === 0) });
      }
    }
    for (const broken of read.broken) {
      // it stands at the time of the line above it
      let at = midnight;
      for (const [line, m] of times) if (line < broken.line) at = m;
      into.push({
        minute: at,
        file: block.file,
        line: broken.line,
        run: () => [
          {
            type: 'unread',
            words: broken.words,
            finding: broken.finding,
            doubt: broken.verb === undefined || MOVING_VERBS.has(broken.verb),
          },
        ],
      });
    }
    if (read.dayNote !== undefined) {
      const note = read.dayNote;
      into.push({
        minute: midnight,
        file: block.file,
        line: block.line - 1,
        run: () => [
          {
            type: 'event',
            event: {
              kind: 'day',
              verb: 'note',
              minute: midnight,
              place: { file: block.file, line: Math.max(1, block.line - 1) },
              hands: [],
              sic: false,
              note,
            },
          },
        ],
      });
    }
  }

  function* steps(): Generator<Step> {
    for (const block of undated) {
      const read = readBlock(files, block, lines, report);
      for (const placed of read.entries) {
        entries += 1;
        if (placed.entry.struck) continue;
        const frame = FRAMES[placed.entry.verb];
        const doubt = MOVING_VERBS.has(placed.entry.verb);
        if (frame.standing !== true && block.lost !== undefined) {
          yield { type: 'unread', words: entryWords(placed.entry), finding: block.lost, doubt };
          continue;
        }
        if (frame.standing !== true) {
          const text = files[block.file]?.text ?? '';
          const problem = {
            code: 'entry-without-day' as const,
            start: placed.entry.verbSpan.start,
            end: placed.entry.verbSpan.end,
            message: `\`${placed.entry.verb}\` stands above the first day`,
            help: 'write the day above it: `2026-09-14 Mon`',
          };
          const finding = placeProblem(text, block.file, placed.line, placed.start, problem);
          report(finding);
          yield {
            type: 'unread',
            words: entryWords(placed.entry),
            finding,
            doubt,
          };
          continue;
        }
        // a standing fact holds from the beginning
        yield* runEntry(placed, (days[0] ?? 0) * 1440, true);
      }
      for (const broken of read.broken) {
        yield {
          type: 'unread',
          words: broken.words,
          finding: broken.finding,
          doubt: broken.verb === undefined || MOVING_VERBS.has(broken.verb),
        };
      }
    }
    let late: Scheduled[] = [];
    for (const day of wanted) {
      const now: Scheduled[] = [];
      const seen = new Map<string, PlacedEntry>();
      for (const block of byDay.get(day) ?? []) schedule(block, day, now, seen);
      for (const said of dayRemarks.get(day) ?? []) {
        now.push({
          minute: day * 1440,
          file: said.file,
          line: said.line,
          run: () => [
            {
              type: 'event',
              event: {
                kind: 'day',
                verb: 'note',
                minute: day * 1440,
                place: { file: said.file, line: said.line },
                hands: [],
                sic: false,
                remark: said.remark,
              },
            },
          ],
        });
      }
      // what was written `+00:40` under an earlier day comes in its own time
      const due = late.length === 0 ? now : [...late, ...now];
      late = [];
      due.sort(byTime);
      const end = (day + 1) * 1440;
      for (const one of due) {
        if (one.minute >= end) late.push(one);
        else yield* one.run();
      }
    }
    for (const one of late) yield* one.run();
  }

  return { steps: steps(), firstDay: days[0], lastDay: wanted[wanted.length - 1], entries: () => entries };
}

/** Where the text of an entry ends, its rows included. */
function entryEnd(text: string, placed: PlacedEntry): number {
  const last = placed.rows[placed.rows.length - 1]?.start ?? placed.start;
  const end = text.indexOf('\n', last);
  return end === -1 ? text.length : end;
}
