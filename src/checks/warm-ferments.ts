/** A ferment warmer than yeast likes: once a vessel and filling, as it then wants cooling and watching. */
import { findAnalyte } from '../../grammar/analytes.ts';
import type { LotId, VesselId } from '../journal/events.ts';
import { remembering } from './check.ts';

/**
 * Degrees Celsius above which a ferment is in danger of stopping (common practice; textbooks put the danger for yeast at 35 to
 * 38 °C in red must, and whites lose what they are made for long before). The cap is read some degrees warmer.
 */
const MOST = { red: 35, other: 28 } as const;

/** The highest temperature a reading of a liquid may plausibly have. */
const NO_CELLAR = findAnalyte('temp')?.plausible[1] ?? Number.POSITIVE_INFINITY;

interface Memory {
  readonly told: Map<VesselId, LotId>;
}

const fresh = (): Memory => ({ told: new Map() });

export const warmFerments = remembering(fresh, (cellar, { told }) => {
  return {
    after(deed) {
      const { event } = deed;
      if (event.kind !== 'reading') return;
      for (const { analyte, value, said } of event.measures) {
        // what no cellar reads is a slip of the unit, and told as such
        if (analyte !== 'temp' || value <= MOST.other || value > NO_CELLAR) continue;
        for (const id of deed.touchedVessels) {
          const { lot, facts } = cellar.vessel(id);
          if (lot < 0 || told.get(id) === lot) continue;
          const state = cellar.lot(lot);
          if (state.stage !== 'fermenting' && state.stage !== 'must' && state.stage !== 'juice') continue;
          const colour = cellar.colourOf(state);
          const most = colour === 'white' || colour === 'rosé' ? MOST.other : MOST.red;
          if (value <= most) continue;
          told.set(id, lot);
          deed.say({
            code: 'ferment-warm',
            message: `${facts.name} read ${said} while ${state.facts.name} ferments; above ${most} °C yeast suffers${colour === 'red' || colour === undefined ? '' : ' and a white loses its fruit'}`,
            help: 'cool it and read again soon; carbon dioxide comes fastest now, so air the room before anybody leans over it. If it is watched, answer with `sic`',
            mark: said.split(' ')[0] ?? '',
            vessels: [id],
          });
        }
      }
    },
  };
});
