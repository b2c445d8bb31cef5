/** A finding: something to say about a place in the journal, with what to do about it. */
import { CODES, type Code, type Severity } from '../../grammar/codes.ts';

export interface Where {
  /** An index into the journal's files; -1 for the folder itself. */
  readonly file: number;
  /** From 1; 0 where the finding is about the whole file. */
  readonly line: number;
  /** UTF-16 columns from 1; `endColumn` is one past the last. */
  readonly column: number;
  readonly endColumn: number;
}

export interface Related {
  readonly where: Where;
  readonly message: string;
}

/** Text to stand in place of a part of a line. */
export interface FindingFix {
  readonly where: Where;
  readonly text: string;
}

export interface Finding {
  readonly code: Code;
  readonly severity: Severity;
  readonly where: Where;
  /** What is wrong, in the crew's words, with the numbers. */
  readonly message: string;
  /** What to write instead. */
  readonly help?: string;
  /** What may be written instead, where it is known: one of these. */
  readonly fixes?: readonly FindingFix[];
  readonly related: readonly Related[];
}

export const severityOf = (code: Code): Severity => CODES[code].severity;

/** File, then line, column and code: the order findings are always told in. */
export function compareFindings(a: Finding, b: Finding): number {
  return (
    a.where.file - b.where.file ||
    a.where.line - b.where.line ||
    a.where.column - b.where.column ||
    (a.code < b.code ? -1 : a.code > b.code ? 1 : 0)
  );
}
