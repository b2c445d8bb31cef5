/** The whole site as texts, ready to be written: the only thing a caller needs to ask for. */

import type { Book } from '../cellar/book.ts';
import { contextOf } from '../report/context.ts';
import { PAST_NOT_ASKED, type PastSeen } from '../report/corrections.ts';
import { searchIndex, searchScript } from '../report/search-index.ts';
import { calendarFile } from './calendar-file.ts';
import { explanationsIn } from './explanations.ts';
import { markdownFor } from './markdown.ts';
import { notesOf, pageCount, type SiteFile, sitePages } from './pages.ts';
import { assetsIn, templatesIn } from './render.ts';

export interface SiteOptions {
  /** The folder of templates, stylesheet, script and icon. */
  readonly templates: string;
  /** The folder of the texts that explain findings; those missing there get a page with a title only. */
  readonly findingsPages: string;
  /** What version control saw of the journal; without it, the page of corrections says that it was not asked. */
  readonly past?: PastSeen;
  readonly onProgress?: (done: number, total: number) => void;
}

/**
 * Every file of the site, in a fixed order. The same book gives the same bytes.
 *
 * @throws Error when the templates cannot be read.
 */
export async function buildSite(book: Book, options: SiteOptions): Promise<SiteFile[]> {
  const [render, assets, explanations] = await Promise.all([
    templatesIn(options.templates),
    assetsIn(options.templates),
    explanationsIn(options.findingsPages),
  ]);
  const notes = await markdownFor(notesOf(book), { base: '../', headings: false, pages: false });
  const explain = await markdownFor(explanations.values(), { base: '', headings: true, pages: true });
  const context = contextOf(book);
  const index = searchIndex(context);
  const beside: SiteFile[] = [
    ...assets,
    { path: 'search-index.js', text: searchScript(index) },
    ...calendarFile(context),
  ];
  const files = [...beside];
  const makers = { render, notes, explanations, explain, index, past: options.past ?? PAST_NOT_ASKED };
  const total = pageCount(context, makers);
  for (const page of sitePages(context, makers)) {
    files.push(page);
    options.onProgress?.(files.length - beside.length, total);
  }
  return files;
}
