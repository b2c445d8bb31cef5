/** The pages that tell from block to bottle: one for all where it fits, and one a vintage. */
import type { LotRecord } from '../cellar/book.ts';
import type { LotId } from '../journal/events.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import type { ReportContext } from './context.ts';
import { broughtInto, type LineageModel, lineageOf } from './lineage.ts';
import { counted } from './names.ts';

export interface LineagePage {
  readonly path: string;
  readonly title: string;
  readonly lots: ReadonlySet<LotId>;
  /** What lots that are not on the page are called there. */
  readonly others: string;
}

export interface LineagePageModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  readonly lineage: LineageModel | undefined;
  /** Every page of these, in their order. */
  readonly pages: readonly { readonly text: string; readonly href: string; readonly here: boolean }[];
  readonly claimsCaution: Caution;
}

/** More lots than this make no drawing of all that anybody can follow: then each vintage has its own. */
const MOST_LOTS = 60;

export function lineagePages(context: ReportContext): LineagePage[] {
  const held = context.book.lots.filter((lot) => broughtInto(lot) > 0);
  const vintages = new Map<number, Set<LotId>>();
  for (const lot of held) {
    for (const year of vintagesOf(context, lot)) {
      const lots = vintages.get(year) ?? new Set<LotId>();
      lots.add(lot.facts.id);
      vintages.set(year, lots);
    }
  }
  const years = [...vintages.keys()].sort((a, b) => b - a);
  const all = new Set(held.map(({ facts }) => facts.id));
  const one = years.map(
    (year): LineagePage => ({
      path: `lineage/${year}.html`,
      title: `From block to bottle, ${year}`,
      lots: vintages.get(year) ?? new Set(),
      others: 'other vintages',
    }),
  );
  const fits = held.length <= MOST_LOTS || years.length === 0;
  const [newest] = one;
  const first: LineagePage =
    fits || newest === undefined
      ? { path: 'lineage.html', title: 'From block to bottle', lots: all, others: 'other lots' }
      : { ...newest, path: 'lineage.html' };
  // A single vintage that is all there is needs no second page.
  return years.length < 2 && fits ? [first] : fits ? [first, ...one] : [first, ...one.slice(1)];
}

function vintagesOf({ book }: ReportContext, lot: LotRecord): Set<number> {
  return new Set(lot.composition.flatMap(({ origin }) => book.origins[origin]?.vintage ?? []));
}

export function lineagePageModel(
  context: ReportContext,
  page: LineagePage,
  pages: readonly LineagePage[],
): LineagePageModel {
  const lots = [...page.lots].flatMap((id) => context.book.lots[id] ?? []);
  const bottlings = lots.filter(({ facts }) => facts.bottling).length;
  return {
    path: page.path,
    title: page.title,
    lead:
      lots.length === 0
        ? ''
        : `${counted(lots.length - bottlings, 'lot')} and ${counted(bottlings, 'bottling')}: what came of what. ` +
          'A ribbon is as wide as the wine that went; what leaves a lot and becomes nothing else ends in a point. ' +
          'Fruit of several blocks that was crushed together is divided by weight.',
    lineage: lineageOf(context, page.lots, page.title, page.others),
    pages: pages.map(({ path, title }) => ({
      text: path === 'lineage.html' && title === 'From block to bottle' ? 'All' : title.replace(/^.*, /u, ''),
      href: path,
      here: path === page.path,
    })),
    claimsCaution: CAUTIONS['label claims'],
  };
}
