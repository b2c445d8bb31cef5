/** A lot through the commits of a journal: the lines that touch it, and what its volume became. Pure. */
import { fold } from '../../../grammar/words.ts';
import type { Book, LotRecord, LotStage } from '../../cellar/book.ts';
import type { DayNumber, Microlitres } from '../../journal/events.ts';
import { type DayDifference, differences, lotSteps, type Since } from './by-day.ts';
import type { ClassedChange, Commit, CommitChanges } from './commits.ts';
import type { LineChange } from './entry-changes.ts';
import type { JournalEntry } from './journal-entries.ts';

/** A lot as one state of the journal has it. */
export interface LotSeen {
  readonly name: string;
  /** Names it had before, the newest last. */
  readonly formerly: readonly string[];
  readonly stage: LotStage;
  readonly volume: Microlitres;
  readonly estimated: boolean;
  /** The day the journal tells to. */
  readonly on: DayNumber;
  /** The line that names it first: path and number. */
  readonly begun: { readonly path: string; readonly line: number };
  /** What it came to at the end of each day on which that changed. */
  readonly steps: readonly Since[];
  /** Every line that touches it, as `lineKey` writes them. */
  readonly lines: ReadonlySet<string>;
  /** Its names and those of the vessels it lay in, folded: lines that did not count may have told of it by them. */
  readonly names: ReadonlySet<string>;
}

export const lineKey = (path: string, line: number): string => `${line} ${path}`;

/** A lot by its name, or by one it had before; undefined where a book has none. */
export function lotCalled(book: Book, name: string): LotRecord | undefined {
  const wanted = fold(name);
  return (
    book.lots.find(({ facts }) => fold(facts.name) === wanted) ??
    book.lots.find(({ facts }) => facts.formerly.some((former) => fold(former) === wanted))
  );
}

/** What of a book concerns one lot, so that the book need not be kept. */
export function seenIn(book: Book, lot: LotRecord): LotSeen {
  const path = (file: number): string => book.files[file]?.path ?? '';
  const lines = new Set<string>();
  for (const index of lot.happenings) {
    const place = book.happenings[index]?.event.place;
    if (place !== undefined) lines.add(lineKey(path(place.file), place.line));
  }
  const { place } = lot.facts;
  lines.add(lineKey(path(place.file), place.line));
  const { name, formerly } = lot.facts;
  const lay = book.vessels.filter(({ fills }) => fills.some((fill) => fill.lot === lot.facts.id));
  return {
    name,
    formerly,
    stage: lot.stage,
    volume: lot.onHand,
    estimated: lot.estimated,
    on: book.on,
    begun: { path: path(place.file), line: place.line },
    steps: lotSteps(lot),
    lines,
    names: new Set([name, ...formerly, ...lay.map(({ facts }) => facts.name)].map(fold)),
  };
}

/** What a commit did to the lot. */
export interface LotStep {
  readonly commit: Commit | undefined;
  readonly unseen: boolean;
  /** Changes of entries that touch it, as it was before or is after. */
  readonly changes: readonly ClassedChange[];
  /** What the first parent had, and what there is now; undefined where there is no such lot. */
  readonly before: LotSeen | undefined;
  readonly after: LotSeen | undefined;
  /** The days whose ends differ, of those on which either changed. */
  readonly days: readonly DayDifference[];
}

const onSide = (
  entry: JournalEntry | undefined,
  lines: readonly LineChange[],
  side: 'before' | 'after',
  seen: LotSeen | undefined,
): boolean => {
  if (entry === undefined || seen === undefined) return false;
  const touched = (line: number): boolean => seen.lines.has(lineKey(entry.path, line));
  return lines.some((line) => {
    const own = line[side];
    if (own === undefined) return false;
    // a line below that is no entry of its own touches what its head touches
    return touched(own.line) || (own.kind !== 'head' && entry.verb !== 'readings' && touched(entry.head.line));
  });
};

/** Whether a change of an entry touches the lot, before it or after it. A line that does not count does so by its names. */
function touches({ change }: ClassedChange, before: LotSeen | undefined, after: LotSeen | undefined): boolean {
  const named = (entry: JournalEntry | undefined, seen: LotSeen | undefined): boolean =>
    entry !== undefined &&
    seen !== undefined &&
    (entry.kind === 'unread' || entry.struck) &&
    entry.head.names.some((name) => seen.names.has(name));
  return (
    onSide(change.before, change.lines, 'before', before) ||
    onSide(change.after, change.lines, 'after', after) ||
    named(change.before, before) ||
    named(change.after, after)
  );
}

/** What a commit did to a lot; undefined where it left it alone. `before` is of its first parent. */
export function lotStep(
  made: CommitChanges,
  before: LotSeen | undefined,
  after: LotSeen | undefined,
): LotStep | undefined {
  const changes = made.changes.filter((change) => touches(change, before, after));
  const days = differences(before?.steps ?? [], after?.steps ?? []);
  const same = days.length === 0 && before?.stage === after?.stage && (before === undefined) === (after === undefined);
  if (changes.length === 0 && same && !(made.unseen && after !== undefined)) return undefined;
  return { commit: made.commit, unseen: made.unseen, changes, before, after, days };
}

/**
 * The place where the lot was first named before a commit, where its first line was changed by it: so it may have had
 * another name. Undefined where that line is as it was, or new.
 */
export function begunBefore(made: CommitChanges, after: LotSeen): { path: string; line: number } | undefined {
  for (const { change } of made.changes) {
    const { before, after: now } = change;
    if (before === undefined || now === undefined || now.path !== after.begun.path) continue;
    const line = change.lines.find((one) => one.after?.line === after.begun.line);
    if (line?.before !== undefined) return { path: before.path, line: line.before.line };
    if (now.head.line === after.begun.line) return { path: before.path, line: before.head.line };
  }
  return undefined;
}

/** The lot of a book that a line names first. */
export function lotBegunAt(book: Book, { path, line }: { path: string; line: number }): LotRecord | undefined {
  const found = book.lots.filter(
    ({ facts }) => facts.place.line === line && book.files[facts.place.file]?.path === path,
  );
  return found.length === 1 ? found[0] : undefined;
}
