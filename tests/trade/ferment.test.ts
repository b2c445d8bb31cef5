/** The curve of a ferment, its forecasts, its pace, and odd readings. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FERMENT_CALCULATIONS } from '../../src/trade/calculations/ferment.ts';
import {
  curveAt,
  EARLIEST_SHARE,
  type FermentCurve,
  fitFerment,
  HORIZON_DAYS,
  horizonOf,
  type Reading,
  rateAt,
  type SugarScaleKey,
  whenReached,
} from '../../src/trade/ferment-curve.ts';
import { type Pace, paceOf, ratePerDay } from '../../src/trade/ferment-pace.ts';
import { logisticFall, stretchedFall } from '../../src/trade/fit/falls.ts';
import { type Curve, fitCurve } from '../../src/trade/fit/least-squares.ts';
import { oddReadings } from '../../src/trade/fit/odd-readings.ts';
import { sugarScale, sugarText } from '../../src/trade/fit/sugar-scales.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';
import { withSlopes } from '../published/nist-curves.ts';
import { cell, publishedRows } from '../published/rows.ts';
import { normalFrom, randomFrom, simulatedFerment } from './simulated-ferment.ts';

function got<T>(worked: Worked<T>): T {
  if (isRefused(worked)) throw new Error(worked.refused);
  return worked;
}

const refusalOf = (worked: Worked<unknown>): string => (isRefused(worked) ? worked.refused : 'no refusal');

/** Readings a day apart. */
const daily = (...values: readonly number[]): Reading[] => values.map((value, day) => ({ hours: 24 * day, value }));
const halfDaily = (...values: readonly number[]): Reading[] => values.map((value, i) => ({ hours: 12 * i, value }));

/** Invented ferments, readings as a hydrometer shows them. */
const RED = halfDaily(24.5, 24.6, 23.8, 21.9, 18.6, 15.2, 12.1, 9.4, 6.8);
const DONE = daily(24, 23.5, 20, 14, 8.5, 4.5, 2, 0.2, -0.8, -1.2, -1.4);
const STOOD = daily(26, 25.5, 22, 17, 12.5, 9, 7, 6, 5.6, 5.3, 5.4, 5.2, 5.3);

const series = publishedRows('ferment_series.csv');
const published = (name: string): Reading[] =>
  series
    .filter((row) => cell(row, 'series') === name)
    .map((row) => ({ hours: Number(cell(row, 'hours')), value: Number(cell(row, 'value')) }));

describe('the choice of the curve', () => {
  /** Akaike's criterion for small samples, of a least-squares fit with its variance counted as a parameter. */
  const akaike = (sum: number, readings: number, parameters: number): number => {
    const k = parameters + 1;
    return readings * Math.log(sum / readings) + 2 * k + (2 * k * (k + 1)) / (readings - k - 1);
  };
  const gompertz = (turn: 1 | -1): Curve =>
    withSlopes((x, [start = 0, end = 0, middle = 0, lnPace = 0]) => {
      const doubled = Math.exp((turn * (x - middle)) / Math.exp(lnPace));
      return end + (start - end) * (turn === 1 ? Math.exp(-doubled) : 1 - Math.exp(-doubled));
    });
  const CANDIDATES: readonly (readonly [name: string, curve: Curve, beginning: readonly number[]])[] = [
    ['stretched', stretchedFall(0), [120, 4, 3, 1]],
    ['logistic', logisticFall, [120, 4, 17, 1.2]],
    ['abrupt Gompertz', gompertz(1), [120, 4, 17, 1.5]],
    ['trailing Gompertz', gompertz(-1), [120, 4, 14, 1.5]],
  ];
  const criterion = (readings: readonly Reading[], curve: Curve, beginning: readonly number[]): number => {
    const observations = readings.map(({ hours, value }) => ({ x: hours, y: value }));
    return akaike(got(fitCurve(curve, observations, beginning)).residualSumOfSquares, readings.length, 4);
  };

  test('over the three replicates of a published ferment the stretched exponential is best, then the logistic', () => {
    // Valle et al. 2024, agave juice by HPLC; each replicate is a ferment of its own.
    const sums = CANDIDATES.map(([name, curve, beginning]) => {
      const sum = [1, 2, 3].reduce(
        (total, k) => total + criterion(published(`agave sugar g/L, replicate ${k}`), curve, beginning),
        0,
      );
      return `${name} ${sum.toFixed(0)}`;
    });
    expect(sums).toEqual(['stretched 69', 'logistic 78', 'abrupt Gompertz 104', 'trailing Gompertz 102']);
  });
});

describe('the curve of a ferment', () => {
  test('a published ferment: agave juice, grams of sugar', () => {
    const curve = got(fitFerment(published('agave sugar g/L, replicate 2'), 'residual sugar'));
    expect(curve.setAside).toEqual([]);
    expect(curve.remarks).toEqual([]);
    expect(curve.residual).toBeLessThan(1.2);
    // Half of the sugar is gone where the logistic of the same data has its middle, 20.1 h.
    expect(curveAt(curve, 20.1).value).toBeCloseTo((125.4 + 2.2) / 2, -0.5);
    // Held back from 32 h on, the rest lies in the band.
    const known = published('agave sugar g/L, replicate 2').filter(({ hours }) => hours <= 32);
    const early = got(fitFerment(known, 'residual sugar'));
    for (const { hours, value } of published('agave sugar g/L, replicate 2')) {
      const { low, high } = curveAt(early, hours);
      expect(value).toBeGreaterThan(low - 3);
      expect(value).toBeLessThan(high + 3);
    }
  });

  test('a published record of a brewer: it stops half-way, and the band says so', () => {
    const pounds = published('brewing gravity lb/barrel');
    const readings = pounds.map(({ hours, value }) => ({ hours, value: 1 + value / 360 }));
    const curve = got(fitFerment(readings, 'SG'));
    expect(curve.residual).toBeLessThan(0.004);
    const last = curveAt(curve, 17 * 24);
    const later = curveAt(curve, 27 * 24);
    expect(last.low).toBeLessThan(1.0403);
    expect(last.high).toBeGreaterThan(1.0403);
    expect(later.high - later.low).toBeGreaterThan(1.5 * (last.high - last.low));
  });

  test('a red under way', () => {
    const curve = got(fitFerment(RED, 'brix'));
    expect(curve.residual).toBeLessThan(0.6);
    const { perDay, standardError } = rateAt(curve, 96);
    expect(perDay).toBeGreaterThan(4);
    expect(perDay).toBeLessThan(6.5);
    expect(standardError).toBeLessThan(1);
    const { hours, earliest, latest } = got(whenReached(curve, 0));
    expect(hours / 24).toBeCloseTo(6.0, 0);
    expect(earliest).toBeGreaterThan(96);
    expect(earliest).toBeLessThan(hours);
    expect(latest).toBeGreaterThan(hours);
  });

  test('readings that lie on a curve without any error still have a band', () => {
    const exact = Array.from({ length: 10 }, (_, i) => ({
      hours: 12 * i,
      value: stretchedFall(0)(12 * i, [24, -1.5, Math.log(80), Math.log(2)], new Float64Array(4)),
    }));
    const curve = got(fitFerment(exact, 'brix'));
    expect(curve.residual).toBeLessThan(1e-6);
    expect(curve.shape.time).toBeCloseTo(80, 4);
    const { low, high } = curveAt(curve, 100);
    expect(high - low).toBeGreaterThan(0.5);
    expect(high - low).toBeLessThan(3);
  });

  const anyFerment = fc.record({
    start: fc.integer({ min: 190, max: 270 }),
    time: fc.integer({ min: 40, max: 160 }),
    bend: fc.integer({ min: 14, max: 30 }),
    noise: fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 14, maxLength: 14 }),
  });
  const readingsOf = ({ start, time, bend, noise }: { start: number; time: number; bend: number; noise: number[] }) =>
    noise.map((off, i) => {
      const hours = (time / 6) * i;
      const value = -1.5 + (start / 10 + 1.5) * Math.exp(-((hours / time) ** (bend / 10))) + off / 10;
      return { hours, value: Math.round(10 * value) / 10 };
    });

  test('the order of readings and the zero of the clock do not matter', () => {
    fc.assert(
      fc.property(anyFerment, fc.integer({ min: -1000, max: 1000 }), (ferment, shift) => {
        const readings = readingsOf(ferment);
        const plain = got(fitFerment(readings, 'brix'));
        const turned = got(fitFerment([...readings].reverse(), 'brix'));
        expect(turned.shape).toEqual(plain.shape);
        const moved = got(
          fitFerment(
            readings.map((r) => ({ ...r, hours: r.hours + shift })),
            'brix',
          ),
        );
        expect(moved.shape.time).toBeCloseTo(plain.shape.time, 4);
        expect(moved.shape.origin - shift).toBeCloseTo(plain.shape.origin, 8);
      }),
      { numRuns: 40 },
    );
  });

  test('the scale does not matter: the same must in °Bx and in °Oe', () => {
    const perBrix = sugarScale('oechsle')?.perBrix ?? Number.NaN;
    const oechsle = RED.map(({ hours, value }) => ({ hours, value: -5.8 + (value + 1.5) * perBrix }));
    const brix = got(fitFerment(RED, 'brix'));
    const other = got(fitFerment(oechsle, 'oechsle'));
    expect(other.shape.time).toBeCloseTo(brix.shape.time, 3);
    expect(other.residual / perBrix).toBeCloseTo(brix.residual, 4);
  });

  test('the curve never rises, and its band holds it', () => {
    fc.assert(
      fc.property(anyFerment, (ferment) => {
        const curve = got(fitFerment(readingsOf(ferment), 'brix'));
        let before = Number.POSITIVE_INFINITY;
        for (let hours = 0; hours < 300; hours += 5) {
          const { value, low, high } = curveAt(curve, hours);
          expect(value).toBeLessThanOrEqual(before);
          expect(low).toBeLessThan(value);
          expect(high).toBeGreaterThan(value);
          expect(rateAt(curve, hours).perDay).toBeGreaterThanOrEqual(0);
          before = value;
        }
      }),
      { numRuns: 40 },
    );
  });

  test('twenty vessels of sixty readings take less than 5 ms each, of the time of the processor', () => {
    const random = randomFrom(7);
    const vessels = Array.from({ length: 20 }, (_, v) =>
      Array.from({ length: 60 }, (_, i) => ({
        hours: 6 * i,
        value: -1.4 + 26 * Math.exp(-(((6 * i) / (90 + 5 * v)) ** 2.1)) + random() - 0.5,
      })),
    );
    const times: number[] = [];
    for (const readings of [...vessels, ...vessels]) {
      const before = process.cpuUsage();
      expect(isRefused(fitFerment(readings, 'brix'))).toBe(false);
      const { user, system } = process.cpuUsage(before);
      times.push((user + system) / 1000);
    }
    expect(times.sort((a, b) => a - b)[20]).toBeLessThan(5);
  });
});

describe('bad readings and broken courses', () => {
  const withOne = (readings: readonly Reading[], place: number, value: number): Reading[] =>
    readings.map((reading, index) => (index === place ? { ...reading, value } : reading));

  test('a slip is set aside and named, and the forecast stays what it was', () => {
    const clean = got(whenReached(got(fitFerment(RED, 'brix')), 0));
    for (const [place, value] of [
      [3, 12.9],
      [1, 27.6],
      [6, 21.2],
      [5, 152],
    ] as const) {
      const curve = got(fitFerment(withOne(RED, place, value), 'brix'));
      expect(curve.setAside.map(({ index }) => index)).toEqual([place]);
      expect(curve.setAside[0]?.why).toContain(sugarText(value, sugarScale('brix') ?? never()));
      expect(Math.abs(got(whenReached(curve, 0)).hours - clean.hours)).toBeLessThan(8);
    }
  });

  test('a reading far off the curve is set aside though its neighbours do not show it, one near it is not', () => {
    const far = withOne(DONE, 3, 18.5);
    expect(oddReadings(far, 'brix')).toEqual([]);
    const curve = got(fitFerment(far, 'brix'));
    expect(curve.setAside).toMatchObject([{ index: 3, hours: 72, value: 18.5, lasting: false }]);
    expect(curve.setAside[0]?.why).toMatch(/^18\.5 °Bx stands [45]\.\d °Bx above the curve of the others$/);
    expect(curve.used).toHaveLength(DONE.length - 1);
    const near = got(fitFerment(withOne(DONE, 3, 15.2), 'brix'));
    expect(near.setAside).toEqual([]);
    expect(near.residual).toBeGreaterThan(got(fitFerment(DONE, 'brix')).residual);
  });

  test('values that are none are passed over', () => {
    const holed = [
      ...RED,
      { hours: Number.NaN, value: 3 },
      { hours: 50, value: Number.NaN },
      { hours: 60, value: Infinity },
    ];
    expect(got(fitFerment(holed, 'brix')).shape).toEqual(got(fitFerment(RED, 'brix')).shape);
  });

  test('soaking up: what was read before the highest is left out, and said', () => {
    const curve = got(fitFerment(daily(22.5, 23.4, 24.6, 24.5, 22, 18, 13.5, 9.5), 'brix'));
    expect(curve.used).toHaveLength(6);
    expect(curve.setAside).toEqual([]);
    expect(curve.remarks).toEqual(['readings before the must was at its highest (24.6 °Bx) are left out']);
  });

  test('a ferment that levels off above dry: the belief in dryness gives way', () => {
    const curve = got(fitFerment(STOOD, 'brix'));
    expect(curve.shape.end).toBeCloseTo(5.3, 0);
    expect(curve.remarks[0]).toContain('level off at about 5.3 °Bx');
    expect(refusalOf(whenReached(curve, 0))).toBe('the curve levels off at 5.3 °Bx: 0.0 °Bx is not in sight');
  });

  test('a ferment that stood and went on is fitted from where it went on', () => {
    const values = [26, 25.5, 22, 17, 12.5, 9, 7.2, 6.4, 6.3, 6.1, 6.2, 6.1, 6.2, 6.0, 5.2, 4.0, 2.9, 1.8, 0.8];
    const curve = got(fitFerment(daily(...values), 'brix'));
    expect(curve.remarks).toEqual(['it stood at about 6.0 °Bx and went on: only what was read since is fitted']);
    expect(curve.used[0]).toEqual({ hours: 13 * 24, value: 6 });
    expect(got(whenReached(curve, 0)).hours / 24).toBeLessThan(20.5);
  });

  test('a short stand, which one curve would just bear, is a stand all the same', () => {
    const values = [25, 24.4, 21.5, 17.4, 13.6, 11.2, 10.9, 10.8, 10.6, 9.4, 7.4, 5.4, 3.8, 2.4, 1.3];
    const curve = got(fitFerment(daily(...values), 'brix'));
    expect(curve.remarks).toEqual(['it stood at about 10.6 °Bx and went on: only what was read since is fitted']);
    expect(curve.residual).toBeLessThan(0.3);
  });

  test('days of cold soak before the ferment are not counted into its form', () => {
    const ferment = [24.1, 23.4, 20.8, 16.9, 12.8, 9.2, 6.3];
    const plain = got(fitFerment(daily(24, 24, ...ferment), 'brix'));
    const soaked = got(fitFerment(daily(24, 24, 24.1, 23.9, 24, 24.1, 24, 24, ...ferment), 'brix'));
    expect(soaked.shape.origin - 6 * 24).toBeCloseTo(plain.shape.origin, 6);
    expect(soaked.shape.bend).toBeCloseTo(plain.shape.bend, 0);
    expect(got(whenReached(soaked, 0)).hours - 6 * 24).toBeCloseTo(got(whenReached(plain, 0)).hours, -1);
  });

  test('sugar that was added: only what came after counts', () => {
    const curve = got(fitFerment(daily(20, 19.6, 17, 14.5, 17.9, 15.5, 13, 10.2, 7.9, 5.6, 3.9), 'brix'));
    expect(curve.used[0]?.value).toBe(17.9);
    expect(curve.remarks[0]).toContain('17.9 °Bx after 14.5 °Bx, and it stayed so');
  });

  test('no curve, in words', () => {
    expect(refusalOf(fitFerment([], 'brix'))).toBe('0 sound readings: a curve takes at least 5');
    expect(refusalOf(fitFerment(daily(24, 20, 15, 11), 'brix'))).toBe('4 sound readings: a curve takes at least 5');
    expect(refusalOf(fitFerment(daily(24, 24, 23.9, 24.1, 23.8), 'brix'))).toBe(
      'the sugar has not begun to fall: 0.2 °Bx in all so far',
    );
    expect(refusalOf(fitFerment(RED, 'pH' as SugarScaleKey))).toBe('pH is no scale of sugar');
    const two = [24, 23.6, 23.2, 22.9, 22.5, 22.2, 21.8, 21.5, 12.4, 12, 11.7, 11.3, 11, 10.6, 10.3, 9.9];
    expect(refusalOf(fitFerment(daily(...two), 'brix'))).toMatch(
      /^the readings do not lie about one curve: they stand off it by [\d.]+ °Bx \(standard deviation\), and [\d.]+ °Bx is the most/,
    );
  });
});

function never(): never {
  throw new Error('not reached');
}

describe('what is foretold', () => {
  const curve = got(fitFerment(RED, 'brix'));

  test('nothing beyond the horizon', () => {
    expect(horizonOf(curve)).toBe(96 + 24 * HORIZON_DAYS);
    expect(curveAt(curve, horizonOf(curve) + 1)).toEqual({ value: Number.NaN, low: Number.NaN, high: Number.NaN });
    expect(rateAt(curve, horizonOf(curve) + 1).perDay).toBeNaN();
    const slow = got(
      fitFerment(
        daily(
          22,
          21.6,
          20.9,
          20.1,
          19.3,
          18.5,
          17.8,
          17.1,
          16.4,
          15.8,
          15.2,
          14.7,
          14.2,
          13.8,
          13.4,
          13.0,
          12.7,
          12.4,
          12.1,
          11.8,
        ),
        'brix',
      ),
    );
    expect(refusalOf(whenReached(slow, 0))).toBe(
      'not within 21 days of the newest reading, and no day beyond that is named',
    );
  });

  test('no day for what is reached, near, too early, or no number', () => {
    expect(refusalOf(whenReached(curve, 7))).toBe('already there: the newest reading is 6.8 °Bx');
    expect(refusalOf(whenReached(curve, Number.NaN))).toBe('the value to reach is no number');
    const early = got(fitFerment(daily(24, 23.8, 23.1, 21.9, 20.1, 18.4), 'brix'));
    expect(refusalOf(whenReached(early, 0))).toMatch(
      /^too early to tell: 2\d % of the sugar is gone, and a day is named from 40 % on$/,
    );
    expect(EARLIEST_SHARE).toBe(0.4);
    const near = got(fitFerment([...RED, { hours: 108, value: 5.6 }], 'brix'));
    const stands = curveAt(near, 108).value;
    expect(stands).toBeLessThan(5.5);
    expect(refusalOf(whenReached(near, 5.5))).toBe(`about there: the curve stands at ${stands.toFixed(1)} °Bx`);
  });

  test('what the logistic makes of the same readings widens the band on its side, and the error of the rate', () => {
    const { logistic = never(), ...without } = curve.fitted;
    const alone: FermentCurve = { ...curve, fitted: without };
    const slopes = new Float64Array(4);
    for (const hours of [20, 60, 110, 180]) {
      const other = logisticFall(hours, logistic, slopes);
      const [wide, narrow] = [curveAt(curve, hours), curveAt(alone, hours)];
      expect(wide.value).toBe(narrow.value);
      expect(Math.abs(other - wide.value)).toBeGreaterThan(0.05);
      const above = other > wide.value;
      expect(above ? wide.high : -wide.low).toBeGreaterThan(above ? narrow.high : -narrow.low);
      expect(above ? wide.low : wide.high).toBe(above ? narrow.low : narrow.high);
      expect(other).toBeGreaterThan(wide.low);
      expect(other).toBeLessThan(wide.high);
      expect(rateAt(curve, hours).standardError).toBeGreaterThan(rateAt(alone, hours).standardError);
    }
  });

  test('near what a dry wine reads the interval is left open', () => {
    expect(got(whenReached(curve, -1)).latest).toBeUndefined();
    expect(refusalOf(whenReached(curve, -2))).toMatch(
      /^the curve levels off at -1\.\d °Bx: -2\.0 °Bx is not in sight$/,
    );
  });

  test('later days for lower values', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 1, max: 20 }), (target, lower) => {
        const [sooner, later] = [target / 10, (target - lower) / 10].map((value) => whenReached(curve, value));
        fc.pre(sooner !== undefined && later !== undefined && !isRefused(sooner) && !isRefused(later));
        const [a, b] = [got(sooner as Worked<{ hours: number }>), got(later as Worked<{ hours: number }>)];
        expect(b.hours).toBeGreaterThan(a.hours);
      }),
    );
  });

  /** How often intervals hold the truth, over simulated ferments read once or twice a day with an error of 0.3 °Bx. */
  function coverage(mortality: number, share: number, target: number) {
    const random = randomFrom(20_260_910);
    const normal = normalFrom(random);
    let given = 0;
    let inside = 0;
    let late = 0;
    for (let run = 0; run < 120; run++) {
      const must = {
        brix: 21 + 5 * random(),
        nitrogen: 0.12 + 0.18 * random(),
        celsius: 14 + 14 * random(),
        mortality,
      };
      const true_ = simulatedFerment(must, 1400);
      const every = random() < 0.5 ? 12 : 24;
      const until = true_.findIndex((value) => value < must.brix - share * (must.brix + 1.5));
      const truth = true_.findIndex((value) => value <= target);
      const readings: Reading[] = [];
      for (let hours = 2; hours <= until; hours += Math.round(every * (0.85 + 0.3 * random()))) {
        readings.push({ hours, value: Math.round(10 * ((true_[hours] ?? 0) + 0.3 * normal())) / 10 });
      }
      const fitted = fitFerment(readings, 'brix');
      const reached = isRefused(fitted) ? fitted : whenReached(fitted, target);
      if (truth < 0 || isRefused(reached)) continue;
      given++;
      if (reached.hours > truth) late++;
      if (reached.earliest <= truth && truth <= (reached.latest ?? Number.POSITIVE_INFINITY)) inside++;
    }
    return { given, inside: inside / given, late: late / given };
  }

  test('of ferments made by a model of yeast, the intervals hold at least nine in ten', () => {
    for (const [share, target] of [
      [0.5, 5],
      [0.5, 0],
      [0.7, 5],
      [0.7, 0],
      [0.85, 0],
    ] as const) {
      const { given, inside } = coverage(0.4, share, target);
      expect(given).toBeGreaterThan(80);
      expect(inside, `${share} gone, to ${target} °Bx`).toBeGreaterThanOrEqual(0.9);
    }
  });

  test('where yeast tires, no curve foresees it, and the intervals hold fewer: four in five', () => {
    for (const [share, target] of [
      [0.5, 5],
      [0.5, 0],
      [0.7, 0],
    ] as const) {
      expect(coverage(1, share, target).inside, `${share} gone, to ${target} °Bx`).toBeGreaterThanOrEqual(0.8);
    }
  });

  test('the band holds the true curve where the ferment is of its form', () => {
    const random = randomFrom(99);
    const normal = normalFrom(random);
    const slopes = new Float64Array(4);
    let held = 0;
    let all = 0;
    for (let run = 0; run < 100; run++) {
      const truth = [21 + 5 * random(), -1.9 + 0.8 * random(), Math.log(70 + 90 * random()), Math.log(1.6 + random())];
      const readings = Array.from({ length: 9 }, (_, i) => ({
        hours: 12 * i,
        value: stretchedFall(0)(12 * i, truth, slopes) + 0.5 * normal(),
      }));
      const fitted = fitFerment(readings, 'brix');
      if (isRefused(fitted)) continue;
      for (const hours of [24, 60, 96, 120, 168]) {
        const { low, high } = curveAt(fitted, hours);
        const value = stretchedFall(0)(hours, truth, slopes);
        all++;
        if (low <= value && value <= high) held++;
      }
    }
    expect(all).toBeGreaterThan(400);
    expect(held / all).toBeGreaterThan(0.93);
  });
});

describe('odd readings', () => {
  const oddOf = (readings: readonly Reading[], kind: Parameters<typeof oddReadings>[1]) =>
    oddReadings(readings, kind).map(({ index, lasting }) => (lasting ? `${index} lasting` : String(index)));

  test('a sound ferment has none', () => {
    for (const readings of [RED, DONE, STOOD]) expect(oddReadings(readings, 'brix')).toEqual([]);
  });

  test('sugar that rises is named with its neighbours', () => {
    const [odd] = oddReadings(daily(24, 23.5, 20, 25.5, 10.5), 'brix');
    expect(odd).toMatchObject({ index: 3, hours: 72, value: 25.5, lasting: false });
    expect(odd?.why).toBe(
      '25.5 °Bx is 5.5 °Bx above the one before (20.0 °Bx) and 15.0 °Bx above the one after (10.5 °Bx): sugar does not rise in a ferment, nor fall by more than 20.0 °Bx a day',
    );
  });

  test('within the error of two readings a rise is nothing', () => {
    expect(oddOf(daily(20, 15, 15.8, 11), 'brix')).toEqual([]);
    expect(oddOf(daily(20, 15, 15.9, 11), 'brix')).toHaveLength(1);
    expect(oddOf(daily(1.08, 1.06, 1.0635, 1.04), 'SG')).toHaveLength(1);
    expect(oddOf(daily(1.08, 1.06, 1.063, 1.04), 'SG')).toEqual([]);
  });

  test('the newest, and the first, are named though one side is all there is', () => {
    expect(oddReadings([...RED, { hours: 108, value: 61 }], 'brix')[0]?.why).toMatch(
      /which of the two is wrong, a next reading tells$/,
    );
    expect(oddOf(daily(2.4, 24.1, 22, 18, 13), 'brix')).toEqual(['0']);
  });

  test('a slip of pH and of temperature', () => {
    expect(oddOf(daily(3.51, 3.54, 36.1, 3.58, 3.6), 'pH')).toEqual(['2']);
    expect(oddOf(halfDaily(22, 24.5, 72, 27, 28, 27.5), 'temp')).toEqual(['2']);
    expect(oddOf(halfDaily(12, 14, 17, 21, 25, 28), 'temp')).toEqual([]);
    expect(oddReadings(daily(3.5, 3.5, 2.9, 3.5), 'pH')[0]?.why).toBe(
      '2.90 is 0.60 below the one before (3.50) and 0.60 below the one after (3.50): pH moves by tenths',
    );
  });

  test('a change that stays is told from a slip', () => {
    expect(oddOf(daily(20, 17, 14.5, 17.9, 15.5, 13, 10), 'brix')).toEqual(['3 lasting']);
    expect(oddOf(daily(9, 8.5, 8, 20, 17, 14, 11, 8), 'brix')).toEqual(['3 lasting']);
  });

  test('one altered reading of a quiet series is always the one named', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 8 }), fc.integer({ min: 2, max: 30 }), fc.boolean(), (place, size, up) => {
        const readings = daily(20, 19, 18, 17, 16, 15, 14, 13, 12, 11).map((reading, index) =>
          index === place ? { ...reading, value: reading.value + (up ? size : -size) } : reading,
        );
        expect(oddOf(readings, 'brix')).toEqual([String(place)]);
      }),
    );
  });

  test('nothing comes of nothing', () => {
    expect(oddReadings([], 'brix')).toEqual([]);
    expect(oddReadings([{ hours: 0, value: 24 }], 'temp')).toEqual([]);
    expect(
      oddReadings(
        [
          { hours: Number.NaN, value: 24 },
          { hours: 1, value: Number.NaN },
        ],
        'pH',
      ),
    ).toEqual([]);
  });
});

describe('pace', () => {
  const pace = (readings: readonly Reading[], options?: { readonly cool?: boolean }, now?: number): Pace =>
    got(paceOf(readings, 'brix', now ?? readings.at(-1)?.hours ?? 0, options));

  test('every state, with its reason in numbers', () => {
    const states: readonly (readonly [Reading[], string, RegExp])[] = [
      [daily(24), 'not yet moving', /^24\.0 °Bx is the only reading$/],
      [daily(24, 24.1, 23.9), 'not yet moving', /fallen by 0\.2 °Bx in 2\.0 days of readings$/],
      [daily(24, 24.1, 23.9, 23.8), 'not yet moving', /more than the usual lag/],
      [daily(24, 24, 23.9, 24.1, 23.9, 24, 24), 'sluggish', /longer than a ferment takes to begin$/],
      [daily(24, 24, 23.1, 22.6), 'moving', /^has begun: 22\.6 °Bx, falling 0\.7 °Bx a day/],
      [
        daily(24, 23.5, 20, 15, 10.5),
        'moving',
        /^falls by 4\.8 °Bx a day \(± 0\.2 °Bx\) over 2\.0 days, now 10\.5 °Bx$/,
      ],
      [daily(24, 23.5, 20, 14, 9, 6.4, 4.6, 3.2), 'slowing', /after 6\.0 °Bx a day at its fastest$/],
      [
        daily(24, 23.5, 20, 15, 11, 9.6, 9, 8.5, 8),
        'sluggish',
        /^falls by 0\.5 °Bx a day .* where less than 1\.0 °Bx is slow$/,
      ],
      [STOOD, 'stuck', /^stands at 5\.3 °Bx: 0\.1 °Bx a day .* no more than the error of a reading$/],
      [daily(24, 23.5, 20, 14, 8.5, 4.5, 2, 0.2, -0.4, -0.5, -0.6, -0.5), 'slowing', /which may be dry already/],
      [DONE, 'finished', /^-1\.4 °Bx, which counts as dry; glucose and fructose decide$/],
    ];
    for (const [readings, state, why] of states) {
      const found = pace(readings);
      expect(found.state, String(readings.at(-1)?.value)).toBe(state);
      expect(found.why).toMatch(why);
    }
  });

  test('a cool white is given more time', () => {
    const white = daily(22.3, 22.1, 21.5, 20.4, 19.2, 18.3, 17.6, 17, 16.4);
    expect(pace(white).state).toBe('sluggish');
    expect(pace(white, { cool: true }).state).toBe('moving');
    const day = [...white, { hours: 9 * 24, value: 16.4 }, { hours: 10 * 24, value: 16.4 }];
    expect(pace(day, { cool: true }).state).toBe('stuck');
  });

  test('the lower bound holds near the end', () => {
    // 0.7 °Bx a day is slow at 6 °Bx and is not at 0.4 °Bx.
    expect(pace(daily(24, 22, 18, 13, 9.5, 8.1, 7.4, 6.7, 6)).state).toBe('sluggish');
    expect(pace(daily(24, 22, 18, 13, 8, 4, 2.5, 1.8, 1.1, 0.4)).state).toBe('slowing');
  });

  test('a rate is called slow only where its own error does not reach the bound', () => {
    // 0.9 and 0.7 °Bx a day, each ± 0.2.
    expect(pace(daily(24, 22, 18, 14, 11, 9.9, 9, 8.1)).state).toBe('slowing');
    expect(pace(daily(24, 22, 18, 14, 11, 9.9, 9.2, 8.5)).state).toBe('sluggish');
  });

  test('old readings say little of today', () => {
    expect(pace(RED, {}, 96 + 47).why).not.toContain('last read');
    expect(pace(RED, {}, 96 + 72).why).toMatch(/; last read 3\.0 days ago, read it again$/);
    expect(pace(RED, {}, 0).hoursSince).toBe(0);
  });

  test('a slip does not sway it', () => {
    const slipped = pace(daily(24, 23.5, 20, 25.5, 10.5));
    expect(slipped.state).toBe('moving');
    expect(slipped.odd.map(({ index }) => index)).toEqual([3]);
  });

  test('no readings, no pace', () => {
    expect(refusalOf(paceOf([], 'brix', 0))).toBe('there is no reading of sugar');
    expect(refusalOf(paceOf([{ hours: 0, value: Number.NaN }], 'brix', 0))).toBe('there is no reading of sugar');
    expect(refusalOf(paceOf(RED, 'temp' as SugarScaleKey, 0))).toBe('temp is no scale of sugar');
  });

  test('healthy simulated ferments are seldom called sluggish, never long stuck, and finish', () => {
    const random = randomFrom(5);
    const normal = normalFrom(random);
    let looks = 0;
    let falseAlarms = 0;
    for (let run = 0; run < 40; run++) {
      const celsius = 18 + 10 * random();
      const true_ = simulatedFerment(
        { brix: 21 + 5 * random(), nitrogen: 0.2 + 0.1 * random(), celsius, mortality: 0.4 },
        700,
      );
      const readings: Reading[] = [];
      let last = '';
      for (let hours = 2; hours < 680 && last !== 'finished'; hours += 24) {
        readings.push({ hours, value: Math.round(10 * ((true_[hours] ?? 0) + 0.3 * normal())) / 10 });
        last = pace(readings).state;
        looks++;
        const fell = (true_[Math.max(0, hours - 24)] ?? 0) - (true_[hours] ?? 0);
        if ((last === 'sluggish' || last === 'stuck') && fell > 1) falseAlarms++;
      }
      expect(last).toBe('finished');
    }
    expect(falseAlarms / looks).toBeLessThan(0.02);
  });

  test('the rate between two readings', () => {
    expect(ratePerDay(18.4, 15.1, 24)).toBeCloseTo(3.3, 12);
    expect(ratePerDay(18.4, 15.1, 12)).toBeCloseTo(6.6, 12);
    for (const hours of [0, -3, Number.NaN, 24 * 61]) expect(isRefused(ratePerDay(18, 15, hours))).toBe(true);
    expect(isRefused(ratePerDay(Number.NaN, 15, 24))).toBe(true);
  });
});

describe('the calculations', () => {
  const work = (name: string, figures: Record<string, number>) => {
    const calculation = FERMENT_CALCULATIONS.find((each) => each.name === name);
    if (calculation === undefined) throw new Error(`no ${name}`);
    return calculation.work({ figures, words: {} });
  };

  test('ferment-rate', () => {
    const { figures, remarks } = got(work('ferment-rate', { 'brix-before': 18.4, brix: 15.1, hours: 24 }));
    expect(figures[0].value).toBeCloseTo(3.3, 10);
    expect(figures[1]?.value).toBeCloseTo((3.3 * 9) / 24, 10);
    expect(remarks[0]).toContain('0.42 °Bx a day');
    const risen = got(work('ferment-rate', { 'brix-before': 15, brix: 16, hours: 24 }));
    expect(risen.figures).toHaveLength(1);
    expect(risen.remarks[1]).toContain('Sugar rose');
    expect(refusalOf(work('ferment-rate', { 'brix-before': 25, brix: 2, hours: 24 }))).toContain('10 °Bx');
    expect(refusalOf(work('ferment-rate', { 'brix-before': 1.09, brix: 50, hours: 24 }))).toContain(
      'the later reading',
    );
    expect(isRefused(work('ferment-rate', {}))).toBe(true);
  });

  test('days-to-dry', () => {
    const { figures } = got(work('days-to-dry', { brix: 6.5, 'brix-per-day': 1.5, 'dry-brix': -1 }));
    expect(figures.map(({ value }) => value)).toEqual([5, 10]);
    expect(refusalOf(work('days-to-dry', { brix: -1.2, 'brix-per-day': 0.4 }))).toContain('already');
    expect(refusalOf(work('days-to-dry', { brix: 6, 'brix-per-day': 0 }))).toContain('no day can be named');
    expect(refusalOf(work('days-to-dry', { brix: 20, 'brix-per-day': 0.1 }))).toContain('60 days');
    expect(isRefused(work('days-to-dry', { brix: Number.NaN, 'brix-per-day': 1 }))).toBe(true);
    expect(isRefused(work('days-to-dry', { brix: 6, 'brix-per-day': -1 }))).toBe(true);
  });
});

test('the fitted curve carries what it needs as plain data', () => {
  const curve: FermentCurve = got(fitFerment(RED, 'brix'));
  const copied: FermentCurve = JSON.parse(JSON.stringify(curve));
  expect(curveAt(copied, 100)).toEqual(curveAt(curve, 100));
});
