/** Corrections of the past told apart from late entries and from new work. */
import type { DayNumber } from '../../journal/events.ts';
import type { EntryChange } from './entry-changes.ts';

/**
 * `correction`: what stood for a day before the newest one was changed or taken out, or a standing fact was.
 * `late`: something was put down for such a day, and nothing that stood there touched.
 * `new`: everything else: work of the newest day and after it, and new standing facts.
 */
export type ChangeClass = 'correction' | 'late' | 'new';

/** The class of a change, against the newest day of the journal it was made to; that is undefined for an empty one. */
export function classOf(change: EntryChange, newest: DayNumber | undefined): ChangeClass {
  if (newest === undefined) return 'new';
  const past = ({ day }: { readonly day: DayNumber | undefined }): boolean => day === undefined || day < newest;
  const { before, after } = change;
  if (before === undefined) return after !== undefined && after.day !== undefined && past(after) ? 'late' : 'new';
  if (!past(before) && (after === undefined || !past(after))) return 'new';
  const adds = change.lines.every((line) => line.before === undefined);
  if (!adds) return 'correction';
  return before.day === undefined ? 'new' : 'late';
}
