/** The alcohol of a lot: as it was measured, else what its must promises by the house's convention. */
import type { Happening } from '../cellar/book.ts';
import type { Minute, Place } from '../journal/events.ts';
import { alcoholBy, alcoholConvention, sayConvention } from '../journal/house-methods.ts';
import { convertDensity, type DensityScale } from '../trade/density-reading.ts';
import { isRefused } from '../trade/worked.ts';
import type { ReportContext } from './context.ts';
import { dayOf, dayText } from './dates.ts';
import { analyteUnit, measureText, valueText, withUnit } from './figures.ts';
import type { Link } from './links.ts';
import { readingsIn } from './readings.ts';

export interface Strength {
  /** `13.7 % vol`, or `about 14.1 % vol` where the must promises it. */
  readonly text: string;
  readonly percentVolume: number;
  readonly measured: boolean;
  /** What the figure rests on. */
  readonly from: string;
  readonly line: Link;
  readonly minute: Minute;
  readonly place: Place;
}

/** Scales a must's sugar is read on. */
const SCALES: readonly DensityScale[] = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato'];

const isScale = (analyte: string): analyte is DensityScale => (SCALES as readonly string[]).includes(analyte);

/** `undefined` where nothing was read that tells it. */
export function strengthOf(context: ReportContext, happenings: readonly Happening[]): Strength | undefined {
  const readings = readingsIn(happenings);
  for (const { event, minute } of readings.toReversed()) {
    const measure = event.measures.find(({ analyte, mark }) => analyte === 'alcohol' && (mark === '' || mark === '~'));
    if (measure === undefined) continue;
    return {
      text: withUnit(measureText(measure, context.settings), '% vol'),
      percentVolume: measure.value,
      measured: true,
      from: `read on ${dayText(dayOf(minute))}`,
      line: context.links.line(event.place),
      minute,
      place: event.place,
    };
  }
  return promised(context, happenings);
}

/** From the highest reading of sugar: later ones are of a ferment. */
function promised(context: ReportContext, happenings: readonly Happening[]): Strength | undefined {
  const by = alcoholConvention(context.settings);
  let best: (Strength & { readonly brix: number }) | undefined;
  for (const { event, minute } of readingsIn(happenings)) {
    for (const { analyte, value, mark, high } of event.measures) {
      if (!isScale(analyte) || mark === '<' || mark === '>' || high !== undefined) continue;
      const brix = convertDensity(value, analyte, 'brix');
      const sugar = convertDensity(value, analyte, 'sugar');
      if (isRefused(brix) || isRefused(sugar) || (best !== undefined && brix.value <= best.brix)) continue;
      const alcohol = alcoholBy(by, brix.value, sugar.value);
      if (isRefused(alcohol)) continue;
      const said = withUnit(valueText(analyte, value, context.settings), analyteUnit(analyte, context.settings));
      best = {
        text: `about ${withUnit(alcohol.toFixed(1), '% vol')} when dry`,
        percentVolume: alcohol,
        measured: false,
        from: `${said} on ${dayText(dayOf(minute))}, ${sayConvention(by)}`,
        line: context.links.line(event.place),
        minute,
        place: event.place,
        brix: brix.value,
      };
    }
  }
  return best;
}
