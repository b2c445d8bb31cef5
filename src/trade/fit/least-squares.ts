/**
 * Fits the parameters of a curve to observations by least squares, after Levenberg and Marquardt as Moré arranged it.
 *
 * Written here rather than taken from a library: the one well-kept general fitter for this language, ml-levenberg-marquardt
 * 5.1.0, damps every parameter by the same amount whatever its unit and keeps steps that make the fit worse. Of eight
 * reference sets of NIST it misses four from the farther starting point (BoxBOD, Rat43, MGH09, MGH10), and it gives no
 * standard errors. Here every step stays within a distance measured in each parameter's own scale, which follows how well
 * the last step kept its promise; a step that makes the fit worse is taken back (J. J. Moré, The Levenberg-Marquardt
 * algorithm: implementation and theory, Lecture Notes in Mathematics 630, 1978). Nothing is random, all loops are bounded.
 */
import { refuse, type Worked } from '../worked.ts';
import {
  type Columns,
  inverseOfSquare,
  lengthOf,
  solveDownward,
  solveUpward,
  type Triangle,
  triangleOf,
} from './orthogonal.ts';

/**
 * A curve: its value at x for the parameters given; writes its slope by each parameter into `slopes`.
 * What cannot be worked out is NaN, never thrown.
 */
export type Curve = (x: number, parameters: readonly number[], slopes: Float64Array) => number;

export interface Observation {
  readonly x: number;
  readonly y: number;
}

/** What is held of a parameter before anything was observed: counts as one more observation, of the parameter itself. */
export interface Belief {
  readonly parameter: number;
  readonly value: number;
  readonly deviation: number;
}

export interface FitOptions {
  /** The standard deviation of one observation, in the unit of y; 1 where beliefs do not need to be weighed against it. */
  readonly deviation?: number;
  readonly beliefs?: readonly Belief[];
}

export interface Fit {
  readonly parameters: readonly number[];
  readonly standardErrors: readonly number[];
  /** Of the parameters: the residual variance times `spread`. */
  readonly covariance: readonly (readonly number[])[];
  /** (Jᵀ J)⁻¹: the covariance were every observation exactly as sure as the given deviation. */
  readonly spread: readonly (readonly number[])[];
  /** Of the observations and the beliefs, in units of the given deviation squared. */
  readonly residualSumOfSquares: number;
  /** The root of the residual sum over the degrees of freedom. */
  readonly residualDeviation: number;
  /** Observations and beliefs, less the parameters. */
  readonly degreesOfFreedom: number;
  /** How many steps it took. */
  readonly steps: number;
}

const MOST_STEPS = 1000;
/**
 * Settled where the residuals' part along the curve's slopes is this small beside their part across (the relative offset of
 * Bates & Watts 1981, who call 0.001 enough): parameters then stand within about this many standard errors.
 */
const OFFSET = 1e-9;
/** This much offset is borne where rounding lets no step gain any more. */
const BORNE_OFFSET = 1e-5;
/** Residuals this small beside the observations are rounding: the curve runs through every one of them. */
const ROUNDING = 1e-13;
/** The first step may go this many times the scaled length of the starting parameters (Moré advises 0.1 to 100). */
const FIRST_REACH = 1;
/** Where the reach is below this share of the parameters, rounding is all that is left. */
const LEAST_REACH = 1e-15;
/** A step is kept that gains at least this share of what it promised. */
const WORTH = 1e-4;
/** A column that stands out of the plane of the others by less than this share of its length is settled by nothing. */
const FLATTEST = 1e-11;

/** Where the search stands: the residuals and their slopes, by the parameters there. */
interface Stand {
  readonly parameters: readonly number[];
  readonly residuals: Float64Array;
  readonly slopes: Columns;
  readonly sum: number;
}

/**
 * The parameters of `curve` that make the sum of squared differences from the observations least, from `start` on.
 *
 * A refusal where there are not more observations and beliefs than parameters, where a figure is not finite, where the
 * observations do not settle every parameter, or where a thousand steps don't settle it.
 */
export function fitCurve(
  curve: Curve,
  observations: readonly Observation[],
  start: readonly number[],
  options: FitOptions = {},
): Worked<Fit> {
  const { deviation = 1, beliefs = [] } = options;
  const degreesOfFreedom = observations.length + beliefs.length - start.length;
  if (degreesOfFreedom < 1) {
    return refuse(`${observations.length} readings are too few for a curve of ${start.length} parameters`);
  }
  const standAt = (parameters: readonly number[]): Stand | undefined =>
    stand(curve, observations, parameters, deviation, beliefs);
  let at = standAt(start);
  if (at === undefined) return refuse('the curve has no value at the readings to begin with');
  const rounding = ROUNDING ** 2 * observations.reduce((sum, { y }) => sum + (y / deviation) ** 2, 0);
  // The largest column seen is a parameter's scale; one that does nothing yet is measured as it is.
  let scales = Float64Array.from(at.slopes, (column) => lengthOf(column) || 1);
  let reach = FIRST_REACH * (scaled(at.parameters, scales) || 1);
  let damping = 0;
  for (let step = 1; step <= MOST_STEPS; step++) {
    const triangle = triangleOf(at.slopes, at.residuals);
    scales = Float64Array.from(at.slopes, (column, j) => Math.max(scales[j] as number, lengthOf(column)));
    const offset = relativeOffset(triangle, degreesOfFreedom);
    if (offset <= OFFSET || at.sum <= rounding) return settled(at, triangle, degreesOfFreedom, step);
    for (let kept = false; !kept; ) {
      const damped = stepWithin(triangle, scales, reach, damping);
      damping = damped.damping;
      const next = standAt(at.parameters.map((value, j) => value - (damped.change[j] as number)));
      const length = scaled(damped.change, scales);
      // In shares of the sum of squares. A place without a value is worse than any.
      const gained = next === undefined ? Number.NEGATIVE_INFINITY : 1 - next.sum / at.sum;
      const straight = bySlopes(triangle, damped.change) ** 2 / at.sum;
      const bent = (damping * length ** 2) / at.sum;
      const ratio = gained / (straight + 2 * bent);
      if (!(ratio > 0.25)) {
        const fall = straight + bent;
        const shrink = gained >= 0 ? 0.5 : Math.max(0.1, (0.5 * fall) / (fall - 0.5 * gained));
        reach = shrink * Math.min(reach, 10 * length);
        damping /= shrink;
      } else if (damping === 0 || ratio >= 0.75) {
        reach = 2 * length;
        damping /= 2;
      }
      if (next !== undefined && ratio >= WORTH) {
        at = next;
        kept = true;
      } else if (!(reach > LEAST_REACH * scaled(at.parameters, scales))) {
        return offset <= BORNE_OFFSET || isFlat(triangle)
          ? settled(at, triangle, degreesOfFreedom, step)
          : refuse('no step makes the fit better, though it is not settled');
      }
    }
  }
  return refuse(`the fit is not settled after ${MOST_STEPS} steps`);
}

function stand(
  curve: Curve,
  observations: readonly Observation[],
  parameters: readonly number[],
  deviation: number,
  beliefs: readonly Belief[],
): Stand | undefined {
  const rows = observations.length + beliefs.length;
  const residuals = new Float64Array(rows);
  const slopes = parameters.map(() => new Float64Array(rows));
  const here = new Float64Array(parameters.length);
  let sum = 0;
  for (const [row, { x, y }] of observations.entries()) {
    const residual = (curve(x, parameters, here) - y) / deviation;
    residuals[row] = residual;
    sum += residual * residual;
    for (const [j, column] of slopes.entries()) {
      const slope = (here[j] as number) / deviation;
      if (!Number.isFinite(slope)) return undefined;
      column[row] = slope;
    }
  }
  for (const [index, belief] of beliefs.entries()) {
    const row = observations.length + index;
    const residual = ((parameters[belief.parameter] as number) - belief.value) / belief.deviation;
    residuals[row] = residual;
    sum += residual * residual;
    (slopes[belief.parameter] as Float64Array)[row] = 1 / belief.deviation;
  }
  return Number.isFinite(sum) ? { parameters, residuals, slopes, sum } : undefined;
}

/** The length of parameters, or of a change of them, each in its own scale. */
function scaled(vector: ArrayLike<number>, scales: Float64Array): number {
  return lengthOf(Float64Array.from(vector, (entry, j) => entry * (scales[j] as number)));
}

function relativeOffset({ columns, right }: Triangle, degreesOfFreedom: number): number {
  const along = lengthOf(right.subarray(0, columns.length)) / Math.sqrt(columns.length);
  const across = lengthOf(right.subarray(columns.length)) / Math.sqrt(degreesOfFreedom);
  return along === 0 ? 0 : along / across;
}

/** By how much a change of the parameters moves the curve at the observations, as its slopes have it. */
function bySlopes({ columns }: Triangle, change: Float64Array): number {
  const moved = new Float64Array(columns.length);
  columns.forEach((column, j) => {
    for (let i = 0; i <= j; i++) moved[i] = (moved[i] as number) + (column[i] as number) * (change[j] as number);
  });
  return lengthOf(moved);
}

interface Damped {
  readonly change: Float64Array;
  readonly damping: number;
}

/**
 * The change that lessens the sum of squares most by the slopes, of those whose scaled length is within a tenth of `reach`:
 * the whole one where that is short enough, else a damped one, its damping found by a few safeguarded Newton steps.
 */
function stepWithin(triangle: Triangle, scales: Float64Array, reach: number, before: number): Damped {
  const { columns, right } = triangle;
  const size = columns.length;
  // d(length)/d(damping) over the length, from the triangle of the (damped) slopes.
  const steepness = (those: Columns, change: Float64Array, length: number): number =>
    lengthOf(
      solveDownward(
        those,
        Float64Array.from(change, (value, j) => ((scales[j] as number) ** 2 * value) / length),
      ),
    ) ** 2;
  let low = 0;
  if (columns.every((column, j) => column[j] !== 0)) {
    const change = solveUpward(triangle);
    const length = scaled(change, scales);
    if (length <= 1.1 * reach) return { change, damping: 0 };
    low = (length - reach) / reach / steepness(columns, change, length);
  }
  const downhill = columns.map((column, j) => {
    let sum = 0;
    for (let i = 0; i <= j; i++) sum += (column[i] as number) * (right[i] as number);
    return sum / (scales[j] as number);
  });
  let high = lengthOf(downhill) / reach;
  let damping = Math.min(Math.max(before, low), high) || high;
  for (let tries = 1; ; tries++) {
    const damped = triangleOf(...withDamping(triangle, scales, damping));
    const change = solveUpward(damped);
    const length = scaled(change, scales);
    const excess = length - reach;
    if (Math.abs(excess) <= 0.1 * reach || tries === 10) return { change: change.slice(0, size), damping };
    if (excess > 0) low = Math.max(low, damping);
    else high = Math.min(high, damping);
    damping = Math.max(low, damping + excess / reach / steepness(damped.columns, change, length));
    if (damping > high) damping = (low + high) / 2;
  }
}

/** The triangle with √damping × the scales as rows beneath it, and its right-hand side with noughts beneath. */
function withDamping({ columns, right }: Triangle, scales: Float64Array, damping: number): [Columns, Float64Array] {
  const size = columns.length;
  const root = Math.sqrt(damping);
  const stacked = columns.map((column, j) => {
    const tall = new Float64Array(2 * size);
    tall.set(column.subarray(0, j + 1));
    tall[size + j] = root * (scales[j] as number);
    return tall;
  });
  const side = new Float64Array(2 * size);
  side.set(right.subarray(0, size));
  return [stacked, side];
}

/** Whether some parameter does nothing that the others could not do as well. */
function isFlat({ columns }: Triangle): boolean {
  return columns.some((column, j) => {
    const length = lengthOf(column.subarray(0, j + 1));
    return !(Math.abs(column[j] as number) > FLATTEST * length);
  });
}

function settled(at: Stand, triangle: Triangle, degreesOfFreedom: number, steps: number): Worked<Fit> {
  if (isFlat(triangle)) return refuse('the readings do not settle every parameter of the curve');
  const variance = at.sum / degreesOfFreedom;
  const spread = inverseOfSquare(triangle.columns);
  const covariance = spread.map((row) => row.map((entry) => entry * variance));
  return {
    parameters: at.parameters,
    standardErrors: covariance.map((row, j) => Math.sqrt(row[j] as number)),
    covariance,
    spread,
    residualSumOfSquares: at.sum,
    residualDeviation: Math.sqrt(variance),
    degreesOfFreedom,
    steps,
  };
}
