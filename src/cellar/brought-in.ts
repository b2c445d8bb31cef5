/**
 * What was brought in: it counts as wine unless its first reading of sugar says that it is must. That reading has to come
 * on the same day, or before anything else is done with it; then it is must from the day it came.
 */
import type { DayNumber, LotId, Place, Reading, VesselId } from '../journal/events.ts';
import type { Deed } from './deed.ts';
import { brixOf, STILL_SWEET } from './stages.ts';

/** What lies in a vessel as it was brought in. */
interface Load {
  readonly lot: LotId;
  readonly day: DayNumber;
  /** The line that brought it; vessels of one line hold the same. */
  readonly place: Place;
}

const NONE: ReadonlySet<VesselId> = new Set();

export class BroughtIn {
  private readonly loads: Map<VesselId, Load>;

  constructor(loads: ReadonlyMap<VesselId, Load> = new Map()) {
    this.loads = new Map(loads);
  }

  copy(): BroughtIn {
    return new BroughtIn(this.loads);
  }

  /** Looks at an event that was carried out, and gives the vessels that prove to hold must since they were filled. */
  see(deed: Deed): ReadonlySet<VesselId> {
    const { event } = deed;
    if (event.kind === 'bring') this.arrive(deed);
    else if (this.loads.size === 0) return NONE;
    else if (event.kind === 'reading') return this.read(deed, event);
    else this.use(deed);
    return NONE;
  }

  private arrive({ cellar, event, movements }: Deed): void {
    const day = Math.floor(event.minute / 1440);
    for (const movement of movements) {
      if (movement.kind !== 'in') continue;
      const { vessel, lot, volume } = movement;
      // what is poured to something else is no longer by itself
      if (cellar.vessel(vessel).content.volume === volume) this.loads.set(vessel, { lot, day, place: event.place });
      else this.loads.delete(vessel);
    }
  }

  /** Moved wine is another's matter; anything else may still be done to it on the day it came. */
  private use({ event, movements, added }: Deed): void {
    const day = Math.floor(event.minute / 1440);
    const touch = (vessel: VesselId, moved: boolean): void => {
      const load = this.loads.get(vessel);
      if (load !== undefined && (moved || load.day !== day)) this.loads.delete(vessel);
    };
    for (const movement of movements) {
      if (movement.kind === 'across') {
        touch(movement.from, true);
        touch(movement.to, true);
      } else if (movement.kind === 'renamed') touch(movement.vessel, true);
      else if (movement.kind === 'out') touch(movement.vessel, movement.how === 'bottled');
      else if (movement.kind === 'in') touch(movement.vessel, false);
    }
    for (const { vessel } of added) touch(vessel, false);
  }

  /** The first reading of sugar decides; one that tells of alcohol as well is of wine, sweet though it be. */
  private read({ cellar, touchedVessels }: Deed, event: Reading): ReadonlySet<VesselId> {
    const brix = brixOf(event);
    if (brix === undefined) return NONE;
    const proved = new Set<VesselId>();
    const must = brix >= STILL_SWEET && event.measures.every(({ analyte }) => analyte !== 'alcohol');
    for (const id of touchedVessels) {
      const load = this.loads.get(id);
      if (load === undefined) continue;
      this.loads.delete(id);
      if (!must) continue;
      proved.add(id);
      for (const [other, { lot, place }] of this.loads) {
        if (lot === load.lot && place.file === load.place.file && place.line === load.place.line) proved.add(other);
      }
    }
    const lots = new Set([...proved].map((id) => cellar.vessel(id).lot));
    for (const id of lots) {
      const lot = cellar.lot(id);
      if (lot.stage !== 'wine') continue;
      // a lot that holds wine elsewhere is a lot of wine
      const all = [...lot.vessels].every((vessel) => proved.has(vessel) || cellar.vessel(vessel).wine === false);
      if (all) lot.stage = 'must';
      else for (const vessel of lot.vessels) proved.delete(vessel);
    }
    for (const id of proved) this.loads.delete(id);
    return proved;
  }
}
