import { describe, expect, test } from 'vitest';
import { ferments } from '../../src/charts/ferments.ts';
import { FRAMES, manyFerments, NARROW, ODD_NAMES, START, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg } from './snapshot.ts';

describe('ferments beside each other', () => {
  test.each([
    ['ferments', WIDE],
    ['ferments-phone', NARROW],
  ] as const)('%s looks as it did', (name, frame) => {
    const svg = ferments(manyFerments(7), frame);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing(name, svg);
  });

  test('say their name, last reading and dry day, in the order given, each linked', () => {
    const svg = ferments(manyFerments(3), { ...WIDE, to: (href) => `../${href}` });
    const names = [...svg.matchAll(/<a href="([^"]+)"><text class="who"[^>]*>([^<]+)</gu)].map(([, href, name]) => [
      href,
      name,
    ]);
    expect(names).toEqual([
      ['../lots/syr-1.html', 'T1 SYR'],
      ['../lots/syr-2.html', 'T2 SYR'],
      ['../lots/syr-3.html', 'T3 SYR'],
    ]);
    expect(svg).toContain('>dry about 1 Oct<');
    expect(svg).toContain('°Bx on 18 Sep<');
  });

  test('share one scale: the same reading on the same day stands at the same height and side', () => {
    const [first] = manyFerments(1).panels;
    if (first === undefined) throw new Error('no ferment');
    const later = {
      ...first,
      start: first.start + 7 * 1440,
      points: first.points.map(({ minute, value }) => ({ minute: minute + 7 * 1440, value })),
      forecast: [],
    };
    const { forecast: _, ...plain } = first;
    const svg = ferments({ title: 'Two', unit: '°Bx', panels: [plain, later] }, NARROW);
    const [a, b] = [...svg.matchAll(/<g class="line s1"><path d="([^"]+)"/gu)].map(([, d = '']) =>
      d
        .slice(1)
        .split('L')
        .map((pair) => pair.split(',').map(Number)),
    );
    const step = (b?.[0]?.[0] ?? 0) - (a?.[0]?.[0] ?? 0);
    expect(step).toBeGreaterThan(100);
    for (const [index, [x = 0, y = 0]] of (a ?? []).entries()) {
      expect(b?.[index]?.[0]).toBeCloseTo(x + step, 0);
      expect(b?.[index]?.[1]).toBeCloseTo(y, 1);
    }
  });

  test('only what is beyond the last reading is dotted', () => {
    const svg = ferments({ ...manyFerments(1), panels: manyFerments(1).panels }, WIDE);
    const read = /<g class="line s1"><path d="[^"]*L([0-9.]+),/u.exec(svg)?.[1];
    const ahead = /class="ahead" d="M([0-9.]+),/u.exec(svg)?.[1];
    expect(Number(ahead)).toBeCloseTo(Number(read), 0);
  });

  test('the middle of all needs three', () => {
    expect(ferments(manyFerments(2), WIDE)).not.toContain('class="thin"');
    expect(ferments(manyFerments(3), WIDE).match(/class="thin"/gu)?.length).toBe(3);
  });

  test('of very many the slowest are drawn and the others counted, and the page stays light', () => {
    const svgs = FRAMES.map((frame) => ferments(manyFerments(250), frame));
    for (const svg of svgs) {
      expectGoodSvg(svg);
      expect(svg.match(/class="who"/gu)?.length).toBe(60);
      expect(svg).toContain('>and 190 more<');
    }
    expect(Buffer.byteLength(svgs.join(''))).toBeLessThan(130_000);
  });

  test('none, sixty, unread and oddly named make no fault', () => {
    const odd = {
      title: 'Odd',
      unit: 'SG',
      panels: ODD_NAMES.map((name, index) => ({
        name,
        start: START,
        points: index === 0 ? [] : [{ minute: START, value: 1.09 }],
        last: name,
        dry: name,
      })),
    };
    for (const frame of FRAMES) {
      for (const data of [manyFerments(0), manyFerments(60), odd]) expectGoodSvg(ferments(data, frame));
    }
  });
});
