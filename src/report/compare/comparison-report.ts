/** Everything a comparison tells: its two ends, what could not be seen, what differs, and the commits between them. Types only. */
import type { Book } from '../../cellar/book.ts';
import type { Commit, WayStep } from './commits.ts';
import type { Comparison } from './comparison.ts';

/** One end of a comparison. */
export interface End {
  readonly kind: 'folder' | 'revision' | 'work tree';
  /** As it was asked for. */
  readonly name: string;
  /** What a revision leads to. */
  readonly commit: Commit | undefined;
  readonly book: Book;
}

export interface ComparisonReport {
  readonly before: End;
  readonly after: End;
  /** What cannot be seen, in words. */
  readonly unseen: readonly string[];
  readonly comparison: Comparison;
  /** The commits between the ends; undefined where they are no two ends of a history. */
  readonly history:
    | {
        readonly way: readonly WayStep[];
        /** For each change of the comparison the steps it went through, by position. */
        readonly makers: readonly (readonly number[])[];
      }
    | undefined;
}
