/** Volumes, masses, rates and gauges: written amounts to whole base units and back. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { findUnit, UNITS, type UnitWord } from '../../grammar/units.ts';
import {
  applyRate,
  celsiusToFahrenheit,
  differenceToBase,
  formatMass,
  fromBase,
  fromBaseToNumber,
  massNumber,
  readBase,
  volumeAtHeight,
} from '../../src/trade/convert.ts';
import { parseDecimal } from '../../src/trade/decimal.ts';
import { formatVolume, volumeIn, volumeNumber, volumeOf } from '../../src/trade/volume.ts';

function known(word: string): UnitWord {
  const unit = findUnit(word);
  if (unit === undefined) throw new Error(`no unit ${word}`);
  return unit;
}

/** The base units of an amount such as `30 g/hL`; fails where the line itself would be refused. */
function base(amount: string): number {
  const [number = '', ...word] = amount.split(' ');
  const value = readBase(number, known(word.join(' ')));
  if (value === undefined) throw new Error(`unread amount ${amount}`);
  return value;
}

describe('volumes', () => {
  test('read', () => {
    const read = (text: string, unit: string) =>
      volumeOf(parseDecimal(text) ?? { mantissa: 0, places: 0 }, known(unit));
    expect(read('640', 'L')).toBe(640_000_000);
    expect(read('59.44', 'gal')).toBe(225_004_876);
    expect(read('1', 'kg')).toBeUndefined();
    expect(read('9999999999999', 'hL')).toBeUndefined();
  });

  test('shown', () => {
    expect(formatVolume(640_500_000, 'L')).toBe('640.5 L');
    expect(formatVolume(640_500_000, 'L', 2)).toBe('640.50 L');
    expect(formatVolume(12_345_000_000, 'L')).toBe('12\u202F345 L');
    expect(formatVolume(12_345_000_000, 'hL')).toBe('123.45 hL');
    expect(volumeNumber(-1_000_000, 'L', 1)).toBe('-1.0');
    expect(formatVolume(2_500, 'L', 2)).toBe('0.00 L');
  });

  test('a litre figure with three places comes back as the same volume', () => {
    fc.assert(
      fc.property(fc.nat({ max: 9_000_000 }), (millilitres) => {
        const shown = parseDecimal(volumeNumber(millilitres * 1000, 'L').replaceAll('\u202F', ''));
        expect(shown && volumeOf(shown, known('L'))).toBe(millilitres * 1000);
      }),
    );
  });

  test('as a plain number, near the text', () => {
    expect(volumeIn(3_785_411_784, 'gal')).toBeCloseTo(1000, 9);
    expect(volumeIn(250_000_000, 'hL')).toBe(2.5);
  });
});

describe('any dimension', () => {
  test('every unit comes back as written, to within its base unit', () => {
    const three = fc.integer({ min: 0, max: 999 });
    fc.assert(
      fc.property(fc.constantFrom(...UNITS), three, (unit, value) => {
        const amount = readBase(String(value), unit);
        fc.pre(amount !== undefined);
        const fine = Number(unit.num) / Number(unit.den);
        // One base unit may be many of a tiny unit, so the reverse is compared in base units.
        const back = fromBaseToNumber(amount ?? 0, unit);
        expect(Math.abs(back - value) * fine).toBeLessThanOrEqual(0.5 + value * fine * 1e-12);
        if (fine >= 1000) expect(fromBase(amount ?? 0, unit, 2)).toBe(`${value}.00`);
      }),
      { numRuns: 3000 },
    );
  });

  test('a temperature and a difference of temperatures', () => {
    expect(base('22 C')).toBe(22_000);
    expect(base('71.6 F')).toBe(22_000);
    expect(fromBase(22_000, known('F'), 1)).toBe('71.6');
    expect(differenceToBase(parseDecimal('9') ?? { mantissa: 0, places: 0 }, known('F'))).toBe(5000);
    expect(celsiusToFahrenheit(100)).toBe(212);
  });
});

describe('masses', () => {
  test('read and shown', () => {
    expect(formatMass(15_406_000, 'g')).toBe('15.41 g');
    expect(formatMass(1_540_000_000_000, 'kg')).toBe('1540 kg');
    expect(formatMass(15_400_000_000_000, 'kg', 1)).toBe('15\u202F400.0 kg');
    expect(massNumber(907_184_740_000, 'short-ton')).toBe('1');
    expect(massNumber(15_400_000_000_000, 'kg')).toBe('15400');
  });
});

describe('rates', () => {
  test('a written rate applied at once is rounded once', () => {
    const apply = (rate: string, amount: string) => {
      const [number = '', ...word] = rate.split(' ');
      return applyRate(parseDecimal(number) ?? { mantissa: 0, places: 0 }, known(word.join(' ')), base(amount));
    };
    expect(apply('2 lb/1000 gal', '500 gal')).toBe(base('1 lb'));
    expect(apply('5 g/100 kg', '1540 kg')).toBe(base('77 g'));
    expect(apply('2 fl-oz/1000 gal', '500 gal')).toBe(base('1 fl-oz'));
    expect(apply('160 gal/short-ton', '2.5 short-ton')).toBe(base('400 gal'));
    expect(apply('11.3 L/cm', '41 cm')).toBe(base('463.3 L'));
    expect(apply('5 g', '1 L')).toBeUndefined();
  });

  test('a gauge', () => {
    expect(volumeAtHeight(base('11.3 L/cm'), base('41 cm'))).toBe(base('463.3 L'));
    expect(volumeAtHeight(base('3 gal/in'), base('10 in'))).toBe(base('30 gal'));
  });
});
