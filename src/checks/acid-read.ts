/** Acid that was added without a reading of it before and after, where the chosen law asks for both. */
import type { LotId, Minute, Place } from '../journal/events.ts';
import { correctsAcid } from '../law/acid-correction.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { remembering } from './check.ts';

/** Days after an addition in which a reading may still come (common practice, no source). */
const GRACE = 14;

interface Addition {
  readonly place: Place;
  readonly sic: boolean;
  readonly lots: LotId[];
  readonly minute: Minute;
  readonly material: string;
  readonly before: boolean;
  after: boolean;
}

interface Memory {
  /** Lots whose acid was read. */
  readonly read: Set<LotId>;
  /** Additions that still lack a reading. */
  readonly added: Addition[];
  /** A line that may have been a reading could not be read: what is missing is its doing. */
  unsure: boolean;
  /** The last minute that anything was written of. */
  last: Minute;
}

const fresh = (): Memory => ({ read: new Set(), added: [], unsure: false, last: Number.NEGATIVE_INFINITY });

export const acidRead = remembering(fresh, (cellar, memory) => {
  /** A lot with all it came from. */
  function kin(lots: readonly LotId[]): Set<LotId> {
    const all = new Set<LotId>(lots);
    for (const id of all) for (const parent of cellar.lot(id).parents.keys()) all.add(parent);
    return all;
  }

  return {
    unread({ verb }) {
      if (verb === undefined || verb === 'reading' || verb === 'readings') memory.unsure = true;
    },
    after(deed) {
      const { event } = deed;
      memory.last = Math.max(memory.last, event.minute);
      if (RULE_SETS[cellar.register.settings.law].making === undefined) return;
      if (event.kind === 'reading') {
        if (!event.measures.some(({ analyte }) => analyte === 'TA' || analyte === 'TA-sulfuric')) return;
        const lots = new Set<LotId>([...deed.touchedLots].filter((id) => id >= 0));
        for (const id of deed.touchedVessels) {
          const { lot } = cellar.vessel(id);
          if (lot >= 0) lots.add(lot);
        }
        for (const lot of lots) memory.read.add(lot);
        if (memory.added.length === 0) return;
        const of = kin([...lots]);
        const read = event.sampled ?? event.minute;
        for (const [i, one] of [...memory.added.entries()].reverse()) {
          if (one.after || one.minute > read || !one.lots.some((lot) => of.has(lot))) continue;
          one.after = true;
          // nothing is left to say of it
          if (one.before) memory.added.splice(i, 1);
        }
      } else if (event.kind === 'add') {
        const acid = event.additions.find(({ material, dose }) => {
          const facts = cellar.register.materials[material];
          return facts !== undefined && dose.kind !== 'asked' && correctsAcid(facts);
        });
        const lots = [...deed.touchedLots].filter((id) => id >= 0);
        if (acid === undefined || lots.length === 0) return;
        const { name = '' } = cellar.register.materials[acid.material] ?? {};
        memory.added.push({
          place: event.place,
          sic: event.sic,
          lots,
          minute: event.minute,
          material: name,
          before: [...kin(lots)].some((lot) => memory.read.has(lot)),
          after: false,
        });
      }
    },
    end(say) {
      const rule = RULE_SETS[cellar.register.settings.law].making?.acidRead;
      if (rule === undefined || memory.unsure) return;
      for (const { place, sic, lots, minute, material, before, after } of memory.added) {
        const waits = memory.last < minute + GRACE * 1440;
        if (before && (after || waits)) continue;
        const lacks = before ? 'after it' : after || waits ? 'before it' : 'before it nor after it';
        say(
          place,
          {
            code: 'acid-unread',
            message: `no acid was read ${lacks}; ${rule.section} asks for both`,
            help: 'write down what was read (`reading T4 TA 6.1 g/L`), before acid goes in and after; the text in force and its authority decide; `sic` answers it',
            mark: material,
            // where its wine may have gone by a line that could not be read, that line is the cause
            vessels: lots.flatMap((lot) => [...cellar.lot(lot).vessels]),
            lots,
          },
          sic,
        );
      }
    },
  };
});
