/** A comparison as one page in one file, with the site's stylesheet in it: to be sent to whoever inspects the record. */
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ToldComparison } from '../report/compare/comparison-told.ts';
import type { Figure } from '../report/context.ts';
import { escapeAsWritten, escapeText } from '../report/escape.ts';
import type { Sheet } from '../report/sheet.ts';
import { templatesIn } from './render.ts';
import { sheetHtml } from './sheet-html.ts';

const link = ({ text, href }: Figure): string =>
  href === undefined ? escapeText(text) : `<a href="${escapeText(href)}">${escapeText(text)}</a>`;

/** @throws Error when the templates cannot be read: they are part of the program. */
export async function comparisonPage(page: ToldComparison, cellar: string, templates: string): Promise<string> {
  const [render, ...sheets] = await Promise.all([
    templatesIn(templates),
    readFile(join(templates, 'style.css'), 'utf8'),
    readFile(join(templates, 'comparison.css'), 'utf8'),
  ]);
  const style = sheets.join('\n');
  return render('comparison', {
    page,
    cellar: cellar === '' ? 'The cellar book' : cellar,
    style,
    // the one style the page may have
    styleHash: createHash('sha256').update(style).digest('base64'),
    sheet: (sheet: Sheet) => sheetHtml(sheet, link),
    asWritten: escapeAsWritten,
  });
}
