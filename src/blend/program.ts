/** A linear program as numbers: columns to choose, rows that bound them, and what solving one comes to. Types only. */

export interface Column {
  readonly low: number;
  readonly high: number;
  /** What a unit of it costs; the sum of costs is made as small as can be. */
  readonly cost: number;
  /** Whole numbers only. */
  readonly whole: boolean;
}

export interface Row {
  /** Column and coefficient, each column once. */
  readonly terms: readonly (readonly [column: number, coefficient: number])[];
  readonly low: number;
  readonly high: number;
}

export interface Program {
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
}

export type Solved =
  | { readonly status: 'solved'; readonly values: readonly number[]; readonly cost: number }
  /** No choice meets all rows. */
  | { readonly status: 'impossible' }
  /** The cost can fall without end. */
  | { readonly status: 'endless' }
  /** The solver stopped without an answer. */
  | { readonly status: 'unsolved'; readonly why: string };

export type Solve = (program: Program) => Solved;
