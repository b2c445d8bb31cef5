/** What one line of a journal says, before any name is looked up: days, entries, rows, and lines that could not be read. */
import type { Code } from './codes.ts';
import type { Fix } from './fixes.ts';
import type { ClauseWord, LinkWord, QuantWord, VerbWord } from './words.ts';

/** A half-open range of UTF-16 offsets within the text of one (joined) line. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A number with what stands around it: `~335 L`, `22..30 C`, `12 x 750 mL`, `57 g (40 mg/L SO2)`, `?`, `each`. */
export interface Amount extends Span {
  readonly type: 'amount';
  /** `now 3700 L`: what the vessel read afterwards, not what went in. */
  readonly now: boolean;
  /** `~` an estimate, `<` below and `>` above what the method can see. */
  readonly mark: '' | '~' | '<' | '>';
  /** The number as written; empty for a quantity without a number. */
  readonly text: string;
  /** The number as a double, for what need not be exact; NaN for a quantity without a number. */
  readonly value: number;
  /** The upper end of a range of numbers. */
  readonly high?: string;
  /** Further factors: `98 x 12 x 750 mL` has two. */
  readonly times?: readonly string[];
  /** The unit as written. */
  readonly unit?: string;
  /** The figure in brackets that the tool is to compare with, and the word behind it. */
  readonly check?: Amount;
  readonly checkWord?: string;
  readonly quant?: QuantWord;
  /** `?`: the tool is asked. */
  readonly ask?: true;
}

export interface Word extends Span {
  readonly type: 'word' | 'string' | 'code' | 'date' | 'time';
  readonly text: string;
  /** The other end of a range of names (`B1..B15`) or times. */
  readonly to?: string;
}

export type Part = Word | Amount;

/** A head and what follows it up to the next comma or phrase: `FB-01..FB-03 225 L each`. Never empty. */
export interface Item extends Span {
  readonly parts: readonly [Part, ...Part[]];
}

/** A link or clause word with what it governs: `to T4 800 L`. */
export interface Phrase extends Span {
  readonly word: LinkWord | ClauseWord;
  readonly wordEnd: number;
  readonly items: readonly Item[];
}

/** The time before a verb: minutes after midnight of the day above (1440 and more for `+00:40`). */
export interface When extends Span {
  readonly minutes: readonly number[];
  /** The end of a range of times. */
  readonly until?: number;
}

export interface Entry {
  readonly type: 'entry';
  readonly when?: When;
  readonly struck: boolean;
  readonly verb: VerbWord;
  readonly verbSpan: Span;
  readonly head: readonly Item[];
  readonly phrases: readonly Phrase[];
  readonly remark?: string;
}

export interface Row {
  readonly type: 'row';
  readonly name: Word;
  readonly cells: readonly Cell[];
  readonly remark?: string;
}

/** A cell of a row; a dash is an empty one. */
export type Cell = Part | (Span & { readonly type: 'dash' });

export interface Day {
  readonly type: 'day';
  /** Days since 1970-01-01, or NaN where there is no such day. */
  readonly day: number;
  /** The day it must mean, where it is written wrongly and can mean one only. */
  readonly meant?: number;
  readonly text: string;
  readonly remark?: string;
}

/** A line that could not be read: its problems say why, its words say what it may have touched. */
export interface Broken {
  readonly type: 'broken';
  readonly words: readonly Word[];
  /** Its verb, where that much could be read. */
  readonly verb?: VerbWord;
  /** Its last time before the verb, in minutes of its day. */
  readonly minute?: number;
  readonly remark?: string;
}

export interface Blank {
  readonly type: 'blank';
}

export type Line = Entry | Row | Day | Broken | Blank;

/** Something to say about a place in a line: the finding before it knows its file. */
export interface Problem extends Span {
  readonly code: Code;
  readonly message: string;
  readonly help?: string;
  readonly fixes?: readonly Fix[];
}

/** A line read: what it says and what is to be said about it. */
export interface ReadLine {
  readonly line: Line;
  readonly problems: readonly Problem[];
}
