/** The unit table's own consistency: spellings, refusals, and every compound against its parts. */
import { describe, expect, test } from 'vitest';
import { BASE, findUnit, REFUSED_UNITS, UNITS, whyRefused } from '../../grammar/units.ts';

describe('spellings', () => {
  test('every spelling finds its own unit, and no two units share one', () => {
    const seen = new Map<string, string>();
    for (const unit of UNITS) {
      expect(unit.words[0]).toBe(unit.symbol);
      for (const word of unit.words) {
        expect(seen.get(word), word).toBeUndefined();
        seen.set(word, unit.symbol);
        expect(findUnit(word)).toBe(unit);
        expect(word.normalize('NFC')).toBe(word);
      }
    }
    expect(seen.size).toBeGreaterThan(300);
  });

  test.each([
    ['l', 'L'],
    ['LITRES', 'L'],
    ['HL', 'hL'],
    ['KG', 'kg'],
    ['MG/L', 'mg/L'],
    ['grams/litre', 'g/L'],
    ['lbs/1000 gallons', 'lb/1000 gal'],
    ['lb/1000gal', 'lb/1000 gal'],
    ['pounds/short ton', 'lb/short-ton'],
    ['gal / short-ton', 'gal/short-ton'],
    ['% Vol', '%vol'],
    ['°c', 'C'],
    ['\u03BCg', 'µg'],
  ])('%s is %s', (word, symbol) => {
    expect(findUnit(word)?.symbol).toBe(symbol);
  });

  test.each(['', '/', 'g/', '/L', 'g/0 L', 'g/7 L', 'g/L/h', 'litre s', 'bottles', 'constructor', '__proto__'])(
    '%j is no unit',
    (word) => {
      expect(findUnit(word)).toBeUndefined();
      expect(whyRefused(word)).toBeUndefined();
    },
  );
});

describe('refusals', () => {
  test('no refused word is a unit, and each says what to write', () => {
    for (const [word, reason] of REFUSED_UNITS) {
      expect(findUnit(word), word).toBeUndefined();
      expect(whyRefused(word)).toBe(reason);
      expect(reason).toMatch(/`[^`]+`/u);
    }
  });

  test('what a reason says to write is a unit, unless it is a field with its figure', () => {
    for (const reason of REFUSED_UNITS.values()) {
      for (const [, written = ''] of reason.matchAll(/`([^`]+)`/gu)) {
        if (!/ [0-9]/u.test(written)) expect(findUnit(written), written).toBeDefined();
      }
    }
  });

  test('ton in any case, ML and Mg only so', () => {
    expect(['ton', 'Tons', 'TON', 'T', 'ML', 'Mg', 'Cups', 'K'].map((word) => findUnit(word))).toEqual(
      Array(8).fill(undefined),
    );
    expect(['ton', 'Tons', 'TON', 'T', 'ML', 'Mg', 'Cups', 'K'].every((word) => whyRefused(word))).toBe(true);
    expect(['t', 'mL', 'ml', 'mg'].map((word) => findUnit(word)?.symbol)).toEqual(['t', 'mL', 'mL', 'mg']);
  });
});

describe('factors', () => {
  test('every unit has a base to go to, and a fraction above nothing', () => {
    for (const unit of UNITS) {
      expect(BASE[unit.dimension]).toBeTruthy();
      expect(unit.num > 0n && unit.den > 0n).toBe(true);
    }
  });

  test('in each dimension every compound stands to its two parts as the others do', () => {
    const ratios = new Map<string, Map<string, string>>();
    let compounds = 0;
    for (const unit of UNITS) {
      const [, top = '', many = '1', bottom = ''] = /^([^/]+)\/([0-9]+)? ?(.+)$/u.exec(unit.symbol) ?? [];
      // ng/L is there as the base itself; nobody weighs a nanogram.
      if (top === '' || unit.symbol === 'ng/L') continue;
      const over = findUnit(top);
      const under = findUnit(bottom);
      if (over === undefined || under === undefined) throw new Error(`${unit.symbol}: parts unknown`);
      // unit / (over / (many × under)) as a fraction in lowest terms.
      const num = unit.num * over.den * BigInt(many) * under.num;
      const den = unit.den * over.num * under.den;
      const common = divisor(num, den);
      const key = `${num / common}/${den / common}`;
      const known = ratios.get(unit.dimension) ?? new Map<string, string>();
      known.set(key, unit.symbol);
      ratios.set(unit.dimension, known);
      compounds += 1;
    }
    expect(compounds).toBeGreaterThan(50);
    for (const [dimension, known] of ratios)
      expect([dimension, [...known.values()]]).toEqual([dimension, [expect.any(String)]]);
  });

  test('spellings that are compounds of other words mean the same amount', () => {
    // kg/m3 is g/L, mL/kg is L/t: checked through the parts of the spelling and the symbol alike.
    for (const unit of UNITS) {
      const own = partsOf(unit.symbol);
      if (own === undefined) continue;
      for (const word of unit.words) {
        const other = partsOf(word);
        if (other !== undefined) expect([word, other.num * own.den]).toEqual([word, own.num * other.den]);
      }
    }
  });

  test('a pound-force on a square inch: pound × standard gravity / inch²', () => {
    const psi = findUnit('psi');
    // 0.45359237 kg × 9.80665 m/s² / (0.0254 m)², NIST SP 811 appendix B.
    expect((psi?.num ?? 0n) * 254n ** 2n * 10n ** 5n).toBe(45_359_237n * 980_665n * (psi?.den ?? 1n));
  });
});

function divisor(a: bigint, b: bigint): bigint {
  return b === 0n ? a : divisor(b, a % b);
}

function partsOf(word: string): { num: bigint; den: bigint } | undefined {
  const [, top = '', many = '1', bottom = ''] = /^([^/]+)\/([0-9]+)? ?(.+)$/u.exec(word) ?? [];
  const over = findUnit(top);
  const under = findUnit(bottom);
  if (over === undefined || under === undefined) return undefined;
  return { num: over.num * under.den, den: over.den * under.num * BigInt(many) };
}
