/**
 * Exact conversions: written amounts to whole base units of any dimension and back, masses, temperatures, rates and yields.
 *
 * Base units are those of `BASE` in the unit table. Every result is rounded once, half to even, to a whole base unit, and
 * is `undefined` where it would lie beyond ±2^53 − 1 or a divisor is not above zero: bad input never throws.
 */
import { type Dimension, findUnit, type UnitWord } from '../../grammar/units.ts';
import {
  type Decimal,
  formatScaled,
  mulDivHalfEven,
  type NumberStyle,
  parseDecimal,
  toIntegerWithin,
} from './decimal.ts';
import type { Microlitres } from './volume.ts';

/** A mass in whole micrograms, within ±2^53 − 1 (nine thousand tonnes). */
export type Micrograms = number;

/**
 * A written number in a unit as whole base units of the unit's dimension: `22 C` is 22 000 thousandths of a degree,
 * `71.6 F` is the same.
 */
export function toBase(written: Decimal, unit: UnitWord): number | undefined {
  return toIntegerWithin(withOffset(written, unit), unit.num, unit.den);
}

/** As `toBase` for a difference, which knows no zero point: `9 F` warmer is 5 000 thousandths of a degree. */
export function differenceToBase(written: Decimal, unit: UnitWord): number | undefined {
  return toIntegerWithin(written, unit.num, unit.den);
}

/** As `toBase`, from the text of the number; `undefined` for text that is no number as well. */
export function readBase(text: string, unit: UnitWord): number | undefined {
  const written = parseDecimal(text);
  return written === undefined ? undefined : toBase(written, unit);
}

function withOffset(written: Decimal, unit: UnitWord): Decimal {
  if (unit.offset === undefined) return written;
  const scale = 10n ** BigInt(written.places);
  return { mantissa: BigInt(written.mantissa) + unit.offset * scale, places: written.places };
}

/** Whole base units as a number in a unit with so many decimal places, without the unit: the reverse of `toBase`. */
export function fromBase(base: number, unit: UnitWord, places: number, style?: NumberStyle): string {
  if (unit.offset === undefined) return formatScaled(base, unit.den, unit.num, places, style);
  // base × den/num − offset, over the common divisor num, so that the text is rounded once.
  const shifted = BigInt(base) * unit.den - unit.offset * unit.num;
  return formatScaled(shifted, 1n, unit.num, places, style);
}

/** Whole base units as a double in a unit, for charts and chemistry. */
export function fromBaseToNumber(base: number, unit: UnitWord): number {
  return (base * Number(unit.den)) / Number(unit.num) - Number(unit.offset ?? 0n);
}

/** A double in one unit as a double in another of the same dimension, by the exact factors: relative error below 1e-15. */
export function inUnit(value: number, from: UnitWord, to: UnitWord): number {
  const factor = Number(from.num * to.den) / Number(from.den * to.num);
  return (value + Number(from.offset ?? 0n)) * factor - Number(to.offset ?? 0n);
}

/** The units reports show masses in. */
export type MassUnit = 't' | 'kg' | 'g' | 'mg' | 'lb' | 'oz' | 'short-ton';

/** Decimal places shown where nobody asks for others: about what the scale for such an amount reads. */
const MASS_PLACES: Record<MassUnit, number> = { t: 3, kg: 3, g: 2, mg: 1, lb: 3, oz: 2, 'short-ton': 3 };

/** A mass for people, with its unit. Groups and zeros as in `formatVolume`. */
export function formatMass(mass: Micrograms, unit: MassUnit, places?: number): string {
  return `${massNumber(mass, unit, places, { grouped: true, trimmed: places === undefined })} ${unit}`;
}

/** A mass as a number of the unit, without groups unless the style says so: for journal lines and CSV. */
export function massNumber(
  mass: Micrograms,
  unit: MassUnit,
  places?: number,
  style: NumberStyle = { trimmed: places === undefined },
): string {
  return fromBase(mass, knownUnit(unit), places ?? MASS_PLACES[unit], style);
}

/** The row of a unit the program itself names. */
function knownUnit(symbol: string): UnitWord {
  const row = findUnit(symbol);
  if (row === undefined) throw new Error(`the unit table has no ${symbol}`);
  return row;
}

/** Degrees Fahrenheit of degrees Celsius: C × 9/5 + 32. */
export function celsiusToFahrenheit(celsius: number): number {
  return (celsius * 9) / 5 + 32;
}

const BILLION = 1_000_000_000;
const TRILLION = 1_000_000_000_000;
const MILLION = 1_000_000;

/** What each rate, in base units, is divided by when it is multiplied by what it is applied to. */
const RATE_DIVISORS: Partial<Record<Dimension, number>> = {
  'mass per volume': BILLION,
  'mass per mass': BILLION,
  'volume per volume': BILLION,
  'volume per mass': TRILLION,
  'volume per length': MILLION,
};

/**
 * What a written rate asks for in an amount, rounded once: `2 lb/1000 gal` in a volume, `5 g/100 kg` on fruit, `2 mL/L`
 * in a volume, a yield from fruit, a gauge at a height. The amount and the result are in base units: of volume, mass or
 * length as the rate's dimension says. `undefined` for a unit that is no such rate.
 */
export function applyRate(written: Decimal, unit: UnitWord, amount: number): number | undefined {
  const divisor = RATE_DIVISORS[unit.dimension];
  if (divisor === undefined) return undefined;
  return toIntegerWithin(written, unit.num * BigInt(amount), unit.den * BigInt(divisor));
}

/** The yield (nanolitres per kilogram) of a volume from a mass of fruit. */
export function yieldOf(volume: Microlitres, fruit: Micrograms): number | undefined {
  return mulDivHalfEven(volume, TRILLION, fruit);
}

/** The volume a tank's gauge (microlitres per metre) gives for a height in micrometres. */
export function volumeAtHeight(gauge: number, height: number): Microlitres | undefined {
  return mulDivHalfEven(gauge, height, MILLION);
}

/** A share of an amount, rounded half to even: what a mass of a substance brings, by the share of its molar mass. */
export function shareOf(amount: number, num: number, den: number): number | undefined {
  return mulDivHalfEven(amount, num, den);
}

/** The units a yield of wine from fruit is said in. */
export type YieldUnit = 'L/t' | 'gal/short-ton';

/** A yield (nanolitres per kilogram) for people, with its unit; whole units unless `places` says otherwise. */
export function formatYield(perKilogram: number, unit: YieldUnit, places = 0): string {
  return `${fromBase(perKilogram, knownUnit(unit), places, { grouped: true })} ${unit}`;
}

/** A written amount read back into text in another unit of the same dimension; `undefined` across dimensions. */
export function convertWritten(written: Decimal, from: UnitWord, to: UnitWord, places: number): string | undefined {
  if (from.dimension !== to.dimension) return undefined;
  const shifted = withOffset(written, from);
  const scale = 10n ** BigInt(written.places);
  // Straight from unit to unit, as one exact fraction: nothing is lost to whole base units in between.
  const top = BigInt(shifted.mantissa) * from.num * to.den - (to.offset ?? 0n) * from.den * to.num * scale;
  return formatScaled(top, 1n, from.den * to.num * scale, places);
}
