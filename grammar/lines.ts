/** Cuts a file into logical lines: a line that ends in a comma goes on in the next. */
import { DateToken, isVerb, TimeToken } from './tokens.ts';

export interface LogicalLine {
  /** Offsets into the file's text; `end` leaves out the last line break. */
  readonly start: number;
  readonly end: number;
  /** Line number from 1. */
  readonly line: number;
  /** A `|` line: a note. */
  readonly note: boolean;
}

const STARTS = new RegExp(
  `^[ \\t]*(?:\\||${(DateToken.PATTERN as RegExp).source}|${(TimeToken.PATTERN as RegExp).source})`,
);
const FIRST_WORD = /^[ \t]*([A-Za-z][A-Za-z-]*)/;

/** A verb that is a clause too, where a figure follows: `loss 2 L` goes on, `loss T1 2 L` begins anew. */
const CLAUSE_WITH_FIGURE = /^[ \t]*loss[ \t]+~?\d/i;

/** Whether the text of one line of the file ends in a comma, a trailing comment aside. */
function endsInComma(text: string, start: number, end: number): boolean {
  let at = end - 1;
  while (at >= start && (text.charCodeAt(at) === 32 || text.charCodeAt(at) === 9 || text.charCodeAt(at) === 13)) at--;
  if (at < start) return false;
  if (text.charCodeAt(at) === 44) {
    const line = text.slice(start, at);
    return !/(^|\s)(--|—|#)(\s|$)/.test(line) && !/(^|\s)#/.test(line);
  }
  const line = text.slice(start, end);
  const hash = line.indexOf(' #');
  if (hash === -1 || !line.includes(',')) return false;
  const before = line.slice(0, hash);
  return /,\s*$/.test(before) && !/(^|\s)--\s/.test(before);
}

/** Whether a line begins something of its own, and so can't go on the line above. */
function beginsAnew(text: string, start: number, end: number): boolean {
  const line = text.slice(start, Math.min(end, start + 80));
  if (line.trim() === '' || STARTS.test(line)) return true;
  if (CLAUSE_WITH_FIGURE.test(line)) return false;
  const word = FIRST_WORD.exec(line)?.[1]?.toLowerCase();
  return word !== undefined && (word === 'struck' || isVerb(word));
}

const isDigit = (c: number): boolean => c >= 48 && c <= 57;

/** Whether a physical line is one of a day: a four-digit year and a dash, or a day in another order. */
export function looksLikeDay(text: string, start: number, end: number): boolean {
  let at = start;
  while (at < end && (text.charCodeAt(at) === 32 || text.charCodeAt(at) === 9)) at++;
  if (!isDigit(text.charCodeAt(at))) return false;
  if (isDigit(text.charCodeAt(at + 1)) && isDigit(text.charCodeAt(at + 2)) && isDigit(text.charCodeAt(at + 3))) {
    const c = text.charCodeAt(at + 4);
    return c === 45 || c === 46 || c === 47;
  }
  return /^\d{1,2}(?:([./-])\d{1,2}\1(?:\d{4}|\d{2})(?![\d.:/])|\.? [A-Za-z]{3,9}\.?,? \d{4})/.test(
    text.slice(at, Math.min(end, at + 24)),
  );
}

/** A line that a merge left behind. */
export const CONFLICT = /^(<{7}|={7}|>{7}|\|{7})(\s|$)/;

/** A place in a text that moves from one logical line to the next, blank ones and comments left out. */
export class LineCursor implements LogicalLine {
  start: number;
  end: number;
  line: number;
  note = false;
  private readonly text: string;
  private readonly to: number;
  /** Where the next physical line begins, and its number. */
  private next: number;
  private nextLine: number;

  constructor(text: string, from = 0, to = text.length, firstLine = 1) {
    this.text = text;
    this.to = to;
    this.start = from;
    this.end = from;
    this.line = firstLine;
    this.next = from;
    this.nextLine = firstLine;
  }

  /** Moves on; false where there is no further line. */
  advance(): boolean {
    const { text, to } = this;
    while (this.next < to) {
      const start = this.next;
      const here = this.nextLine;
      let newline = text.indexOf('\n', start);
      if (newline === -1 || newline > to) newline = to;
      this.nextLine++;
      this.next = newline + 1;
      let at = start;
      while (at < newline && (text.charCodeAt(at) === 32 || text.charCodeAt(at) === 9)) at++;
      const first = text.charCodeAt(at);
      if (at >= newline || (first === 13 && at + 1 === newline) || first === 35) continue;
      let end = newline;
      this.note = first === 124;
      if (!this.note) {
        // only the last of the joined lines is asked, so that comments and remarks stay with their own
        let last = start;
        while (end < to && endsInComma(text, last, end)) {
          let next = text.indexOf('\n', end + 1);
          if (next === -1 || next > to) next = to;
          if (end + 1 >= to || beginsAnew(text, end + 1, next)) break;
          last = end + 1;
          end = next;
          this.nextLine++;
          this.next = end + 1;
        }
      }
      this.start = start;
      this.end = text.charCodeAt(end - 1) === 13 ? end - 1 : end;
      this.line = here;
      return true;
    }
    return false;
  }
}
