/** The list of lots: those on hand first, then those used up. */
import type { LotRecord } from '../cellar/book.ts';
import { lotOf, type ReportContext, vesselNames } from './context.ts';
import { ageText, civil, dayOf, dayText } from './dates.ts';
import { bottlesText, massText, volumeText } from './figures.ts';
import type { Link } from './links.ts';
import { nameList } from './names.ts';
import { stageWord } from './stages.ts';

export interface LotRow {
  readonly lot: Link;
  readonly what: string;
  readonly stage: string;
  readonly begun: string;
  readonly age: string;
  readonly onHand: string;
  readonly where: string;
}

export interface LotsModel {
  readonly path: string;
  readonly title: string;
  readonly held: readonly LotRow[];
  readonly gone: readonly LotRow[];
  /** Where a long record has a page for each year: these, the newest first. */
  readonly years: readonly (Link & { readonly here: boolean })[];
}

/** Lots of which one page tells; of more, it tells what is in vessels, and each year in which lots began has a page. */
const MOST_LOTS = 300;

/** One of the pages of lots. */
export interface LotsPage {
  readonly path: string;
  readonly title: string;
  /** Lots that began in it; without one, the lots there are now. */
  readonly year: number | undefined;
}

export function lotsPages({ book }: ReportContext): readonly LotsPage[] {
  const all: LotsPage = { path: 'lots.html', title: 'Lots', year: undefined };
  if (book.lots.length <= MOST_LOTS) return [all];
  const years = [...new Set(book.lots.map((lot) => yearOf(lot)))].sort((a, b) => b - a);
  return [all, ...years.map((year) => ({ path: `lots-${year}.html`, title: `Lots begun in ${year}`, year }))];
}

export function lotsModel(context: ReportContext, here: LotsPage, pages: readonly LotsPage[]): LotsModel {
  const held: LotRow[] = [];
  const gone: LotRow[] = [];
  const whole = pages.length === 1;
  for (const { facts } of context.book.lots) {
    const lot = lotOf(context, facts.id);
    if (lot === undefined) continue;
    const there = isHeld(lot);
    if (here.year === undefined ? !whole && (!there || facts.bottling) : yearOf(lot) !== here.year) continue;
    (there ? held : gone).push(rowOf(context, lot));
  }
  return {
    path: here.path,
    title: here.title,
    held,
    gone,
    years: whole
      ? []
      : pages.map((one) => ({
          text: one.year === undefined ? 'In the cellar' : String(one.year),
          href: one.path,
          here: one === here,
        })),
  };
}

const yearOf = ({ facts }: LotRecord): number => civil(dayOf(facts.since)).year;

function isHeld({ onHand, bottles, fruit }: LotRecord): boolean {
  return onHand > 0 || fruit.waiting > 0 || bottles.some(({ count }) => count > 0);
}

function rowOf(context: ReportContext, lot: LotRecord): LotRow {
  const { facts, onHand, fruit } = lot;
  const varieties = new Set(lot.composition.flatMap(({ origin }) => context.book.origins[origin]?.variety ?? []));
  const hand = facts.bottling
    ? bottlesText(lot.bottles)
    : onHand > 0 || fruit.waiting === 0
      ? volumeText(onHand, context.settings, lot.estimated)
      : massText(fruit.waiting, context.settings);
  return {
    lot: context.links.lot(facts.id),
    what: [lot.colour ?? '', nameList([...varieties], 4)].filter((word) => word !== '').join(', '),
    stage: stageWord(lot.stage),
    begun: dayText(dayOf(facts.since)),
    age: ageText(context.book.on - dayOf(facts.since)),
    onHand: hand,
    where: nameList(vesselNames(context, lot.vessels), 6),
  };
}
