/** What somebody took the trouble to say of a lot: notes, tastings and trials, the newest first. */
import type { Happening } from '../cellar/book.ts';
import type { ReportContext } from './context.ts';
import { dayOf, dayText, isoDay } from './dates.ts';
import type { Link } from './links.ts';

export interface LotNote {
  readonly day: string;
  readonly iso: string;
  readonly words: string;
  readonly hands: string;
  /** Markdown. */
  readonly note: string | undefined;
  readonly line: Link;
}

/** Entries that are there to be read: what was tasted, tried and noted. */
const SAID: ReadonlySet<string> = new Set(['taste', 'note', 'trial', 'label']);
const MOST = 40;

export function notesOf(context: ReportContext, happenings: readonly Happening[]): LotNote[] {
  return happenings
    .filter(({ event }) => event.kind !== 'day' && SAID.has(event.verb))
    .slice(-MOST)
    .reverse()
    .map(({ event, sentence }) => ({
      day: dayText(dayOf(event.minute)),
      iso: isoDay(dayOf(event.minute)),
      words: event.remark === undefined ? sentence : `${sentence.replace(/\.$/u, '')} — ${event.remark}`,
      hands: event.hands.join(', '),
      note: event.note,
      line: context.links.line(event.place),
    }));
}
