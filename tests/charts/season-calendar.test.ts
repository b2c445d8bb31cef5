import { describe, expect, test } from 'vitest';
import { seasonCalendar } from '../../src/charts/season-calendar.ts';
import { calendar, FIRST_DAY, FRAMES, LONG, NARROW, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg } from './snapshot.ts';

describe('the calendar of a season', () => {
  test.each([
    ['season-calendar', WIDE],
    ['season-calendar-phone', NARROW],
  ] as const)('%s of a season and a half looks as it did', (name, frame) => {
    const svg = seasonCalendar(calendar(550), frame);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing(name, svg);
  });

  test('has a mark a day and kind, which says how often', () => {
    const data = calendar(550);
    const marks = data.rows.reduce((sum, { days }) => sum + days.length, 0);
    const key = 4;
    for (const frame of FRAMES) {
      expect(seasonCalendar(data, frame).match(/class="work w[1-4]"/gu)?.length).toBe(marks + key);
    }
    const one = { ...data, rows: [{ name: 'topping', days: [{ day: FIRST_DAY, count: 12 }] }] };
    expect(seasonCalendar(one, WIDE)).toContain('<title>14 Sep 2026: 12 × topping</title>');
    expect(seasonCalendar(one, WIDE)).toContain('topping: 12 on 1 day.');
  });

  test('counts are told by height and darkness in four steps', () => {
    const steps = [1, 2, 4, 5, 9, 10, 500].map((count, index) => ({ day: FIRST_DAY + index, count }));
    const svg = seasonCalendar({ ...calendar(60), rows: [{ name: 'cap work', days: steps }] }, WIDE);
    const marks = [...svg.matchAll(/class="work (w[1-4])"[^>]*height="([0-9.]+)"><title>/gu)];
    expect(marks.map(([, level]) => level)).toEqual(['w1', 'w2', 'w2', 'w3', 'w3', 'w4', 'w4']);
    expect([...new Set(marks.map(([, , height]) => height))].map(Number)).toEqual([4, 6, 8.5, 11]);
  });

  test('of very many days the marks of a row are drawn together, where they stood apart', () => {
    const rows = Array.from({ length: 8 }, (_, row) => ({
      name: `work ${row}`,
      days: Array.from({ length: 250 }, (_, day) => ({ day: FIRST_DAY + day, count: 1 + ((day * 7 + row) % 12) })),
    }));
    const many = { ...calendar(300), rows };
    for (const frame of FRAMES) {
      const svg = seasonCalendar(many, frame);
      expectGoodSvg(svg);
      expect(svg).not.toContain('× work');
      // A mark for each, in the four steps of its height.
      const marks = [...svg.matchAll(/M[\d.]+,[\d.]+v-(4|6|8\.5|11)h/gu)];
      expect(marks.length).toBe(8 * 250);
      expect(svg.length).toBeLessThan(100_000);
    }
  });

  test('months without work are told in one line, and days outside the season are not drawn', () => {
    const days = [-300, 0, 900, 2000].map((day) => ({ day: FIRST_DAY + day, count: 1 }));
    const svg = seasonCalendar(
      { title: 'Sparse', from: FIRST_DAY, until: FIRST_DAY + 1000, rows: [{ name: 'fruit', days }] },
      NARROW,
    );
    expectGoodSvg(svg);
    expect(svg).toContain('>Oct 2026 to Feb 2029: none of these<');
    expect(svg.match(/× fruit/gu)?.length).toBe(2);
  });

  test('one day, none, and a long name make no fault', () => {
    for (const frame of FRAMES) {
      expectGoodSvg(seasonCalendar({ title: 'None', from: FIRST_DAY, until: FIRST_DAY, rows: [] }, frame));
      expectGoodSvg(
        seasonCalendar(
          {
            title: 'One',
            from: FIRST_DAY,
            until: FIRST_DAY,
            rows: [{ name: LONG, days: [{ day: FIRST_DAY, count: 1 }] }],
          },
          frame,
        ),
      );
    }
  });
});
