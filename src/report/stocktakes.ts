/** Stocktakes that were held: what was found of wine, bottles and materials, and how far the book was off. */

import { STOCKTAKE } from '../../grammar/words.ts';
import type { Happening, LotRecord, Recounted, VesselRecord } from '../cellar/book.ts';
import type { DayNumber, Microlitres } from '../journal/events.ts';
import type { MaterialFacts } from '../journal/register.ts';
import type { ReportContext } from './context.ts';
import { dayOf } from './dates.ts';
import { Known } from './known.ts';
import { type Counted, storeOf } from './store.ts';

/** A vessel that was dipped. */
export interface DippedVessel {
  readonly happening: Happening;
  readonly vessel: VesselRecord;
  readonly lot: LotRecord | undefined;
  readonly computed: Microlitres;
  readonly measured: Microlitres;
  /** The book's figure was an estimate: what differs is settled, and is neither a gain nor a loss. */
  readonly settled: boolean;
}

export interface CountedBottles extends Recounted {
  readonly happening: Happening;
  readonly record: LotRecord | undefined;
}

export interface CountedMaterial {
  readonly facts: MaterialFacts;
  readonly counted: Counted;
}

export interface Stocktake {
  readonly day: DayNumber;
  readonly vessels: readonly DippedVessel[];
  readonly bottles: readonly CountedBottles[];
  readonly materials: readonly CountedMaterial[];
  /** Vessels that held wine or must that day and were not dipped, and bottlings that were not counted. */
  readonly missed: { readonly vessels: readonly VesselRecord[]; readonly lots: readonly LotRecord[] };
}

const KNOWN = new Known<ReportContext, readonly Stocktake[]>(stocktakesOf);

/** Every stocktake, the oldest first: the dips and counts of one day that say `for stocktake`. */
export function stocktakesOf(context: ReportContext): readonly Stocktake[] {
  const known = KNOWN.get(context);
  if (known !== undefined) return known;
  const days = new Map<DayNumber, Happening[]>();
  for (const happening of context.book.happenings) {
    const { event } = happening;
    if ((event.kind !== 'dip' && event.kind !== 'count') || event.purpose !== STOCKTAKE) continue;
    const day = dayOf(event.minute);
    const list = days.get(day);
    if (list === undefined) days.set(day, [happening]);
    else list.push(happening);
  }
  const all = [...days].map(([day, happenings]) => heldOn(context, day, happenings)).sort((a, b) => a.day - b.day);
  KNOWN.set(context, all);
  return all;
}

function heldOn(context: ReportContext, day: DayNumber, happenings: readonly Happening[]): Stocktake {
  const { book } = context;
  const vessels = happenings.flatMap((happening) =>
    happening.dipped.flatMap((dip): DippedVessel[] => {
      const vessel = book.vessels[dip.vessel];
      if (vessel === undefined) return [];
      const settled = happening.movements.some(
        (one) => (one.kind === 'in' || one.kind === 'out') && one.vessel === dip.vessel && one.how === 'settled',
      );
      return [{ happening, vessel, lot: book.lots[dip.lot], computed: dip.computed, measured: dip.measured, settled }];
    }),
  );
  const bottles = happenings.flatMap((happening) =>
    (happening.counted ?? []).map((one) => ({ ...one, happening, record: book.lots[one.lot] })),
  );
  const lines = new Set(happenings.map(({ event: { place } }) => `${place.file}:${place.line}`));
  const materials = [...storeOf(book)].flatMap(([id, { counted }]) => {
    const facts = book.materials[id];
    if (facts === undefined) return [];
    return counted
      .filter(({ place }) => lines.has(`${place.file}:${place.line}`))
      .map((one) => ({ facts, counted: one }));
  });
  const seen = new Set(vessels.map(({ vessel }) => vessel.facts.id));
  const seenLots = new Set(bottles.map(({ lot }) => lot));
  return {
    day,
    vessels,
    bottles,
    materials,
    missed: {
      vessels: book.vessels.filter((vessel) => !seen.has(vessel.facts.id) && heldWine(vessel, day)),
      lots: book.lots.filter((lot) => lot.facts.bottling && !seenLots.has(lot.facts.id) && heldBottles(lot, day)),
    },
  };
}

/** Whether a vessel held something at the end of a day. */
function heldWine({ fills }: VesselRecord, day: DayNumber): boolean {
  const end = (day + 1) * 1440;
  return fills.some(({ from, until }) => from < end && (until === undefined || until >= end));
}

/** Whether there were bottles of a lot at the end of a day. */
function heldBottles({ steps }: LotRecord, day: DayNumber): boolean {
  const end = (day + 1) * 1440;
  return (steps.findLast(({ minute }) => minute < end)?.volume ?? 0) > 0;
}
