/** Every page of the site: from the book to paths and HTML, without touching the disk. */
import type { Book } from '../cellar/book.ts';
import { cellarModel } from '../report/cellar-today.ts';
import type { Figure, ReportContext } from '../report/context.ts';
import type { PastSeen } from '../report/corrections.ts';
import { correctionsModel } from '../report/corrections-page.ts';
import { siteSheet } from '../report/crew-sheets/crew-sheets.ts';
import { CREW_SHEETS, crewSheetPath } from '../report/crew-sheets/kinds.ts';
import { fullDayText } from '../report/dates.ts';
import { daysModel, daysPages } from '../report/days.ts';
import { escapeAsWritten, escapeText } from '../report/escape.ts';
import { explanationModels, explanationsModel } from '../report/explanation.ts';
import { fermentsModel } from '../report/ferments.ts';
import { findingsModel } from '../report/finding-list.ts';
import { findingsByLine, journalModel, journalsModel } from '../report/journal-page.ts';
import { lineagePageModel, lineagePages } from '../report/lineage-pages.ts';
import { historyModel, historyPath, lotModel } from '../report/lot.ts';
import { lotsModel, lotsPages } from '../report/lots.ts';
import { type SearchIndex, searchModel } from '../report/search-index.ts';
import type { Sheet } from '../report/sheet.ts';
import { vesselModel } from '../report/vessel.ts';
import { workModel } from '../report/work.ts';
import { type Drawings, drawings } from './drawings.ts';
import type { Markdown } from './markdown.ts';
import { type Menu, menuOf } from './menu.ts';
import { madeFrom, type Planned } from './planned.ts';
import { recordPages } from './record-pages.ts';
import type { Render } from './render.ts';
import { sheetHtml } from './sheet-html.ts';

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
  /** The name of its template. */
  readonly template: string;
  readonly menu: Menu;
  /** A path from the site's root as this page must write it. */
  readonly to: (href: string) => string;
  /** A figure or a name as HTML, linked where it has a place to go to. */
  readonly link: (figure: Figure) => string;
  /** A table of a model as HTML. */
  readonly sheet: (sheet: Sheet) => string;
  /** A piece of the journal as HTML, the way it stands there. */
  readonly asWritten: (text: string) => string;
  /** Markdown to HTML. */
  readonly markdown: Markdown;
  readonly draw: Drawings;
}

export interface PageMakers {
  readonly render: Render;
  /** For notes; relative links count from a page one folder down. */
  readonly notes: Markdown;
  readonly explanations: ReadonlyMap<string, string>;
  readonly explain: Markdown;
  readonly index: SearchIndex;
  /** What version control saw of the journal. */
  readonly past: PastSeen;
}

/** What all pages have in common beside their menu: the name of the cellar, and the day they tell of. */
export interface Surround {
  readonly cellar: string;
  readonly footer: string;
}

/** Kept short of all that changes with every line: a page stays as it is until something on it does. */
export const surroundOf = ({ book }: ReportContext): Surround => ({
  cellar: book.settings.name === '' ? 'The cellar book' : book.settings.name,
  footer: `Told to ${fullDayText(book.on)}.`,
});

/** All pages, one after another, so that the caller may tell how far it is. */
export function* sitePages(context: ReportContext, makers: PageMakers): Generator<SiteFile, void, undefined> {
  const surround = surroundOf(context);
  for (const planned of plannedPages(context, makers)) {
    const page = planned.model();
    if (page !== undefined) yield { path: planned.path, text: pageText(planned, page, surround, makers.render) };
  }
}

/** A page as HTML: the same of the same template, path, title, model and surround. */
export function pageText(
  { template, path, title, markdown }: Planned,
  page: object,
  { cellar, footer }: Surround,
  render: Render,
): string {
  const to = linker(path);
  const link = ({ text, href }: Figure): string =>
    href === undefined ? escapeText(text) : `<a href="${escapeText(to(href))}">${escapeText(text)}</a>`;
  const data: PageData = {
    page,
    title,
    cellar,
    footer,
    path,
    template,
    menu: menuOf(path),
    to,
    link,
    sheet: (sheet) => sheetHtml(sheet, link),
    asWritten: escapeAsWritten,
    markdown,
    draw: drawings,
  };
  return render(template, data);
}

/** How many pages `sitePages` will give at most. */
export function pageCount(context: ReportContext, makers: PageMakers): number {
  return [...plannedPages(context, makers)].length;
}

/** Every page that may be made, in the order of the site. */
export function* plannedPages(context: ReportContext, makers: PageMakers): Generator<Planned, void, undefined> {
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
  yield page('work', 'work.html', 'Work due', () => workModel(context));
  for (const { kind, title } of CREW_SHEETS) {
    yield page('crew-sheet', crewSheetPath(kind), title, () => siteSheet(context, kind));
  }
  yield page('ferments', 'ferments.html', 'Ferments', () => fermentsModel(context));
  const lists = lotsPages(context);
  for (const one of lists)
    yield madeFrom(
      page('lots', one.path, one.title, () => lotsModel(context, one, lists)),
      one,
      lists,
    );
  yield page('findings', 'findings.html', 'Findings', () => findingsModel(context));
  yield page('journals', 'journal.html', 'The journal', () => journalsModel(context));
  yield page('corrections', 'corrections.html', 'Corrections', () => correctionsModel(context, makers.past));
  yield page('search', 'search.html', 'Search', () => searchModel(makers.index));
  yield* seasonPages(context, page, notes);
  yield* recordPages(context, page);
  for (const { facts } of book.lots) {
    yield madeFrom(page('lot', links.lotPages[facts.id] ?? '', facts.name, () => lotModel(context, facts.id)));
    const history = historyPath(context, facts.id);
    if (history !== undefined)
      yield madeFrom(page('history', history, `${facts.name}, day by day`, () => historyModel(context, facts.id)));
  }
  for (const { facts } of book.vessels) {
    yield madeFrom(page('vessel', links.vesselPages[facts.id] ?? '', facts.name, () => vesselModel(context, facts.id)));
  }
  const findings = findingsByLine(context);
  for (const [index, { path }] of book.files.entries()) {
    const model = (): object | undefined => journalModel(context, index, findings);
    yield madeFrom(page('journal', links.filePages[index] ?? '', path, model), findings.get(index));
  }
  const explanations = explanationModels(makers.explanations);
  yield madeFrom(
    page('explanations', 'help.html', 'What the book can find', () => explanationsModel(explanations)),
    explanations,
  );
  for (const model of explanations) {
    yield madeFrom(
      page('explanation', model.path, model.title, () => model, makers.explain),
      model,
    );
  }
}

/** The pages that tell a season as a whole: what became of what, and what was done each day. */
function* seasonPages(
  context: ReportContext,
  page: (template: string, path: string, title: string, model: () => object, markdown: Markdown) => Planned,
  notes: Markdown,
): Generator<Planned, void, undefined> {
  const lineages = lineagePages(context);
  for (const one of lineages) {
    yield madeFrom(
      page('lineage', one.path, one.title, () => lineagePageModel(context, one, lineages), notes),
      one,
      lineages,
    );
  }
  // Notes count their links from a page one folder down, and the newest days stand at the root.
  const atRoot: Markdown = (text) => notes(text).replaceAll('href="../', 'href="');
  const years = daysPages(context);
  for (const one of years) {
    const markdown = one.path.includes('/') ? notes : atRoot;
    yield madeFrom(
      page('days', one.path, one.title, () => daysModel(context, one, years), markdown),
      one,
      years,
    );
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
