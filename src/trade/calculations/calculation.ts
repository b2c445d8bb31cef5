/** A calculation as data: what it asks, its formula and source, what it answers. The command line and the pages read it. */
import type { Dimension } from '../../../grammar/units.ts';
import type { Worked } from '../worked.ts';

/** One figure or word a calculation asks for. */
export interface Input {
  /** Its name on the command line: lower case, hyphens (`free-so2`). */
  readonly name: string;
  /** What it is, for people: `free sulfur dioxide, as measured`. */
  readonly say: string;
  /** The unit `work` gets the figure in: a symbol of the unit table, or a scale (`°Bx`, `pH`, `SG`); `''` for a plain number. */
  readonly unit: string;
  /** The dimensions it may be written in, converted to `unit`; absent or empty: a plain number on the scale of `unit`. */
  readonly dimensions?: readonly Dimension[];
  /** What the answer depends on least; taken where it is not given, and said in the answer. */
  readonly usual?: number;
  /** It may be left out, and `work` does without it. */
  readonly optional?: true;
  /** A word out of these instead of a figure; the first is taken where none is given. */
  readonly choices?: readonly string[];
  /** A word out of a table too long to list: a substance of `substances.ts`. */
  readonly names?: 'substance';
  /**
   * What of the record answers it where a vessel is named: its volume, the key of an analyte in `grammar/analytes.ts`
   * (its newest reading), or the wine's colour.
   */
  readonly record?: string;
}

/** The inputs of one call: figures in the unit their input names, words as chosen. */
export interface Given {
  readonly figures: Readonly<Record<string, number>>;
  readonly words: Readonly<Record<string, string>>;
}

/** A figure worked out. */
export interface Figure {
  readonly say: string;
  readonly value: number;
  readonly unit: string;
  /** Decimals that mean something; the rest is rounded away for people. */
  readonly decimals: number;
}

export interface Answer {
  /** The answer first, then what led to it or bounds it. */
  readonly figures: readonly [Figure, ...Figure[]];
  /** Which of several methods was used: `OIV-MA-AS323-04C, mixed constant at 20 °C`. */
  readonly method: string;
  /** What the reader has to know beside the figure: what was assumed, how uncertain it is. */
  readonly remarks: readonly string[];
}

export interface Calculation {
  /** Its name on the command line: lower case, hyphens (`so2-dose`). */
  readonly name: string;
  /** One line: what it tells. */
  readonly say: string;
  readonly inputs: readonly Input[];
  /** The formula in plain symbols, the names of the inputs as its letters. */
  readonly formula: string;
  /** Where it holds, and what happens outside. */
  readonly range: string;
  /** Published sources, most binding first; `common practice, no source` and `from memory` said where true. */
  readonly sources: readonly string[];
  /** The caution that belongs beside it, in our own words with its source, deferring to local codes and licensed practice. */
  readonly caution?: string;
  /** One call that shows it, for the documentation: `--brix 24.6`. */
  readonly example: string;
  readonly work: (given: Given) => Worked<Answer>;
}
