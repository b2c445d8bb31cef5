/** The site of a journal that is being written: made anew for each book, and only what changed is handed on. */
import { createHash } from 'node:crypto';
import type { Book } from '../cellar/book.ts';
import { PAST_NOT_ASKED } from '../report/corrections.ts';
import { searchIndex, searchScript } from '../report/search-index.ts';
import type { SiteOptions } from './build.ts';
import { calendarFile } from './calendar-file.ts';
import { explanationsIn } from './explanations.ts';
import { markdownFor } from './markdown.ts';
import { notesOf, pageText, plannedPages, type SiteFile, type Surround, surroundOf } from './pages.ts';
import type { Planned } from './planned.ts';
import { Compared, NotedBook, type Reads, same } from './reads.ts';
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

/** A page as it was made last. */
interface KeptPage {
  readonly planned: Planned;
  readonly surround: Surround;
  /** Absent where there was none. */
  readonly digest: string | undefined;
  readonly reads: Reads;
}

export class KeptSite {
  private readonly options: SiteOptions;
  private parts: Parts | undefined;
  /** Digests of the texts that were handed on, by path. */
  private digests = new Map<string, string>();
  /** Pages that tell what they are made from. */
  private pages = new Map<string, KeptPage>();
  private book: NotedBook | undefined;

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
    const noted = new NotedBook(book);
    const { context } = noted;
    const compared = this.book === undefined ? undefined : new Compared(this.book, noted);
    const index = searchIndex(context);
    const surround = surroundOf(context);
    const changed: SiteFile[] = [];
    const digests = new Map<string, string>();
    const pages = new Map<string, KeptPage>();
    const take = (path: string, text: string): string => {
      const digest = digestOf(text);
      digests.set(path, digest);
      if (this.digests.get(path) !== digest) changed.push({ path, text });
      return digest;
    };
    for (const { path, text } of assets) take(path, text);
    take('search-index.js', searchScript(index));
    for (const { path, text } of calendarFile(context)) take(path, text);
    for (const planned of plannedPages(context, {
      render,
      notes,
      explanations,
      explain,
      index,
      past: PAST_NOT_ASKED,
    })) {
      if ((await rest()) === 'stop') return undefined;
      const { path } = planned;
      const known = this.pages.get(path);
      if (known !== undefined && compared?.allSame(known.reads) === true && isSamePlan(known, planned, surround)) {
        // what it was planned from is let go with the book it belongs to
        pages.set(path, { ...known, planned });
        if (known.digest !== undefined) digests.set(path, known.digest);
        continue;
      }
      const { value, reads } = noted.note(() => {
        const page = planned.model();
        return page === undefined ? undefined : pageText(planned, page, surround, render);
      });
      const digest = value === undefined ? undefined : take(path, value);
      if (planned.from !== undefined) pages.set(path, { planned, surround, digest, reads });
    }
    const removed = [...this.digests.keys()].filter((path) => !digests.has(path));
    this.digests = digests;
    this.pages = pages;
    this.book = noted;
    return { changed, removed, paths: [...digests.keys()] };
  }
}

function isSamePlan({ planned: before, surround: around }: KeptPage, planned: Planned, surround: Surround): boolean {
  return (
    before.template === planned.template &&
    before.title === planned.title &&
    around.cellar === surround.cellar &&
    around.footer === surround.footer &&
    same(before.from, planned.from)
  );
}
