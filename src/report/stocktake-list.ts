/** What should be there by the book, vessel by vessel, bottling by bottling and material by material: what a stocktake goes through. */
import type { LotRecord, VesselRecord } from '../cellar/book.ts';
import type { Bottles, StoreAmount } from '../journal/events.ts';
import type { MaterialFacts } from '../journal/register.ts';
import type { ReportContext } from './context.ts';
import { inWalkOrder } from './crew-sheets/walk-order.ts';
import { storeOf } from './store.ts';

export interface StocktakeList {
  /** Vessels that hold something, as the cellar is walked. */
  readonly held: readonly { readonly vessel: VesselRecord; readonly lot: LotRecord | undefined }[];
  /** Vessels in use that should hold nothing. */
  readonly empty: readonly VesselRecord[];
  readonly bottled: readonly { readonly lot: LotRecord; readonly bottles: Bottles }[];
  /** Materials the store knows of, a row a unit; an amount may be below nothing where more was used than bought. */
  readonly materials: readonly { readonly facts: MaterialFacts; readonly amount: StoreAmount }[];
}

export function stocktakeList({ book, settings }: ReportContext): StocktakeList {
  const inUse = inWalkOrder(
    book.vessels.filter(({ retired }) => !retired),
    settings.walk ?? [],
  );
  return {
    held: inUse
      .filter(({ content }) => content.volume > 0)
      .map((vessel) => ({ vessel, lot: vessel.lot === undefined ? undefined : book.lots[vessel.lot] })),
    empty: inUse.filter(({ content }) => content.volume === 0),
    bottled: book.lots.flatMap((lot) =>
      lot.bottles.filter(({ count }) => count > 0).map((bottles) => ({ lot, bottles })),
    ),
    materials: [...storeOf(book)].flatMap(([id, { onHand, prepared }]) => {
      const facts = book.materials[id];
      // water comes from the tap
      if (facts === undefined || facts.kind === 'water') return [];
      // what was made for one use and is used up is not looked for
      const there = prepared.length === 0 ? onHand : onHand.filter(({ amount }) => amount > 0);
      return there.map(({ unit, amount }) => ({ facts, amount: { unit, amount } }));
    }),
  };
}
