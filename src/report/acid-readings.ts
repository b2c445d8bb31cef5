/** The acid of a wine as it was read last before a moment and first after it, in the lot itself or in its kin. */
import type { Book } from '../cellar/book.ts';
import type { LotId, Measure, Minute, Place } from '../journal/events.ts';
import { Known } from './known.ts';

export interface AcidReading {
  readonly minute: Minute;
  readonly measure: Measure;
  readonly place: Place;
}

const ACID: ReadonlySet<string> = new Set(['TA', 'TA-sulfuric']);

const KNOWN = new Known<Book, ReadonlyMap<LotId, readonly AcidReading[]>>(acidReadings);

/** Every reading of acid by lot, in the order of time; a sample's counts from the day it was drawn. */
export function acidReadings(book: Book): ReadonlyMap<LotId, readonly AcidReading[]> {
  const known = KNOWN.get(book);
  if (known !== undefined) return known;
  const lots = new Map<LotId, AcidReading[]>();
  for (const { event, lots: of } of book.happenings) {
    if (event.kind !== 'reading') continue;
    const measure = event.measures.find(({ analyte }) => ACID.has(analyte));
    if (measure === undefined) continue;
    const reading = { minute: event.sampled ?? event.minute, measure, place: event.place };
    for (const lot of of) {
      const list = lots.get(lot);
      if (list === undefined) lots.set(lot, [reading]);
      else list.push(reading);
    }
  }
  for (const list of lots.values()) list.sort((a, b) => a.minute - b.minute);
  KNOWN.set(book, lots);
  return lots;
}

/** A lot with those it came from, or those it went into. */
function kin(book: Book, lots: readonly LotId[], way: 'parents' | 'children'): Set<LotId> {
  const all = new Set<LotId>(lots);
  for (const id of all) for (const { lot } of book.lots[id]?.[way] ?? []) all.add(lot);
  return all;
}

/** The reading before an addition to some lots and the one after it, where there are any. */
export function acidAround(
  book: Book,
  lots: readonly LotId[],
  minute: Minute,
): { readonly before: AcidReading | undefined; readonly after: AcidReading | undefined } {
  const readings = acidReadings(book);
  let before: AcidReading | undefined;
  let after: AcidReading | undefined;
  for (const lot of kin(book, lots, 'parents')) {
    const found = readings.get(lot)?.findLast((one) => one.minute <= minute);
    if (found !== undefined && (before === undefined || found.minute > before.minute)) before = found;
  }
  for (const lot of kin(book, lots, 'children')) {
    const found = readings.get(lot)?.find((one) => one.minute > minute);
    if (found !== undefined && (after === undefined || found.minute < after.minute)) after = found;
  }
  return { before, after };
}
