/** The entries of a journal as a comparison sees them: each with the lines below it, its day, its own times and the names in it. */

import type { Entry, Line, Phrase, Word } from '../../../grammar/entries.ts';
import { CONFLICT, LineCursor } from '../../../grammar/lines.ts';
import { sayingOf } from '../../../grammar/same-reading.ts';
import { fold, type LinkWord, type VerbWord } from '../../../grammar/words.ts';
import type { DayNumber } from '../../journal/events.ts';
import {
  cutIntoDays,
  type DayBlock,
  noteText,
  type PlacedEntry,
  readBlock,
  type SourceFile,
} from '../../journal/files.ts';
import { rangeNames } from '../../journal/names.ts';

/** A line of an entry: its head, a row, a line of its own below it, or a line of its note. */
export interface EntryLine {
  readonly kind: 'head' | 'row' | 'line' | 'note';
  /** From 1, and the last one where it goes on. */
  readonly line: number;
  readonly last: number;
  /** As written, blanks around it left out. */
  readonly text: string;
  /** What it was read as; a note, and what could not be read, are their text. */
  readonly read: Line | undefined;
  /** The names in it, folded, ranges as their members. */
  readonly names: readonly string[];
}

export interface JournalEntry {
  /** `unread`: a line that could not be read. `note` and `remark`: those of a day. */
  readonly kind: 'entry' | 'unread' | 'note' | 'remark';
  /** Undefined for standing facts above the first day: they hold from the beginning. */
  readonly day: DayNumber | undefined;
  readonly path: string;
  readonly verb: VerbWord | undefined;
  readonly struck: boolean;
  /** Its own times, in minutes of its day; none where it has the time of the line above. */
  readonly times: readonly number[];
  /** The minute of its day it counts at; 0 where no line above has a time. */
  readonly minute: number;
  readonly head: EntryLine;
  readonly below: readonly EntryLine[];
}

/** The entries of one file. Files that hold the same may share the list: a comparison passes over what is shared. */
export interface FileEntries {
  readonly path: string;
  readonly entries: readonly JournalEntry[];
}

export interface Journal {
  readonly files: readonly FileEntries[];
}

export const journalOf = (files: readonly SourceFile[]): Journal => ({ files: files.map(fileEntries) });

/** The newest day that has an entry, or a note of its own; undefined where none has. */
export function newestDay({ files }: Journal): DayNumber | undefined {
  let newest: DayNumber | undefined;
  for (const { entries } of files) {
    for (const { day } of entries) if (day !== undefined && (newest === undefined || day > newest)) newest = day;
  }
  return newest;
}

/** The links that what is named stands behind; hands, purposes, methods and limits are no names to know an entry by. */
const NAMING: ReadonlySet<string> = new Set<LinkWord>(['to', 'with', 'from', 'as', 'of', 'in', 'except']);

function namesOfWord({ text, to }: Word): string[] {
  if (to === undefined) return [fold(text)];
  const members = rangeNames(text, to);
  return 'names' in members ? members.names.map(fold) : [fold(text), fold(to)];
}

function namesOfEntry(entry: Entry): string[] {
  const naming = ({ word }: Phrase): boolean => NAMING.has(word);
  const items = [...entry.head, ...entry.phrases.filter(naming).flatMap((phrase) => phrase.items)];
  return items.flatMap(({ parts }) =>
    parts.flatMap((part) => (part.type === 'word' || part.type === 'string' ? namesOfWord(part) : [])),
  );
}

/** What a line says, as a text to compare: blanks, spellings of units and capitals of names left out. */
const SAYINGS = new WeakMap<EntryLine, string>();

export function sayingOfLine(line: EntryLine): string {
  let saying = SAYINGS.get(line);
  if (saying === undefined) {
    saying = line.read === undefined ? `text ${line.text}` : sayingOf(line.read);
    SAYINGS.set(line, saying);
  }
  return saying;
}

/** What a whole entry says. Two entries of one day that say the same are the same entry, wherever they stand. */
export function sayingOfEntry(entry: JournalEntry): string {
  return [entry.kind, sayingOfLine(entry.head), ...entry.below.map(sayingOfLine)].join('\n');
}

/** The text of some lines of a file without the blanks around each, and without carriage returns. */
const trimmed = (text: string): string =>
  text
    .split('\n')
    .map((line) => line.trim())
    .join('\n');

interface Draft extends Omit<JournalEntry, 'below'> {
  readonly below: EntryLine[];
}

/** The entries of a file, in the order they stand. */
export function fileEntries(file: SourceFile): FileEntries {
  const files = [file];
  const silent = (): void => {};
  const { blocks, dayLines } = cutIntoDays(files, 0, silent);
  const entries: JournalEntry[] = blocks.flatMap((block) => blockEntries(file, block));
  for (const { day, line } of dayLines) {
    if (day.remark === undefined || Number.isNaN(day.day)) continue;
    const head: EntryLine = { kind: 'head', line, last: line, text: `-- ${day.remark}`, read: undefined, names: [] };
    entries.push(ofDay('remark', file.path, day.day, head));
  }
  return { path: file.path, entries };
}

const ofDay = (kind: 'note' | 'remark', path: string, day: DayNumber | undefined, head: EntryLine): Draft => ({
  kind,
  day,
  path,
  verb: undefined,
  struck: false,
  times: [],
  minute: 0,
  head,
  below: [],
});

function blockEntries(file: SourceFile, block: DayBlock): JournalEntry[] {
  const read = readBlock([file], { ...block, file: 0 }, () => {});
  const placed = new Map<number, PlacedEntry>();
  /** Lines of their own below an entry, and rows, by the entry they belong to. */
  const belowOf = new Map<number, { readonly owner: number; readonly read: Line; readonly row: boolean }>();
  for (const one of read.entries) {
    placed.set(one.line, one);
    for (const child of one.children) {
      belowOf.set(child.line, { owner: one.line, read: child.entry, row: false });
      for (const row of child.rows) belowOf.set(row.line, { owner: one.line, read: row.row, row: true });
    }
    for (const { row, line } of one.rows) belowOf.set(line, { owner: one.line, read: row, row: true });
  }
  const broken = new Map(read.broken.map((one) => [one.line, one]));
  const drafts: Draft[] = [];
  const byLine = new Map<number, Draft>();
  /** What a note would belong to. */
  let above: Draft | undefined;
  let minute = 0;
  const cursor = new LineCursor(file.text, block.from, block.to, block.line);
  while (cursor.advance()) {
    const raw = file.text.slice(cursor.start, cursor.end);
    if (CONFLICT.test(raw)) continue;
    const place = { line: cursor.line, last: cursor.line + raw.split('\n').length - 1 };
    const text = trimmed(raw);
    if (cursor.note) {
      const note: EntryLine = { kind: 'note', ...place, text: `| ${noteText(text)}`, read: undefined, names: [] };
      if (above !== undefined) above.below.push(note);
      else {
        above = ofDay('note', file.path, block.day, { ...note, kind: 'head' });
        drafts.push(above);
      }
      continue;
    }
    const entry = placed.get(cursor.line);
    const part = belowOf.get(cursor.line);
    const unread = broken.get(cursor.line);
    if (part !== undefined) {
      const owner = byLine.get(part.owner);
      owner?.below.push({
        kind: part.row ? 'row' : 'line',
        ...place,
        text,
        read: part.read,
        names:
          part.read.type === 'row'
            ? namesOfWord(part.read.name)
            : part.read.type === 'entry'
              ? namesOfEntry(part.read)
              : [],
      });
      continue;
    }
    if (entry !== undefined) {
      const times = entry.entry.when?.minutes ?? [];
      minute = times[times.length - 1] ?? minute;
      above = {
        kind: 'entry',
        day: block.day,
        path: file.path,
        verb: entry.entry.verb,
        struck: entry.entry.struck,
        times,
        minute: times[0] ?? minute,
        head: { kind: 'head', ...place, text, read: entry.entry, names: namesOfEntry(entry.entry) },
        below: [],
      };
    } else if (unread !== undefined) {
      minute = unread.minute ?? minute;
      above = {
        kind: 'unread',
        day: block.day,
        path: file.path,
        verb: unread.verb,
        struck: unread.struck !== undefined,
        times: unread.minute === undefined ? [] : [unread.minute],
        minute,
        head: { kind: 'head', ...place, text, read: undefined, names: unread.words.flatMap(namesOfWord) },
        below: [],
      };
    } else continue;
    drafts.push(above);
    byLine.set(cursor.line, above);
  }
  return drafts;
}
