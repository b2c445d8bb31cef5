import { describe, expect, test } from 'vitest';
import { broken, figure, shorten, widthOf } from '../../src/charts/labels.ts';
import { HAN, HEBREW, LONG, TURNED } from './samples.ts';

describe('words in a drawing', () => {
  test('are cut to the room there is', () => {
    expect(shorten('B1', 60)).toBe('B1');
    expect(shorten(LONG, 100)).toMatch(/^The unus.*…$/u);
    for (const name of [LONG, HEBREW, HAN, TURNED]) {
      for (const room of [20, 47, 90, 200]) expect(widthOf(shorten(name, room))).toBeLessThanOrEqual(room);
    }
    expect(shorten('wwww', 5)).toBe('');
  });

  test('letters of East Asia take their whole square, accents none', () => {
    expect(widthOf('葡萄')).toBeGreaterThan(widthOf('ab') * 1.7);
    expect(widthOf('e\u0301')).toBe(widthOf('e'));
  });

  test('a character that turns the writing round is shown by its number, and takes its room', () => {
    expect(shorten(TURNED, 500)).toBe('tank ⟦U+202E⟧ 7');
  });

  test('break at blanks, and the last line is cut', () => {
    expect(broken('target 0.5–0.8', 60, 3)).toEqual(['target', '0.5–0.8']);
    expect(broken(LONG, 90, 2)).toHaveLength(2);
    expect(broken(LONG, 90, 2)[1]).toMatch(/…$/u);
    expect(broken('', 90, 2)).toEqual(['']);
  });

  test('figures nobody worded have three digits, or all before the point', () => {
    expect([0, -0.0001, 0.05, 1.005, 12.34, 99.96, 1234.4, 1234567].map((value) => figure(value))).toEqual([
      '0',
      '−0.0001',
      '0.05',
      '1',
      '12.3',
      '100',
      '1234',
      '1\u202F234\u202F567',
    ]);
  });
});
