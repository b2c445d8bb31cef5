/** Names: vessels retired, parts of lots set apart. */
import type { Naming } from '../../journal/events.ts';
import type { Deed } from '../deed.ts';

export function naming(deed: Deed, event: Naming): void {
  const ids = deed.vesselsOf(event.targets);
  for (const id of ids) deed.touch(id);
  for (const target of event.targets) if (target.kind === 'lot') deed.touchedLots.add(target.lot);
  switch (event.how) {
    case 'rename':
      return;
    case 'retire':
      for (const id of ids) {
        const state = deed.cellar.vessel(id);
        if (state.content.volume > 0) {
          deed.say({
            code: 'vessel-retired',
            message: `${state.facts.name} is retired while it holds ${deed.litres(state.content.volume)} of ${deed.cellar.nameOfLot(state.lot)}`,
            help: 'write where its wine went first',
            mark: state.facts.name,
            vessels: [id],
          });
        }
        state.retired = true;
      }
      return;
    case 'set-apart':
      deed.nothingIn(ids.filter((id) => deed.cellar.vessel(id).content.volume === 0));
      for (const id of ids) {
        if (deed.cellar.vessel(id).content.volume > 0 && event.as !== undefined) deed.rename(id, event.as, true);
      }
  }
}
