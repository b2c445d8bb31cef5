/** Builds a site from a book with the project's own templates and explanations. */
import { join } from 'node:path';
import type { Book } from '../../src/cellar/book.ts';
import { buildSite } from '../../src/site/build.ts';
import type { SiteFile } from '../../src/site/pages.ts';

const ROOT = join(import.meta.dirname, '..', '..');

export function siteOf(book: Book, onProgress?: (done: number, total: number) => void): Promise<SiteFile[]> {
  return buildSite(book, {
    templates: join(ROOT, 'templates'),
    findingsPages: join(ROOT, 'grammar', 'findings'),
    ...(onProgress === undefined ? {} : { onProgress }),
  });
}

/** Every `href` of a page, unescaped. */
export function hrefsOf(html: string): string[] {
  return [...html.matchAll(/\shref="([^"]*)"/gu)].map((match) =>
    (match[1] ?? '').replaceAll('&#39;', "'").replaceAll('&quot;', '"').replaceAll('&amp;', '&'),
  );
}

export function idsOf(html: string): string[] {
  return [...html.matchAll(/\sid="([^"]*)"/gu)].map((match) => match[1] ?? '');
}
