/** The record of the plans out of a book, as of a day: what a fold would have kept had it ended with that day. */
import type { Book, LotStage } from '../cellar/book.ts';
import type { DayNumber, LotId, VesselId } from '../journal/events.ts';
import type { VesselFacts } from '../journal/register.ts';
import { MINUTES_A_DAY } from './periods.ts';
import { PlanLog } from './plan-log.ts';

/** Goes through a book up to the end of a day. Entries of the night after it (`+00:40`) belong to the next day. */
export function logOf(book: Book, on: DayNumber): PlanLog {
  const vessel = (id: VesselId): VesselFacts => {
    const facts = book.vessels[id]?.facts;
    if (facts === undefined) throw new RangeError(`no vessel ${id}`);
    return facts;
  };
  const log = new PlanLog({
    settings: book.settings,
    plans: book.plans,
    vessel,
    materialKind: (material) => book.materials[material]?.kind,
  });
  if (book.plans.length === 0) return log;
  const changes = new Map<number, { lot: LotId; stage: LotStage }[]>();
  for (const lot of book.lots) {
    for (const { happening, stage } of lot.stages) {
      const known = changes.get(happening);
      if (known === undefined) changes.set(happening, [{ lot: lot.facts.id, stage }]);
      else known.push({ lot: lot.facts.id, stage });
    }
  }
  const stages = new Map<LotId, LotStage>();
  const end = (on + 1) * MINUTES_A_DAY;
  for (const happening of book.happenings) {
    // the book is in the order of time
    if (happening.event.minute >= end) break;
    for (const { lot, stage } of changes.get(happening.index) ?? []) stages.set(lot, stage);
    log.see(happening, (lot) => stages.get(lot) ?? 'fruit');
  }
  return log;
}
