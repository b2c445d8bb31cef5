import { describe, expect, test } from 'vitest';
import { sulfurDioxide } from '../../src/charts/sulfur-dioxide.ts';
import { at, FRAMES, LONG, NARROW, sulfur, WIDE } from './samples.ts';
import { expectApart, expectDrawing, expectGoodSvg, wordsIn } from './snapshot.ts';

describe('sulfur dioxide', () => {
  test.each([
    ['sulfur-dioxide', WIDE],
    ['sulfur-dioxide-phone', NARROW],
  ] as const)('%s looks as it did', (name, frame) => {
    const svg = sulfurDioxide(sulfur(9), frame);
    expectGoodSvg(svg);
    expectApart(svg);
    expectDrawing(name, svg);
  });

  test('prints the method whole, on a phone on two lines', () => {
    for (const frame of FRAMES) {
      const words = wordsIn(sulfurDioxide(sulfur(9), frame)).map((box) => box.words);
      expect(words.join(' ')).toContain('molecular by OIV-MA-AS323-04C, mixed constant');
    }
  });

  test('a reading below detection is hollow, as is the middle of a round of them', () => {
    const { free, total, molecular, ...rest } = sulfur(1);
    const svg = sulfurDioxide({ ...rest, free, total, molecular }, WIDE);
    // The middle of the free and of the molecular; none of the total.
    expect(svg.match(/class="below"/gu)?.length).toBe(2);
    expect(svg).toContain('Last: free below 8 mg/L, total 48 mg/L');
  });

  test('the line of a round follows its middle, and each of its readings is a dot', () => {
    const points = [10, 20, 60].map((value) => ({ minute: at(1), value }));
    const svg = sulfurDioxide(
      { ...sulfur(0), free: points, total: [], molecular: [], strips: [] },
      { id: 's', width: 720 },
    );
    expect(svg.match(/<g class="scatter s1">(?:<circle [^>]*r="1.5"\/>){3}<\/g>/gu)?.length).toBe(1);
    expect(svg.match(/<circle [^>]*r="3"\/>/gu)?.length).toBe(1);
  });

  test('a target without an upper end is one line, and none is none', () => {
    const { target: _, ...without } = sulfur(3);
    expect(
      sulfurDioxide({ ...without, target: { low: 0.6, text: 'target 0.6' } }, WIDE).match(/class="target"/gu)?.length,
    ).toBe(1);
    expect(sulfurDioxide(sulfur(3), WIDE).match(/class="target"/gu)?.length).toBe(2);
    expect(sulfurDioxide(without, WIDE)).not.toContain('class="target"');
  });

  test('nothing read, one reading, a long method and a long target make no fault', () => {
    for (const frame of FRAMES) {
      expectGoodSvg(sulfurDioxide({ ...sulfur(0), strips: [] }, frame));
      expectGoodSvg(sulfurDioxide(sulfur(1), frame));
      expectGoodSvg(sulfurDioxide({ ...sulfur(4), method: LONG, target: { low: 0.5, text: LONG } }, frame));
      expectGoodSvg(
        sulfurDioxide({ ...sulfur(2), molecular: [{ minute: at(1), value: Number.POSITIVE_INFINITY }] }, frame),
      );
    }
  });
});
