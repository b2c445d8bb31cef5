/** Whether two lines, or two files, say the same: read again and held side by side, places and spellings aside. */
import type { Line } from './entries.ts';
import { type FileLine, fileLines } from './file-lines.ts';
import { findUnit } from './units.ts';
import { fold } from './words.ts';

/** Where something stands is no part of what it says. */
const PLACES: ReadonlySet<string> = new Set(['start', 'end', 'wordEnd', 'verbSpan']);

const unitOf = (word: string): string => findUnit(word)?.symbol ?? word;

/** A value without its places, units by their symbols, words without regard to case; codes and remarks stay as they are. */
function said(value: unknown, key: string, columns: boolean): unknown {
  if (typeof value === 'string') {
    if (key === 'unit') return unitOf(value);
    return key === 'text' || key === 'to' || key === 'checkWord' ? fold(columns ? unitOf(value) : value) : value;
  }
  if (Array.isArray(value)) return value.map((one: unknown) => said(one, '', columns));
  if (typeof value !== 'object' || value === null) return value;
  if ('type' in value && value.type === 'code' && 'text' in value) return { code: value.text };
  return Object.fromEntries(
    Object.entries(value)
      .filter(([name]) => !PLACES.has(name))
      .map(([name, field]: [string, unknown]) => [name, said(field, name, columns)]),
  );
}

/** What a line says, as a text to compare. In the head of a table of readings a word may be the unit of its column. */
export function sayingOf(line: Line): string {
  return JSON.stringify(said(line, '', line.type === 'entry' && line.verb === 'readings'));
}

/** Whether two lines say the same. */
export const sameLine = (a: Line, b: Line): boolean => sayingOf(a) === sayingOf(b);

function sameFileLine(a: FileLine, b: FileLine): boolean {
  if (a.kind !== b.kind || a.line !== b.line) return false;
  if ('read' in a && 'read' in b) {
    const broken = a.read.line.type === 'broken' || b.read.line.type === 'broken';
    return broken ? a.text === b.text : sameLine(a.read.line, b.read.line);
  }
  return a.text.trimStart() === b.text.trimStart();
}

/** The first line at which two texts of a file say something different, from 1; undefined where they say the same. */
export function firstDifference(before: string, after: string): number | undefined {
  const others = fileLines(after);
  for (const line of fileLines(before)) {
    const other = others.next();
    if (other.done === true) return line.line;
    if (!sameFileLine(line, other.value)) return Math.min(line.line, other.value.line);
  }
  const more = others.next();
  return more.done === true ? undefined : more.value.line;
}
