/** Shares are compared in whole numbers, and told rounded to the side that promises less. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BOOK_CUT, isReached, isWithin, lackOf, roomFor, sayPoints, sayShare } from '../../src/law/share.ts';

const leasts = [510_000, 750_000, 850_000, 950_000];
const wholes = fc.integer({ min: 1_000_000, max: 40_000_000_000_000 });
const least = fc.constantFrom(...leasts);

describe('a share against its least', () => {
  test('at 74.9, 75.0 and 75.1 per cent', () => {
    const at = (part: number) => ({ part, whole: 1000_000_000, least: 750_000 });
    expect(isReached(at(749_000_000))).toBe(false);
    expect(isReached(at(750_000_000))).toBe(true);
    expect(isReached(at(751_000_000))).toBe(true);
    expect(sayShare(749_000_000, 1000_000_000)).toBe('74.9 %');
    expect(sayPoints(at(749_000_000))).toBe('0.1 points');
    expect(sayPoints(at(750_000_000))).toBe('nothing');
    expect(sayPoints(at(751_000_000))).toBe('0.1 points');
  });

  test('to the microlitre, the cuts of the book aside', () => {
    fc.assert(
      fc.property(wholes, least, (whole, share) => {
        const needed = Number((BigInt(whole) * BigInt(share) + 999_999n) / 1_000_000n);
        expect(isReached({ part: needed - BOOK_CUT, whole, least: share })).toBe(true);
        expect(isReached({ part: needed - BOOK_CUT - 1, whole, least: share })).toBe(false);
      }),
    );
  });

  test('all of it means all of it', () => {
    expect(isReached({ part: 999_999_999, whole: 1000_000_000, least: 1_000_000 })).toBe(false);
    expect(isReached({ part: 1000_000_000, whole: 1000_000_000, least: 1_000_000 })).toBe(true);
    expect(sayShare(999_999_999, 1000_000_000, 1_000_000)).toBe('99.9 %');
  });

  test('what the cuts of the book left short is told as what it reached', () => {
    expect(sayShare(749_999_990, 1000_000_000, 750_000)).toBe('75 %');
    expect(sayShare(749_999_990, 1000_000_000)).toBe('74.9 %');
  });

  test('there is room for so much other wine and for no more', () => {
    fc.assert(
      fc.property(wholes, least, fc.integer({ min: 0, max: 1000 }), (whole, share, extra) => {
        const part = Math.min(whole, Number((BigInt(whole) * BigInt(share) + 999_999n) / 1_000_000n) + extra);
        const room = roomFor({ part, whole, least: share });
        const exact = (more: number) => BigInt(part) * 1_000_000n >= BigInt(share) * BigInt(whole + more);
        expect(exact(room)).toBe(true);
        expect(exact(room + 1)).toBe(false);
      }),
    );
  });

  test('so much more of what counts reaches it and no less', () => {
    fc.assert(
      fc.property(wholes, least, fc.double({ min: 0, max: 0.999, noNaN: true }), (whole, share, ratio) => {
        const part = Math.floor((whole * share * ratio) / 1_000_000);
        const lack = lackOf({ part, whole, least: share }) ?? -1;
        const exact = (more: number) =>
          BigInt(part + more) * 1_000_000n >= BigInt(share) * (BigInt(whole) + BigInt(more));
        expect(exact(lack)).toBe(true);
        expect(lack === 0 || !exact(lack - 1)).toBe(true);
      }),
    );
  });

  test('nothing poured in reaches all of it', () => {
    expect(lackOf({ part: 1, whole: 2, least: 1_000_000 })).toBeUndefined();
  });

  test('a share shown may be off by so much on either side', () => {
    const whole = 1000_000_000;
    for (const [part, within] of [
      [579_000_000, false],
      [580_000_000, true],
      [620_000_000, true],
      [621_000_000, false],
    ] as const)
      expect(isWithin(part, whole, 600_000, 20_000)).toBe(within);
  });
});
