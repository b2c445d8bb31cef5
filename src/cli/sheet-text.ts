/** A table of a page model on a terminal: columns beside one another, figures to the right. */
import type { Sheet, SheetCell } from '../report/sheet.ts';
import { type Paint, visible, width } from './show.ts';

const textOf = ({ figures, quiet }: SheetCell): string =>
  visible([figures.map(({ text }) => text).join(', '), quiet ?? ''].filter((part) => part !== '').join(' '));

/** Beyond it a column of words goes on over its neighbours' width: it stands last, or is long anyhow. */
const WIDEST = 48;

/** The lines of a table, at most so many rows of it; the rest is counted. */
export function sheetText(sheet: Sheet, paint: Paint, most: number): string[] {
  const heads = sheet.columns.map(({ name }) => name);
  const rows = sheet.rows.slice(0, most).map(({ cells }) => cells.map(textOf));
  const widths = heads.map((head, at) =>
    Math.min(WIDEST, Math.max(...[head, ...rows.map((row) => row[at] ?? '')].map(width))),
  );
  const lineOf = (cells: readonly string[]): string =>
    cells
      .map((text, at) => {
        const room = ' '.repeat(Math.max(0, (widths[at] ?? 0) - width(text)));
        return sheet.columns[at]?.kind === 'number' ? room + text : text + room;
      })
      .join('  ')
      .trimEnd();
  const left = sheet.rows.length - rows.length;
  return [
    `  ${paint('dim', lineOf(heads))}`,
    ...rows.map((row) => `  ${lineOf(row)}`),
    ...(left > 0 ? [`  and ${left} more rows: --all shows them`] : []),
  ];
}
