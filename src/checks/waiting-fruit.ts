/** Fruit that was received and never crushed or pressed. */

import type { LotId, Minute, Place } from '../journal/events.ts';
import { formatMass } from '../trade/convert.ts';
import { remembering } from './check.ts';

/** Fruit is worked within a few days; longer is a line forgotten (common practice, no source). */
const DAYS = 4;

interface Memory {
  readonly received: Map<LotId, { place: Place; minute: Minute; sic: boolean }>;
  last: Minute;
}

const fresh = (): Memory => ({ received: new Map(), last: 0 });

export const waitingFruit = remembering(fresh, (cellar, memory) => {
  const { received } = memory;
  return {
    after(deed) {
      const { event } = deed;
      memory.last = event.minute;
      if (event.kind === 'receive')
        received.set(event.lot, { place: event.place, minute: event.minute, sic: event.sic });
    },
    end(say) {
      for (const [id, { place, minute, sic }] of received) {
        const lot = cellar.lot(id);
        const waiting = cellar.fruitWaiting(lot);
        if (waiting === 0 || memory.last - minute < DAYS * 1440) continue;
        // what is left of a lot that was worked is a matter of weights
        if (waiting * 50 < lot.fruit.received) continue;
        say(
          place,
          {
            code: 'fruit-waiting',
            message: `${formatMass(waiting, 'kg')} of ${lot.facts.name} were never crushed or pressed`,
            help: 'write what became of it',
            mark: lot.facts.name,
            lots: [id],
          },
          sic,
        );
      }
    },
  };
});
