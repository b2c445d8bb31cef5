/**
 * The course of one vessel's ferment: a curve through its readings of sugar, its rate, and when it will reach a value.
 *
 * What pages use: `fitFerment(readings, scale)` takes `{ hours, value }[]` in any order, hours since any fixed time, values
 * on one scale, and gives a `FermentCurve` or a refusal in plain words. From it, `curveAt` gives the value at an hour with
 * its 95 % band, `rateAt` the fall a day with its standard error, `whenReached` the hour at which a value is reached with
 * its 95 % interval. `setAside` names the readings the curve leaves out and why, `remarks` what else a reader has to know.
 *
 * The curve is a logistic fall:
 *
 *     S(t) = end + (start − end) / (1 + eᵘ),  u = (t − fastest) / pace
 *
 * Of the published ferments that could be read, sugar follows it better than either Gompertz curve, and a fifth parameter
 * for its skew (Richards 1959) does not earn its place: agave juice by HPLC in three replicates, each by Akaike's criterion
 * for small samples; a brewer's record of gravity and yeast growth don't decide (`tests/trade/ferment.test.ts` holds this).
 * No published table of a grape must was found in readable form. So the logistic is drawn, and what it may get wrong is
 * told: the readings are fitted once more with a skew of e and of 1/e, one curve that trails off and one that ends
 * abruptly, and the band takes in how far those two depart from it. (Gava, Borsato & Ficagna 2020, LWT 132, fit the gas of
 * wine ferments with a logistic, a Gompertz and a skewed logistic curve.)
 *
 * The end is believed to be what a dry wine reads (−1.5 ± 0.4 °Bx, `sugar-scales.ts`), for a ferment under way says little of
 * where it will stop; the start is believed to be near the first reading (± 2 °Bx). Where the readings level off elsewhere
 * than dry, the belief gives way, and `remarks` says so.
 *
 * One bad reading does not bend the curve: slips against their neighbours are left out first (`odd-readings.ts`), then one
 * at a time the reading that stands farthest off a curve fitted without it, where that would happen by chance to one ferment
 * in a hundred (externally studentised residuals, Bonferroni's bound). Each is named with its reason; none is dropped silently.
 *
 * Temperature, nutrients and additions are not modelled, and no curve foresees that yeast tires: what is foretold is what
 * comes if the ferment goes on as it went. A ferment that stood and went on is fitted from where it went on.
 */
import { type Curve, type Fit, fitCurve } from './fit/least-squares.ts';
import { type OddReading, oddReadings, type Reading, SURE, soakEnd } from './fit/odd-readings.ts';
import { quadraticForm } from './fit/orthogonal.ts';
import { studentQuantile } from './fit/student.ts';
import { type SugarScale, type SugarScaleKey, sugarChangeText, sugarScale, sugarText } from './fit/sugar-scales.ts';
import { isRefused, refuse, type Worked } from './worked.ts';

export type { OddReading, Reading, SugarScaleKey };

/** Nothing is foretold beyond so many days after the last reading. */
export const HORIZON_DAYS = 14;
/** Readings a curve takes at least, after those that were set aside. */
export const FEWEST_READINGS = 5;
/** The share of the sugar that has to be gone before a day is foretold: earlier, the fall so far says too little. */
export const EARLIEST_SHARE = 0.4;

/** The curve's parameters in words; hours are on the clock of the readings. */
export interface FermentShape {
  /** The value before the fall, and the one it levels off at. */
  readonly start: number;
  readonly end: number;
  /** The hour of the fastest fall. */
  readonly fastestAt: number;
  /** In hours; the fall from nine tenths to one tenth takes 4.4 of them. */
  readonly pace: number;
}

export interface FermentCurve {
  readonly scale: SugarScaleKey;
  readonly shape: FermentShape;
  /** The standard deviation of the readings about the curve, in the unit of the scale. */
  readonly residual: number;
  /** The readings fitted, in the order of time. */
  readonly used: readonly Reading[];
  /** Readings left out as slips, with the reason of each. */
  readonly setAside: readonly OddReading[];
  /** What else a reader has to know, in plain sentences without a full stop. */
  readonly remarks: readonly string[];
  readonly fitted: {
    /** The parameters as `fermentFall` takes them, their covariance, and how many standard errors make 95 %. */
    readonly parameters: readonly number[];
    readonly covariance: readonly (readonly number[])[];
    readonly errors95: number;
    /** The same readings fitted with other skews, which tell what the form of the curve leaves open. */
    readonly forms: readonly { readonly skew: number; readonly parameters: readonly number[] }[];
  };
}

/** Places of the parameters as the curve takes them; the pace as its logarithm, which cannot go below nothing. */
const START = 0;
const END = 1;
const FASTEST = 2;
const LN_PACE = 3;
/** Starts at once and trails off; starts slowly and ends abruptly. Between them a ferment's form is believed to lie. */
const OTHER_SKEWS = [2];

/**
 * A fall of the skew ν: end + (start − end) × (1 + ν eᵘ)^(−1/ν), fastest at the hour `fastest`; ν = 1 is the logistic.
 * The curve gives its value at an hour and its slopes by start, end, fastest hour and ln pace.
 */
export const fermentFall =
  (skew: number): Curve =>
  (hours, parameters, slopes) => {
    const [start = Number.NaN, end = Number.NaN, fastest = Number.NaN, lnPace = Number.NaN] = parameters;
    const pace = Math.exp(lnPace);
    const u = (hours - fastest) / pace;
    const swelling = u + Math.log(skew);
    const left = Math.exp(-softplus(swelling) / skew);
    // By how much the share left falls as u grows.
    const fall = left / (1 + Math.exp(-swelling)) / skew;
    const depth = start - end;
    slopes[START] = left;
    slopes[END] = 1 - left;
    slopes[FASTEST] = (depth * fall) / pace;
    slopes[LN_PACE] = depth * fall * u;
    return end + depth * left;
  };

/** ln(1 + eˣ). */
const softplus = (x: number): number => (x > 30 ? x : Math.log1p(Math.exp(x)));

const logistic: Curve = (hours, parameters, slopes) => {
  const [start = Number.NaN, end = Number.NaN, lnTau = Number.NaN, lnP = Number.NaN] = parameters;
  const p = Math.exp(lnP);
  const h = Math.max(0, hours - ORIGIN.at) / Math.exp(lnTau);
  const hp = h ** p;
  const left = Math.exp(-hp);
  const depth = start - end;
  slopes[0] = left; slopes[1] = 1 - left; slopes[2] = depth * left * p * hp; slopes[3] = h > 0 ? -depth * left * hp * p * Math.log(h) : 0;
  return end + depth * left;
};
const ORIGIN = { at: 0 };

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
    sound = sound.filter(({ hours }) => hours >= change.hours);
    remarks.push(`fitted from the reading of ${sugarText(change.value, scale)} on: ${change.why}`);
  }
  const soaked = sound.slice(highestWhileSoaking(sound, scale));
  if (soaked.length < sound.length) {
    remarks.push(
      `readings before the must was at its highest (${sugarText(soaked[0]?.value ?? Number.NaN, scale)}) are left out`,
    );
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

/** The deviation a reading has from the curve at the least: its own error, and what a ferment departs from any curve. */
function surestOf(used: readonly Reading[], scale: SugarScale): number {
  return Math.hypot(scale.error, FORM_ERROR * ((used[0]?.value ?? Number.NaN) - scale.dry));
}

type Placed = Reading & { readonly index: number };

/** The place of the first reading that is as high as any before sugar falls, but for the error of a reading. */
function highestWhileSoaking(order: readonly Reading[], scale: SugarScale): number {
  const soaking = order.slice(0, soakEnd(order) + 1);
  const most = Math.max(...soaking.map(({ value }) => value));
  return Math.max(
    0,
    soaking.findIndex(({ value }) => value >= most - SURE * scale.error),
  );
}

function curveThrough(
  sound: readonly Placed[],
  scale: SugarScale,
  slips: readonly OddReading[],
  remarks: readonly string[],
): Worked<FermentCurve> {
  let used = sound;
  const setAside = [...slips];
  const refusal = tooLittle(used, scale);
  if (refusal !== undefined) return refusal;
  let believesDry = true;
  const surest = surestOf(used, scale);
  let fit = fitOnce(used, scale, surest, believesDry);
  if (isRefused(fit)) return fit;
  const most = Math.max(1, Math.floor(used.length / 8));
  for (let taken = 0; ; taken++) {
    // Where it levels off well away from dry, the readings are believed rather than the belief.
    const level = fit.parameters[END] as number;
    if (believesDry && Math.abs(level - scale.dry) > 2 * scale.drySpread) {
      const freed = fitOnce(used, scale, surest, false, fit);
      if (!isRefused(freed)) {
        fit = freed;
        believesDry = false;
      }
    }
    const off = taken < most && used.length > FEWEST_READINGS ? farthestOff(used, fit, scale) : undefined;
    if (off === undefined) break;
    const rest = used.filter(({ index }) => index !== off.index);
    const without = fitOnce(rest, scale, surest, believesDry, fit);
    if (isRefused(without)) break;
    setAside.push(off);
    used = rest;
    fit = without;
  }
  // Readings that scatter more than they should are believed less beside what is believed of start and end.
  for (let round = 0; round < 3; round++) {
    const residual = residualOf(used, fit);
    if (residual <= surest) break;
    const again = fitOnce(used, scale, residual, believesDry, fit);
    if (isRefused(again)) break;
    fit = again;
  }
  const residual = residualOf(used, fit);
  const [start = Number.NaN, end = Number.NaN, fastestAt = Number.NaN, lnPace = Number.NaN] = fit.parameters;
  const borne = Math.max(MOST_RESIDUAL_ERRORS * scale.error, MOST_RESIDUAL_SHARE * (start - end));
  if (residual > borne) {
    return refuse(
      `the readings do not lie about one curve: they stand off it by ${sugarChangeText(residual, scale)} (standard deviation), and ${sugarChangeText(borne, scale)} is the most that is borne`,
    );
  }
  if (!(start > end)) return refuse('the readings do not fall along a curve');
  const deviation = Math.max(surest, residual);
  // The fit's covariance rests on its own residual; what is known of a reading's error is a floor beneath it.
  const floor = (deviation / (fit.residualDeviation * fit.deviation)) ** 2;
  return {
    scale: scale.key,
    shape: { start, end, fastestAt, pace: Math.exp(lnPace) },
    residual,
    used: used.map(({ hours, value }) => ({ hours, value })),
    setAside: setAside.sort((a, b) => a.hours - b.hours || a.index - b.index),
    remarks: believesDry
      ? remarks
      : [...remarks, `the readings level off at about ${sugarText(end, scale)}, away from what a dry wine reads`],
    fitted: {
      parameters: fit.parameters,
      covariance: fit.covariance.map((row) => row.map((entry) => entry * floor)),
      errors95: studentQuantile(0.975, fit.degreesOfFreedom),
      forms: OTHER_SKEWS.map((skew) => {
        const other = fitOnce(used, scale, fit.deviation, believesDry, fit, skew);
        return { skew, parameters: isRefused(other) ? fit.parameters : other.parameters };
      }),
    },
  };
}

/**
 * How far a true ferment departs from the curve, as a share of its fall: 0.9 to 2.7 % is what is left over from fits to the
 * published ferments. Added to the error of a reading (in squares), so that many good readings do not feign certainty.
 */
const FORM_ERROR = Number(process.env.FORM ?? 0.01);
/** Readings may lie about the curve by so many of their own errors, or this share of the whole fall, whichever is more. */
const MOST_RESIDUAL_ERRORS = 4;
const MOST_RESIDUAL_SHARE = 0.06;
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

interface WeighedFit extends Fit {
  /** The deviation of a reading the fit reckoned with. */
  readonly deviation: number;
}

function fitOnce(
  used: readonly Reading[],
  scale: SugarScale,
  deviation: number,
  believesDry: boolean,
  near?: Fit,
  skew = 1,
): Worked<WeighedFit> {
  const spread = believesDry ? scale.drySpread : LOOSE * scale.drySpread;
  const beliefs = [
    { parameter: START, value: (used[0] as Reading).value, deviation: START_BRIX * scale.perBrix },
    { parameter: END, value: scale.dry, deviation: spread },
  ];
  const observations = used.map(({ hours, value }) => ({ x: hours, y: value }));
  const fit = fitCurve(skew === 1 ? logistic : fermentFall(1), observations, skew === 1 ? (near?.parameters ?? weibullGuess(used, scale)) : firstGuess(used, scale), { deviation, beliefs });
  return isRefused(fit) ? fit : { ...fit, deviation };
}

/** The first reading may stand so many °Bx off the value before the fall: it may be late, or one of a must that still soaks. */
const START_BRIX = Number(process.env.STARTB ?? 1);
/** A belief that gave way is still held, ten times more loosely, so that a curve with no tail yet keeps an end. */
const LOOSE = 10;

/** A logistic through the readings: ln(gone / left) is a straight line of the hours. */
function firstGuess(used: readonly Reading[], scale: SugarScale): number[] {
  const values = used.map(({ value }) => value);
  const start = Math.max(...values) + scale.error;
  const end = Math.min(scale.dry, Math.min(...values) - scale.error);
  let weights = 0;
  let hoursSum = 0;
  let oddsSum = 0;
  let squares = 0;
  let products = 0;
  for (const { hours, value } of used) {
    const left = (value - end) / (start - end);
    const odds = Math.log((1 - left) / left);
    const weight = left * (1 - left);
    weights += weight;
    hoursSum += weight * hours;
    oddsSum += weight * odds;
    squares += weight * hours * hours;
    products += weight * hours * odds;
  }
  const meanHours = hoursSum / weights;
  const slope = (products - meanHours * oddsSum) / (squares - meanHours * hoursSum);
  const pace = slope > 0 && Number.isFinite(slope) ? 1 / slope : 24;
  return [start, end, meanHours - (oddsSum / weights) * pace, Math.log(pace)];
}

function weibullGuess(used: readonly Reading[], scale: SugarScale): number[] {
  ORIGIN.at = used[0]!.hours;
  const [start = 0, end = 0] = firstGuess(used, scale);
  const half = used.find(({ value }) => (value - end) / (start - end) < 0.6) ?? used.at(-1)!;
  return [start, end, Math.log(Math.max(6, half.hours - ORIGIN.at) * 1.2), Math.log(2)];
}

/** The standard deviation of the readings about the curve; start and end are believed rather than read, and not counted. */
function residualOf(used: readonly Reading[], fit: Fit): number {
  const slopes = new Float64Array(fit.parameters.length);
  let sum = 0;
  for (const { hours, value } of used) sum += (value - logistic(hours, fit.parameters, slopes)) ** 2;
  return Math.sqrt(sum / (used.length - (fit.parameters.length - BELIEVED)));
}

const BELIEVED = 2;

/** The reading that stands farthest off the curve without it, where chance would do that to one ferment in a hundred. */
function farthestOff(used: readonly Placed[], fit: WeighedFit, scale: SugarScale): OddReading | undefined {
  const freedom = fit.degreesOfFreedom - 1;
  if (freedom < 1) return undefined;
  const limit = studentQuantile(1 - 0.01 / (2 * used.length), freedom);
  const variance = fit.residualDeviation ** 2;
  const slopes = new Float64Array(fit.parameters.length);
  let worst: { one: Placed; off: number; size: number } | undefined;
  for (const one of used) {
    const off = one.value - logistic(one.hours, fit.parameters, slopes);
    const leverage = Math.min(0.999, quadraticForm(fit.covariance, slopes) / (variance * fit.deviation ** 2));
    const weighed = (off / fit.deviation) ** 2 / (1 - leverage);
    const others = Math.max(1, (fit.residualSumOfSquares - weighed) / freedom);
    const size = Math.sqrt(weighed / others);
    if (size > limit && Math.abs(off) > SURE_ERRORS * scale.error && (worst === undefined || size > worst.size)) {
      worst = { one, off, size };
    }
  }
  if (worst === undefined) return undefined;
  const { one, off } = worst;
  const side = off > 0 ? 'above' : 'below';
  return {
    index: one.index,
    hours: one.hours,
    value: one.value,
    lasting: false,
    why: `${sugarText(one.value, scale)} stands ${sugarChangeText(Math.abs(off), scale)} ${side} the curve of the others`,
  };
}

/** A reading nearer the curve than this many of its errors is never set aside. */
const SURE_ERRORS = 3;

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
 * 0.85 °Bx, some way down and some way above dry, then 2.5 °Bx more at 0.75 °Bx a day and three times the pace of the stand.
 * 0 where there is none.
 */
function restartOf(order: readonly Reading[], scale: SugarScale): number {
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
    const standing = Math.max(0, (order[from] as Reading).value - at.value) / stood;
    const paces = later
      .filter(({ hours }) => hours - at.hours >= WENT_ON_HOURS)
      .map(({ hours, value }) => (at.value - value) / (hours - at.hours));
    const going = Math.max(0, ...paces);
    if (going > 3 * standing && going >= (WENT_ON_BRIX_A_DAY * scale.perBrix) / 24) return place;
  }
  return 0;
}

/** A value with the bounds between which it lies in 95 cases of 100. */
export interface Banded {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * The curve's value at an hour with its 95 % band: where the ferment runs, by the spread of the parameters (delta method) and
 * by what the other forms of the curve make of the readings (in squares). A single reading scatters about it by `residual`
 * besides. NaN beyond the horizon of 14 days after the last reading.
 */
export function curveAt(curve: FermentCurve, hours: number): Banded {
  if (!(hours <= horizonOf(curve))) return { value: Number.NaN, low: Number.NaN, high: Number.NaN };
  const { parameters, covariance, errors95, forms } = curve.fitted;
  const unused = new Float64Array(parameters.length);
  const slopes = new Float64Array(parameters.length);
  const value = logistic(hours, parameters, slopes);
  const half = errors95 * Math.sqrt(quadraticForm(covariance, slopes));
  const others = forms.map((form) => fermentFall(1)(hours, form.parameters, unused) - value);
  return {
    value,
    low: value - Math.hypot(half, Math.min(0, ...others)),
    high: value + Math.hypot(half, Math.max(0, ...others)),
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

/** The rate of fall at an hour; its error takes in the other forms of the curve as `curveAt` does. NaN beyond the horizon. */
export function rateAt(curve: FermentCurve, hours: number): Rate {
  if (!(hours <= horizonOf(curve))) return { perDay: Number.NaN, standardError: Number.NaN };
  const { parameters, covariance, errors95, forms } = curve.fitted;
  const here = fallWithin(logistic, hours, parameters);
  const others = forms.map((form) => fallWithin(fermentFall(1), hours, form.parameters).fall - here.fall);
  const form = Math.max(...others.map(Math.abs)) / errors95;
  return { perDay: 24 * here.fall, standardError: 24 * Math.hypot(form, Math.sqrt(quadraticForm(covariance, here.slopes))) };
}

/** The fall within the hour about an hour, which stands for the rate there, and its slopes by the parameters. */
function fallWithin(of: Curve, hours: number, parameters: readonly number[]): { fall: number; slopes: Float64Array } {
  const earlier = new Float64Array(parameters.length);
  const later = new Float64Array(parameters.length);
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
 * curve levels off above it; or it is not reached within 14 days of the newest reading.
 */
export function whenReached(curve: FermentCurve, target: number): Worked<Reached> {
  const scale = sugarScale(curve.scale);
  const newest = curve.used.at(-1);
  if (scale === undefined || newest === undefined) return refuse('there is no curve');
  if (!Number.isFinite(target)) return refuse('the value to reach is no number');
  const say = sugarText(target, scale);
  if (newest.value <= target) return refuse(`already there: the newest reading is ${sugarText(newest.value, scale)}`);
  const { start, end } = curve.shape;
  const gone = (start - curveAt(curve, newest.hours).value) / (start - Math.min(end, scale.dry));
  if (gone < EARLIEST_SHARE) {
    return refuse(
      `too early to tell: ${Math.round(100 * Math.max(0, gone))} % of the sugar is gone, and a day is named from ${100 * EARLIEST_SHARE} % on`,
    );
  }
  if (target >= curveAt(curve, newest.hours).value)
    return refuse(`about there: the curve stands at ${say} or below already`);
  if (target <= end) return refuse(`the curve levels off at ${sugarText(end, scale)}: ${say} is not in sight`);
  const until = horizonOf(curve);
  const crossing = (of: (banded: Banded) => number): number | undefined =>
    whenBelow(curve, of, target, newest.hours, until);
  const hours = crossing(({ value }) => value);
  if (hours === undefined) {
    return refuse(`not within ${HORIZON_DAYS} days at this pace: ${say} is beyond what can be foretold`);
  }
  const latest = crossing(({ high }) => high);
  const { perDay, standardError } = rateAt(curve, newest.hours);
  const anHour = (perDay + curve.fitted.errors95 * standardError) / 24;
  const straight = newest.hours + (curveAt(curve, newest.hours).low - target) / anHour;
  const earliest = Math.max(newest.hours, Math.min(crossing(({ low }) => low) ?? hours, straight));
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
