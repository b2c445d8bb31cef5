/** The site of a journal that is being written: made anew for each book, and only what changed is handed on. */
import { createHash } from 'node:crypto';
import type { Book } from '../cellar/book.ts';
import { contextOf } from '../report/context.ts';
import { searchIndex, searchScript } from '../report/search-index.ts';
import type { SiteOptions } from './build.ts';
import { explanationsIn } from './explanations.ts';
import { markdownFor } from './markdown.ts';
import { notesOf, pageText, plannedPages, type SiteFile, surroundOf } from './pages.ts';
import { assetsIn, templatesIn } from './render.ts';

export interface SiteChange {
  /** Files that are new or hold something else. */
  readonly changed: readonly SiteFile[];
  /** Paths that are no more. */
  readonly removed: readonly string[];
  /** Every path of the site. */
  readonly paths: readonly string[];
}

const digestOf = (text: string): string => createHash('sha1').update(text).digest('base64');

/** What is read once: templates, assets and explanations. */
type Parts = Awaited<ReturnType<typeof partsOf>>;

const partsOf = async (options: SiteOptions) => {
  const explanations = await explanationsIn(options.findingsPages);
  return {
    render: await templatesIn(options.templates),
    assets: await assetsIn(options.templates),
    explanations,
    explain: await markdownFor(explanations.values(), { base: '', headings: true, pages: true }),
  };
};

export class KeptSite {
  private readonly options: SiteOptions;
  private parts: Parts | undefined;
  /** Digests of the texts that were handed on, by path. */
  private digests = new Map<string, string>();

  constructor(options: SiteOptions) {
    this.options = options;
  }

  /**
   * What another book changes of the site. `rest` is asked between pages; where it says that something newer is there,
   * nothing is handed on, and the site counts as it was.
   *
   * @throws Error when the templates cannot be read.
   */
  async update(book: Book, rest: () => Promise<'go on' | 'stop'>): Promise<SiteChange | undefined> {
    this.parts ??= await partsOf(this.options);
    const { render, assets, explanations, explain } = this.parts;
    const notes = await markdownFor(notesOf(book), { base: '../', headings: false, pages: false });
    const context = contextOf(book);
    const index = searchIndex(context);
    const surround = surroundOf(context);
    const changed: SiteFile[] = [];
    const digests = new Map<string, string>();
    const take = (file: SiteFile): void => {
      const digest = digestOf(file.text);
      digests.set(file.path, digest);
      if (this.digests.get(file.path) !== digest) changed.push(file);
    };
    for (const file of [...assets, { path: 'search-index.js', text: searchScript(index) }]) take(file);
    for (const planned of plannedPages(context, { render, notes, explanations, explain, index })) {
      if ((await rest()) === 'stop') return undefined;
      const page = planned.model();
      if (page !== undefined) take({ path: planned.path, text: pageText(planned, page, surround, render) });
    }
    const removed = [...this.digests.keys()].filter((path) => !digests.has(path));
    this.digests = digests;
    return { changed, removed, paths: [...digests.keys()] };
  }
}
