/** The two forms of a ferment's fall, each a curve of four parameters, and the parameters a fit of them begins with. */
import type { Curve } from './least-squares.ts';
import type { Reading } from './odd-readings.ts';
import type { SugarScale } from './sugar-scales.ts';

/** Places of the parameters: start and end are the same in both curves. */
export const START = 0;
export const END = 1;
export const PLACES = 4;

/**
 * The stretched exponential from an hour on; before that it stands at its start. Parameters: start, end, ln time, ln bend,
 * as logarithms because neither can go below nothing.
 */
export const stretchedFall =
  (origin: number): Curve =>
  (hours, parameters, slopes) => {
    const [start = Number.NaN, end = Number.NaN, lnTime = Number.NaN, lnBend = Number.NaN] = parameters;
    const bend = Math.exp(lnBend);
    const past = Math.max(0, hours - origin) / Math.exp(lnTime);
    const power = past ** bend;
    const left = Math.exp(-power);
    // d(left)/d(ln past), which is nothing where the power has grown beyond all numbers.
    const fall = left === 0 ? 0 : left * power * bend;
    const depth = start - end;
    slopes[START] = left;
    slopes[END] = 1 - left;
    slopes[2] = depth * fall;
    slopes[3] = past > 0 ? -depth * fall * Math.log(past) : 0;
    return end + depth * left;
  };

/** The logistic fall: end + (start − end) / (1 + eᵘ), u = (hours − middle) / pace. Parameters: start, end, middle, ln pace. */
export const logisticFall: Curve = (hours, parameters, slopes) => {
  const [start = Number.NaN, end = Number.NaN, middle = Number.NaN, lnPace = Number.NaN] = parameters;
  const pace = Math.exp(lnPace);
  const u = (hours - middle) / pace;
  const left = 1 / (1 + Math.exp(u));
  const fall = left / (1 + Math.exp(-u));
  const depth = start - end;
  slopes[START] = left;
  slopes[END] = 1 - left;
  slopes[2] = (depth * fall) / pace;
  slopes[3] = depth * fall * u;
  return end + depth * left;
};

/** The share of the fall that is left at a reading, kept off 0 and 1, with the bounds it is reckoned between. */
function sharesLeft(used: readonly Reading[], scale: SugarScale) {
  const values = used.map(({ value }) => value);
  const start = Math.max(...values) + scale.error;
  const end = Math.min(scale.dry, Math.min(...values) - scale.error);
  return { start, end, left: values.map((value) => (value - end) / (start - end)) };
}

/** The straight line through points by their weights: what y is at x = 0 and by how much it rises with x. */
function straightLine(points: readonly { readonly x: number; readonly y: number; readonly weight: number }[]) {
  let weights = 0;
  let xs = 0;
  let ys = 0;
  for (const { x, y, weight } of points) {
    weights += weight;
    xs += weight * x;
    ys += weight * y;
  }
  const meanX = xs / weights;
  const meanY = ys / weights;
  let squares = 0;
  let products = 0;
  for (const { x, y, weight } of points) {
    squares += weight * (x - meanX) ** 2;
    products += weight * (x - meanX) * (y - meanY);
  }
  const rise = products / squares;
  return { meanX, meanY, rise };
}

/** ln(−ln left) is a straight line of ln(hours since the origin): the parameters to begin with. */
export function guessStretched(used: readonly Reading[], scale: SugarScale, origin: number): number[] {
  const { start, end, left } = sharesLeft(used, scale);
  const points = used.flatMap(({ hours }, place) => {
    const share = left[place] as number;
    return hours > origin
      ? [{ x: Math.log(hours - origin), y: Math.log(-Math.log(share)), weight: share * (1 - share) }]
      : [];
  });
  const { meanX, meanY, rise } = straightLine(points);
  // Two is the bend of a ferment that falls nearly straight.
  const bend = rise > 0.5 && rise < 8 ? rise : 2;
  return [start, end, meanX - meanY / bend, Math.log(bend)];
}

/** ln(gone / left) is a straight line of the hours: the parameters to begin with. */
export function guessLogistic(used: readonly Reading[], scale: SugarScale): number[] {
  const { start, end, left } = sharesLeft(used, scale);
  const points = used.map(({ hours }, place) => {
    const share = left[place] as number;
    return { x: hours, y: Math.log((1 - share) / share), weight: share * (1 - share) };
  });
  const { meanX, meanY, rise } = straightLine(points);
  const pace = rise > 0 && Number.isFinite(rise) ? 1 / rise : 24;
  return [start, end, meanX - meanY * pace, Math.log(pace)];
}
