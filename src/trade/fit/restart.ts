/** Finds where a ferment that stood went on. */
import { type Reading, SURE } from './odd-readings.ts';
import type { SugarScale } from './sugar-scales.ts';

/** Hours a ferment stands before it counts as having stood. */
const STOOD_HOURS = 48;
/** It has to be so far from dry, in °Bx, to have stood rather than finished, and this share of the way down at least. */
const ABOVE_DRY_BRIX = 3;
const UNDER_WAY = 0.15;
/** To have gone on, it falls by so many °Bx after that, at such a pace a day over a day and a half or more. */
const WENT_ON_BRIX = 2.5;
const WENT_ON_BRIX_A_DAY = 0.75;
const WENT_ON_HOURS = 36;

/**
 * The place of the last reading of a stand that a further fall followed: three readings over two days or more within
 * 0.85 °Bx, some way down and some way above dry, then 2.5 °Bx more at 0.75 °Bx a day. 0 where there is none.
 */
export function restartOf(order: readonly Reading[], scale: SugarScale): number {
  const first = order[0]?.value ?? Number.NaN;
  for (let place = order.length - 3; place >= 2; place--) {
    const at = order[place] as Reading;
    const later = order.slice(place + 1);
    const fell = at.value - (later.at(-1) as Reading).value;
    const gone = (first - at.value) / (first - scale.dry);
    const far = at.value >= scale.dry + ABOVE_DRY_BRIX * scale.perBrix;
    if (fell < WENT_ON_BRIX * scale.perBrix || gone < UNDER_WAY || !far) continue;
    let from = place;
    while (from > 0 && Math.abs((order[from - 1] as Reading).value - at.value) <= SURE * scale.error) from--;
    const stood = at.hours - (order[from] as Reading).hours;
    if (stood < STOOD_HOURS || place - from < 2) continue;
    const paces = later
      .filter(({ hours }) => hours - at.hours >= WENT_ON_HOURS)
      .map(({ hours, value }) => (at.value - value) / (hours - at.hours));
    const going = Math.max(0, ...paces);
    if (going >= (WENT_ON_BRIX_A_DAY * scale.perBrix) / 24) return place;
  }
  return 0;
}
