/** What of a journal touches a vintage: its lots, the lots they went into, and the files that tell of them. */
import type { Book } from '../cellar/book.ts';
import type { Event, LotId, OriginId } from '../journal/events.ts';
import { cutIntoDays, readBlock } from '../journal/files.ts';

/** A rule in words, for whoever opens an archive years later. */
export const VINTAGE_RULE =
  'a file is here if a line of it tells of a lot with fruit or wine of the vintage, or of a lot that such a lot went ' +
  'into, however little of it; and if it holds standing facts. Files are whole: what else they tell is here as well.';

/** The lot an event brings fruit or wine into the book with, and where that comes from. */
function brought(event: Event): { readonly lot: LotId; readonly origins: readonly OriginId[] } | undefined {
  switch (event.kind) {
    case 'receive':
      return { lot: event.lot, origins: [event.origin] };
    case 'found':
    case 'bring':
      return { lot: event.as, origins: event.origins.map(({ origin }) => origin) };
    default:
      return undefined;
  }
}

/** The lots of a vintage, by the year their fruit or wine was entered with, and all they went into. */
export function lotsOfVintage(book: Book, vintage: number): Set<LotId> {
  const lots = new Set<LotId>();
  for (const { event } of book.happenings) {
    const in_ = brought(event);
    if (in_?.origins.some((origin) => book.origins[origin]?.vintage === vintage) === true) lots.add(in_.lot);
  }
  // a set gives what is added while it is gone through as well
  for (const lot of lots) for (const child of book.lots[lot]?.children ?? []) lots.add(child.lot);
  return lots;
}

/** The years that fruit or wine was entered with, the newest last. */
export function vintagesOf(book: Book): number[] {
  const years = book.happenings.flatMap(({ event }) =>
    (brought(event)?.origins ?? []).flatMap((origin) => book.origins[origin]?.vintage ?? []),
  );
  return [...new Set(years)].sort((a, b) => a - b);
}

/** Indexes of the files that touch lots, in the order of the book; see `VINTAGE_RULE`. */
export function filesOfLots(book: Book, lots: ReadonlySet<LotId>): number[] {
  const files = new Set<number>();
  for (const { event, lots: touched } of book.happenings) {
    if (touched.some((lot) => lots.has(lot))) files.add(event.place.file);
  }
  for (const { facts } of book.vessels) files.add(facts.place.file);
  for (const { place } of book.blocks) files.add(place.file);
  for (const { place } of book.materials) if (place !== undefined) files.add(place.file);
  // settings and hands have no place of their own: they stand above the first day, or with the facts found so far
  for (let file = 0; file < book.files.length; file++) {
    if (files.has(file)) continue;
    const { blocks } = cutIntoDays(book.files, file, () => undefined);
    const above = blocks.filter(({ day }) => day === undefined);
    if (above.some((block) => readBlock(book.files, block, () => undefined).entries.length > 0)) files.add(file);
  }
  return [...files].filter((file) => file >= 0).sort((a, b) => a - b);
}
