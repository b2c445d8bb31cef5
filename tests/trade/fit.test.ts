/** The fitter and its linear algebra: what it must recover, what it must not depend on, and what it must refuse. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { logisticFall, stretchedFall } from '../../src/trade/fit/falls.ts';
import { type Curve, type Fit, fitCurve } from '../../src/trade/fit/least-squares.ts';
import { inverseOfSquare, quadraticForm, solveUpward, triangleOf } from '../../src/trade/fit/orthogonal.ts';
import { studentQuantile, studentShareBelow } from '../../src/trade/fit/student.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';
import { withSlopes } from '../published/nist-curves.ts';

function fitOf(worked: Worked<Fit>): Fit {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
}

const refusalOf = (worked: Worked<unknown>): string => (isRefused(worked) ? worked.refused : 'no refusal');

const line: Curve = (x, [level = Number.NaN, rise = Number.NaN], slopes) => {
  slopes[0] = 1;
  slopes[1] = x;
  return level + rise * x;
};

const some = fc.double({ min: -50, max: 50, noNaN: true });

describe('linear algebra', () => {
  test('what is left over stands at right angles to every column', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(some, some, some), { minLength: 4, maxLength: 12 }), (rows) => {
        const columns = [0, 1].map((j) => Float64Array.from(rows, (row) => (row[j] as number) + (j === 0 ? 100 : 0)));
        const side = Float64Array.from(rows, (row) => row[2]);
        const spread = Math.max(...rows.map((row) => row[1])) - Math.min(...rows.map((row) => row[1]));
        fc.pre(spread > 1);
        const solution = solveUpward(triangleOf(columns, side));
        const residual = side.map(
          (value, i) => value - columns.reduce((sum, c, j) => sum + (c[i] as number) * (solution[j] as number), 0),
        );
        for (const column of columns) {
          const along = column.reduce((sum, value, i) => sum + value * (residual[i] as number), 0);
          expect(Math.abs(along)).toBeLessThan(1e-6);
        }
      }),
    );
  });

  test('the inverse of the square is that of two columns worked by hand', () => {
    // Columns (1, 1, 1) and (1, 2, 4): square [[3, 7], [7, 21]], determinant 14.
    const { columns } = triangleOf([Float64Array.of(1, 1, 1), Float64Array.of(1, 2, 4)], new Float64Array(3));
    const inverse = inverseOfSquare(columns);
    for (const [row, expected] of [
      [1.5, -0.5],
      [-0.5, 3 / 14],
    ].entries()) {
      for (const [column, value] of expected.entries()) expect(inverse[row]?.[column]).toBeCloseTo(value, 12);
    }
    expect(quadraticForm(inverse, [2, 1])).toBeCloseTo(4 * 1.5 - 4 * 0.5 + 3 / 14, 12);
  });
});

describe("Student's t", () => {
  test('is Cauchy with one degree of freedom and normal with many', () => {
    expect(studentQuantile(0.75, 1)).toBeCloseTo(1, 10);
    expect(studentQuantile(0.975, 1e9)).toBeCloseTo(1.96, 3);
  });

  test('a quantile holds the share it was asked for', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.51, max: 0.9999, noNaN: true }),
        fc.integer({ min: 1, max: 300 }),
        (share, freedom) => {
          expect(studentShareBelow(studentQuantile(share, freedom), freedom)).toBeCloseTo(share, 9);
        },
      ),
    );
  });
});

describe('fitting', () => {
  test('a straight line is what the formulas for one give', () => {
    // y = 1, 3, 2, 5 at x = 0 to 3: rise 1.1, level 1.1, residual sum 2.7, errors by hand.
    const fit = fitOf(
      fitCurve(
        line,
        [1, 3, 2, 5].map((y, x) => ({ x, y })),
        [0, 0],
      ),
    );
    expect(fit.parameters[0]).toBeCloseTo(1.1, 10);
    expect(fit.parameters[1]).toBeCloseTo(1.1, 10);
    expect(fit.residualSumOfSquares).toBeCloseTo(2.7, 10);
    expect(fit.degreesOfFreedom).toBe(2);
    expect(fit.residualDeviation).toBeCloseTo(Math.sqrt(1.35), 10);
    expect(fit.standardErrors[1]).toBeCloseTo(Math.sqrt(1.35 / 5), 10);
    expect(fit.standardErrors[0]).toBeCloseTo(Math.sqrt(1.35 * (1 / 4 + 2.25 / 5)), 10);
  });

  test('both falls come back from their own values, from a start well off', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 18, max: 28, noNaN: true }),
        fc.double({ min: -2.5, max: 6, noNaN: true }),
        fc.double({ min: Math.log(30), max: Math.log(200), noNaN: true }),
        fc.double({ min: 0.2, max: 1.2, noNaN: true }),
        (start, end, lnTime, lnBend) => {
          const curve = stretchedFall(0);
          const truth = [start, end, lnTime, lnBend];
          const slopes = new Float64Array(4);
          const observations = Array.from({ length: 24 }, (_, i) => ({ x: 12 * i, y: curve(12 * i, truth, slopes) }));
          const fit = fitOf(fitCurve(curve, observations, [start + 2, end - 2, lnTime + 0.3, 0.7]));
          const seen = observations.every(({ y }) => y > end + 0.05);
          // A tail that was not seen is settled by the digits of the values alone.
          for (const [j, value] of truth.entries()) expect(fit.parameters[j]).toBeCloseTo(value, seen ? 3 : 6);
        },
      ),
      { numRuns: 60 },
    );
  });

  test('the slopes of the falls are those of differences', () => {
    const hours = fc.integer({ min: 1, max: 600 });
    const hundredths = (low: number, high: number) =>
      fc.integer({ min: 100 * low, max: 100 * high }).map((value) => value / 100);
    fc.assert(
      fc.property(hours, hundredths(2, 5.5), hundredths(0.1, 1.4), (at, lnTime, lnBend) => {
        for (const [curve, parameters] of [
          [stretchedFall(0), [25, -1.4, lnTime, lnBend]],
          [logisticFall, [25, -1.4, Math.exp(lnTime), 2 + lnBend]],
        ] as const) {
          const exact = new Float64Array(4);
          const near = new Float64Array(4);
          const value = curve(at, parameters, exact);
          const same = withSlopes((x, b) => curve(x, b, new Float64Array(4)))(at, parameters, near);
          expect(value).toBe(same);
          for (const [j, slope] of exact.entries()) expect(slope).toBeCloseTo(near[j] as number, 4);
        }
      }),
    );
  });

  test('units do not matter: hours or days, °Bx or thousandths of it', () => {
    const curve = stretchedFall(0);
    const values = [24.4, 24.1, 21.9, 17.2, 12.4, 7.7, 4.6, 2.2, 0.4, -0.6];
    const plain = fitOf(
      fitCurve(
        curve,
        values.map((y, i) => ({ x: 24 * i, y })),
        [25, -1, 4.5, 0.7],
      ),
    );
    const other = fitOf(
      fitCurve(
        curve,
        values.map((y, i) => ({ x: i, y: 1000 * y })),
        [25_000, -1000, 4.5 - Math.log(24), 0.7],
      ),
    );
    for (const j of [0, 1]) expect((other.parameters[j] ?? 0) / 1000).toBeCloseTo(plain.parameters[j] ?? 0, 6);
    expect((other.parameters[2] ?? 0) + Math.log(24)).toBeCloseTo(plain.parameters[2] ?? 0, 7);
    expect(other.parameters[3]).toBeCloseTo(plain.parameters[3] ?? 0, 7);
    expect(other.residualDeviation / 1000).toBeCloseTo(plain.residualDeviation, 7);
  });

  test('a belief is one more observation of the parameter', () => {
    // The mean of 4 and 6, and a belief of 8 as sure as an observation.
    const level: Curve = (_, [value = Number.NaN], slopes) => {
      slopes[0] = 1;
      return value;
    };
    const observations = [4, 6].map((y, x) => ({ x, y }));
    const belief = { parameter: 0, value: 8, deviation: 1 };
    expect(fitOf(fitCurve(level, observations, [0], { beliefs: [belief] })).parameters[0]).toBeCloseTo(6, 10);
    // Half as sure an observation makes the belief count four times.
    const unsure = fitOf(fitCurve(level, observations, [0], { deviation: 2, beliefs: [belief] }));
    expect(unsure.parameters[0]).toBeCloseTo((4 + 6 + 4 * 8) / 6, 10);
  });

  test('a perfect fit is one, without errors', () => {
    const fit = fitOf(
      fitCurve(
        line,
        [0, 1, 2].map((x) => ({ x, y: 3 * x + 1 })),
        [0, 0],
      ),
    );
    expect(fit.parameters.map((value) => Number(value.toFixed(9)))).toEqual([1, 3]);
    expect(fit.residualDeviation).toBeLessThan(1e-9);
  });
});

describe('refusals', () => {
  const three = [0, 1, 2].map((x) => ({ x, y: x }));

  test('not more readings than parameters', () => {
    expect(refusalOf(fitCurve(line, three.slice(0, 2), [0, 0]))).toBe(
      '2 readings are too few for a curve of 2 parameters',
    );
  });

  test('figures that are none', () => {
    for (const y of [Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(refusalOf(fitCurve(line, [...three, { x: 3, y }], [0, 0]))).toContain('no value at the readings');
    }
    expect(refusalOf(fitCurve(line, three, [Number.NaN, 0]))).toContain('no value at the readings');
  });

  test('parameters that no reading settles', () => {
    const twice: Curve = (x, [a = Number.NaN, b = Number.NaN], slopes) => {
      slopes[0] = x;
      slopes[1] = x;
      return (a + b) * x;
    };
    expect(refusalOf(fitCurve(twice, [...three, { x: 3, y: 5 }], [0, 0]))).toContain('do not settle every parameter');
    const idle: Curve = (x, [a = Number.NaN], slopes) => {
      slopes[0] = x;
      slopes[1] = 0;
      return a * x;
    };
    expect(refusalOf(fitCurve(idle, [...three, { x: 3, y: 5 }], [0, 0]))).toContain('do not settle every parameter');
  });

  test('slopes that lead nowhere end, and are not taken for a fit', () => {
    const uphill: Curve = (x, parameters, slopes) => {
      const value = line(x, parameters, slopes);
      slopes[0] = -1;
      slopes[1] = -x;
      return value;
    };
    expect(
      refusalOf(
        fitCurve(
          uphill,
          [1, 3, 2, 5].map((y, x) => ({ x, y })),
          [0, 0],
        ),
      ),
    ).toBe('no step makes the fit better, though it is not settled');
  });
});
