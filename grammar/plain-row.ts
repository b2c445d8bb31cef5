/** The commonest line by far, a row of figures, by a short way; it gives what the grammar would, or nothing. */
import type { Amount, Cell, Row } from './entries.ts';

const isLetter = (c: number): boolean => (c >= 97 && c <= 122) || (c >= 65 && c <= 90);
const isDigit = (c: number): boolean => c >= 48 && c <= 57;

/** A remark in plain ASCII on one line. */
const PLAIN = /^[ -~]*$/;

/** Words a row cannot begin with here: a verb, a link or a clause is the grammar's to judge. */
export type Taken = (word: string) => boolean;

/** `B1   24.4   16.0`, `B3 24.3 - -- float broke`: plain ASCII, a name, figures without units, dashes, a remark. */
export function readPlainRow(text: string, taken: Taken): Row | undefined {
  const length = text.length;
  let at = 0;
  while (text.charCodeAt(at) === 32) at++;
  const start = at;
  if (!isLetter(text.charCodeAt(at))) return undefined;
  at++;
  for (;;) {
    const c = text.charCodeAt(at);
    if (isLetter(c) || isDigit(c) || c === 95) at++;
    else if (c === 45 || c === 47) {
      const next = text.charCodeAt(at + 1);
      if (!isLetter(next) && !isDigit(next) && next !== 95) return undefined;
      at += 2;
    } else break;
  }
  const nameEnd = at;
  if (text.charCodeAt(at) !== 32) return undefined;
  const cells: Cell[] = [];
  let remark: string | undefined;
  while (at < length) {
    while (text.charCodeAt(at) === 32) at++;
    if (at >= length) break;
    const first = at;
    let c = text.charCodeAt(at);
    if (c === 45) {
      const next = text.charCodeAt(at + 1);
      if (next === 45) {
        // a remark to the end of the line
        if (at + 2 < length && text.charCodeAt(at + 2) !== 32) return undefined;
        remark = text.slice(at + 2).trim();
        if (!PLAIN.test(remark)) return undefined;
        break;
      }
      if (next === 32 || at + 1 === length) {
        cells.push({ type: 'dash', start: at, end: at + 1 });
        at++;
        continue;
      }
      at++;
      c = next;
    }
    if (!isDigit(c)) return undefined;
    while (isDigit(text.charCodeAt(at))) at++;
    if (text.charCodeAt(at) === 46) {
      at++;
      if (!isDigit(text.charCodeAt(at))) return undefined;
      while (isDigit(text.charCodeAt(at))) at++;
    }
    // anything glued to the figure is the grammar's to judge
    if (at < length && text.charCodeAt(at) !== 32) return undefined;
    const figure = text.slice(first, at);
    const amount: Amount = {
      type: 'amount',
      now: false,
      mark: '',
      text: figure,
      value: Number(figure),
      start: first,
      end: at,
    };
    cells.push(amount);
  }
  if (cells.length === 0) return undefined;
  const name = text.slice(start, nameEnd);
  if (taken(name)) return undefined;
  const word = { type: 'word', text: name, start, end: nameEnd } as const;
  return remark === undefined ? { type: 'row', name: word, cells } : { type: 'row', name: word, cells, remark };
}
