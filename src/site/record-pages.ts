/** The pages beside those of the cellar, its lots and vessels: fruit, stores, bottles, volumes by month and vintage. */
import { barrelsModel, barrelsPages } from '../report/barrels.ts';
import { bottledModel, bottlingModel, bottlingsOf } from '../report/bottlings.ts';
import { claimedLots, claimsModel, claimsPath } from '../report/claims.ts';
import type { ReportContext } from '../report/context.ts';
import { fruitModel, fruitPages } from '../report/fruit.ts';
import { batchModel, batchPages, materialModel, materialsModel, shownMaterials } from '../report/materials.ts';
import { methodModel } from '../report/method.ts';
import { type MonthPages, monthModel, monthPages, monthsModel, yearModel } from '../report/months.ts';
import { stocktakeModel, stocktakePages, stocktakesModel } from '../report/stocktake-pages.ts';
import { storeModel, storePages } from '../report/store-pages.ts';
import { trialModel, trialPages, trialsModel } from '../report/trial-pages.ts';
import { vesselsModel, vesselsPages } from '../report/vessels.ts';
import { vintageModel, vintagePages, vintagesModel } from '../report/vintages.ts';
import {
  lossesPageModel,
  periodPageModel,
  type VolumesPages,
  volumesModel,
  volumesPages,
} from '../report/volumes-pages.ts';
import { lossesPath } from '../report/year-losses-page.ts';
import { madeFrom, type Planned } from './planned.ts';

type Page = (template: string, path: string, title: string, model: () => object | undefined) => Planned;

export function* recordPages(context: ReportContext, page: Page): Generator<Planned, void, undefined> {
  const vessels = vesselsPages(context);
  for (const one of vessels)
    yield madeFrom(
      page('vessels', one.path, one.title, () => vesselsModel(context, vessels, one)),
      vessels,
      one,
    );
  const barrels = barrelsPages(context);
  for (const one of barrels) yield page('barrels', one.path, one.title, () => barrelsModel(context, barrels, one));
  const fruit = fruitPages(context);
  for (const one of fruit)
    yield madeFrom(
      page('fruit', one.path, one.title, () => fruitModel(context, fruit, one)),
      fruit,
      one,
    );
  yield page('bottled', 'bottled.html', 'Bottled wine', () => bottledModel(context));
  for (const lot of bottlingsOf(context)) {
    const { href = '', text } = context.links.bottling(lot.facts.id);
    yield madeFrom(page('bottling', href, `Bottles of ${text}`, () => bottlingModel(context, lot)));
  }
  for (const lot of claimedLots(context)) {
    const { id, name } = lot.facts;
    const path = claimsPath(context.links.lotPages[id] ?? '');
    yield madeFrom(page('claims', path, `Label of ${name}`, () => claimsModel(context, lot)));
  }
  yield page('materials', 'materials.html', 'Materials', () => materialsModel(context));
  const stores = storePages(context);
  if (stores.length === 0)
    yield page('stores', 'stores.html', 'Materials received and used', () => storeModel(context, stores, undefined));
  for (const one of stores) yield page('stores', one.path, one.title, () => storeModel(context, stores, one));
  for (const facts of shownMaterials(context)) {
    const { href = '' } = context.links.material(facts.id);
    yield madeFrom(
      page('material', href, facts.name, () => materialModel(context, facts)),
      facts,
    );
  }
  for (const { batch, path, title } of batchPages(context)) {
    yield madeFrom(
      page('batch', path, title, () => batchModel(context, batch, path, title)),
      batch,
    );
  }
  yield* months(monthPages(context), page);
  yield* volumes(volumesPages(context), page);
  const trials = trialPages(context);
  yield page('trials', 'trials.html', 'Bench trials', () => trialsModel(context, trials));
  for (const one of trials) yield page('trial', one.path, one.title, () => trialModel(context, one));
  const stocktakes = stocktakePages(context);
  yield page('stocktakes', 'stocktakes.html', 'Stocktakes', () => stocktakesModel(context, stocktakes));
  for (const one of stocktakes) yield page('stocktake', one.path, one.title, () => stocktakeModel(context, one));
  yield page('method', 'method.html', 'How figures are worked out', () => methodModel(context));
  const vintages = vintagePages(context);
  yield page('vintages', 'vintages.html', 'Vintages', () => vintagesModel(context, vintages));
  for (const one of vintages) {
    const loads = fruit.find(({ of }) => of.vintage === one.year);
    const grown = loads === undefined ? undefined : { text: loads.title, href: loads.path };
    yield madeFrom(
      page('vintage', one.path, one.title, () => vintageModel(context, vintages, one, grown)),
      vintages,
      one,
      grown,
    );
  }
}

function* months(pages: MonthPages, page: Page): Generator<Planned, void, undefined> {
  yield page('months', 'months.html', 'Volumes by month', () => monthsModel(pages));
  for (const year of pages.years) yield page('months', year.path, year.title, () => yearModel(pages, year));
  for (const [i, month] of pages.months.entries()) {
    // of the months beside it a page tells no more than where they are
    const beside = [pages.months[i - 1]?.path, pages.months[i + 1]?.path];
    yield madeFrom(
      page('month', month.path, month.title, () => monthModel(pages, month)),
      month,
      beside,
    );
  }
}

/** Wine by class: months, quarters and years, and what a year lost. */
function* volumes(pages: VolumesPages, page: Page): Generator<Planned, void, undefined> {
  yield page('volumes', 'volumes.html', 'Wine by class', () => volumesModel(pages));
  for (const list of [pages.months, pages.quarters, pages.years]) {
    for (const [i, one] of list.entries()) {
      // of the periods beside it a page tells no more than where they are
      const beside = [list[i - 1]?.path, list[i + 1]?.path];
      yield madeFrom(
        page('period', one.path, one.title, () => periodPageModel(pages, one)),
        one,
        beside,
      );
    }
  }
  for (const year of pages.years) {
    const { id, title } = year.volumes.period;
    yield madeFrom(
      page('year-losses', lossesPath(id), `Losses in ${title}`, () => lossesPageModel(pages, year)),
      year,
    );
  }
}
