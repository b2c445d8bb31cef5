/** What a verb's reader is given and what it gives back. */

import type { Event } from '../events.ts';
import type { PlacedEntry, PlacedRow } from '../files.ts';
import type { Finding } from '../findings.ts';
import type { Line } from '../line.ts';

export interface Below {
  readonly note: string | undefined;
  readonly rows: readonly PlacedRow[];
  /** `cut` under `press`, `due` under `plan`, each as a line of its own. */
  readonly children: readonly PlacedEntry[];
  /** A line of its own below it could not be read. */
  readonly lacking: boolean;
  /** A line below that failed, without which the entry tells too little. */
  readonly spoiled: { readonly finding: Finding } | undefined;
  /** Opens a child as a line: the same moment and register, its own place. */
  child(entry: PlacedEntry): Line;
  /** A row as a line of its own; what fails in it costs only the row. */
  rowLine(row: PlacedRow): Line;
  /** The text of a row. */
  rowText(row: PlacedRow): string;
  /** Reports what failed in a child or a row. */
  settle(line: Line): void;
}

/** Reads an entry into events; standing facts give none. A line that fails gives what it gives and is not counted. */
export type VerbReader = (line: Line, below: Below) => readonly Event[];
