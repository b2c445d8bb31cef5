/** What was mended in the record: struck lines, work put down late, and past days that version control saw change. */

import { parseDate } from '../../grammar/dates.ts';
import type { Book, Happening } from '../cellar/book.ts';
import type { DayNumber, Place } from '../journal/events.ts';
import { lineAt } from '../journal/files.ts';
import type { StruckLine } from '../journal/struck.ts';
import { lastDayToPost } from '../law/posting.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { ClassedChange, Commit, CommitChanges } from './compare/commits.ts';
import { type EntryLine, fileEntries, type JournalEntry } from './compare/journal-entries.ts';
import { linesOfChange, whatText } from './compare/told-changes.ts';
import { dayOf } from './dates.ts';

/** What version control knows of a journal; without it, why it was not read. */
export type PastSeen =
  | {
      readonly read: true;
      /** Of every commit that touched the past, the oldest first; what is not committed yet comes last. */
      readonly changes: readonly CommitChanges[];
      /** What could not be seen, in words. */
      readonly unseen: readonly string[];
    }
  | { readonly read: false; readonly why: string };

/** A site is made of the journal alone unless it is told otherwise, so that the same journal gives the same bytes. */
export const PAST_NOT_ASKED: PastSeen = {
  read: false,
  why: 'Version control was not read for this page: it tells what the journal says itself. ullage build --history reads it, and ullage corrections does.',
};

export interface CorrectionLine {
  readonly text: string;
  /** The journal's file and line, where it stands in the journal as it is. */
  readonly place: Place | undefined;
}

export interface Correction {
  /** `struck`: a line that no longer counts. `late`: one put down after its day. `past`: a past day changed, seen by version control. */
  readonly kind: 'struck' | 'late' | 'past';
  readonly what: string;
  /** The day of the work; undefined for standing facts. */
  readonly day: DayNumber | undefined;
  /** The day it was mended or put down, where anybody tells it. */
  readonly made: DayNumber | undefined;
  readonly stood: readonly CorrectionLine[];
  readonly stands: readonly CorrectionLine[];
  readonly by: readonly string[];
  readonly why: string;
  /** For `past`: the commit; undefined where it is not committed yet. */
  readonly commit?: Commit | undefined;
  /** For `late`: the last day the chosen law allows, where that was passed. */
  readonly due?: DayNumber;
}

/** Every correction, the oldest first: by the day it was made, where none is told by the day of its work. */
export function correctionsOf(book: Book, past: PastSeen): Correction[] {
  const { struck, stands } = struckOut(book);
  const all = [...struck, ...late(book, stands), ...(past.read ? past.changes.flatMap(inCommit) : [])];
  const when = ({ made, day, commit, kind }: Correction): number =>
    made ?? (kind === 'past' && commit === undefined ? Number.POSITIVE_INFINITY : (day ?? Number.NEGATIVE_INFINITY));
  return all
    .map((one, i) => ({ one, i, at: when(one) }))
    .sort((a, b) => (a.at === b.at ? a.i - b.i : a.at < b.at ? -1 : 1))
    .map(({ one }) => one);
}

const keyOf = ({ file, line }: Place): string => `${file}:${line}`;

const lineOf = (book: Book, place: Place): CorrectionLine => ({
  text: lineAt(book.files[place.file]?.text ?? '', place.line).trim(),
  place,
});

/** Where a line stands: in which of the entries, and in which line below it where it is not the first. */
interface Found {
  readonly entry: number;
  readonly below: number | undefined;
}

/** The entries of the files that have struck lines, whole. */
class WholeEntries {
  private readonly book: Book;
  private readonly struck: ReadonlySet<string>;
  private readonly files = new Map<number, { entries: readonly JournalEntry[]; byLine: ReadonlyMap<number, Found> }>();

  constructor(book: Book) {
    this.book = book;
    this.struck = new Set(book.struck.map(({ place }) => keyOf(place)));
  }

  /** A line with all that belongs to it: where it goes on, the rows and lines below it, and its note. */
  linesOf(place: Place): CorrectionLine[] {
    const lines = this.found(place).flatMap(({ line, text }) =>
      text.split('\n').map((one, i) => ({ text: one, place: { file: place.file, line: line + i } })),
    );
    return lines.length === 0 ? [lineOf(this.book, place)] : lines;
  }

  private fileOf(file: number) {
    let known = this.files.get(file);
    if (known === undefined) {
      const source = this.book.files[file];
      const entries = source === undefined ? [] : fileEntries(source).entries;
      const byLine = new Map<number, Found>();
      for (const [entry, { head, below }] of entries.entries()) {
        byLine.set(head.line, { entry, below: undefined });
        for (const [i, { line }] of below.entries()) byLine.set(line, { entry, below: i });
      }
      known = { entries, byLine };
      this.files.set(file, known);
    }
    return known;
  }

  private found({ file, line }: Place): EntryLine[] {
    const { entries, byLine } = this.fileOf(file);
    const at = byLine.get(line);
    const entry = at === undefined ? undefined : entries[at.entry];
    if (at === undefined || entry === undefined) return [];
    const { head, below, kind } = entry;
    const own = at.below === undefined ? undefined : below[at.below];
    // a row stands for its table; a line of its own below an entry goes as far as the next
    if (at.below !== undefined && own?.kind === 'line') {
      const lines = [own];
      for (let i = at.below + 1; i < below.length; i++) {
        const next = below[i];
        if (next === undefined || next.kind === 'line') break;
        lines.push(next);
      }
      return lines;
    }
    const lines = [head, ...below];
    if (kind !== 'unread') return lines;
    // of what could not be read, what stands below it is lines for themselves
    for (let i = at.entry + 1; i < entries.length; i++) {
      const next = entries[i];
      if (next?.kind !== 'unread' || !next.struck || this.struck.has(keyOf({ file, line: next.head.line }))) break;
      lines.push(next.head, ...next.below);
    }
    return lines;
  }
}

/** The first happening of each line, by file and line. */
function byLine(book: Book): Map<number, Happening[]> {
  const files = new Map<number, Happening[]>();
  const seen = new Set<string>();
  for (const happening of book.happenings) {
    const { place } = happening.event;
    if (happening.event.kind === 'day' || seen.has(keyOf(place))) continue;
    seen.add(keyOf(place));
    const list = files.get(place.file);
    if (list === undefined) files.set(place.file, [happening]);
    else list.push(happening);
  }
  for (const list of files.values()) list.sort((a, b) => a.event.place.line - b.event.place.line);
  return files;
}

/** The struck lines, and by its line what stands in the place of one. */
function struckOut(book: Book): { struck: Correction[]; stands: ReadonlySet<string> } {
  const lines = book.struck.length === 0 ? new Map<number, Happening[]>() : byLine(book);
  const stands = new Set<string>();
  const whole = new WholeEntries(book);
  const struck = book.struck.map((line): Correction => {
    const right = rightLine(lines.get(line.place.file) ?? [], line, stands);
    if (right !== undefined) stands.add(keyOf(right.event.place));
    const made = line.written ?? right?.event.written;
    return {
      kind: 'struck',
      what: right === undefined ? 'struck out' : 'struck out, and written anew',
      day: line.minute === undefined ? undefined : dayOf(line.minute),
      made,
      stood: whole.linesOf(line.place),
      stands: right === undefined ? [] : whole.linesOf(right.event.place),
      by: [...new Set([...line.hands, ...(right?.event.hands ?? [])])],
      why: [line.remark, right?.event.remark].filter((text) => text !== undefined).join('; '),
    };
  });
  return { struck, stands };
}

/**
 * What stands in the place of a struck line: the next line of its day in its file, where that says `written`, or is of the
 * same verb at the same time. A line stands in the place of one only.
 */
function rightLine(
  lines: readonly Happening[],
  { place, minute, verb }: StruckLine,
  taken: ReadonlySet<string>,
): Happening | undefined {
  if (minute === undefined) return undefined;
  const next = lines.find(({ event }) => event.place.line > place.line && !taken.has(keyOf(event.place)));
  if (next === undefined || dayOf(next.event.minute) !== dayOf(minute)) return undefined;
  const { event } = next;
  return event.written !== undefined || (event.verb === verb && event.minute === minute) ? next : undefined;
}

/** What was put down after its day, but for what stands in the place of a struck line. */
function late(book: Book, stands: ReadonlySet<string>): Correction[] {
  const { posting } = RULE_SETS[book.settings.law];
  const told = new Set<string>();
  return book.happenings.flatMap(({ event }): Correction[] => {
    if (event.written === undefined) return [];
    // a head of a table is written once for all its rows
    const key = event.verb === 'readings' ? `${event.place.file} ${event.minute}` : keyOf(event.place);
    if (stands.has(keyOf(event.place)) || told.has(key)) return [];
    told.add(key);
    const due = posting === undefined ? undefined : lastDayToPost(posting, event);
    return [
      {
        kind: 'late',
        what: 'put down late',
        day: dayOf(event.minute),
        made: event.written,
        stood: [],
        stands: [lineOf(book, event.place)],
        by: event.hands,
        why: event.remark ?? '',
        ...(due !== undefined && event.written > due ? { due } : {}),
      },
    ];
  });
}

const inCommit = ({ commit, changes }: CommitChanges): Correction[] => changes.map((one) => changeIn(commit, one));

function changeIn(commit: Commit | undefined, { change }: ClassedChange): Correction {
  const lines = linesOfChange(change);
  const of = (sign: '−' | '+'): CorrectionLine[] =>
    lines.filter((line) => line.sign === sign).map(({ text }) => ({ text: text.trim(), place: undefined }));
  const made = commit === undefined ? Number.NaN : parseDate(commit.date.slice(0, 10));
  return {
    kind: 'past',
    what: whatText(change),
    day: (change.after ?? change.before)?.day,
    made: Number.isNaN(made) ? undefined : made,
    stood: of('−'),
    stands: of('+'),
    by: commit === undefined ? [] : [commit.author],
    why: commit?.subject ?? '',
    commit,
  };
}
