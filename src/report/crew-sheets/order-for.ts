/** Narrows what a sheet is made for to a name: a hand, a lot, a vessel or a plan. */
import { fold } from '../../../grammar/words.ts';
import type { ReportContext } from '../context.ts';
import { workFor } from '../due-list.ts';
import type { CrewOrder } from './crew-sheet.ts';

export type Narrowed = CrewOrder | { readonly unknown: string; readonly near: string | undefined };

/** The order for a name as the journal writes it, or a likeness of a name that nothing has. */
export function orderFor({ book, links }: ReportContext, order: CrewOrder, name: string): Narrowed {
  const found = workFor(book, order.items, name);
  if ('unknown' in found) return found;
  const wanted = fold(name);
  const named = new Set(found.items.map(({ vessel }) => vessel));
  const isVesselOrLot =
    book.vessels.some(({ facts }) => fold(facts.name) === wanted) ||
    book.lots.some(({ facts }) => fold(facts.name) === wanted);
  return {
    ...order,
    items: found.items,
    of: name,
    wanted: ({ facts, lot }) =>
      isVesselOrLot
        ? fold(facts.name) === wanted || (lot !== undefined && fold(links.lot(lot).text) === wanted)
        : named.has(facts.id),
  };
}
