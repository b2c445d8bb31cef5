/** Which entries of two journals are the same, and what was added, taken out and changed; where a line stands is no part of it. */

import type { DayNumber } from '../../journal/events.ts';
import { type EntryLine, type Journal, type JournalEntry, sayingOfEntry, sayingOfLine } from './journal-entries.ts';

/** One line of an entry before and after; one side alone where it was added or taken out. */
export interface LineChange {
  readonly before: EntryLine | undefined;
  readonly after: EntryLine | undefined;
}

/**
 * How an entry differs: in its words; struck out, or no longer so; under another day with the same words; read now
 * and not before, or the other way round.
 */
export type Manner = 'words' | 'struck' | 'restored' | 'redated' | 'mended' | 'broken';

export type EntryChange =
  | {
      readonly kind: 'added';
      readonly before: undefined;
      readonly after: JournalEntry;
      readonly lines: readonly LineChange[];
    }
  | {
      readonly kind: 'removed';
      readonly before: JournalEntry;
      readonly after: undefined;
      readonly lines: readonly LineChange[];
    }
  | {
      readonly kind: 'changed';
      readonly manner: Manner;
      readonly before: JournalEntry;
      readonly after: JournalEntry;
      readonly lines: readonly LineChange[];
    };

/** Which of a list are still without their likeness. */
class Open {
  readonly entries: readonly JournalEntry[];
  private readonly taken = new Set<number>();

  constructor(entries: readonly JournalEntry[]) {
    this.entries = entries;
  }

  take(index: number): void {
    this.taken.add(index);
  }

  /** Those left, by a key; entries without one are passed over. */
  byKey(keyOf: (entry: JournalEntry) => string | undefined): Map<string, number[]> {
    const groups = new Map<string, number[]>();
    this.entries.forEach((entry, index) => {
      if (this.taken.has(index)) return;
      const key = keyOf(entry);
      if (key === undefined) return;
      const known = groups.get(key);
      if (known === undefined) groups.set(key, [index]);
      else known.push(index);
    });
    return groups;
  }

  left(): JournalEntry[] {
    return this.entries.filter((_, index) => !this.taken.has(index));
  }
}

/** Beyond so many likely pairs they are taken in order: nobody tells a thousand lines of one wording apart. */
const MOST_PAIRS = 40_000;

const dayKey = (day: DayNumber | undefined): string => (day === undefined ? 'standing' : String(day));
const verbKey = ({ kind, day, verb }: JournalEntry): string => `${dayKey(day)} ${kind} ${verb ?? ''}`;
const headTexts = (entry: JournalEntry): string =>
  [entry.kind, entry.head.text, ...entry.below.map(({ text }) => text)].join('\n');

const allNames = ({ head, below }: JournalEntry): Set<string> =>
  new Set([...head.names, ...below.flatMap(({ names }) => names)]);

/** The share of two sets that both have, from 0 to 1. */
function likeness(a: ReadonlySet<string>, b: ReadonlySet<string>): number {
  if (a.size === 0 && b.size === 0) return 1;
  let common = 0;
  for (const one of a) if (b.has(one)) common++;
  return common / (a.size + b.size - common);
}

/** Minutes between the times of two entries; a day where only one has a time of its own. */
function apart(a: JournalEntry, b: JournalEntry): number {
  const [one, other] = [a.times[0], b.times[0]];
  if (one === undefined && other === undefined) return 0;
  return one === undefined || other === undefined ? 1440 : Math.abs(one - other);
}

const wordsOf = (text: string): Set<string> => new Set(text.toLowerCase().split(/[\s,]+/));

/** Names in any order. */
const namesKey = (entry: JournalEntry): string => [...new Set(entry.head.names)].sort().join(' ');

/** An entry as if it were not struck. */
const unstruckSaying = (entry: JournalEntry): string =>
  entry.head.read?.type === 'entry'
    ? [
        sayingOfLine({ ...entry.head, read: { ...entry.head.read, struck: false } }),
        ...entry.below.map(sayingOfLine),
      ].join('\n')
    : sayingOfEntry(entry);

type Pair = readonly [before: number, after: number];

/** Pairs entries of two lists in passes, from those that say the same to those that are merely alike. */
class Matching {
  private readonly before: Open;
  private readonly after: Open;
  readonly pairs: Pair[] = [];

  constructor(before: readonly JournalEntry[], after: readonly JournalEntry[]) {
    this.before = new Open(before);
    this.after = new Open(after);
  }

  left(): { before: JournalEntry[]; after: JournalEntry[] } {
    return { before: this.before.left(), after: this.after.left() };
  }

  private pair(one: number, other: number, keep: boolean): void {
    this.before.take(one);
    this.after.take(other);
    if (keep) this.pairs.push([one, other]);
  }

  /** Entries of one key say the same: they are passed over, each with one of the other side. */
  same(keyOf: (entry: JournalEntry) => string): void {
    const others = this.after.byKey(keyOf);
    for (const [key, ones] of this.before.byKey(keyOf)) {
      const matching = others.get(key) ?? [];
      for (let i = 0; i < Math.min(ones.length, matching.length); i++) this.pair(ones[i] ?? 0, matching[i] ?? 0, false);
    }
  }

  /**
   * Pairs entries of one key by what tells them apart, the smallest first; undefined: these two are no pair. What ties is
   * taken in the order it stands, in a way that gives the same pairs with the sides exchanged.
   */
  alike(
    keyOf: (entry: JournalEntry) => string | undefined,
    unlike: (before: JournalEntry, after: JournalEntry) => number | undefined,
  ): void {
    const others = this.after.byKey(keyOf);
    for (const [key, ones] of this.before.byKey(keyOf)) {
      const matching = others.get(key);
      if (matching === undefined) continue;
      const few = ones.length * matching.length <= MOST_PAIRS;
      const found: { one: number; other: number; i: number; j: number; cost: number }[] = [];
      for (const [i, one] of ones.entries()) {
        for (const [j, other] of matching.entries()) {
          if (!few && i !== j) continue;
          const [a, b] = [this.before.entries[one], this.after.entries[other]];
          const cost = a === undefined || b === undefined ? undefined : unlike(a, b);
          if (cost !== undefined) found.push({ one, other, i, j, cost });
        }
      }
      found.sort((a, b) => a.cost - b.cost || a.i + a.j - b.i - b.j || Math.abs(a.i - a.j) - Math.abs(b.i - b.j));
      const [used, usedOthers] = [new Set<number>(), new Set<number>()];
      for (const { one, other } of found) {
        if (used.has(one) || usedOthers.has(other)) continue;
        used.add(one);
        usedOthers.add(other);
        this.pair(one, other, true);
      }
    }
  }
}

/** Half the names in common. */
const ALIKE = 0.5;

/** How unlike two entries of one day and one verb are; undefined where they are no likeness of one another. */
function unlikeness(before: JournalEntry, after: JournalEntry): number | undefined {
  if (before.kind !== 'entry' && before.kind !== 'unread') return apart(before, after);
  const [one, other] = [allNames(before), allNames(after)];
  const share = likeness(one, other);
  const [subject, otherSubject] = [before.head.names[0], after.head.names[0]];
  const sameSubject = subject !== undefined && subject === otherSubject && apart(before, after) === 0;
  return share >= ALIKE || sameSubject ? (1 - share) * 1440 + apart(before, after) : undefined;
}

/** A line that could not be read and one that could, of one day. */
function unlikeUnread(before: JournalEntry, after: JournalEntry): number | undefined {
  if (before.kind === after.kind) return undefined;
  if (before.verb !== undefined && after.verb !== undefined && before.verb !== after.verb) return undefined;
  const share = likeness(wordsOf(before.head.text), wordsOf(after.head.text));
  return share >= ALIKE ? (1 - share) * 1440 + apart(before, after) : undefined;
}

/** The same words under another day; of several the nearest days. */
const daysApart = (before: JournalEntry, after: JournalEntry): number | undefined =>
  before.day === undefined || after.day === undefined ? undefined : Math.abs(before.day - after.day);

function ordered(files: Journal['files']): JournalEntry[] {
  return files.flatMap(({ entries }) => entries).sort(inTime);
}

/** Standing facts first, then by day, minute, file and line. */
export function inTime(a: JournalEntry, b: JournalEntry): number {
  return (
    (a.day ?? Number.MIN_SAFE_INTEGER) - (b.day ?? Number.MIN_SAFE_INTEGER) ||
    a.minute - b.minute ||
    (a.path < b.path ? -1 : a.path > b.path ? 1 : 0) ||
    a.head.line - b.head.line
  );
}

/** What is not the very same list of entries in both journals. */
function unshared(before: Journal, after: Journal): [JournalEntry[], JournalEntry[]] {
  const shared = new Set(before.files.map(({ entries }) => entries));
  const both = new Set(after.files.map(({ entries }) => entries).filter((entries) => shared.has(entries)));
  const without = ({ files }: Journal): JournalEntry[] => ordered(files.filter(({ entries }) => !both.has(entries)));
  return [without(before), without(after)];
}

/** Every change from one journal to another, in the order of time. */
export function entryChanges(before: Journal, after: Journal): EntryChange[] {
  return changesOf(...unshared(before, after));
}

/** As `entryChanges`, of lists of entries. */
export function changesOf(befores: readonly JournalEntry[], afters: readonly JournalEntry[]): EntryChange[] {
  const matching = new Matching(befores, afters);
  matching.same((entry) => `${dayKey(entry.day)} ${headTexts(entry)}`);
  matching.same((entry) => `${dayKey(entry.day)} ${sayingOfEntry(entry)}`);
  // the same head with other lines below: most lines in common first
  matching.alike(
    (entry) => `${verbKey(entry)} ${sayingOfLine(entry.head)}`,
    (one, other) => 1 - likeness(new Set(one.below.map(sayingOfLine)), new Set(other.below.map(sayingOfLine))),
  );
  matching.alike(
    (entry) => (entry.kind === 'entry' ? `${verbKey(entry)} ${unstruckSaying(entry)}` : undefined),
    (one, other) => (one.struck === other.struck ? undefined : 0),
  );
  matching.alike((entry) => (entry.kind === 'entry' ? `${verbKey(entry)} ${namesKey(entry)}` : undefined), apart);
  matching.alike(verbKey, unlikeness);
  matching.alike(
    (entry) => (entry.kind === 'entry' || entry.kind === 'unread' ? dayKey(entry.day) : undefined),
    unlikeUnread,
  );
  matching.alike((entry) => (entry.kind === 'entry' ? sayingOfEntry(entry) : undefined), daysApart);
  const { before, after } = matching.left();
  const changes: EntryChange[] = [
    ...before.map(
      (entry): EntryChange => ({ kind: 'removed', before: entry, after: undefined, lines: wholly(entry, 'before') }),
    ),
    ...after.map(
      (entry): EntryChange => ({ kind: 'added', before: undefined, after: entry, lines: wholly(entry, 'after') }),
    ),
    ...matching.pairs.flatMap(([one, other]) => {
      const [a, b] = [befores[one], afters[other]];
      const change = a === undefined || b === undefined ? undefined : changed(a, b);
      return change === undefined || change.lines.length === 0 ? [] : [change];
    }),
  ];
  return changes.sort((a, b) => inTime(a.after ?? a.before, b.after ?? b.before));
}

function wholly(entry: JournalEntry, side: 'before' | 'after'): LineChange[] {
  return [entry.head, ...entry.below].map((line) =>
    side === 'before' ? { before: line, after: undefined } : { before: undefined, after: line },
  );
}

function changed(before: JournalEntry, after: JournalEntry): EntryChange {
  const head =
    sayingOfLine(before.head) === sayingOfLine(after.head) ? [] : [{ before: before.head, after: after.head }];
  const lines = [...head, ...lineChanges(before.below, after.below)];
  const manner = mannerOf(before, after);
  // under another day every line of it is told again
  const told = manner === 'redated' ? [{ before: before.head, after: after.head }] : lines;
  return { kind: 'changed', manner, before, after, lines: told };
}

function mannerOf(before: JournalEntry, after: JournalEntry): Manner {
  if (before.kind === 'unread' && after.kind === 'entry') return 'mended';
  if (before.kind === 'entry' && after.kind === 'unread') return 'broken';
  if (before.day !== after.day) return 'redated';
  if (before.struck !== after.struck) return after.struck ? 'struck' : 'restored';
  return 'words';
}

/** Lines of both sides in pairs, those of one key in the order they stand; the others by side. */
function pairLines(
  befores: readonly EntryLine[],
  afters: readonly EntryLine[],
  keyOf: (line: EntryLine) => string,
): { pairs: [EntryLine, EntryLine][]; before: EntryLine[]; after: EntryLine[] } {
  const waiting = new Map<string, EntryLine[]>();
  for (const line of afters) {
    const key = keyOf(line);
    const known = waiting.get(key);
    if (known === undefined) waiting.set(key, [line]);
    else known.push(line);
  }
  const pairs: [EntryLine, EntryLine][] = [];
  const before: EntryLine[] = [];
  for (const line of befores) {
    const other = waiting.get(keyOf(line))?.shift();
    if (other === undefined) before.push(line);
    else pairs.push([line, other]);
  }
  return { pairs, before, after: [...waiting.values()].flat() };
}

/** What a line below an entry is known by, beside its words: its kind and the names in it. */
const lineKey = ({ kind, names, read }: EntryLine): string =>
  kind === 'note' ? kind : `${kind} ${read?.type === 'entry' ? read.verb : ''} ${names.join(' ')}`;

/** Changes of the lines below an entry; lines that only changed places are none. */
function lineChanges(befores: readonly EntryLine[], afters: readonly EntryLine[]): LineChange[] {
  const unlike = pairLines(befores, afters, sayingOfLine);
  const { pairs, before, after } = pairLines(unlike.before, unlike.after, lineKey);
  const changes: LineChange[] = [
    ...pairs.map(([one, other]) => ({ before: one, after: other })),
    ...before.map((line) => ({ before: line, after: undefined })),
    ...after.map((line) => ({ before: undefined, after: line })),
  ];
  const at = (change: LineChange): number => (change.after ?? change.before)?.line ?? 0;
  return changes.sort((a, b) => at(a) - at(b));
}
