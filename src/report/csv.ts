/** Tables as CSV: RFC 4180, in UTF-8 without a byte order mark, with text that no spreadsheet takes for a formula. */

/** A cell: text, a figure, yes or no, or nothing. */
export type Cell = string | number | boolean | null;

/**
 * Text that a spreadsheet might take for a formula, or for a text it has marked so itself: it gets an apostrophe before
 * it. Figures never do, so -1.3 stays a figure.
 */
const RISKY = /^[=+\-@\t\r\n'＝＋－＠]/;
/** What has to stand in quotes; `#` at the beginning, as some readers take it for a comment. */
const QUOTED = /[",\r\n]|^#|^\s|\s$/;

/** A figure without an exponent: nothing smaller than a millionth of a millionth is kept. */
function figure(value: number): string {
  const text = String(value);
  if (!Number.isFinite(value)) return '';
  return text.includes('e') ? value.toFixed(12).replace(/\.?0+$/, '') : text;
}

/** A cell as it stands in the file. */
export function csvCell(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return figure(cell);
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  const safe = RISKY.test(cell) ? `'${cell}` : cell;
  return QUOTED.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** A file: the heads, then the rows, each line ended by a carriage return and a line feed. */
export function csvText(heads: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return [heads, ...rows].map((row) => `${row.map(csvCell).join(',')}\r\n`).join('');
}
