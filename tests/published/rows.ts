/** Reads the small tables of published values beside the tests: CSV (RFC 4180) after comment lines that begin with `#`. */
import { readFileSync } from 'node:fs';

export type Row = Readonly<Record<string, string>>;

/** The rows of a table in `data/`, by column name. Fails on a row whose cells do not match the heading. */
export function publishedRows(file: string): readonly Row[] {
  const text = readFileSync(new URL(`./data/${file}`, import.meta.url), 'utf8');
  const [head = [], ...lines] = text
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'))
    .map(cells);
  return lines.map((line) => {
    if (line.length !== head.length) throw new Error(`${file}: ${line.length} cells for ${head.length} columns`);
    return Object.fromEntries(head.map((name, column) => [name, line[column] ?? '']));
  });
}

/** A cell of a row; fails where the table has no such column. */
export function cell(row: Row, column: string): string {
  const value = row[column];
  if (value === undefined) throw new Error(`no column ${column}`);
  return value;
}

function cells(line: string): string[] {
  return [...line.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/gu)].map(
    ([, quoted, plain]) => quoted?.replaceAll('""', '"') ?? plain ?? '',
  );
}
