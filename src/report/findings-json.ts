/** Findings as plain data for other programs, places as file, line and column. */
import type { SourceFile } from '../journal/files.ts';
import type { Finding, Where } from '../journal/findings.ts';

export interface PlaceJson {
  /** Relative to the journal's folder; absent where it is about the folder. */
  readonly file?: string;
  /** From 1; 0 for a whole file. */
  readonly line: number;
  readonly column: number;
  readonly endColumn: number;
}

export interface FindingJson extends PlaceJson {
  readonly code: string;
  readonly severity: string;
  readonly message: string;
  readonly help?: string;
  readonly related: readonly (PlaceJson & { readonly message: string })[];
}

const placeJson = (where: Where, files: readonly { readonly path: string }[]): PlaceJson => {
  const path = files[where.file]?.path;
  return {
    ...(path === undefined ? {} : { file: path }),
    line: where.line,
    column: where.column,
    endColumn: where.endColumn,
  };
};

export const findingJson = (finding: Finding, files: readonly { readonly path: string }[]): FindingJson => ({
  code: finding.code,
  severity: finding.severity,
  ...placeJson(finding.where, files),
  message: finding.message,
  ...(finding.help === undefined ? {} : { help: finding.help }),
  related: finding.related.map((related) => ({ ...placeJson(related.where, files), message: related.message })),
});

export function findingsJson(findings: readonly Finding[], files: readonly SourceFile[], entries: number) {
  const count = (severity: string): number => findings.filter((finding) => finding.severity === severity).length;
  return {
    entries,
    errors: count('error'),
    warnings: count('warning'),
    notes: count('note'),
    findings: findings.map((finding) => findingJson(finding, files)),
  };
}
