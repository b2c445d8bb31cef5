/** Alcohol and gas of wine poured together and drawn apart: exact, whatever the order. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { draw, emptyHeld, evenly, gasOf, type Held, pour, strengthOf, swell } from '../../src/law/held-wine.ts';

const LITRE = 1_000_000;

interface Part {
  readonly litres: number;
  readonly strength: number | undefined;
  readonly gas: number | undefined;
}

function wine({ litres, strength, gas }: Part): Held {
  const volume = Math.round(litres * LITRE);
  const held = { ...emptyHeld(), volume };
  if (strength !== undefined) held.alcohol = evenly(strength, volume);
  if (gas !== undefined) held.gas = evenly(gas, volume);
  return held;
}

function together(parts: readonly Part[]): Held {
  const held = emptyHeld();
  for (const part of parts) {
    const source = wine(part);
    pour(held, draw(source, source.volume), false);
  }
  return held;
}

const unknown = <T>(of: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> => fc.option(of, { nil: undefined, freq: 4 });
const parts = fc.array(
  fc.record({
    litres: fc.integer({ min: 1, max: 200_000_000 }).map((millilitres) => millilitres / 1000),
    strength: unknown(fc.integer({ min: 0, max: 250_000 })),
    gas: unknown(fc.integer({ min: 0, max: 9000 })),
  }),
  { minLength: 1, maxLength: 8 },
);

describe('poured together', () => {
  test('in any order it is the same wine', () => {
    fc.assert(
      fc.property(
        parts.chain((list) => fc.tuple(fc.constant(list), fc.shuffledSubarray(list, { minLength: list.length }))),
        ([list, shuffled]) => {
          const [one, other] = [together(list), together(shuffled)];
          expect([one.volume, one.alcohol, one.gas]).toEqual([other.volume, other.alcohol, other.gas]);
        },
      ),
    );
  });

  test('alcohol is the mean of the parts it is known of; unread gas counts as none', () => {
    const held = together([
      { litres: 100, strength: 120_000, gas: 4000 },
      { litres: 100, strength: undefined, gas: undefined },
      { litres: 300, strength: 140_000, gas: 1000 },
    ]);
    expect(strengthOf(held)).toBe(135_000);
    expect(gasOf(held)).toBe(1400);
    expect([strengthOf(emptyHeld()), gasOf(emptyHeld())]).toEqual([undefined, undefined]);
  });

  // 16 % is a boundary of 26 U.S.C. 5041(b)
  test('a mean of exactly 16 % stays so after any draws, dips and pours of itself', () => {
    const days = fc.array(fc.tuple(fc.boolean(), fc.integer({ min: 1, max: 40_000_000 })), { maxLength: 40 });
    fc.assert(
      fc.property(days, (list) => {
        const held = together([
          { litres: 225, strength: 160_000, gas: undefined },
          { litres: 100, strength: 163_000, gas: undefined },
          { litres: 100, strength: 157_000, gas: undefined },
        ]);
        const other = { ...emptyHeld() };
        for (const [drawn, volume] of list) {
          if (!drawn) swell(held, volume);
          else if (volume < held.volume) pour(other, draw(held, volume), false);
        }
        expect(strengthOf(held)).toBe(160_000);
        if (other.volume > 0) expect(strengthOf(other)).toBe(160_000);
      }),
    );
  });
});

describe('drawn apart', () => {
  test('parts come to the whole: volume, wine of the year, and the sum of what is known', () => {
    fc.assert(
      fc.property(parts, fc.nat(1_000_000), fc.nat(1_000_000), (list, share, of) => {
        const held = together(list);
        held.made = Math.floor((held.volume / 1_000_000) * of);
        const before = { ...held };
        const volume = Math.floor((held.volume / 1_000_000) * share);
        const portion = draw(held, volume);
        expect(portion.volume + held.volume).toBe(before.volume);
        expect(portion.made + held.made).toBe(before.made);
        expect(portion.alcohol.sum + held.alcohol.sum).toBe(before.alcohol.sum);
        expect(portion.gas.known + held.gas.known).toBe(before.gas.known);
        for (const { made, volume: all } of [portion, held]) {
          expect(made).toBeGreaterThanOrEqual(0);
          expect(made).toBeLessThanOrEqual(all);
        }
      }),
    );
  });

  test('wine wholly of the year is so in every part', () => {
    const held = { ...wine({ litres: 1, strength: undefined, gas: undefined }), made: LITRE };
    expect([draw(held, 333_333).made, held.made, held.volume]).toEqual([333_333, 666_667, 666_667]);
    swell(held, 12_345);
    expect(held.made).toBe(held.volume);
  });
});
