/** Every page of the site: from the book to paths and HTML, without touching the disk. */
import type { Book } from '../cellar/book.ts';
import { cellarModel } from '../report/cellar-today.ts';
import { contextOf, type Figure, type ReportContext } from '../report/context.ts';
import { fullDayText } from '../report/dates.ts';
import { escapeText } from '../report/escape.ts';
import { explanationModels, explanationsModel } from '../report/explanation.ts';
import { findingsModel } from '../report/finding-list.ts';
import { fruitModel } from '../report/fruit.ts';
import { findingsByLine, journalModel, journalsModel } from '../report/journal-page.ts';
import { lotModel } from '../report/lot.ts';
import { lotsModel } from '../report/lots.ts';
import { counted } from '../report/names.ts';
import { vesselModel } from '../report/vessel.ts';
import { vesselsModel } from '../report/vessels.ts';
import { type Drawings, drawings } from './drawings.ts';
import type { Markdown } from './markdown.ts';
import type { Render } from './render.ts';

export interface SiteFile {
  /** Relative to the site's folder, with `/`. */
  readonly path: string;
  readonly text: string;
}

/** What a template is given beside its model. */
interface PageData {
  /** The model of the page. */
  readonly page: object;
  readonly title: string;
  readonly cellar: string;
  readonly footer: string;
  /** The page's path, to mark where one is. */
  readonly path: string;
  readonly menu: readonly { readonly text: string; readonly href: string; readonly here: boolean }[];
  /** A path from the site's root as this page must write it. */
  readonly to: (href: string) => string;
  /** A figure or a name as HTML, linked where it has a place to go to. */
  readonly link: (figure: Figure) => string;
  /** Markdown to HTML. */
  readonly markdown: Markdown;
  readonly draw: Drawings;
}

/** A page to be made: its template, and its model, worked out only when its turn comes. */
interface Planned {
  readonly template: string;
  readonly path: string;
  readonly title: string;
  readonly model: () => object | undefined;
  readonly markdown: Markdown;
}

export interface PageMakers {
  readonly render: Render;
  /** For notes; relative links count from a page one folder down. */
  readonly notes: Markdown;
  readonly explanations: ReadonlyMap<string, string>;
  readonly explain: Markdown;
}

const MENU = [
  { text: 'Cellar', href: 'index.html', folder: '' },
  { text: 'Lots', href: 'lots.html', folder: 'lots/' },
  { text: 'Vessels', href: 'vessels.html', folder: 'vessels/' },
  { text: 'Fruit', href: 'fruit.html', folder: '' },
  { text: 'Findings', href: 'findings.html', folder: 'help/' },
  { text: 'Journal', href: 'journal.html', folder: 'journal/' },
] as const;

/** All pages, one after another, so that the caller may tell how far it is. */
export function* sitePages(book: Book, makers: PageMakers): Generator<SiteFile, void, undefined> {
  const context = contextOf(book);
  const cellar = book.settings.name === '' ? 'The cellar book' : book.settings.name;
  const footer =
    `Told to ${fullDayText(book.on)} from ${counted(book.happenings.length, 'happening')} ` +
    `in ${counted(book.files.length, 'file')} of the journal.`;
  for (const planned of plan(context, makers)) {
    const page = planned.model();
    if (page === undefined) continue;
    const to = linker(planned.path);
    const data: PageData = {
      page,
      title: planned.title,
      cellar,
      footer,
      path: planned.path,
      menu: MENU.map(({ text, href, folder }) => ({
        text,
        href,
        here:
          planned.path === href ||
          (folder !== '' && planned.path.startsWith(folder)) ||
          (href === 'findings.html' && planned.path === 'help.html'),
      })),
      to,
      link: ({ text, href }) =>
        href === undefined ? escapeText(text) : `<a href="${escapeText(to(href))}">${escapeText(text)}</a>`,
      markdown: planned.markdown,
      draw: drawings,
    };
    yield { path: planned.path, text: makers.render(planned.template, data) };
  }
}

/** How many pages `sitePages` will give at most. */
export function pageCount(book: Book, explanations: number): number {
  return 7 + book.lots.length + book.vessels.length + book.files.length + explanations;
}

function* plan(context: ReportContext, makers: PageMakers): Generator<Planned, void, undefined> {
  const { book, links } = context;
  const { notes } = makers;
  const page = (
    template: string,
    path: string,
    title: string,
    model: () => object | undefined,
    markdown = notes,
  ): Planned => ({ template, path, title, model, markdown });

  yield page('cellar', 'index.html', 'The cellar', () => cellarModel(context));
  yield page('lots', 'lots.html', 'Lots', () => lotsModel(context));
  yield page('vessels', 'vessels.html', 'Vessels', () => vesselsModel(context));
  yield page('fruit', 'fruit.html', 'Fruit received', () => fruitModel(context));
  yield page('findings', 'findings.html', 'Findings', () => findingsModel(context));
  yield page('journals', 'journal.html', 'The journal', () => journalsModel(context));
  for (const { facts } of book.lots) {
    yield page('lot', links.lotPages[facts.id] ?? '', facts.name, () => lotModel(context, facts.id));
  }
  for (const { facts } of book.vessels) {
    yield page('vessel', links.vesselPages[facts.id] ?? '', facts.name, () => vesselModel(context, facts.id));
  }
  const findings = findingsByLine(context);
  for (const [index, { path }] of book.files.entries()) {
    yield page('journal', links.filePages[index] ?? '', path, () => journalModel(context, index, findings));
  }
  const explanations = explanationModels(makers.explanations);
  yield page('explanations', 'help.html', 'What the book can find', () => explanationsModel(explanations));
  for (const model of explanations) {
    yield page('explanation', model.path, model.title, () => model, makers.explain);
  }
}

/** Paths are relative, so that the site opens from a disk and from any folder of a host alike. */
function linker(path: string): (href: string) => string {
  const root = '../'.repeat(path.split('/').length - 1);
  return (href) => (href.startsWith('#') ? href : root + href);
}

/** Every text of the book that is Markdown. */
export function* notesOf(book: Book): Generator<string, void, undefined> {
  for (const { event } of book.happenings) {
    if (event.note !== undefined) yield event.note;
  }
}
