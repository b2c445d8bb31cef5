/** What a check against the world outside the project is: rows of published figures beside what the project gives. */
import type { Worked } from '../../src/trade/worked.ts';

export interface Row {
  /** The inputs, as the source has them: `24.6 °Bx`. */
  readonly at: string;
  readonly expected: number;
  readonly got: () => Worked<number> | undefined;
  /** How far off is allowed, in the unit of the check: half the source's last digit where nothing else is said. */
  readonly tolerance: number;
}

export interface PublishedCheck {
  /** What is compared: `SG 20/20 from Brix`. */
  readonly title: string;
  /** The published source in full: author or body, title, number or year, table. */
  readonly source: string;
  /**
   * How the figures came here: read in the source or a stored copy of it; computed from molar masses or exact
   * definitions; from memory; or common practice without a source.
   */
  readonly standing: 'read' | 'computed' | 'memory' | 'practice';
  /** How it was read, what it leaves open, where it disagrees with another source and by how much. */
  readonly note?: string;
  readonly unit: string;
  readonly rows: readonly Row[];
}
