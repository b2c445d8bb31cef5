/** Words of the journal made safe to stand in the Markdown of a hover: data, never marks. */
import { tame } from '../report/escape.ts';

const MARKS = /[\\`*_[\]<>#|~&]/g;

/** Text that shows as it stands. */
export const plain = (text: string): string => tame(text).replace(MARKS, '\\$&').replace(/\s+/g, ' ');

/** Text as code; what would end the code is left out. */
export const code = (text: string): string => `\`${tame(text).replace(/`/g, "'").replace(/\s+/g, ' ')}\``;

/** A block of journal lines. */
export const journal = (lines: readonly string[]): string =>
  ['```cellar', ...lines.map((line) => tame(line).replace(/`{3,}/g, "'''")), '```'].join('\n');
