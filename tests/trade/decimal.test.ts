/** Exact decimals and proportions: properties against big integers, and the edges by hand. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  divideHalfEven,
  formatScaled,
  mulDivFloor,
  mulDivHalfEven,
  parseDecimal,
  splitByShares,
  toInteger,
  toIntegerWithin,
} from '../../src/trade/decimal.ts';

const SAFE = Number.MAX_SAFE_INTEGER;
/** Whole numbers of every size, small ones and those near the limit alike. */
const whole = fc.oneof(
  fc.nat({ max: 1000 }),
  fc.maxSafeNat(),
  fc.nat({ max: 53 }).chain((bits) => fc.bigInt({ min: 0n, max: 2n ** BigInt(bits) - 1n }).map(Number)),
);
const positive = whole.map((value) => Math.max(1, value));
const many = { numRuns: 2000 };

/** a / b to the nearest whole, ties to even, in big integers, by another way than the code: from the doubled floor. */
function nearestEven(a: bigint, b: bigint): bigint {
  const twice = 2n * a;
  const floorOf = (x: bigint, y: bigint) => (x % y !== 0n && x < 0n ? x / y - 1n : x / y);
  const up = floorOf(twice + b, 2n * b);
  return (twice + b) % (2n * b) === 0n && up % 2n !== 0n ? up - 1n : up;
}

describe('parseDecimal', () => {
  test.each([
    ['0', 0, 0],
    ['-0.0', 0, 1],
    ['24.6', 246, 1],
    ['+1.50', 150, 2],
    ['−4', -4, 0],
    ['.5', 5, 1],
    ['007', 7, 0],
  ])('%s', (text, mantissa, places) => {
    expect(parseDecimal(text)).toEqual({ mantissa, places });
  });

  test.each(['', '-', '.', '5.', '1e3', '24,6', '1 840', '--1', '1.2.3', 'x', '١٢', '9'.repeat(31)])(
    '%j is no number',
    (text) => {
      expect(parseDecimal(text)).toBeUndefined();
    },
  );

  test('keeps what a double cannot', () => {
    expect(parseDecimal('9007199254740993.1')).toEqual({ mantissa: 90_071_992_547_409_931n, places: 1 });
  });

  test('says what was written, digit by digit', () => {
    const text = fc
      .tuple(fc.boolean(), fc.bigInt({ min: 0n, max: 10n ** 15n }), fc.stringMatching(/^[0-9]{0,14}$/))
      .map(([minus, head, tail]) => ({ minus, head, tail }));
    fc.assert(
      fc.property(text, ({ minus, head, tail }) => {
        const decimal = parseDecimal(`${minus ? '-' : ''}${head}${tail === '' ? '' : `.${tail}`}`);
        const size = BigInt(`${head}${tail}`);
        expect(decimal?.places).toBe(tail.length);
        expect(BigInt(decimal?.mantissa ?? 1)).toBe(minus ? -size : size);
      }),
      many,
    );
  });
});

describe('toInteger', () => {
  test('rounds half to even, either side of nothing', () => {
    const at = (text: string) => toInteger(parseDecimal(text) ?? { mantissa: 99, places: 0 }, 1n, 1n);
    expect(['0.5', '1.5', '2.5', '-0.5', '-1.5', '2.51', '2.49'].map(at)).toEqual([0, 2, 2, 0, -2, 3, 2]);
    expect(Object.is(at('-0.4'), 0)).toBe(true);
  });

  test('beyond 2^53 it throws, and the other form says nothing', () => {
    const big = { mantissa: SAFE, places: 0 };
    expect(toInteger(big, 1n, 1n)).toBe(SAFE);
    expect(() => toInteger(big, 2n, 1n)).toThrow(RangeError);
    expect(toIntegerWithin(big, 2n, 1n)).toBeUndefined();
    expect(toIntegerWithin({ mantissa: -SAFE, places: 0 }, 2n, 1n)).toBeUndefined();
  });

  test('equals the big-integer result', () => {
    fc.assert(
      fc.property(fc.maxSafeInteger(), fc.nat({ max: 20 }), positive, positive, (mantissa, places, num, den) => {
        const exact = nearestEven(BigInt(mantissa) * BigInt(num), BigInt(den) * 10n ** BigInt(places));
        const got = toIntegerWithin({ mantissa, places }, BigInt(num), BigInt(den));
        return exact > BigInt(SAFE) || exact < -BigInt(SAFE) ? got === undefined : got === Number(exact);
      }),
      many,
    );
  });
});

describe('proportions', () => {
  test('mulDivFloor equals the big-integer result', () => {
    fc.assert(
      fc.property(whole, whole, positive, (a, b, c) => {
        const exact = (BigInt(a) * BigInt(b)) / BigInt(c);
        if (exact > BigInt(SAFE)) expect(() => mulDivFloor(a, b, c)).toThrow(RangeError);
        else expect(mulDivFloor(a, b, c)).toBe(Number(exact));
      }),
      { numRuns: 20_000 },
    );
  });

  test('mulDivFloor at exact multiples and their neighbours, where an estimate goes wrong first', () => {
    const middle = fc.bigInt({ min: 2n ** 24n, max: 2n ** 49n }).map(Number);
    fc.assert(
      fc.property(middle, middle, fc.integer({ min: -2, max: 2 }), (a, c, step) => {
        const b = c + step;
        expect(mulDivFloor(a, b, c)).toBe(Number((BigInt(a) * BigInt(b)) / BigInt(c)));
      }),
      { numRuns: 20_000 },
    );
  });

  test('mulDivFloor refuses to divide by nothing', () => {
    expect(() => mulDivFloor(1, 1, 0)).toThrow(RangeError);
  });

  test('mulDivHalfEven equals the big-integer result, for either sign', () => {
    fc.assert(
      fc.property(fc.maxSafeInteger(), fc.maxSafeInteger(), positive, (a, b, c) => {
        const exact = nearestEven(BigInt(a) * BigInt(b), BigInt(c));
        const within = exact <= BigInt(SAFE) && exact >= -BigInt(SAFE);
        expect(mulDivHalfEven(a, b, c)).toBe(within ? Number(exact) : undefined);
      }),
      many,
    );
    expect(mulDivHalfEven(1, 1, 0)).toBeUndefined();
  });

  test('divideHalfEven equals the big-integer result', () => {
    fc.assert(
      fc.property(fc.maxSafeInteger(), positive, (a, b) => {
        expect(divideHalfEven(a, b)).toBe(Number(nearestEven(BigInt(a), BigInt(b))));
      }),
      many,
    );
  });
});

describe('splitByShares', () => {
  const shares = fc.array(fc.oneof(fc.nat({ max: 5 }), fc.bigInt({ min: 0n, max: 2n ** 47n }).map(Number)), {
    minLength: 1,
    maxLength: 30,
  });

  test('parts sum to the total, none is negative or more than one from its due, none exceeds a sufficient share', () => {
    fc.assert(
      fc.property(shares, fc.maxSafeNat(), (list, total) => {
        const all = list.reduce((sum, share) => sum + share, 0);
        fc.pre(all > 0);
        const parts = splitByShares(total, list);
        expect(parts).toHaveLength(list.length);
        expect(parts.reduce((sum, part) => sum + BigInt(part), 0n)).toBe(BigInt(total));
        for (const [index, part] of parts.entries()) {
          const share = list[index] ?? 0;
          expect(part).toBeGreaterThanOrEqual(0);
          if (total <= all) expect(part).toBeLessThanOrEqual(share);
          // |part − total × share / all| < 1, as whole numbers.
          const off = BigInt(part) * BigInt(all) - BigInt(total) * BigInt(share);
          expect(off < BigInt(all) && off > -BigInt(all)).toBe(true);
        }
      }),
      many,
    );
  });

  test('taking everything takes each share whole', () => {
    fc.assert(
      fc.property(shares, (list) => {
        const all = list.reduce((sum, share) => sum + share, 0);
        expect(splitByShares(all, list)).toEqual(list);
      }),
    );
  });

  test('a small split by hand, and the edges', () => {
    expect(splitByShares(10, [1, 1, 1])).toEqual([3, 3, 4]);
    expect(splitByShares(0, [0, 0])).toEqual([0, 0]);
    expect(splitByShares(0, [])).toEqual([]);
    expect(() => splitByShares(1, [0, 0])).toThrow(RangeError);
    expect(() => splitByShares(1, [SAFE, SAFE])).toThrow(RangeError);
  });
});

describe('formatScaled', () => {
  test('places, zeros, groups and signs', () => {
    expect(formatScaled(1_234_567, 1n, 1000n, 2)).toBe('1234.57');
    expect(formatScaled(1_234_567, 1n, 10n, 1, { grouped: true })).toBe('123\u202F456.7');
    expect(formatScaled(12_345, 1n, 1n, 0, { grouped: true })).toBe('12\u202F345');
    expect(formatScaled(9999, 1n, 1n, 0, { grouped: true })).toBe('9999');
    expect(formatScaled(1500, 1n, 1000n, 3, { trimmed: true })).toBe('1.5');
    expect(formatScaled(2000, 1n, 1000n, 3, { trimmed: true })).toBe('2');
    expect(formatScaled(-5, 1n, 1000n, 2)).toBe('0.00');
    expect(formatScaled(-15, 1n, 1000n, 2)).toBe('-0.02');
    expect(formatScaled(25, 1n, 1000n, 2)).toBe('0.02');
    expect(formatScaled(SAFE, 1000n, 1n, 1)).toBe('9007199254740991000.0');
  });
});
