/** Findings on a terminal: where, what, the line with a marker under the place, and what to write instead. */
import { styleText } from 'node:util';
import { eastAsianWidth } from 'get-east-asian-width';
import type { Severity } from '../../grammar/codes.ts';
import { lineAt, type SourceFile } from '../journal/files.ts';
import type { Finding, Where } from '../journal/findings.ts';

export type Paint = (style: 'red' | 'yellow' | 'cyan' | 'bold' | 'dim' | 'green', text: string) => string;

/** Colour where the terminal has it and nobody asked for none. */
export function painter(stream: NodeJS.WriteStream): Paint {
  const colour = stream.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== 'dumb';
  return colour ? (style, text) => styleText(style, text, { validateStream: false }) : (_, text) => text;
}

const COLOUR: Readonly<Record<Severity, 'red' | 'yellow' | 'cyan'>> = { error: 'red', warning: 'yellow', note: 'cyan' };

/** Columns a text takes on a terminal. */
export function width(text: string): number {
  let columns = 0;
  for (const c of text) columns += /\p{M}/u.test(c) ? 0 : eastAsianWidth(c.codePointAt(0) ?? 32);
  return columns;
}

const LONGEST = 160;
/** Related places told before the rest is only counted. */
const RELATED = 4;

const place = (files: readonly SourceFile[], where: Where): string => {
  const file = files[where.file];
  if (file === undefined) return '';
  return where.line === 0 ? file.path : `${file.path}:${where.line}:${where.column}`;
};

/** Control characters made visible, so that a journal cannot steer the terminal. */
export const visible = (text: string): string =>
  text.replace(/\t/g, ' ').replace(/[\p{Cc}\u202a-\u202e\u2066-\u2069]/gu, '\ufffd');

export function showFinding(finding: Finding, files: readonly SourceFile[], paint: Paint): string {
  const { where } = finding;
  const colour = COLOUR[finding.severity];
  const at = place(files, where);
  const lines = [
    `${at === '' ? '' : `${paint('bold', visible(at))}  `}${paint(colour, finding.severity)}  ${finding.code}`,
    `  ${visible(finding.message)}`,
  ];
  const file = files[where.file];
  if (file !== undefined && where.line > 0) {
    const whole = lineAt(file.text, where.line);
    // a very long line is shown from a little before the place
    const from = whole.length > LONGEST && where.column > LONGEST / 2 ? where.column - LONGEST / 2 : 0;
    const text = visible(whole.slice(from, from + LONGEST));
    const number = String(where.line);
    const start = Math.max(0, where.column - 1 - from);
    const marked = text.slice(start, Math.max(start + 1, where.endColumn - 1 - from));
    lines.push(`  ${paint('dim', `${number} │`)} ${text}`);
    lines.push(
      `  ${paint('dim', `${' '.repeat(number.length)} │`)} ${' '.repeat(width(text.slice(0, start)))}${paint(colour, '‾'.repeat(Math.max(1, width(marked))))}`,
    );
  }
  if (finding.help !== undefined) lines.push(`  ${paint('green', 'instead:')} ${visible(finding.help)}`);
  for (const related of finding.related.slice(0, RELATED))
    lines.push(`  ${paint('dim', `see ${place(files, related.where)}:`)} ${visible(related.message)}`);
  if (finding.related.length > RELATED)
    lines.push(`  ${paint('dim', `and ${finding.related.length - RELATED} more places`)}`);
  return lines.join('\n');
}

const plural = (n: number, word: string): string => `${n} ${word}${n === 1 ? '' : 's'}`;

export interface Tally {
  readonly errors: number;
  readonly warnings: number;
  readonly notes: number;
}

export function tally(findings: readonly Finding[]): Tally {
  const count = (severity: Severity): number => findings.filter((finding) => finding.severity === severity).length;
  return { errors: count('error'), warnings: count('warning'), notes: count('note') };
}

export const sayTally = ({ errors, warnings, notes }: Tally): string =>
  [plural(errors, 'error'), plural(warnings, 'warning'), plural(notes, 'note')].join(', ');
