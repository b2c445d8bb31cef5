/** Work and readings on vessels that hold nothing. */

import { sayTogether } from '../cellar/together.ts';
import { forgetful } from './check.ts';

const LOOKS: ReadonlySet<string> = new Set(['chill', 'warm', 'stir', 'aerate', 'taste']);

export const emptyVessels = forgetful((cellar) => ({
  after(deed) {
    const { event } = deed;
    const planned = event.kind === 'kept' && event.planned?.under === true;
    if (!planned && event.kind !== 'reading' && (event.kind !== 'work' || !LOOKS.has(event.verb))) return;
    const empty = event.targets.flatMap((target) =>
      target.kind === 'vessel' && cellar.vessel(target.vessel).content.volume === 0 ? [target.vessel] : [],
    );
    sayTogether(deed, empty, (names, many) => ({
      code: 'work-on-empty',
      message: `${names} ${many ? 'hold' : 'holds'} nothing on ${deed.day}`,
      help: event.kind === 'reading' ? 'name the vessel that was read' : 'name the vessel that was meant',
    }));
  },
}));
