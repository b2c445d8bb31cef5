import { describe, expect, test } from 'vitest';
import { fermentCurve } from '../../src/charts/ferment-curve.ts';
import { aheadUntil, cutOf } from '../../src/charts/forecast.ts';
import type { FermentCurve } from '../../src/report/charted.ts';
import { at, DAY, FRAMES, fermentWithForecast, NARROW, ODD_NAMES, START, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg } from './snapshot.ts';

describe('the forecast of a ferment', () => {
  test('is dotted within its band beyond the last reading, with the day it is expected dry', () => {
    const svg = fermentCurve(fermentWithForecast(3), WIDE);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing('forecast', svg);
    expect(svg.match(/class="ahead"/gu)?.length).toBe(3);
    expect(svg.match(/class="trust"/gu)?.length).toBe(3);
    expect(svg).toContain('>forecast<');
    expect(svg).toContain('dry about 23 Sep 2026, between 22 Sep 2026 and 25 Sep 2026');
    expect(svg).toContain('Expected dry: B1 about 23 Sep 2026 (22 Sep 2026 to 25 Sep 2026)');
  });

  test('fits a phone', () => {
    const svg = fermentCurve(fermentWithForecast(3), NARROW);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing('forecast-phone', svg);
  });

  test('of many vessels has no bands, and of very many is a band itself', () => {
    const many = fermentCurve(fermentWithForecast(15), WIDE);
    expectGoodSvg(many);
    expect(many).not.toContain('class="trust"');
    expect(many.match(/class="ahead"/gu)?.length).toBe(15);
    const most = fermentCurve(fermentWithForecast(60), NARROW);
    expectGoodSvg(most);
    expect(most).not.toContain('class="ahead"');
    expect(most.match(/class="trust"/gu)?.length).toBe(1);
  });

  test('changes nothing where there is none', () => {
    const { forecast: _, ...without } = fermentWithForecast(3);
    expect(fermentCurve({ ...without, forecast: [] }, WIDE)).toBe(fermentCurve(without, WIDE));
    expect(fermentCurve(without, WIDE)).not.toMatch(/forecast|Dry/u);
  });

  test('goes on beyond the frame with an arrow where it reaches too far ahead', () => {
    const near = fermentWithForecast(1);
    const far: FermentCurve = {
      ...near,
      forecast: (near.forecast ?? []).map((one) => ({
        ...one,
        dry: { minute: at(60), low: at(12), high: at(400) },
      })),
    };
    const svg = fermentCurve(far, WIDE);
    expectGoodSvg(svg);
    // Of the span only its beginning is shown, and no mark of a day that lies beyond.
    expect(svg).toMatch(/class="reach" d="M[0-9.]+,[0-9.]+H624M[^"]*L624,[^"]*L[^"]*"/u);
    expect(svg.match(/class="dry"/gu)).toBeNull();
    expect(svg).toContain('>13 Nov<');
  });

  test('a point that is no number is left out, and odd names are harmless', () => {
    const curve = fermentWithForecast(6);
    const renamed = <T extends { readonly name: string }>(of: readonly T[]): T[] =>
      of.map((one, index) => ({ ...one, name: ODD_NAMES[index] ?? '' }));
    const broken = (curve.forecast ?? []).map((one) => ({
      ...one,
      points: [{ minute: at(3), value: Number.NaN, low: 0, high: 1 }, ...one.points],
    }));
    for (const frame of FRAMES) {
      expectGoodSvg(fermentCurve({ ...curve, sugar: renamed(curve.sugar), forecast: renamed(broken) }, frame));
    }
  });
});

test('time ahead is shown for three times what was read, or ten days', () => {
  const forecast = [{ name: 'B1', points: [], dry: { minute: at(90), low: at(80), high: at(100) } }];
  expect(aheadUntil(forecast, START, at(2))).toBe(at(12));
  expect(aheadUntil(forecast, START, at(8))).toBe(at(32));
  expect(aheadUntil([], START, at(8))).toBe(at(8));
});

test('a curve is cut between its points', () => {
  const points = [0, 2, 4].map((day) => ({ minute: day * DAY, value: 20 - day, low: 19 - day, high: 21 - day }));
  expect(cutOf(points, DAY, 3 * DAY)).toEqual([
    { minute: DAY, value: 19, low: 18, high: 20 },
    { minute: 2 * DAY, value: 18, low: 17, high: 19 },
    { minute: 3 * DAY, value: 17, low: 16, high: 18 },
  ]);
  expect(cutOf([], 0, DAY)).toEqual([]);
});
