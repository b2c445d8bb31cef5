/** What may be done about findings at a stroke: each is text to stand in place of a part of a line. */
import type { SourceFile } from '../journal/files.ts';
import type { Finding, FindingFix, Where } from '../journal/findings.ts';
import type { Range } from './names.ts';
import type { Edit } from './rename.ts';
import { lineStarts } from './spots.ts';

export interface Action {
  readonly title: string;
  readonly finding: Finding;
  readonly edit: Edit;
  /** It is the only one its finding has. */
  readonly only: boolean;
}

/** The offsets of a finding's place; a finding about a whole file is about its beginning. */
export function rangeOf(starts: readonly number[], text: string, { file, line, column, endColumn }: Where): Range {
  const first = starts[Math.max(0, line - 1)] ?? text.length;
  const clip = (offset: number): number => Math.min(text.length, Math.max(0, offset));
  return { file, start: clip(first + column - 1), end: clip(first + endColumn - 1) };
}

const shown = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}...` : text);

function titleOf(there: string, { text }: FindingFix): string {
  if (text === '') return `take \`${shown(there)}\` away`;
  if (there === '') return `write \`${shown(text.trim())}\` here`;
  if (there.trim() === '' && text.trim() === '') return 'write a plain blank';
  return `write \`${shown(text)}\` instead of \`${shown(there)}\``;
}

/** The actions for findings that lie within a part of a file, or touch it. */
export function actionsIn(files: readonly SourceFile[], findings: readonly Finding[], at: Range): Action[] {
  const text = files[at.file]?.text ?? '';
  const starts = lineStarts(text);
  return findings
    .filter(({ where, fixes }) => where.file === at.file && fixes !== undefined && fixes.length > 0)
    .filter(({ where }) => {
      const { start, end } = rangeOf(starts, text, where);
      return start <= at.end && at.start <= end;
    })
    .flatMap((finding) =>
      (finding.fixes ?? []).map((fix, _, all): Action => {
        const range = rangeOf(starts, text, fix.where);
        return {
          title: titleOf(text.slice(range.start, range.end), fix),
          finding,
          edit: { ...range, text: fix.text },
          only: all.length === 1,
        };
      }),
    );
}
