/** Findings of two books: which are gone, which are new, and which say something else of the same line. */
import type { Book } from '../../cellar/book.ts';
import type { Finding } from '../../journal/findings.ts';
import { linesOf } from '../finding-list.ts';

export interface FindingChanges {
  readonly gone: readonly Finding[];
  readonly found: readonly Finding[];
  readonly changed: readonly { readonly before: Finding; readonly after: Finding }[];
}

/** A finding without the number of its line: its code, and the words of the line it is about. */
function keysOf(book: Book): (finding: Finding) => string {
  const cut = new Map<number, string[]>();
  return ({ code, where: { file, line } }) => {
    const source = book.files[file];
    if (source === undefined) return code;
    if (line === 0) return `${code} ${source.path}`;
    let lines = cut.get(file);
    if (lines === undefined) {
      lines = linesOf(source.text);
      cut.set(file, lines);
    }
    return `${code} ${(lines[line - 1] ?? '').trim().split(/\s+/).join(' ')}`;
  };
}

/** Findings of two lists in pairs, those of one key in the order they are told. */
function pairs(
  before: readonly Finding[],
  after: readonly Finding[],
  keyBefore: (finding: Finding) => string,
  keyAfter: (finding: Finding) => string,
): { both: { before: Finding; after: Finding }[]; before: Finding[]; after: Finding[] } {
  const waiting = new Map<string, Finding[]>();
  for (const finding of after) {
    const key = keyAfter(finding);
    waiting.set(key, [...(waiting.get(key) ?? []), finding]);
  }
  const both: { before: Finding; after: Finding }[] = [];
  const left = before.filter((finding) => {
    const other = waiting.get(keyBefore(finding))?.shift();
    if (other === undefined) return true;
    both.push({ before: finding, after: other });
    return false;
  });
  const open = new Set([...waiting.values()].flat());
  return { both, before: left, after: after.filter((finding) => open.has(finding)) };
}

export function compareFindingLists(before: Book, after: Book): FindingChanges {
  const [keyBefore, keyAfter] = [keysOf(before), keysOf(after)];
  const withMessage =
    (key: (finding: Finding) => string) =>
    (finding: Finding): string =>
      `${key(finding)} ${finding.message}`;
  const unlike = pairs(before.findings, after.findings, withMessage(keyBefore), withMessage(keyAfter));
  const { both, before: gone, after: found } = pairs(unlike.before, unlike.after, keyBefore, keyAfter);
  return { gone, found, changed: both };
}
