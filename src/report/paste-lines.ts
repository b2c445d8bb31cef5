/** Lines of the journal that the tool proposes: names and volumes as a line takes them, a vessel and a time that are free. */
import { formatDate, weekday } from '../../grammar/dates.ts';
import { fold } from '../../grammar/words.ts';
import type { Book } from '../cellar/book.ts';

/** A name as the language takes it: quoted where it is no plain word. */
export const nameWritten = (name: string): string => (/^\p{L}[\p{L}\p{M}\p{N}_/-]*$/u.test(name) ? name : `"${name}"`);

/** Litres as a line has them: no more digits than there are. */
export const litresWritten = (litres: number): string => `${String(Number(litres.toFixed(6)))} L`;

/** The smallest empty vessel that takes so many litres. */
export function emptyVesselFor(book: Book, litres: number, not: ReadonlySet<string>): string | undefined {
  const [best] = book.vessels
    .filter(
      ({ facts, retired, content }) =>
        !retired && content.volume === 0 && facts.capacity / 1e6 >= litres && !not.has(facts.name),
    )
    .sort((a, b) => a.facts.capacity - b.facts.capacity || a.facts.id - b.facts.id);
  return best?.facts.name;
}

/** A name no vessel and no lot has: this one, or this one with a number. */
export function freeName(book: Book, plain: string): string {
  const taken = new Set([...book.vessels, ...book.lots].map(({ facts }) => fold(facts.name)));
  for (let i = 1; ; i++) {
    const name = i === 1 ? plain : `${plain}-${i}`;
    if (!taken.has(fold(name))) return name;
  }
}

/** The day the book tells of, as its line. */
export const dayWritten = (book: Book): string => `${formatDate(book.on)} ${weekday(book.on)}`;

/** A minute after the last of the book's day, and not before eight. */
export function timeAfter(book: Book): string {
  const last = book.happenings.reduce(
    (most, { event }) => (Math.floor(event.minute / 1440) === book.on ? Math.max(most, event.minute % 1440) : most),
    8 * 60 - 1,
  );
  const minute = Math.min(last + 1, 24 * 60 - 1);
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
}
