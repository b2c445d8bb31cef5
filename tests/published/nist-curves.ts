/** The curves of NIST's reference sets for nonlinear regression, with their slopes by differences of the curve itself. */
import type { Curve } from '../../src/trade/fit/least-squares.ts';

type Formula = (x: number, b: readonly number[]) => number;

const at = (b: readonly number[], index: number): number => b[index] ?? Number.NaN;

/** Each as its file prints it; b1 is at index 0. */
const FORMULAS: Readonly<Record<string, Formula>> = {
  Misra1a: (x, b) => at(b, 0) * (1 - Math.exp(-at(b, 1) * x)),
  Misra1b: (x, b) => at(b, 0) * (1 - (1 + (at(b, 1) * x) / 2) ** -2),
  Misra1c: (x, b) => at(b, 0) * (1 - (1 + 2 * at(b, 1) * x) ** -0.5),
  Misra1d: (x, b) => (at(b, 0) * at(b, 1) * x) / (1 + at(b, 1) * x),
  Chwirut2: (x, b) => Math.exp(-at(b, 0) * x) / (at(b, 1) + at(b, 2) * x),
  DanWood: (x, b) => at(b, 0) * x ** at(b, 1),
  BoxBOD: (x, b) => at(b, 0) * (1 - Math.exp(-at(b, 1) * x)),
  Rat42: (x, b) => at(b, 0) / (1 + Math.exp(at(b, 1) - at(b, 2) * x)),
  Rat43: (x, b) => at(b, 0) / (1 + Math.exp(at(b, 1) - at(b, 2) * x)) ** (1 / at(b, 3)),
  MGH09: (x, b) => (at(b, 0) * (x * x + x * at(b, 1))) / (x * x + x * at(b, 2) + at(b, 3)),
  MGH10: (x, b) => at(b, 0) * Math.exp(at(b, 1) / (x + at(b, 2))),
  MGH17: (x, b) => at(b, 0) + at(b, 1) * Math.exp(-x * at(b, 3)) + at(b, 2) * Math.exp(-x * at(b, 4)),
  Thurber: (x, b) =>
    (at(b, 0) + at(b, 1) * x + at(b, 2) * x * x + at(b, 3) * x ** 3) /
    (1 + at(b, 4) * x + at(b, 5) * x * x + at(b, 6) * x ** 3),
  Lanczos3: (x, b) =>
    at(b, 0) * Math.exp(-at(b, 1) * x) + at(b, 2) * Math.exp(-at(b, 3) * x) + at(b, 4) * Math.exp(-at(b, 5) * x),
  Eckerle4: (x, b) => (at(b, 0) / at(b, 1)) * Math.exp(-0.5 * ((x - at(b, 2)) / at(b, 1)) ** 2),
  Roszman1: (x, b) => at(b, 0) - at(b, 1) * x - Math.atan(at(b, 2) / (x - at(b, 3))) / Math.PI,
};

/** The curve of a set, for the fitter. */
export function nistCurve(name: string): Curve {
  const formula = FORMULAS[name];
  if (formula === undefined) throw new Error(`no curve ${name}`);
  return withSlopes(formula);
}

/**
 * Adds slopes to a formula: central differences at two distances, combined so that the error of the fourth order is
 * what remains.
 */
export function withSlopes(formula: Formula): Curve {
  return (x, parameters, slopes) => {
    parameters.forEach((value, index) => {
      const step = 2 ** -13 * (Math.abs(value) || 1);
      const moved = (by: number): number => formula(x, parameters.with(index, value + by));
      const near = (moved(step) - moved(-step)) / (2 * step);
      const far = (moved(2 * step) - moved(-2 * step)) / (4 * step);
      slopes[index] = near + (near - far) / 3;
    });
    return formula(x, parameters);
  };
}
