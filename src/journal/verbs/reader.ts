/** What a verb's reader is given and what it gives back. */

import type { Event } from '../events.ts';
import type { PlacedEntry, PlacedRow } from '../files.ts';
import type { Line } from '../line.ts';

export interface Below {
  readonly note: string | undefined;
  readonly rows: readonly PlacedRow[];
  /** `cut` under `press`, `due` under `plan`, each as a line of its own. */
  readonly children: readonly PlacedEntry[];
  /** Opens a child, or a row's words, as a line: the same moment and register, its own place. */
  readonly child: (entry: PlacedEntry) => Line;
  /** A row of its own place; what fails in it costs only the row. */
  readonly rowLine: (row: PlacedRow) => Line;
  readonly rowText: (row: PlacedRow) => string;
  /** Reports what failed in a child or a row. */
  readonly settle: (line: Line) => void;
}

/** Reads an entry into events; standing facts give none. A line that fails gives what it gives and is not counted. */
export type VerbReader = (line: Line, below: Below) => readonly Event[];
