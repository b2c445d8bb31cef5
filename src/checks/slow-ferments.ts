/** Ferments that are sluggish or have stuck, as the record stands on its last day. */
import type { LotId, Minute, Place, VesselId } from '../journal/events.ts';
import { paceOf } from '../trade/ferment-pace.ts';
import type { Reading } from '../trade/fit/odd-readings.ts';
import { type SugarScaleKey, sugarScale } from '../trade/fit/sugar-scales.ts';
import { isRefused } from '../trade/worked.ts';
import { remembering } from './check.ts';

/** The readings of a vessel since it holds what it holds, all on one scale. */
interface Course {
  readonly lot: LotId;
  readonly scale: SugarScaleKey;
  readonly readings: Reading[];
  place: Place;
  sic: boolean;
}

/** What nobody read for so long is not judged: a cellar that stopped writing is not a ferment that stopped. */
const FRESH_MINUTES = 7 * 1440;
/** Fewer readings tell no pace. */
const FEWEST = 4;

interface Memory {
  readonly courses: Map<VesselId, Course>;
  latest: Minute;
}

const fresh = (): Memory => ({ courses: new Map(), latest: 0 });

export const slowFerments = remembering(fresh, (cellar, memory) => {
  const { courses } = memory;
  return {
    after(deed) {
      const { event } = deed;
      memory.latest = Math.max(memory.latest, event.minute);
      if (event.kind !== 'reading' || event.sample !== undefined) return;
      for (const { analyte, value, mark, high } of event.measures) {
        if (mark === '<' || mark === '>' || high !== undefined) continue;
        const scale = analyte === 'brix' ? 'brix' : sugarScale(analyte)?.key;
        if (scale === undefined) continue;
        const reading = { hours: event.minute / 60, value };
        for (const id of deed.touchedVessels) {
          const { lot } = cellar.vessel(id);
          if (lot < 0) continue;
          const course = courses.get(id);
          if (course === undefined || course.lot !== lot || course.scale !== scale)
            courses.set(id, { lot, scale, readings: [reading], place: event.place, sic: event.sic });
          else {
            course.readings.push(reading);
            course.place = event.place;
            course.sic = event.sic;
          }
        }
      }
    },
    end(say) {
      const { latest } = memory;
      for (const [id, { lot, scale, readings, place, sic }] of courses) {
        const newest = readings[readings.length - 1];
        const state = cellar.vessel(id);
        if (newest === undefined || readings.length < FEWEST || state.lot !== lot) continue;
        const { stage, facts } = cellar.lot(lot);
        if (stage !== 'fermenting' || latest - newest.hours * 60 > FRESH_MINUTES) continue;
        const colour = cellar.colourOf(cellar.lot(lot));
        const pace = paceOf(readings, scale, latest / 60, { cool: colour === 'white' || colour === 'rosé' });
        if (isRefused(pace) || (pace.state !== 'sluggish' && pace.state !== 'stuck')) continue;
        say(
          place,
          {
            code: pace.state === 'stuck' ? 'ferment-stuck' : 'ferment-sluggish',
            message: `${state.facts.name} (${facts.name}): ${pace.why}`,
            help: 'read it again, and the temperature; look at what it was fed. A restart is planned work: build the starter up first. If it is meant to be so, answer with `sic`',
            mark: state.facts.name,
            vessels: [id],
          },
          sic,
        );
      }
    },
  };
});
