import { describe, expect, test } from 'vitest';
import { falling } from '../../src/charts/falling.ts';
import type { Falling } from '../../src/report/charted.ts';
import { at, FRAMES, malic, NARROW, ODD_NAMES, START, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg } from './snapshot.ts';

describe('what falls until it is finished', () => {
  test.each([
    ['falling', WIDE],
    ['falling-phone', NARROW],
  ] as const)('%s looks as it did', (name, frame) => {
    const svg = falling(malic(3), frame);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing(name, svg);
  });

  test('marks its level, says how many have reached it, and is hollow where nothing could be found', () => {
    const svg = falling(malic(3), WIDE);
    const found = malic(3).series.flatMap(({ points }) => points.filter(({ below }) => below === true));
    expect(svg.match(/class="target"/gu)?.length).toBe(1);
    expect(svg).toContain('>finished at 0.2 g/L<');
    expect(svg).toContain('reached by 3 of 3');
    expect(found.length).toBeGreaterThan(0);
    expect(svg.match(/class="below"/gu)?.length).toBe(found.length);
  });

  test('keeps hollow marks where many vessels are drawn thin', () => {
    const svg = falling(malic(12), NARROW);
    expectGoodSvg(svg);
    expect(svg).toContain('class="below"');
    expect(svg.match(/class="thin"/gu)?.length).toBe(12);
  });

  test('nothing, one point, equal values, great ones and odd names make no fault', () => {
    const odd: readonly Falling['series'][] = [
      [],
      [{ name: 'B1', points: [] }],
      [{ name: 'B1', points: [{ minute: START, value: 1.2, below: true }] }],
      [{ name: 'B1', points: [1, 2].map((day) => ({ minute: at(day), value: 0 })) }],
      [
        {
          name: 'B1',
          points: [
            { minute: START, value: 123_456 },
            { minute: at(1), value: 0.000_01 },
          ],
        },
      ],
      ODD_NAMES.map((name, index) => ({ name, points: [1, 2].map((day) => ({ minute: at(day), value: index / 10 })) })),
      malic(60).series,
    ];
    for (const series of odd) {
      for (const frame of FRAMES) expectGoodSvg(falling({ ...malic(0), series }, frame));
    }
    const { finished: _, ...without } = malic(2);
    expect(falling(without, WIDE)).not.toContain('class="target"');
  });
});
