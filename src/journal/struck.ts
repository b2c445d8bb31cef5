/** Lines that are struck: they count for nothing, and are kept so that the record can tell them. */
import { parseDate } from '../../grammar/dates.ts';
import type { Entry } from '../../grammar/entries.ts';
import type { VerbWord } from '../../grammar/words.ts';
import type { DayNumber, Minute, Place } from './events.ts';
import type { PlacedBroken, PlacedEntry } from './files.ts';

export interface StruckLine {
  readonly place: Place;
  /** Undefined where the line cannot even be read so far: what is struck need not be. */
  readonly verb: VerbWord | undefined;
  /** The day it stands under and its minute; undefined above the first day. */
  readonly minute: Minute | undefined;
  /** Rows and lines of its own below it, which count for nothing either. */
  readonly below: number;
  /** The names it begins with, as written: what it was about. */
  readonly names: readonly string[];
  readonly hands: readonly string[];
  /** The day it was struck. */
  readonly written?: DayNumber;
  /** Why: its remark. */
  readonly remark?: string;
  /** Markdown, as written. */
  readonly note?: string;
}

function namesIn(items: Entry['head']): string[] {
  return items.flatMap(({ parts: [first] }) => {
    if (first.type !== 'word' && first.type !== 'string') return [];
    return [first.to === undefined ? first.text : `${first.text}..${first.to}`];
  });
}

/** A struck line of a journal; `minute` is that of the day and time it stands at. */
export function struckLine({ entry, file, line, rows, children, note }: PlacedEntry, minute: Minute | undefined) {
  const phrase = (word: 'by' | 'written') => entry.phrases.find((one) => one.word === word)?.items ?? [];
  const day = phrase('written')[0]?.parts[0];
  const written = day?.type === 'date' ? parseDate(day.text) : Number.NaN;
  const struck: StruckLine = {
    place: { file, line },
    verb: entry.verb,
    minute,
    below: rows.length + children.length,
    names: namesIn(entry.head),
    hands: namesIn(phrase('by')),
    ...(Number.isNaN(written) ? {} : { written }),
    ...(entry.remark === undefined ? {} : { remark: entry.remark }),
    ...(note === undefined ? {} : { note }),
  };
  return struck;
}

/** A struck line that cannot be read: it is told all the same. */
export const struckUnread = (
  { verb, line, remark }: PlacedBroken,
  file: number,
  minute: Minute | undefined,
): StruckLine => ({
  place: { file, line },
  verb,
  minute,
  below: 0,
  names: [],
  hands: [],
  ...(remark === undefined ? {} : { remark }),
});
