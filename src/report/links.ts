/** Where each thing of the book has its page: paths from the site's root, with the line or the anchor. */
import type { Code } from '../../grammar/codes.ts';
import type { Book } from '../cellar/book.ts';
import type { LotId, MaterialId, Place, VesselId } from '../journal/events.ts';
import { slugs } from './slugs.ts';

export interface Link {
  readonly text: string;
  /** From the site's root; absent where there is no page to go to. */
  readonly href?: string;
}

export interface Links {
  /** Paths of pages, by index. */
  readonly lotPages: readonly string[];
  readonly vesselPages: readonly string[];
  readonly filePages: readonly string[];
  readonly materialPages: readonly string[];
  readonly lot: (lot: LotId) => Link;
  readonly vessel: (vessel: VesselId) => Link;
  /** `09-harvest.cellar:120`, with its line's anchor. */
  readonly line: (place: Place) => Link;
  readonly explanation: (code: Code) => string;
  readonly vintage: (year: number) => Link;
  readonly material: (material: MaterialId) => Link;
  /** Where the bottles of a bottling went. */
  readonly bottling: (lot: LotId) => Link;
}

export function linksOf(book: Book): Links {
  const page = (folder: string, names: readonly string[]): string[] =>
    slugs(names).map((slug) => `${folder}/${slug}.html`);
  const lotPages = page(
    'lots',
    book.lots.map(({ facts }) => facts.name),
  );
  const vesselPages = page(
    'vessels',
    book.vessels.map(({ facts }) => facts.name),
  );
  const filePages = page(
    'journal',
    book.files.map(({ path }) => path.replace(/\.cellar$/u, '')),
  );
  const materialPages = page(
    'materials',
    book.materials.map(({ name }) => name),
  );
  const to = (text: string, href: string | undefined): Link => (href === undefined ? { text } : { text, href });
  return {
    lotPages,
    vesselPages,
    filePages,
    lot: (lot) => to(book.lots[lot]?.facts.name ?? 'a lot', lotPages[lot]),
    vessel: (vessel) => to(book.vessels[vessel]?.facts.name ?? 'a vessel', vesselPages[vessel]),
    line: ({ file, line }) => {
      const path = book.files[file]?.path;
      const text = path === undefined ? 'the journal' : `${path.slice(path.lastIndexOf('/') + 1)}:${line}`;
      const href = filePages[file];
      return to(text, href === undefined ? undefined : lineHref(href, line));
    },
    explanation: (code) => `help/${code}.html`,
    vintage: (year) => ({ text: String(year), href: `vintages/${year}.html` }),
    materialPages,
    material: (material) => {
      const facts = book.materials[material];
      // water is everywhere, and has no page
      return to(facts?.name ?? 'a material', facts?.kind === 'water' ? undefined : materialPages[material]);
    },
    bottling: (lot) => to(book.lots[lot]?.facts.name ?? 'a bottling', lotPages[lot]?.replace('lots/', 'bottled/')),
  };
}

/** A file's page at a line; a finding about the whole file has no line. */
export function lineHref(page: string, line: number): string {
  return line > 0 ? `${page}#L${line}` : page;
}
