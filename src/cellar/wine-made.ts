/**
 * Where must becomes wine, vessel by vessel: when its ferment has ended and its volume is known by measure, or when it
 * leaves the fermenter, whichever comes first. Until then what a vessel holds is must or juice, a material. Must on its
 * skins is still in the fermenter, however dry: what leaves them is the wine, and the pomace never was.
 */
import type { LotId, Microlitres, VesselId } from '../journal/events.ts';
import type { Became, LotStage } from './book.ts';
import type { VesselState } from './cellar.ts';
import type { Deed } from './deed.ts';
import { STILL_SWEET } from './stages.ts';

/** What came into a vessel in one event. */
interface Inflow {
  /** Wine of other vessels, bought or found. */
  wine: Microlitres;
  /** Must and juice that left another vessel. */
  must: Microlitres;
  /** Must and juice made from fruit. */
  made: Microlitres;
}

const NOTHING: Inflow = { wine: 0, must: 0, made: 0 };
const NONE: readonly never[] = [];

/**
 * Looks at the vessels of an event that was carried out, and gives those that hold something else now. `provedMust` hold
 * must since they were filled, as the event showed.
 */
export function makeWine(
  deed: Deed,
  changed: ReadonlyMap<LotId, LotStage>,
  provedMust: ReadonlySet<VesselId>,
): readonly Became[] {
  const { cellar, movements } = deed;
  if (movements.length === 0 && changed.size === 0 && deed.dipped.length === 0 && provedMust.size === 0) return NONE;
  const vessels = new Set<VesselId>([...deed.touchedVessels, ...provedMust]);
  for (const lot of changed.keys()) for (const id of cellar.lot(lot).vessels) vessels.add(id);
  const inflows = inflowsOf(deed);
  // all are judged before any is changed: what a source held before the event decides
  const judged = [...vessels].map((id) => {
    const state = cellar.vessel(id);
    const wine =
      state.content.volume === 0
        ? undefined
        : !provedMust.has(id) && holdsWine(deed, state, inflows.get(id) ?? NOTHING);
    return { id, state, wine };
  });
  const became: Became[] = [];
  for (const { id, state, wine } of judged) {
    if (state.wine === wine) continue;
    state.wine = wine;
    if (wine !== undefined) became.push({ vessel: id, wine, estimated: state.content.slack > 0 });
  }
  return became;
}

function inflowsOf({ cellar, movements }: Deed): ReadonlyMap<VesselId, Inflow> {
  const inflows = new Map<VesselId, Inflow>();
  const into = (id: VesselId): Inflow => {
    let inflow = inflows.get(id);
    if (inflow === undefined) {
      inflow = { ...NOTHING };
      inflows.set(id, inflow);
    }
    return inflow;
  };
  for (const movement of movements) {
    if (movement.kind === 'across') {
      const key = cellar.vessel(movement.from).wine === true ? 'wine' : 'must';
      into(movement.to)[key] += movement.volume;
    } else if (movement.kind === 'in') {
      if (movement.how === 'made') into(movement.vessel).made += movement.volume;
      else if (movement.how === 'bought' || movement.how === 'found') into(movement.vessel).wine += movement.volume;
    }
  }
  return inflows;
}

function holdsWine(deed: Deed, state: VesselState, { wine, must, made }: Inflow): boolean {
  const { content, brix, skins } = state;
  const { stage } = deed.cellar.lot(state.lot);
  const ended = stage === 'wine' && skins !== true;
  const raw = must + made;
  const stayed = Math.max(0, content.volume - wine - raw);
  switch (state.wine) {
    case true:
      // wine stays wine unless it goes back to ferment in more must than it is itself
      return raw <= stayed + wine || ended;
    case false:
      return ended && (content.slack === 0 || wine > stayed + raw);
    case undefined: {
      if (wine > 0 && wine >= raw) return true;
      if (ended) return made < must + wine || content.slack === 0;
      const leaves = deed.event.kind === 'press' || deed.event.verb === 'drain';
      return leaves && made === 0 && stage === 'fermenting' && brix !== undefined && brix <= STILL_SWEET;
    }
  }
}
