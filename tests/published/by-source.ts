/** Rows of a published table sorted by their source and by how they were read, and what the printed digits allow. */
import type { PublishedCheck } from './check.ts';
import { cell, type Row } from './rows.ts';

export interface SourceRows {
  readonly source: string;
  readonly standing: PublishedCheck['standing'];
  readonly rows: readonly Row[];
}

const STANDINGS: readonly (readonly [start: string, standing: PublishedCheck['standing']])[] = [
  ['read', 'read'],
  ['computed', 'computed'],
  ['from memory', 'memory'],
  ['common practice', 'practice'],
];

function standingOf(row: Row): PublishedCheck['standing'] {
  const confidence = cell(row, 'confidence');
  const found = STANDINGS.find(([start]) => confidence.startsWith(start));
  if (found === undefined) throw new Error(`no standing for ${confidence}`);
  return found[1];
}

/** The rows of one source and one standing together, in the order of the table. */
export function bySource(rows: readonly Row[]): readonly SourceRows[] {
  const groups = new Map<string, { source: string; standing: PublishedCheck['standing']; rows: Row[] }>();
  for (const row of rows) {
    const source = cell(row, 'source');
    const standing = standingOf(row);
    const key = `${standing} ${source}`;
    const group = groups.get(key) ?? { source, standing, rows: [] };
    group.rows.push(row);
    groups.set(key, group);
  }
  return [...groups.values()];
}

/** Half of the last digit printed: `0.35` allows 0.005. */
export function halfDigit(printed: string): number {
  return 0.5 * 10 ** -(printed.split('.')[1]?.length ?? 0);
}

/** The tolerance a row states, else half of the last digit of its value. */
export function toleranceOf(row: Row, value: string): number {
  const stated = row.tolerance ?? '';
  return stated === '' ? halfDigit(value) : Number(stated);
}

/** The notes of rows that differ from the source's own digits, in one line; `undefined` where none does. */
export function notesOf(rows: readonly Row[], name: (row: Row) => string): string | undefined {
  const notes = rows.flatMap((row) => (row.note === undefined || row.note === '' ? [] : [`${name(row)}: ${row.note}`]));
  return notes.length === 0 ? undefined : notes.join('; ');
}
