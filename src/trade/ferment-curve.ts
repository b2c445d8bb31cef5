/**
 * The course of one vessel's ferment: a curve through its readings of sugar, its rate, and when it will reach a value.
 *
 * What pages use: `fitFerment(readings, scale)` takes `{ hours, value }[]` in any order, hours since any fixed time, values
 * on one scale, and gives a `FermentCurve` or a refusal in plain words. From it, `curveAt` gives the value at an hour with
 * its 95 % band, `rateAt` the fall a day with its standard error, `whenReached` the hour at which a value is reached with
 * its 95 % interval. `setAside` names the readings the curve leaves out and why, `remarks` what else a reader has to know.
 *
 * The curve is a stretched exponential (Weibull's form), a sigmoid of four parameters whose two bends differ:
 *
 *     S(t) = end + (start − end) × exp(−((t − origin) / time)^bend)
 *
 * Of the published ferments that could be read it follows the sugar best: over the three replicates of agave juice by HPLC,
 * Akaike's criterion for small samples sums to 69 for it, 78 for a logistic fall, 102 and 104 for the two Gompertz curves; a
 * brewer's record of gravity does not decide between them (`tests/trade/ferment.test.ts` holds this). No published table of
 * grape must was found in readable form. Beside it the same readings are fitted with a logistic fall, which trails off longer,
 * and the band takes in how far that departs from the curve: what the form of a curve leaves open is told as well.
 *
 * The end is believed to be what a dry wine reads (−1.5 ± 0.4 °Bx, `sugar-scales.ts`), for a ferment under way says little of
 * where it will stop; the start is believed to be near the first reading (± 1 °Bx). Where the readings level off elsewhere
 * than dry, the belief gives way, and `remarks` says so.
 *
 * One bad reading does not bend the curve: slips against their neighbours are left out first (`odd-readings.ts`), then one
 * at a time the reading that stands farthest off a curve fitted without it, where that would happen by chance to one ferment
 * in a hundred (externally studentised residuals, Bonferroni's bound). Each is named with its reason; none is dropped silently.
 *
 * Temperature, nutrients and additions are not modelled, and no curve foresees that yeast tires: what is foretold is what
 * comes if the ferment goes on as it went. A ferment that stood and went on is fitted from where it went on.
 */
import { END, guessLogistic, guessStretched, logisticFall, PLACES, START, stretchedFall } from './fit/falls.ts';
import { type Curve, type Fit, fitCurve } from './fit/least-squares.ts';
import { type OddReading, oddReadings, type Reading, SURE, soakEnd } from './fit/odd-readings.ts';
import { quadraticForm } from './fit/orthogonal.ts';
import { restartOf } from './fit/restart.ts';
import { studentQuantile } from './fit/student.ts';
import { type SugarScale, type SugarScaleKey, sugarChangeText, sugarScale, sugarText } from './fit/sugar-scales.ts';
import { isRefused, refuse, type Worked } from './worked.ts';

export type { OddReading, Reading, SugarScaleKey };

/** Nothing is foretold beyond so many days after the newest reading. */
export const HORIZON_DAYS = 21;
/** Readings a curve takes at least, after those that were set aside. */
export const FEWEST_READINGS = 5;
/** The share of the sugar that has to be gone before a day is foretold: earlier, the fall so far says too little. */
export const EARLIEST_SHARE = 0.4;

/** The curve in figures; hours are on the clock of the readings. */
export interface FermentShape {
  /** The value before the fall, and the one it levels off at. */
  readonly start: number;
  readonly end: number;
  /** When the curve begins. */
  readonly origin: number;
  /** Hours from there until 63 % of the fall is done. */
  readonly time: number;
  /** 1 starts at full speed and trails off; about 2 is nearly straight; more lags, then ends abruptly. */
  readonly bend: number;
}

export interface FermentCurve {
  readonly scale: SugarScaleKey;
  readonly shape: FermentShape;
  /** The standard deviation of the readings about the curve, in the unit of the scale. */
  readonly residual: number;
  /** The readings fitted, in the order of time. */
  readonly used: readonly Reading[];
  /** Readings left out as slips, with the reason of each, in the order of time. */
  readonly setAside: readonly OddReading[];
  /** What else a reader has to know, in plain sentences without a full stop. */
  readonly remarks: readonly string[];
  readonly fitted: {
    /** The parameters as `stretchedFall` takes them, their covariance, and how many standard errors make 95 %. */
    readonly parameters: readonly number[];
    readonly covariance: readonly (readonly number[])[];
    readonly errors95: number;
    /** Those of `logisticFall` through the same readings; where it would not settle there are none. */
    readonly logistic?: readonly number[];
  };
}

/**
 * The curve through the readings of one vessel.
 *
 * Refused, in words for the winemaker: a scale that measures no sugar, fewer than five sound readings, sugar that has not
 * begun to fall (less than 1 °Bx or its like), and readings that do not lie about one curve (with how far they lie off).
 */
export function fitFerment(readings: readonly Reading[], scaleKey: SugarScaleKey): Worked<FermentCurve> {
  const scale = sugarScale(scaleKey);
  if (scale === undefined) return refuse(`${scaleKey} is no scale of sugar`);
  const remarks: string[] = [];
  const odd = oddReadings(readings, scale.key);
  const setAside = odd.filter(({ lasting }) => !lasting);
  const left = new Set(setAside.map(({ index }) => index));
  let sound = readings
    .map((reading, index) => ({ hours: reading.hours, value: reading.value, index }))
    .filter(({ hours, value, index }) => Number.isFinite(hours) && Number.isFinite(value) && !left.has(index))
    .sort((a, b) => a.hours - b.hours || a.index - b.index);
  const change = odd.findLast(({ lasting }) => lasting);
  if (change !== undefined) {
    const from = sound.findIndex(({ index }) => index === change.index);
    sound = sound.slice(from);
    remarks.push(`fitted from the reading of ${sugarText(change.value, scale)} on: ${change.why}`);
  }
  const soaked = sound.slice(highestWhileSoaking(sound, scale));
  if (soaked.length < sound.length) {
    const highest = soaked[0]?.value ?? Number.NaN;
    remarks.push(`readings before the must was at its highest (${sugarText(highest, scale)}) are left out`);
  }
  const whole = curveThrough(soaked, scale, setAside, remarks);
  const restart = isRefused(whole) || whole.residual > UNEASY * surestOf(soaked, scale) ? restartOf(soaked, scale) : 0;
  if (restart === 0) return whole;
  const from = soaked[restart] as Reading;
  const since = `it stood at about ${sugarText(from.value, scale)} and went on: only what was read since is fitted`;
  return curveThrough(soaked.slice(restart), scale, setAside, [...remarks, since]);
}

/** A curve whose readings lie off it by more than this many times what they should may be two: a stand is looked for. */
const UNEASY = 1.5;
/**
 * How far a true ferment departs from the curve, as a share of its fall: 0.9 to 2.7 % is what is left over from fits to the
 * published ferments. Added to the error of a reading (in squares), so that many good readings do not feign certainty.
 */
const FORM_ERROR = 0.02;

/** The deviation a reading has from the curve at the least: its own error, and what a ferment departs from any curve. */
function surestOf(used: readonly Reading[], scale: SugarScale): number {
  return Math.hypot(scale.error, FORM_ERROR * ((used[0]?.value ?? Number.NaN) - scale.dry));
}

type Placed = Reading & { readonly index: number };

/** The place of the first reading that is as high as any before sugar falls, but for the error of a reading. */
function highestWhileSoaking(order: readonly Reading[], scale: SugarScale): number {
  const soaking = order.slice(0, soakEnd(order, scale) + 1);
  const most = Math.max(...soaking.map(({ value }) => value));
  return Math.max(
    0,
    soaking.findIndex(({ value }) => value >= most - SURE * scale.error),
  );
}

/** Readings may lie about the curve by so many of their own errors, or this share of the whole fall, whichever is more. */
const MOST_RESIDUAL_ERRORS = 4;
const MOST_RESIDUAL_SHARE = 0.06;

function curveThrough(
  sound: readonly Placed[],
  scale: SugarScale,
  slips: readonly OddReading[],
  remarks: readonly string[],
): Worked<FermentCurve> {
  const refusal = tooLittle(sound, scale);
  if (refusal !== undefined) return refusal;
  const origin = originOf(sound, scale);
  const curve = stretchedFall(origin);
  const surest = surestOf(sound, scale);
  const fitOf = (those: readonly Placed[], deviation: number, believesDry: boolean, start: readonly number[]) =>
    fitOnce(curve, those, scale, deviation, believesDry, start);
  const setAside = [...slips];
  let used = sound;
  let believesDry = true;
  let fit = fitOf(used, surest, believesDry, guessStretched(used, scale, origin));
  if (isRefused(fit)) return refuse(`no curve goes through these readings: ${fit.refused}`);
  const most = Math.max(1, Math.floor(used.length / 8));
  for (let taken = 0; ; taken++) {
    // Where it levels off well away from dry, the readings are believed rather than the belief.
    if (believesDry && Math.abs((fit.parameters[END] as number) - scale.dry) > 2 * scale.drySpread) {
      const freed = fitOf(used, surest, false, fit.parameters);
      if (!isRefused(freed)) {
        fit = freed;
        believesDry = false;
      }
    }
    const off = taken < most && used.length > FEWEST_READINGS ? farthestOff(curve, used, fit, scale) : undefined;
    if (off === undefined) break;
    const rest = used.filter(({ index }) => index !== off.index);
    const without = fitOf(rest, surest, believesDry, fit.parameters);
    if (isRefused(without)) break;
    setAside.push({ ...off, lasting: false, why: whyOff(off, curve, without, scale) });
    used = rest;
    fit = without;
  }
  // Readings that scatter more than they should are believed less beside what is believed of start and end.
  for (let round = 0; round < 3; round++) {
    const residual = residualOf(curve, used, fit);
    if (residual <= surest) break;
    const again = fitOf(used, residual, believesDry, fit.parameters);
    if (isRefused(again)) break;
    fit = again;
  }
  const residual = residualOf(curve, used, fit);
  const [start = Number.NaN, end = Number.NaN, lnTime = Number.NaN, lnBend = Number.NaN] = fit.parameters;
  const borne = Math.max(MOST_RESIDUAL_ERRORS * scale.error, MOST_RESIDUAL_SHARE * (start - end));
  if (residual > borne) {
    return refuse(
      `the readings do not lie about one curve: they stand off it by ${sugarChangeText(residual, scale)} (standard deviation), and ${sugarChangeText(borne, scale)} is the most that is borne`,
    );
  }
  if (!(start > end)) return refuse('the readings do not fall along a curve');
  const logistic = fitOnce(logisticFall, used, scale, fit.deviation, believesDry, guessLogistic(used, scale));
  // What is known of the readings is a floor beneath what their residual tells.
  const variance = (Math.max(surest, residual) / fit.deviation) ** 2;
  return {
    scale: scale.key,
    shape: { start, end, origin, time: Math.exp(lnTime), bend: Math.exp(lnBend) },
    residual,
    used: used.map(({ hours, value }) => ({ hours, value })),
    setAside: setAside.sort((a, b) => a.hours - b.hours || a.index - b.index),
    remarks: believesDry
      ? remarks
      : [...remarks, `the readings level off at about ${sugarText(end, scale)}, away from what a dry wine reads`],
    fitted: {
      parameters: fit.parameters,
      covariance: fit.spread.map((row) => row.map((entry) => entry * variance)),
      errors95: studentQuantile(0.975, fit.degreesOfFreedom),
      ...(isRefused(logistic) ? {} : { logistic: logistic.parameters }),
    },
  };
}

/** Sugar has begun to fall once this many °Bx are gone. */
const BEGUN_BRIX = 1;

function tooLittle(used: readonly Reading[], scale: SugarScale): ReturnType<typeof refuse> | undefined {
  if (used.length < FEWEST_READINGS) {
    const count = used.length === 1 ? '1 sound reading' : `${used.length} sound readings`;
    return refuse(`${count}: a curve takes at least ${FEWEST_READINGS}`);
  }
  const fallen = (used[0] as Reading).value - Math.min(...used.slice(-2).map(({ value }) => value));
  if (fallen < BEGUN_BRIX * scale.perBrix) {
    return refuse(`the sugar has not begun to fall: ${sugarChangeText(Math.max(0, fallen), scale)} in all so far`);
  }
  return undefined;
}

/** A must that stands for longer than this before it ferments is taken to begin so many hours before the fall. */
const LONGEST_LAG = 48;

/** When the curve begins: at the first reading, or two days before the last one that still stood at the top. */
function originOf(used: readonly Reading[], scale: SugarScale): number {
  const first = used[0] as Reading;
  const top = used.findLast(({ value }) => value >= first.value - SURE * scale.error) ?? first;
  return Math.max(first.hours, top.hours - LONGEST_LAG);
}

interface WeighedFit extends Fit {
  /** The deviation of a reading the fit reckoned with. */
  readonly deviation: number;
}

/** The first reading may stand so many °Bx off the value before the fall: it may be late, or of a must that still soaks. */
const START_BRIX = 1;
/** A belief that gave way is still held, ten times more loosely, so that a curve with no tail yet keeps an end. */
const LOOSE = 10;

function fitOnce(
  curve: Curve,
  used: readonly Reading[],
  scale: SugarScale,
  deviation: number,
  believesDry: boolean,
  start: readonly number[],
): Worked<WeighedFit> {
  const beliefs = [
    { parameter: START, value: (used[0] as Reading).value, deviation: START_BRIX * scale.perBrix },
    { parameter: END, value: scale.dry, deviation: (believesDry ? 1 : LOOSE) * scale.drySpread },
  ];
  const observations = used.map(({ hours, value }) => ({ x: hours, y: value }));
  const fit = fitCurve(curve, observations, start, { deviation, beliefs });
  return isRefused(fit) ? fit : { ...fit, deviation };
}

/** Start and end are believed rather than read, and not counted as found out. */
const BELIEVED = 2;

/** The standard deviation of the readings about the curve. */
function residualOf(curve: Curve, used: readonly Reading[], fit: Fit): number {
  const slopes = new Float64Array(PLACES);
  let sum = 0;
  for (const { hours, value } of used) sum += (value - curve(hours, fit.parameters, slopes)) ** 2;
  return Math.sqrt(sum / (used.length - (PLACES - BELIEVED)));
}

/** A reading nearer the curve than this many of its errors is never set aside. */
const NEAR_ERRORS = 3;

/** The reading that stands farthest off the curve without it, where chance would do that to one ferment in a hundred. */
function farthestOff(curve: Curve, used: readonly Placed[], fit: WeighedFit, scale: SugarScale): Placed | undefined {
  const freedom = fit.degreesOfFreedom - 1;
  const limit = studentQuantile(1 - 0.01 / (2 * used.length), freedom);
  const slopes = new Float64Array(PLACES);
  let worst: { one: Placed; size: number } | undefined;
  for (const one of used) {
    const off = one.value - curve(one.hours, fit.parameters, slopes);
    const leverage = Math.min(0.999, quadraticForm(fit.spread, slopes) / fit.deviation ** 2);
    const weighed = (off / fit.deviation) ** 2 / (1 - leverage);
    const others = Math.max(1, (fit.residualSumOfSquares - weighed) / freedom);
    const size = Math.sqrt(weighed / others);
    const far = size > limit && Math.abs(off) > NEAR_ERRORS * scale.error;
    if (far && (worst === undefined || size > worst.size)) worst = { one, size };
  }
  return worst?.one;
}

function whyOff(one: Reading, curve: Curve, others: Fit, scale: SugarScale): string {
  const off = one.value - curve(one.hours, others.parameters, new Float64Array(PLACES));
  const side = off > 0 ? 'above' : 'below';
  return `${sugarText(one.value, scale)} stands ${sugarChangeText(Math.abs(off), scale)} ${side} the curve of the others`;
}

/** A value with the bounds between which it lies in 95 cases of 100. */
export interface Banded {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * The curve's value at an hour with its 95 % band: where the ferment runs, by the spread of the parameters (delta method) and
 * by what the logistic makes of the same readings (in squares, on its side). A single reading scatters about it by `residual`
 * besides. NaN beyond the horizon of 21 days after the newest reading.
 */
export function curveAt(curve: FermentCurve, hours: number): Banded {
  if (!(hours <= horizonOf(curve))) return { value: Number.NaN, low: Number.NaN, high: Number.NaN };
  const { parameters, covariance, errors95, logistic } = curve.fitted;
  const slopes = new Float64Array(PLACES);
  const value = stretchedFall(curve.shape.origin)(hours, parameters, slopes);
  const half = errors95 * Math.sqrt(quadraticForm(covariance, slopes));
  const other = logistic === undefined ? 0 : logisticFall(hours, logistic, slopes) - value;
  return {
    value,
    low: value - Math.hypot(half, Math.min(0, other)),
    high: value + Math.hypot(half, Math.max(0, other)),
  };
}

/** The hour beyond which nothing is foretold. */
export function horizonOf(curve: FermentCurve): number {
  return (curve.used.at(-1)?.hours ?? Number.NaN) + 24 * HORIZON_DAYS;
}

export interface Rate {
  /** How much the value falls in a day, in the unit of the scale; above nothing while it ferments. */
  readonly perDay: number;
  readonly standardError: number;
}

/** The rate of fall at an hour; its error takes in the logistic as `curveAt` does. NaN beyond the horizon. */
export function rateAt(curve: FermentCurve, hours: number): Rate {
  if (!(hours <= horizonOf(curve))) return { perDay: Number.NaN, standardError: Number.NaN };
  const { parameters, covariance, errors95, logistic } = curve.fitted;
  const here = fallWithin(stretchedFall(curve.shape.origin), hours, parameters);
  const other = logistic === undefined ? 0 : fallWithin(logisticFall, hours, logistic).fall - here.fall;
  const error = Math.hypot(other / errors95, Math.sqrt(quadraticForm(covariance, here.slopes)));
  return { perDay: 24 * here.fall, standardError: 24 * error };
}

/** The fall within the hour about an hour, which stands for the rate there, and its slopes by the parameters. */
function fallWithin(of: Curve, hours: number, parameters: readonly number[]): { fall: number; slopes: Float64Array } {
  const earlier = new Float64Array(PLACES);
  const later = new Float64Array(PLACES);
  const fall = of(hours - 0.5, parameters, earlier) - of(hours + 0.5, parameters, later);
  return { fall, slopes: earlier.map((slope, j) => slope - (later[j] as number)) };
}

/** When a value is reached, in hours on the clock of the readings. */
export interface Reached {
  readonly hours: number;
  /** The 95 % interval. No `latest`: it may also take longer than the horizon, or not be reached at all. */
  readonly earliest: number;
  readonly latest?: number;
}

/**
 * When the curve reaches a value, with the interval in which its band does; the earliest is stretched to where a straight
 * line at the newest rate (with its error) would be, for real ferments can end more abruptly than the curve.
 * Near what a dry wine reads the interval is wide or open: 0 °Bx can be foretold, −1 °Bx hardly.
 *
 * Refused: the newest reading is there already; less than four tenths of the sugar are gone, which is too early to tell; the
 * curve levels off above it; or it is not reached within 21 days of the newest reading.
 */
export function whenReached(curve: FermentCurve, target: number): Worked<Reached> {
  const scale = sugarScale(curve.scale);
  const newest = curve.used.at(-1);
  if (scale === undefined || newest === undefined) return refuse('there is no curve');
  if (!Number.isFinite(target)) return refuse('the value to reach is no number');
  const say = sugarText(target, scale);
  if (newest.value <= target) return refuse(`already there: the newest reading is ${sugarText(newest.value, scale)}`);
  const now = curveAt(curve, newest.hours);
  const { start, end } = curve.shape;
  const gone = Math.max(0, (start - now.value) / (start - Math.min(end, scale.dry)));
  if (gone < EARLIEST_SHARE) {
    return refuse(
      `too early to tell: ${Math.floor(100 * gone)} % of the sugar is gone, and a day is named from ${100 * EARLIEST_SHARE} % on`,
    );
  }
  if (now.value <= target) return refuse(`about there: the curve stands at ${sugarText(now.value, scale)}`);
  if (target <= end) return refuse(`the curve levels off at ${sugarText(end, scale)}: ${say} is not in sight`);
  const until = horizonOf(curve);
  const crossing = (of: (banded: Banded) => number): number | undefined =>
    whenBelow(curve, of, target, newest.hours, until);
  const hours = crossing(({ value }) => value);
  if (hours === undefined) {
    return refuse(`not within ${HORIZON_DAYS} days of the newest reading, and no day beyond that is named`);
  }
  const { perDay, standardError } = rateAt(curve, newest.hours);
  const anHour = (perDay + curve.fitted.errors95 * standardError) / 24;
  const straight = newest.hours + Math.max(0, now.low - target) / anHour;
  const earliest = Math.min(crossing(({ low }) => low) ?? hours, straight);
  const latest = crossing(({ high }) => high);
  return latest === undefined ? { hours, earliest } : { hours, earliest, latest };
}

/** The first hour from which on a bound of the curve lies at the target or below, to the hour's hundredth. */
function whenBelow(
  curve: FermentCurve,
  bound: (banded: Banded) => number,
  target: number,
  from: number,
  until: number,
): number | undefined {
  let before = from;
  for (let hours = from; hours <= until; hours += 1) {
    if (bound(curveAt(curve, hours)) <= target) {
      let low = before;
      let high = hours;
      while (high - low > 0.01) {
        const middle = (low + high) / 2;
        if (bound(curveAt(curve, middle)) <= target) high = middle;
        else low = middle;
      }
      return high;
    }
    before = hours;
  }
  return undefined;
}
