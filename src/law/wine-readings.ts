/** What readings tell of the class of a wine: its alcohol and gas, and what the sugar of its must promises. */
import { coarseBrix } from '../cellar/stages.ts';
import type { Reading } from '../journal/events.ts';
import { alcoholBy, alcoholConvention } from '../journal/house-methods.ts';
import type { Settings } from '../journal/register.ts';
import { convertDensity, type DensityScale } from '../trade/density-reading.ts';
import { isRefused } from '../trade/worked.ts';
import { evenly, type Held, UNKNOWN } from './held-wine.ts';

const SCALES: readonly string[] = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato'];
const isScale = (analyte: string): analyte is DensityScale => SCALES.includes(analyte);

/** The alcohol that sugar of a must promises by the house's convention, in parts per million; undefined for none. */
function promised(analyte: DensityScale, value: number, settings: Settings): number | undefined {
  const brix = convertDensity(value, analyte, 'brix');
  const sugar = convertDensity(value, analyte, 'sugar');
  if (isRefused(brix) || isRefused(sugar)) return undefined;
  const alcohol = alcoholBy(alcoholConvention(settings), brix.value, sugar.value);
  return isRefused(alcohol) ? undefined : Math.round(alcohol * 10_000);
}

/** Takes from a reading what tells of a class; whether there was any such figure. */
export function learn(all: readonly Held[], settings: Settings, { measures }: Reading): boolean {
  let learned = false;
  for (const { analyte, value, mark, high } of measures) {
    if (mark === '<' || mark === '>' || high !== undefined) continue;
    if (analyte === 'alcohol' || analyte === 'CO2') {
      for (const held of all) {
        learned = true;
        if (analyte === 'CO2') held.gas = evenly(Math.round(value * 1000), held.volume);
        else {
          held.alcohol = evenly(Math.round(value * 10_000), held.volume);
          held.read = true;
        }
      }
    } else if (isScale(analyte)) {
      const brix = coarseBrix(analyte, value) ?? 0;
      let strength: number | undefined;
      for (const held of all) {
        if (held.account !== 'must' || brix <= held.brix) continue;
        held.brix = brix;
        strength ??= promised(analyte, value, settings);
        if (!held.read) held.alcohol = strength === undefined ? UNKNOWN : evenly(strength, held.volume);
      }
    }
  }
  return learned;
}
