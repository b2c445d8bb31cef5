import { describe, expect, test } from 'vitest';
import { ripening } from '../../src/charts/ripening.ts';
import { FRAMES, NARROW, ODD_NAMES, ripeningOf, START, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg } from './snapshot.ts';

describe('ripening', () => {
  test.each([
    ['ripening', WIDE],
    ['ripening-phone', NARROW],
  ] as const)('%s looks as it did', (name, frame) => {
    const svg = ripening(ripeningOf(3), frame);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing(name, svg);
  });

  test('marks each day of harvest, on every panel while blocks are few', () => {
    const few = ripening(ripeningOf(3), WIDE);
    expect(few.match(/class="picked s[12]"/gu)?.length).toBe(6);
    expect(few.match(/class="mark triangle"/gu)?.length).toBe(2);
    expect(few).toContain('picked 15 Sep');
    // Ten of fourteen picked, on five days.
    const many = ripening(ripeningOf(14), WIDE);
    expectApart(many);
    expect(many).not.toContain('class="picked');
    expect(many.match(/class="mark triangle"/gu)?.length).toBe(5);
    expect(many).toContain('>Harvest (10)<');
  });

  test('shows only what was measured', () => {
    const block = { name: 'ledge-1', sugar: [{ minute: START, value: 21 }], pH: [], acid: [] };
    const svg = ripening({ ...ripeningOf(0), blocks: [block] }, NARROW);
    expectGoodSvg(svg);
    expect(svg).not.toContain('>pH<');
    expect(svg).not.toContain('titratable');
  });

  test('none, many and oddly named make no fault', () => {
    const six = ripeningOf(6);
    const named = { ...six, blocks: six.blocks.map((block, index) => ({ ...block, name: ODD_NAMES[index] ?? '' })) };
    for (const frame of FRAMES) {
      for (const data of [ripeningOf(0), ripeningOf(60), named]) expectGoodSvg(ripening(data, frame));
    }
  });
});
