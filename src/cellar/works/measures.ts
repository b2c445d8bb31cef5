/** What is measured: readings, dips, counts. */
import type { Count, Dip, Reading, VesselId } from '../../journal/events.ts';
import { mulDivFloor } from '../../trade/decimal.ts';
import { MICROLITRES_PER_LITRE } from '../../trade/volume.ts';
import type { Deed } from '../deed.ts';
import { seeSugar } from '../stages.ts';

export function reading(deed: Deed, event: Reading): void {
  for (const target of event.targets) {
    if (target.kind === 'vessel') deed.touch(target.vessel);
    else if (target.kind === 'lot') {
      deed.touchedLots.add(target.lot);
      for (const id of deed.cellar.lot(target.lot).vessels) deed.touchedVessels.add(id);
    }
  }
  seeSugar(deed, event);
}

export function dip(deed: Deed, event: Dip): void {
  const empty: VesselId[] = [];
  for (const one of event.dips) {
    const state = deed.cellar.vessel(one.vessel);
    const computed = state.content.volume;
    const measured = one.volume.microlitres;
    deed.touch(one.vessel);
    if (computed === 0) {
      // a dip is the word on what is there: after a line that could not be read it cannot be believed to be a slip
      if (measured > 0) empty.push(one.vessel);
      continue;
    }
    const { tolerances } = deed.cellar.register.settings;
    const slack = state.content.slack + (one.volume.estimate ? deed.estimateSlack(measured) : 0);
    const allowed =
      slack + Math.max(mulDivFloor(Math.max(computed, measured), tolerances.dip, 1_000_000), MICROLITRES_PER_LITRE);
    const difference = measured - computed;
    deed.measured({ vessel: one.vessel, lot: state.lot, computed, measured });
    if (Math.abs(difference) > allowed) {
      deed.say({
        code: 'dip-differs',
        message: `${state.facts.name} was dipped at ${deed.litres(measured)} on ${deed.day} and the book has ${deed.litres(computed)}: ${deed.litres(Math.abs(difference))} ${difference < 0 ? 'less' : 'more'}`,
        help: 'look for a movement that is missing; the book takes the dip over, and the difference shows as that day’s gain or loss',
        mark: state.facts.name,
        vessels: [one.vessel],
      });
    }
    settleDip(deed, one.vessel, measured, one.volume.estimate);
  }
  deed.nothingIn(empty, 'name the vessel that was dipped, or write where its wine came from');
}

function settleDip(deed: Deed, id: VesselId, measured: number, estimate: boolean): void {
  const state = deed.cellar.vessel(id);
  deed.correct(id, measured, state.content.slack > 0 ? 'settled' : 'dip');
  state.content.slack = estimate && state.content.volume > 0 ? deed.estimateSlack(measured) : 0;
  // a dip by measure ends any doubt
  if (!estimate) state.doubt = undefined;
}

export function count(deed: Deed, event: Count): void {
  for (const { lot: id, bottles } of event.bottles) {
    const lot = deed.cellar.lot(id);
    deed.touchedLots.add(id);
    const there = lot.bottles.get(bottles.size) ?? 0;
    const difference = bottles.count - there;
    deed.recounted({ lot: id, size: bottles.size, computed: there, counted: bottles.count });
    if (difference === 0) continue;
    deed.say({
      code: 'count-differs',
      message: `${bottles.count} bottles of ${deed.bottleSize(bottles.size)} of ${lot.facts.name} were counted on ${deed.day} and the book has ${there}: ${Math.abs(difference)} ${difference < 0 ? 'missing' : 'more'}`,
      help: 'look for a dispatch that is missing; the book takes the count over, and the difference shows as that day’s gain or loss',
      mark: lot.facts.name,
      vessels: [],
      lots: [id],
    });
    if (difference < 0) deed.bottlesGo(lot, { count: -difference, size: bottles.size }, 'dip');
    else deed.bottlesMore(lot, { count: difference, size: bottles.size });
  }
}
