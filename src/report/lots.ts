/** The list of lots: those on hand first, then those used up. */
import type { LotRecord } from '../cellar/book.ts';
import { lotOf, type ReportContext, vesselNames } from './context.ts';
import { ageText, dayOf, dayText } from './dates.ts';
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
  readonly held: readonly LotRow[];
  readonly gone: readonly LotRow[];
}

export function lotsModel(context: ReportContext): LotsModel {
  const held: LotRow[] = [];
  const gone: LotRow[] = [];
  for (const { facts } of context.book.lots) {
    const lot = lotOf(context, facts.id);
    if (lot === undefined) continue;
    (isHeld(lot) ? held : gone).push(rowOf(context, lot));
  }
  return { path: 'lots.html', held, gone };
}

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
