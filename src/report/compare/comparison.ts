/** Two journals held side by side: what was written differently, which lots and vessels that touches, and what it comes to. */
import { fold } from '../../../grammar/words.ts';
import type { Book } from '../../cellar/book.ts';
import type { DayNumber, LotId, VesselId } from '../../journal/events.ts';
import { type DayDifference, firstVolumeDay, lotDays, vesselDays, vesselSteps } from './by-day.ts';
import { compareStates, type StateComparison } from './cellar-state.ts';
import { type ChangeClass, classOf } from './classes.ts';
import { type EntryChange, entryChanges } from './entry-changes.ts';
import { compareFindingLists, type FindingChanges } from './finding-changes.ts';
import { type Journal, type JournalEntry, newestDay } from './journal-entries.ts';
import { twinLots, twinVessels } from './same-things.ts';
import { compareWork, type WorkChanges } from './work-changes.ts';

/** A journal with what it comes to. */
export interface Side {
  readonly journal: Journal;
  readonly book: Book;
  /** The book as of the older of both newest days, where this one goes on after that. */
  readonly common: Book;
}

/** A change of an entry, and the lots and vessels it touches by the names they have now. */
export interface Change {
  readonly change: EntryChange;
  readonly class: ChangeClass;
  readonly lots: readonly string[];
  readonly vessels: readonly string[];
}

/** A lot or a vessel that entries touch or whose volume differs. */
export interface Touched {
  readonly name: string;
  /** Positions in the list of changes. */
  readonly changes: readonly number[];
  /** The first day on which its volume differs. */
  readonly firstDay: DayNumber | undefined;
  /** The days whose ends differ, of those on which either side changed. */
  readonly days: readonly DayDifference[];
}

export interface Comparison {
  /** The newest day with an entry, of either side. */
  readonly newest: { readonly before: DayNumber | undefined; readonly after: DayNumber | undefined };
  readonly entries: { readonly before: number; readonly after: number };
  readonly changes: readonly Change[];
  readonly lots: readonly Touched[];
  readonly vessels: readonly Touched[];
  /** As of the older newest day, where that differs: what corrections and late entries did; then as of the newest of all. */
  readonly states: readonly StateComparison[];
  readonly findings: FindingChanges;
  readonly work: WorkChanges;
}

/** What an entry touches, by the name it has in its own book. */
interface Touches {
  readonly lots: Set<string>;
  readonly vessels: Set<string>;
}

/** Looks up what the lines of a book's journal touch. */
class Lines {
  private readonly book: Book;
  private readonly byLine = new Map<string, { lots: Set<LotId>; vessels: Set<VesselId> }>();
  private readonly lotNames = new Map<string, LotId>();
  private readonly vesselNames = new Map<string, VesselId>();

  constructor(book: Book) {
    this.book = book;
    for (const { event, lots, vessels } of book.happenings) {
      const key = `${event.place.line} ${book.files[event.place.file]?.path ?? ''}`;
      let known = this.byLine.get(key);
      if (known === undefined) {
        known = { lots: new Set(), vessels: new Set() };
        this.byLine.set(key, known);
      }
      for (const lot of lots) known.lots.add(lot);
      for (const vessel of vessels) known.vessels.add(vessel);
    }
    for (const { facts } of book.lots) {
      for (const name of [...facts.formerly, facts.name]) this.lotNames.set(fold(name), facts.id);
    }
    for (const { facts } of book.vessels) this.vesselNames.set(fold(facts.name), facts.id);
  }

  /** What some lines of an entry touch: by what they came to, else by the names in them. */
  touched(
    entry: JournalEntry,
    lines: readonly { readonly line: number; readonly names: readonly string[] }[],
  ): Touches {
    const lots = new Set<LotId>();
    const vessels = new Set<VesselId>();
    const addLine = (line: number): boolean => {
      const known = this.byLine.get(`${line} ${entry.path}`);
      for (const lot of known?.lots ?? []) lots.add(lot);
      for (const vessel of known?.vessels ?? []) vessels.add(vessel);
      return known !== undefined;
    };
    for (const { line, names } of lines) {
      if (addLine(line)) continue;
      for (const name of names) {
        const lot = this.lotNames.get(name);
        const vessel = this.vesselNames.get(name);
        if (lot !== undefined) lots.add(lot);
        if (vessel !== undefined) vessels.add(vessel);
      }
      // the rows of a table are entries of their own; other lines below belong to what stands above
      if (line !== entry.head.line && entry.verb !== 'readings') addLine(entry.head.line);
    }
    return {
      lots: new Set([...lots].map((id) => this.book.lots[id]?.facts.name ?? '')),
      vessels: new Set([...vessels].map((id) => this.book.vessels[id]?.facts.name ?? '')),
    };
  }
}

function touches(change: EntryChange, before: Lines, after: Lines): { before: Touches; after: Touches } {
  const side = (which: 'before' | 'after', lines: Lines): Touches => {
    const entry = change[which];
    if (entry === undefined) return { lots: new Set(), vessels: new Set() };
    return lines.touched(
      entry,
      change.lines.flatMap((line) => line[which] ?? []),
    );
  };
  return { before: side('before', before), after: side('after', after) };
}

/** Names of the older book as the newer one has them. */
function namesNow<T>(twins: readonly { name: string; before: T | undefined }[], nameOf: (record: T) => string) {
  const now = new Map(twins.flatMap(({ name, before }) => (before === undefined ? [] : [[nameOf(before), name]])));
  return (name: string): string => now.get(name) ?? name;
}

const entryCount = ({ files }: Journal): number => files.reduce((sum, { entries }) => sum + entries.length, 0);

/** Pure: two journals with their books in, every difference out. */
export function compareJournals(before: Side, after: Side): Comparison {
  const newest = { before: newestDay(before.journal), after: newestDay(after.journal) };
  const lotTwins = twinLots(before.book, after.book);
  const vesselTwins = twinVessels(before.book, after.book);
  const lotNow = namesNow(lotTwins, ({ facts }) => facts.name);
  const vesselNow = namesNow(vesselTwins, ({ facts }) => facts.name);
  const [linesBefore, linesAfter] = [new Lines(before.book), new Lines(after.book)];
  const lotRank = new Map(lotTwins.map(({ name }, i) => [name, i]));
  const vesselRank = new Map(vesselTwins.map(({ name }, i) => [name, i]));
  const inOrder = (names: Set<string>, rank: ReadonlyMap<string, number>): string[] =>
    [...names].filter((name) => rank.has(name)).sort((a, b) => (rank.get(a) ?? 0) - (rank.get(b) ?? 0));
  const changes = entryChanges(before.journal, after.journal).map((change): Change => {
    const touched = touches(change, linesBefore, linesAfter);
    return {
      change,
      class: classOf(change, newest.before),
      lots: inOrder(new Set([...[...touched.before.lots].map(lotNow), ...touched.after.lots]), lotRank),
      vessels: inOrder(new Set([...[...touched.before.vessels].map(vesselNow), ...touched.after.vessels]), vesselRank),
    };
  });
  const positions = (namesOf: (change: Change) => readonly string[]): Map<string, number[]> => {
    const found = new Map<string, number[]>();
    changes.forEach((change, i) => {
      for (const name of namesOf(change)) found.set(name, [...(found.get(name) ?? []), i]);
    });
    return found;
  };
  const touched = (name: string, known: ReadonlyMap<string, number[]>, days: readonly DayDifference[]): Touched[] => {
    const own = known.get(name) ?? [];
    return own.length === 0 && days.length === 0 ? [] : [{ name, changes: own, firstDay: firstVolumeDay(days), days }];
  };
  const byLot = positions(({ lots }) => lots);
  const byVessel = positions(({ vessels }) => vessels);
  const [stepsBefore, stepsAfter] = [vesselSteps(before.book), vesselSteps(after.book)];
  const [ones, others] = [newest.before, newest.after];
  const last = Math.max(before.book.on, after.book.on);
  const common = Math.min(before.book.on, after.book.on);
  const apart = ones !== undefined && others !== undefined && common !== last;
  return {
    newest,
    entries: { before: entryCount(before.journal), after: entryCount(after.journal) },
    changes,
    lots: lotTwins.flatMap((twin) => touched(twin.name, byLot, lotDays(twin))),
    vessels: vesselTwins.flatMap((twin) =>
      touched(twin.name, byVessel, vesselDays(twin, stepsBefore, stepsAfter, lotNow)),
    ),
    states: [
      ...(apart ? [compareStates(before.common, after.common, common)] : []),
      compareStates(before.book, after.book, last),
    ],
    findings: compareFindingLists(before.book, after.book),
    work: compareWork(before.book, after.book, last),
  };
}
