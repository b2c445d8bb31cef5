import { describe, expect, test } from 'vitest';
import { barrelCell, barrelStrip } from '../../src/charts/barrel-strip.ts';
import type { BarrelStrip } from '../../src/report/charted.ts';
import { at, barrel, FRAMES, NARROW, ODD_NAMES, START, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg, expectWellFormed } from './snapshot.ts';

const empty: BarrelStrip = { ...barrel, stays: [], topped: [], sulfur: [] };

describe('the years of a barrel', () => {
  test.each([
    ['barrel-strip', WIDE],
    ['barrel-strip-phone', NARROW],
  ] as const)('%s looks as it did', (name, frame) => {
    const svg = barrelStrip(barrel, frame);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing(name, svg);
  });

  test('show each lot, each time it was empty, and what was done', () => {
    const svg = barrelStrip(barrel, WIDE);
    expect(svg.match(/class="lay /gu)?.length).toBe(6);
    // Before the first, and between the last four.
    expect(svg.match(/class="barrel"/gu)?.length).toBe(4);
    // Where one lot followed another on the same day.
    expect(svg.match(/class="seam"/gu)?.length).toBe(2);
    expect(svg).toContain('<title>SYR-free: 4 Oct 2026 to 19 Oct 2027, 380 days</title>');
    expect(svg).toContain('>Topped (70)<');
    expect(svg).toContain('>SO₂ read (18)<');
    expect(svg).toContain('empty for 80 days in all, topped 70 times, sulfur dioxide read 18 times.');
    expect(svg).toContain('<a href="lots/syr-free.html">');
  });

  test('an empty barrel says so', () => {
    for (const frame of FRAMES) {
      const svg = barrelStrip(empty, frame);
      expectGoodSvg(svg);
      expect(svg).toContain('>empty<');
      expect(svg).toContain('Nothing lay in it');
    }
  });

  test('fits a cell of a table, named by its title', () => {
    const svg = barrelCell(barrel);
    expectWellFormed(svg);
    expectDrawing('barrel-cell', svg);
    expect(svg).toMatch(/^<svg class="barrel-cell" role="img" [^>]*><title>Barrel BR-114\. /u);
    expect(svg).not.toContain('<text');
    const worked = barrelCell({
      ...barrel,
      topped: Array.from({ length: 5000 }, (_, index) => ({ minute: at(index / 4), label: 'topped' })),
    });
    expect(worked.match(/class="topped"/gu)?.length).toBeLessThanOrEqual(140);
  });

  test('many short stays, odd names and no time at all make no fault', () => {
    const many: BarrelStrip = {
      ...barrel,
      stays: Array.from({ length: 40 }, (_, index) => ({
        name: ODD_NAMES[index % 6] ?? '',
        from: at(index * 37),
        until: at(index * 37 + 30),
        tint: 'plain',
      })),
    };
    const none: BarrelStrip = {
      ...empty,
      until: START,
      stays: [{ name: 'x', from: START, until: START, tint: 'white' }],
    };
    for (const data of [many, none]) {
      for (const frame of FRAMES) {
        const svg = barrelStrip(data, frame);
        expectGoodSvg(svg);
        expectApart(svg);
      }
      expectWellFormed(barrelCell(data));
      expect(barrelCell(data)).not.toMatch(/NaN|undefined/u);
    }
  });
});
