/** What the checks on sugar share: rows of a table turned into rows of a check. */
import { isRefused, type Worked } from '../../src/trade/worked.ts';
import type { Row } from './check.ts';
import { type Row as Cells, cell } from './rows.ts';

/** The number in a cell. */
export const number = (row: Cells, column: string): number => Number(cell(row, column));

/** A figure that has to be there; what refuses it fails the test. */
export function sure<T>(worked: Worked<T>): T {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
}

/** A row a printed cell: where it stands, what is printed, what the formula gives. Empty cells are left out. */
export function printed(
  rows: readonly Cells[],
  column: string,
  at: (row: Cells) => string,
  got: (row: Cells) => Worked,
  tolerance: number,
): Row[] {
  return rows
    .filter((row) => cell(row, column) !== '')
    .map((row) => ({ at: at(row), expected: number(row, column), got: () => got(row), tolerance }));
}

/** A row a figure quoted in running text. */
export const quoted = (at: string, expected: number, got: () => Worked, tolerance: number): Row => ({
  at,
  expected,
  got,
  tolerance,
});
