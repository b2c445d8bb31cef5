/** What is foretold of the vessels of a lot that still ferment: the curve through their readings, and when they will be dry. */
import {
  curveAt,
  type FermentCurve as Fitted,
  fitFerment,
  horizonOf,
  rateAt,
  type SugarScaleKey,
  whenReached,
} from '../trade/ferment-curve.ts';
import { sugarScale } from '../trade/fit/sugar-scales.ts';
import { isRefused } from '../trade/worked.ts';
import type { CurveSeries, Forecast } from './charted.ts';
import { dayOf, MINUTES_A_DAY, shortDayText } from './dates.ts';

/** Where sugar by density is gone but for what alcohol hides: a curve can foretell this, and hardly what lies below. */
export const NEAR_DRY: Readonly<Record<SugarScaleKey, number>> = {
  brix: 0,
  plato: 0,
  SG: 1,
  density: 998.2,
  oechsle: 0,
  baume: 0,
  'residual sugar': 4,
};

/** A ferment nobody read for so many days is not drawn on: what it does now, nobody knows. */
const FRESH_DAYS = 6;
/** Points of a drawn curve. */
const STEPS = 60;

export interface VesselForecast {
  readonly name: string;
  /** For the chart; absent where no curve fits. */
  readonly drawn: Forecast | undefined;
  /** How fast it goes: `1.8 °Bx a day`. */
  readonly rate: string;
  /** `27 Sep (25 Sep to 30 Sep)`, or why no day is named. */
  readonly dry: string;
  /** The newest value, and the minute it is foretold to be dry, for sorting. */
  readonly newest: number;
  readonly perDay: number | undefined;
  /** Of the rate, as one standard error. */
  readonly standardError: number | undefined;
  readonly dryAt: number | undefined;
  /** Between these it will be dry with 95 % certainty; nobody knows the end of an open interval. */
  readonly dryBetween: { readonly earliest: number; readonly latest: number | undefined } | undefined;
  readonly remarks: readonly string[];
}

/** For every series still above dry and read of late; the others have nothing to foretell. */
export function forecastsOf(series: readonly CurveSeries[], scaleKey: string, on: number): VesselForecast[] {
  const scale = sugarScale(scaleKey);
  if (scale === undefined) return [];
  const target = NEAR_DRY[scale.key];
  const until = (on + 1) * MINUTES_A_DAY;
  return series
    .flatMap((one) => {
      const last = one.points.at(-1);
      if (last === undefined || last.value <= target || last.minute < until - FRESH_DAYS * MINUTES_A_DAY) return [];
      return [forecastOf(one, scale.key, target)];
    })
    .sort(slowestFirst);
}

/** Those of which no day is known come first: they want looking at most. */
const slowestFirst = (a: VesselForecast, b: VesselForecast): number =>
  (b.dryAt ?? Number.POSITIVE_INFINITY) - (a.dryAt ?? Number.POSITIVE_INFINITY) || b.newest - a.newest || 0;

function forecastOf({ name, points }: CurveSeries, scaleKey: SugarScaleKey, target: number): VesselForecast {
  const origin = points[0]?.minute ?? 0;
  const newest = points.at(-1)?.value ?? Number.NaN;
  const curve = fitFerment(
    points.map(({ minute, value }) => ({ hours: (minute - origin) / 60, value })),
    scaleKey,
  );
  if (isRefused(curve)) {
    return {
      name,
      drawn: undefined,
      rate: '',
      dry: curve.refused,
      newest,
      perDay: undefined,
      standardError: undefined,
      dryAt: undefined,
      dryBetween: undefined,
      remarks: [],
    };
  }
  const minuteOf = (hours: number): number => Math.round(origin + hours * 60);
  const now = curve.used.at(-1)?.hours ?? 0;
  const reached = whenReached(curve, target);
  const { perDay, standardError } = rateAt(curve, now);
  const decimals = scaleKey === 'SG' ? 4 : 1;
  const unit = sugarScale(scaleKey)?.unit ?? '';
  const rate = `${perDay.toFixed(decimals)} ± ${(2 * standardError).toFixed(decimals)} ${unit} a day`;
  const remarks = [...curve.setAside.map(({ why }) => `left out: ${why}`), ...curve.remarks];
  if (isRefused(reached)) {
    const drawn = { name, points: drawnPoints(curve, minuteOf, now) };
    return {
      name,
      drawn,
      rate,
      dry: reached.refused,
      newest,
      perDay,
      standardError,
      dryAt: undefined,
      dryBetween: undefined,
      remarks,
    };
  }
  const latest = Math.min(reached.latest ?? horizonOf(curve), horizonOf(curve));
  const day = (hours: number): string => shortDayText(dayOf(minuteOf(hours)));
  const open =
    reached.latest === undefined
      ? `${day(reached.earliest)} or later`
      : `${day(reached.earliest)} to ${day(reached.latest)}`;
  return {
    name,
    drawn: {
      name,
      points: drawnPoints(curve, minuteOf, reached.hours),
      dry: { minute: minuteOf(reached.hours), low: minuteOf(reached.earliest), high: minuteOf(latest) },
    },
    rate,
    dry: `${day(reached.hours)} (${open})`,
    newest,
    perDay,
    standardError,
    dryAt: minuteOf(reached.hours),
    dryBetween: {
      earliest: minuteOf(reached.earliest),
      latest: reached.latest === undefined ? undefined : minuteOf(reached.latest),
    },
    remarks,
  };
}

/** The curve with its band from the first reading fitted to a little beyond what is foretold. */
function drawnPoints(curve: Fitted, minuteOf: (hours: number) => number, until: number): Forecast['points'] {
  const from = curve.used[0]?.hours ?? 0;
  const to = Math.min(until + 24, horizonOf(curve));
  return Array.from({ length: STEPS + 1 }, (_, i) => {
    const hours = from + ((to - from) * i) / STEPS;
    return { minute: minuteOf(hours), ...curveAt(curve, hours) };
  });
}
