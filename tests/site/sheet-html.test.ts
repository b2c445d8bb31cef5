import { expect, test } from 'vitest';
import type { Figure } from '../../src/report/context.ts';
import { escapeText } from '../../src/report/escape.ts';
import { cell, EMPTY, figures, type Sheet } from '../../src/report/sheet.ts';
import { sheetHtml } from '../../src/site/sheet-html.ts';

const link = ({ text, href }: Figure): string =>
  href === undefined ? escapeText(text) : `<a href="${escapeText(href)}">${escapeText(text)}</a>`;

const sheet: Sheet = {
  label: 'A & B',
  caption: 'What <came>',
  columns: [{ name: 'What' }, { name: 'Sugar', kind: 'number', unit: '°Bx' }, { name: 'Day', kind: 'nowrap' }],
  rows: [
    {
      id: 'r1',
      cells: [
        cell('<b>', 'x.html#"y"'),
        cell('24.1'),
        { figures: [{ text: '3 Oct' }], iso: '2026-10-03', quiet: '07:00' },
      ],
    },
    { cells: [figures([{ text: 'a' }, { text: 'b', href: 'b.html' }], 'and more'), EMPTY, EMPTY] },
  ],
  foot: { cells: [cell('in all'), cell('24.1'), EMPTY] },
  sort: true,
};

test('a table has a name, a caption, heads and heads of rows, and all text of the journal escaped', () => {
  const html = sheetHtml(sheet, link);
  expect(html).toContain('aria-label="A &amp; B"');
  expect(html).toContain('<caption>What &lt;came&gt;</caption>');
  expect(html).toContain('<th scope="col" class="number">Sugar <span class="quiet">°Bx</span></th>');
  expect(html).toContain('<tr id="r1"><th scope="row"><a href="x.html#&quot;y&quot;">&lt;b&gt;</a></th>');
  expect(html).toContain(
    '<td class="nowrap"><time datetime="2026-10-03">3 Oct</time> <span class="quiet">07:00</span></td>',
  );
  expect(html).toContain('<th scope="row">a, <a href="b.html">b</a> <span class="quiet">and more</span></th>');
  expect(html).toContain('<tfoot><tr><th scope="row">in all</th><td class="number">24.1</td>');
  expect(html).not.toContain('undefined');
});

test('tables that may be sorted say so', () => {
  expect(sheetHtml(sheet, link)).toContain('<table data-sort');
  expect(sheetHtml({ ...sheet, sort: false }, link)).not.toContain('data-sort');
});
