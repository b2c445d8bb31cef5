/** What a save changed among the findings: which are new, and which are gone. */
import { lineAt, type SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';

export interface Found {
  readonly findings: readonly Finding[];
  readonly files: readonly SourceFile[];
}

/** A finding stays the same where lines above it come and go. */
function keyOf({ code, message, where }: Finding, files: readonly SourceFile[]): string {
  const file = files[where.file];
  const line = file === undefined || where.line === 0 ? '' : lineAt(file.text, where.line).trim();
  return JSON.stringify([code, message, file?.path ?? '', line]);
}

/** The findings of the first that the second has not. */
function without(some: Found, others: Found): Finding[] {
  const left = new Map<string, number>();
  for (const finding of others.findings) {
    const key = keyOf(finding, others.files);
    left.set(key, (left.get(key) ?? 0) + 1);
  }
  return some.findings.filter((finding) => {
    const key = keyOf(finding, some.files);
    const count = left.get(key) ?? 0;
    if (count > 0) left.set(key, count - 1);
    return count === 0;
  });
}

export const findingChanges = (
  before: Found,
  after: Found,
): { readonly fresh: Finding[]; readonly gone: Finding[] } => ({
  fresh: without(after, before),
  gone: without(before, after),
});
