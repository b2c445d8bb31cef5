/** What to write instead of a part of a line, where it is known: offered beside a finding, to be taken at one stroke. */
import type { Span } from './entries.ts';

/** Text to stand in place of a span of the line; a span of no length is a place to write at. */
export interface Fix extends Span {
  readonly text: string;
}

export interface Fixes {
  /** One where the mistake can mean one thing only; several where it can mean several. */
  readonly fixes: readonly Fix[];
}

/** One of these texts instead of a span. */
export const instead = ({ start, end }: Span, ...texts: readonly string[]): Fixes => ({
  fixes: texts.map((text) => ({ start, end, text })),
});

/** As `instead`, for a word that was guessed and may be none. */
export const insteadIf = (span: Span, text: string | undefined): Fixes | object =>
  text === undefined ? {} : instead(span, text);

const PLAIN_NAME = /^\p{L}(?:[\p{L}\p{M}\p{N}_]|[-/](?=[\p{L}\p{N}]))*$/u;

/** A name as it is written in a line: in quotes where it is no word. */
export const asWritten = (name: string): string => (PLAIN_NAME.test(name) ? name : `"${name}"`);
