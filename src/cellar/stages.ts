/** The stage a lot is in, as the record shows it: fruit, must or juice, fermenting, wine, bottled. */
import type { Event, LotId, Minute, Reading } from '../journal/events.ts';
import type { Cellar, LotState } from './cellar.ts';
import type { Deed } from './deed.ts';

/** A ferment shows itself by a fall of one degree Brix from the highest seen (common practice, no source). */
export const FALL = 1;
/** Dry, as a hydrometer shows it: −1 °Bx and less (−1.0 to −2.0 in the trade press). */
export const DRY = -1;
/** Ferments last 5 to 30 days (common practice, no source); twice that, in minutes, is not one any more. */
export const LONGEST_FERMENT = 60 * 1440;
/** Above this many degrees, wine that leaves the fermenter still ferments. */
export const STILL_SWEET = 5;

/** Degrees Brix of a figure in any scale of sugar; coarse, enough to judge by how far a ferment has come. */
export function coarseBrix(analyte: string, value: number): number | undefined {
  switch (analyte) {
    case 'brix':
    case 'plato':
      return value;
    case 'SG':
      return (value - 1) * 250;
    case 'oechsle':
      return value / 4;
    case 'baume':
      return value * 1.8;
    case 'density':
      return (value - 998.2) / 4;
    default:
      return undefined;
  }
}

/** Degrees Brix a reading tells of, in whatever scale; undefined where it tells of no sugar. */
export function brixOf(event: Reading): number | undefined {
  for (const { analyte, value } of event.measures) {
    const brix = coarseBrix(analyte, value);
    if (brix !== undefined) return brix;
  }
  return undefined;
}

/** Lets a sugar reading show where a ferment has come to. */
export function seeSugar(deed: Deed, event: Reading): void {
  const brix = brixOf(event);
  if (brix === undefined) return;
  const lots = new Set<LotId>();
  for (const id of deed.touchedVessels) {
    const state = deed.cellar.vessel(id);
    if (state.content.volume === 0) continue;
    state.brix = brix;
    lots.add(state.lot);
  }
  for (const id of deed.touchedLots) lots.add(id);
  for (const id of lots) {
    if (id < 0) continue;
    const lot = deed.cellar.lot(id);
    if (lot.brixMost === undefined || brix > lot.brixMost) lot.brixMost = brix;
    // a first reading that is dry already shows both at once: that it fermented, and that it has ended
    const fermented = brix <= lot.brixMost - FALL || brix <= DRY;
    if ((lot.stage === 'must' || lot.stage === 'juice') && fermented) lot.stage = 'fermenting';
    if (lot.stage === 'fermenting' && brix <= DRY && allDry(deed.cellar, lot)) lot.stage = 'wine';
  }
}

function allDry(cellar: Cellar, lot: LotState): boolean {
  for (const id of lot.vessels) {
    const { brix } = cellar.vessel(id);
    if (brix === undefined || brix > DRY) return false;
  }
  return lot.vessels.size > 0;
}

/** What a lot is once an event has been carried out: a new lot takes its stage from where it came. */
export function stageAfter(
  cellar: Cellar,
  event: Event,
  lot: LotState,
  before: ReadonlyMap<LotId, LotState['stage']>,
): LotState['stage'] {
  if (lot.facts.bottling) return 'bottled';
  const holds = lot.vessels.size > 0;
  if (!holds) {
    if (cellar.fruitWaiting(lot) > 0) return 'fruit';
    if (lot.stage === 'fruit' && lot.fruit.received === 0) return lot.stage;
    return lot.account.bottled > 0 && lot.account.bottled >= lot.account.blendedOut ? 'bottled' : 'gone';
  }
  const leavesTheSkins = event.kind === 'press' || event.verb === 'drain';
  if (lot.stage === 'gone' || lot.stage === 'fruit') {
    let stage: LotState['stage'] = 'wine';
    let sweetest: number | undefined;
    for (const parent of lot.parents.keys()) {
      const was = before.get(parent) ?? cellar.lot(parent).stage;
      if (was === 'juice' || was === 'must') stage = event.verb === 'bleed' || was === 'juice' ? 'juice' : 'must';
      if (was === 'fermenting') {
        const most = sweetestOf(cellar, lot);
        sweetest = most;
        stage = leavesTheSkins && event.minute >= endOfFerment(cellar.lot(parent)) ? 'wine' : 'fermenting';
      }
    }
    if (stage === 'fermenting' && leavesTheSkins && (sweetest === undefined || sweetest <= STILL_SWEET)) return 'wine';
    if (stage === 'must' && event.kind === 'press') return 'juice';
    return stage;
  }
  if (lot.stage === 'fermenting') {
    const most = sweetestOf(cellar, lot);
    if (event.verb === 'rack' && most !== undefined && most <= 0) return 'wine';
    return stageOn(cellar, lot, event.minute);
  }
  return lot.stage;
}

/** The first minute at which a ferment nobody ended is too long to be one. */
export function endOfFerment({ fermentSince }: LotState): Minute {
  return fermentSince === undefined ? Number.POSITIVE_INFINITY : fermentSince + LONGEST_FERMENT + 1;
}

/**
 * The stage at a moment: a ferment nobody ended is wine once it has lasted longer than ferments do. While any of the lot
 * lies on its skins it is must all that time.
 */
export function stageOn(cellar: Cellar, lot: LotState, minute: Minute): LotState['stage'] {
  if (lot.stage !== 'fermenting' || minute < endOfFerment(lot)) return lot.stage;
  for (const id of lot.vessels) if (cellar.vessel(id).skins === true) return 'fermenting';
  return 'wine';
}

/** The highest sugar last read in any vessel of a lot. */
function sweetestOf(cellar: Cellar, lot: LotState): number | undefined {
  let most: number | undefined;
  for (const id of lot.vessels) {
    const { brix } = cellar.vessel(id);
    if (brix !== undefined && (most === undefined || brix > most)) most = brix;
  }
  return most;
}
