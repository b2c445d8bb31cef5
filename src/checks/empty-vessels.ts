/** Work and readings on vessels that hold nothing. */
import type { Check } from './check.ts';

export const emptyVessels: Check = (cellar) => ({
  after(deed) {
    const { event } = deed;
    const looks =
      event.kind === 'reading' ||
      (event.kind === 'work' &&
        (event.verb === 'chill' ||
          event.verb === 'warm' ||
          event.verb === 'stir' ||
          event.verb === 'aerate' ||
          event.verb === 'taste'));
    if (!looks) return;
    for (const target of event.targets) {
      if (target.kind !== 'vessel') continue;
      const state = cellar.vessel(target.vessel);
      if (state.content.volume > 0) continue;
      deed.say({
        code: 'work-on-empty',
        message: `${state.facts.name} holds nothing on ${deed.day}`,
        help: event.kind === 'reading' ? 'name the vessel that was read' : 'name the vessel that was meant',
        mark: state.facts.name,
        vessels: [target.vessel],
        ...(state.emptied === undefined ? {} : { related: { place: state.emptied, message: 'it was emptied here' } }),
      });
    }
  },
});
