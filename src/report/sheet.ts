/** A table as plain data: columns, and rows of cells that lead to where their figures come from. */
import type { BarrelStrip } from './charted.ts';
import type { Figure } from './context.ts';

export interface SheetColumn {
  readonly name: string;
  /** Stands quietly behind the name. */
  readonly unit?: string;
  /** `number` aligns to the right; `words` leaves room for sentences; `nowrap` keeps to one line; `line` is a place in the journal. */
  readonly kind?: 'number' | 'words' | 'nowrap' | 'line';
}

export interface SheetCell {
  readonly figures: readonly Figure[];
  /** Stands quietly behind the figures. */
  readonly quiet?: string;
  /** The day the figures name, as `2026-10-03`. */
  readonly iso?: string;
  readonly barrel?: BarrelStrip;
}

export interface SheetRow {
  /** Its anchor on the page. */
  readonly id?: string;
  readonly cells: readonly SheetCell[];
}

export interface Sheet {
  /** Names the table for those who hear the page. */
  readonly label: string;
  readonly caption: string;
  readonly columns: readonly SheetColumn[];
  readonly rows: readonly SheetRow[];
  /** The sums beneath. */
  readonly foot?: SheetRow;
  /** Whether readers may sort and sift it; short tables with an order of their own stay as they are. */
  readonly sort: boolean;
}

/** A part of a page: words, a table, and words beneath it. */
export interface SheetSection {
  readonly id: string;
  readonly title: string;
  readonly words?: readonly Figure[];
  readonly sheet?: Sheet;
  readonly beneath?: readonly Figure[];
}

export const cell = (text: string, href?: string): SheetCell =>
  text === '' ? EMPTY : { figures: [href === undefined ? { text } : { text, href }] };

export const figures = (list: readonly Figure[], quiet = ''): SheetCell =>
  quiet === '' ? { figures: list } : { figures: list, quiet };

export const EMPTY: SheetCell = { figures: [] };
