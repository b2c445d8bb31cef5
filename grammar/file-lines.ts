/** Walks a whole file line by line as the journal is read: days, notes, entries and rows, and what a merge left behind. */
import type { ReadLine } from './entries.ts';
import { CONFLICT, LineCursor, looksLikeDay } from './lines.ts';
import { readLine } from './read.ts';

interface Placed {
  /** Offsets into the file's text; `end` leaves out the last line break. */
  readonly start: number;
  readonly end: number;
  /** Line number from 1. */
  readonly line: number;
}

export type FileLine = Placed &
  (
    | { readonly kind: 'day'; readonly text: string; readonly read: ReadLine }
    | { readonly kind: 'said'; readonly text: string; readonly read: ReadLine }
    | { readonly kind: 'note'; readonly text: string }
    | { readonly kind: 'conflict'; readonly text: string }
  );

/** The lines of a block between two days; blank ones and comments are left out. */
function* blockLines(text: string, from: number, to: number, firstLine: number): Generator<FileLine> {
  const cursor = new LineCursor(text, from, to, firstLine);
  while (cursor.advance()) {
    const { start, end, line, note } = cursor;
    const raw = text.slice(start, end);
    if (CONFLICT.test(raw)) yield { kind: 'conflict', start, end, line, text: raw };
    else if (note) yield { kind: 'note', start, end, line, text: raw };
    else yield { kind: 'said', start, end, line, text: raw, read: readLine(raw) };
  }
}

/** Every line of a file that says something, in order; a byte order mark is passed over. */
export function* fileLines(text: string): Generator<FileLine> {
  let start = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  let from = start;
  let firstLine = 1;
  for (let line = 1; start < text.length; line++) {
    const newline = text.indexOf('\n', start);
    const to = newline === -1 ? text.length : newline;
    if (looksLikeDay(text, start, to)) {
      const end = text.charCodeAt(to - 1) === 13 ? to - 1 : to;
      const raw = text.slice(start, end);
      const read = readLine(raw);
      if (read.line.type === 'day') {
        yield* blockLines(text, from, start, firstLine);
        yield { kind: 'day', start, end, line, text: raw, read };
        from = Math.min(to + 1, text.length);
        firstLine = line + 1;
      }
    }
    start = to + 1;
  }
  yield* blockLines(text, from, text.length, firstLine);
}
