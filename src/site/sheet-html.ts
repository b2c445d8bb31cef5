/** A table of a page model as HTML, in the one shape all such tables have. */
import { barrelCell } from '../charts/barrel-strip.ts';
import type { Figure } from '../report/context.ts';
import { escapeText } from '../report/escape.ts';
import type { Sheet, SheetCell, SheetColumn, SheetRow } from '../report/sheet.ts';

const CLASSES: Readonly<Record<NonNullable<SheetColumn['kind']>, string>> = {
  number: 'number',
  words: 'words',
  nowrap: 'nowrap',
  line: 'small line',
};

const classOf = ({ kind }: SheetColumn): string => (kind === undefined ? '' : ` class="${CLASSES[kind]}"`);

/** A table of more rows can be sifted: room is kept above it for the field that the script adds. */
const LONG = 20;

/** `link` gives a figure as HTML. */
export function sheetHtml(sheet: Sheet, link: (figure: Figure) => string): string {
  const { columns } = sheet;
  const heads = columns.map((column) => {
    // A column of marks whose rows name themselves has no name, and so no head.
    if (column.name === '') return '<td></td>';
    const unit = column.unit === undefined ? '' : ` <span class="quiet">${escapeText(column.unit)}</span>`;
    // the head of a column of lines needs no smaller letters
    const kind = column.kind === 'number' ? ' class="number"' : '';
    return `<th scope="col"${kind}>${escapeText(column.name)}${unit}</th>`;
  });
  const row = ({ id, cells }: SheetRow): string =>
    `<tr${id === undefined ? '' : ` id="${escapeText(id)}"`}>${cells
      .map((cell, at) => cellHtml(cell, at === 0, classOf(columns[at] ?? { name: '' }), link))
      .join('')}</tr>`;
  const foot = sheet.foot === undefined ? '' : `<tfoot>${row(sheet.foot)}</tfoot>`;
  return (
    `<div class="scroll${sheet.sort && sheet.rows.length > LONG ? ' long' : ''}" role="group" aria-label="${escapeText(sheet.label)}" tabindex="0">` +
    `<table${sheet.sort ? ' data-sort' : ''}>\n<caption>${escapeText(sheet.caption)}</caption>\n` +
    `<thead><tr>${heads.join('')}</tr></thead>\n<tbody>\n${sheet.rows.map((one) => `${row(one)}\n`).join('')}</tbody>` +
    `${foot}</table></div>`
  );
}

function cellHtml(
  { figures, quiet, iso, barrel }: SheetCell,
  head: boolean,
  kind: string,
  link: (figure: Figure) => string,
): string {
  const words = figures.map(link).join(', ');
  const parts = [
    iso === undefined || words === '' ? words : `<time datetime="${escapeText(iso)}">${words}</time>`,
    quiet === undefined ? '' : `<span class="quiet">${escapeText(quiet)}</span>`,
    barrel === undefined ? '' : barrelCell(barrel),
  ].filter((part) => part !== '');
  return head ? `<th scope="row"${kind}>${parts.join(' ')}</th>` : `<td${kind}>${parts.join(' ')}</td>`;
}
