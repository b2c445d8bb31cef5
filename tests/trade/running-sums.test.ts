/** Rounded running sums: what they come to, and that parts agree with the whole. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rounded, toldText, toldUnit } from '../../src/trade/running-sums.ts';

const LITRES = toldUnit(1n, 1_000_000n, 2);
const PRESCRIBED = toldUnit(26_417n, 100_000n * 1_000_000n, 2);
const EXACT = toldUnit(1_000_000_000n, 3_785_411_784n * 1_000_000n, 3);

describe('one figure', () => {
  test.each([
    [4_999, LITRES, 0],
    [5_000, LITRES, 1],
    [14_999, LITRES, 1],
    [15_000, LITRES, 2],
    // 1000 L are 264.17 wine gallons by the factor of 27 CFR 24.300, 264.172 by NIST Handbook 44
    [1_000_000_000, PRESCRIBED, 26_417],
    [1_000_000_000, EXACT, 264_172],
    // a case of 12 x 750 mL is 2.37753: 27 CFR 24.300(a)
    [9_000_000, toldUnit(26_417n, 100_000_000_000n, 5), 237_753],
  ])('%s µL', (volume, unit, units) => {
    expect(rounded(volume, unit)).toBe(units);
  });

  test('as text', () => {
    expect(toldText(123_456_789, LITRES, true)).toBe('1\u202F234\u202F567.89');
    expect(toldText(5, LITRES, false)).toBe('0.05');
    expect(toldText(-5, LITRES, false)).toBe('-0.05');
  });
});

/** Up to nine million litres. */
const volume = fc.noBias(fc.maxSafeNat().map((any) => any % 9_000_000_000_000));
const unit = fc.constantFrom(LITRES, PRESCRIBED, EXACT);

test('half up, by exact arithmetic', () => {
  fc.assert(
    fc.property(volume, unit, (microlitres, one) => {
      const twice = 2n * BigInt(microlitres) * BigInt(one.num) * 10n ** BigInt(one.places);
      const den = BigInt(one.den);
      expect(BigInt(rounded(microlitres, one))).toBe((twice + den) / (2n * den));
    }),
    { numRuns: 2000 },
  );
});

test('parts of a running sum come to the whole, and each is off by less than a step', () => {
  fc.assert(
    fc.property(fc.array(fc.nat(5_000_000_000), { maxLength: 40 }), unit, (parts, one) => {
      let sum = 0;
      let told = 0;
      for (const part of parts) {
        const figure = rounded(sum + part, one) - rounded(sum, one);
        expect(Math.abs(figure - (part * one.num * 10 ** one.places) / one.den)).toBeLessThan(1 + 1e-6);
        sum += part;
        told += figure;
      }
      expect(told).toBe(rounded(sum, one));
    }),
  );
});
