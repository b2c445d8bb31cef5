/** What each commit of a history changed in the journal, and which of it corrected the past. Pure: commits come as plain data. */
import type { DayNumber } from '../../journal/events.ts';
import { type ChangeClass, classOf } from './classes.ts';
import { changesOf, type EntryChange, entryChanges } from './entry-changes.ts';
import { type Journal, type JournalEntry, newestDay, sayingOfEntry } from './journal-entries.ts';

/** A commit as the version control has it. */
export interface Commit {
  readonly id: string;
  readonly author: string;
  /** When its author made it, on the author's own clock: `2026-10-04 18:20 +0200`. */
  readonly date: string;
  readonly subject: string;
}

/** A journal after a commit, and what it was before it. */
export interface HistoryStep {
  /** Undefined for what lies in the work tree and is in no commit yet. */
  readonly commit: Commit | undefined;
  /** The journal of every parent; none for the first commit. */
  readonly parents: readonly Journal[];
  /** For a commit of two parents: the journal both go back to, where there is one. */
  readonly base: Journal | undefined;
  readonly journal: Journal;
  /** A parent is not there to be compared with, so what this commit changed cannot be told. */
  readonly unseen: boolean;
}

export interface ClassedChange {
  readonly change: EntryChange;
  readonly class: ChangeClass;
}

/** What one commit changed, in the order of time. */
export interface CommitChanges {
  readonly commit: Commit | undefined;
  readonly unseen: boolean;
  /** The newest day of the journal it was made to. */
  readonly newest: DayNumber | undefined;
  readonly changes: readonly ClassedChange[];
}

const keyOf = (entry: JournalEntry): string => `${entry.day ?? 'standing'} ${sayingOfEntry(entry)}`;

/** How often entries of each saying stand in a journal, of those that differ between any of these journals. */
function counts(journal: Journal, shared: ReadonlySet<unknown>): Map<string, JournalEntry[]> {
  const found = new Map<string, JournalEntry[]>();
  for (const { entries } of journal.files) {
    if (shared.has(entries)) continue;
    for (const entry of entries) {
      const key = keyOf(entry);
      const known = found.get(key);
      if (known === undefined) found.set(key, [entry]);
      else known.push(entry);
    }
  }
  return found;
}

/** Lists of entries that every one of some journals has. */
function sharedBy(journals: readonly Journal[]): Set<unknown> {
  const [first, ...rest] = journals.map(({ files }) => new Set<unknown>(files.map(({ entries }) => entries)));
  return new Set([...(first ?? [])].filter((entries) => rest.every((other) => other.has(entries))));
}

/**
 * How often a merge may have an entry without having decided anything itself: what one side alone changed is taken from
 * it; where both did, anything between the sides and the sum of their changes. Without the journal both go back to,
 * anything between the sides.
 */
function expected(sides: readonly number[], base: number | undefined): { least: number; most: number } {
  const [one = 0, other = 0] = sides;
  const [least, most] = [Math.min(...sides), Math.max(...sides)];
  if (base === undefined || sides.length !== 2) return { least, most };
  if (one === base) return { least: other, most: other };
  if (other === base) return { least: one, most: one };
  const both = one + other - base;
  return { least: Math.max(0, Math.min(least, both)), most: Math.max(most, both) };
}

/** What a merge changed of its own: entries it has that no side gives it, and entries it let go that a side gave it. */
function mergeChanges({ parents, base, journal }: HistoryStep): EntryChange[] {
  const shared = sharedBy([...parents, journal, ...(base === undefined ? [] : [base])]);
  const sides = parents.map((parent) => counts(parent, shared));
  const from = base === undefined ? undefined : counts(base, shared);
  const now = counts(journal, shared);
  const removed: JournalEntry[] = [];
  const added: JournalEntry[] = [];
  for (const key of new Set([...sides.flatMap((side) => [...side.keys()]), ...now.keys()])) {
    const of = (entries: ReadonlyMap<string, readonly JournalEntry[]>): number => entries.get(key)?.length ?? 0;
    const { least, most } = expected(sides.map(of), from === undefined ? undefined : of(from));
    const has = of(now);
    if (has > most) added.push(...(now.get(key) ?? []).slice(most));
    if (has < least) removed.push(...(sides.find((side) => of(side) >= least)?.get(key) ?? []).slice(has, least));
  }
  return changesOf(removed, added);
}

/** The newest day of several journals. */
function newestOf(journals: readonly Journal[]): DayNumber | undefined {
  const days = journals.flatMap((journal) => newestDay(journal) ?? []);
  return days.length === 0 ? undefined : Math.max(...days);
}

/** What a commit changed against what was before it, each change with its class as of then. */
export function commitChanges(step: HistoryStep): CommitChanges {
  const { commit, parents, journal, unseen } = step;
  const [only, another] = parents;
  const newest = newestOf(parents);
  const changes = unseen
    ? []
    : another === undefined
      ? entryChanges(only ?? { files: [] }, journal)
      : mergeChanges(step);
  return { commit, unseen, newest, changes: changes.map((change) => ({ change, class: classOf(change, newest) })) };
}

/** Of every commit that touched the past, what it corrected there or put down late; in the order of the steps. */
export function correctionsInHistory(steps: readonly HistoryStep[]): CommitChanges[] {
  return steps.flatMap((step) => {
    const told = commitChanges(step);
    const changes = told.changes.filter((change) => change.class !== 'new');
    return changes.length === 0 ? [] : [{ ...told, changes }];
  });
}

/** A step on the way from one end of a history to another. */
export interface WayStep {
  readonly made: CommitChanges;
  /** A commit of the older end that the newer one does not have: it is gone through the other way round. */
  readonly takenBack: boolean;
}

/** The way between two ends: back over what only the one has, its newest commit first, then on, the oldest first. */
export const wayOf = (back: readonly CommitChanges[], forward: readonly CommitChanges[]): WayStep[] => [
  ...back.toReversed().map((made) => ({ made, takenBack: true })),
  ...forward.map((made) => ({ made, takenBack: false })),
];

/** A step that an entry went through: what it was before and after it. */
interface Stage {
  readonly at: number;
  readonly before: string | undefined;
  readonly after: string | undefined;
}

/** Finds the steps, by position, that an entry went through from what it was to what it is. */
export function makersOn(way: readonly WayStep[]): (change: EntryChange) => number[] {
  const from = new Map<string, Stage[]>();
  const to = new Map<string, Stage[]>();
  const add = (map: Map<string, Stage[]>, key: string | undefined, stage: Stage): void => {
    if (key === undefined) return;
    const known = map.get(key);
    if (known === undefined) map.set(key, [stage]);
    else known.push(stage);
  };
  way.forEach(({ made, takenBack }, at) => {
    for (const { change } of made.changes) {
      const before = change.before === undefined ? undefined : keyOf(change.before);
      const after = change.after === undefined ? undefined : keyOf(change.after);
      const stage = takenBack ? { at, before: after, after: before } : { at, before, after };
      add(from, stage.before, stage);
      add(to, stage.after, stage);
    }
  });
  const backFrom = (key: string, until: string | undefined): { steps: number[]; key: string | undefined } => {
    const steps: number[] = [];
    let now: string | undefined = key;
    for (let before = way.length; now !== undefined && now !== until; ) {
      const limit = before;
      const stage: Stage | undefined = to.get(now)?.findLast(({ at }) => at < limit);
      if (stage === undefined) break;
      steps.push(stage.at);
      before = stage.at;
      now = stage.before;
    }
    return { steps, key: now };
  };
  const onFrom = (key: string): number[] => {
    const steps: number[] = [];
    let now: string | undefined = key;
    for (let after = -1; now !== undefined; ) {
      const limit = after;
      const stage: Stage | undefined = from.get(now)?.find(({ at }) => at > limit);
      if (stage === undefined) break;
      steps.push(stage.at);
      after = stage.at;
      now = stage.after;
    }
    return steps;
  };
  return ({ before, after }) => {
    const was = before === undefined ? undefined : keyOf(before);
    const back = after === undefined ? undefined : backFrom(keyOf(after), was);
    // what became another by being taken out and written anew went through both
    const on = was === undefined || back?.key === was ? [] : onFrom(was);
    return [...new Set([...(back?.steps ?? []), ...on])].sort((a, b) => a - b);
  };
}
