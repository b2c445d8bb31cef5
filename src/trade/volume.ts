/**
 * Volumes as whole microlitres: from a written number and its unit, and back to text.
 *
 * Rule for text: rounding half to even; a point for decimals; from five digits before the point on, groups of three
 * parted by a narrow no-break space (U+202F). Text meant to be read back by a program, journal lines and CSV, has no groups.
 */
import type { UnitWord } from '../../grammar/units.ts';
import { type Decimal, formatScaled, toIntegerWithin } from './decimal.ts';

/** A volume in whole microlitres, within ±2^53 − 1 (nine million cubic metres). */
export type Microlitres = number;

export const MICROLITRES_PER_MILLILITRE = 1000;
export const MICROLITRES_PER_LITRE = 1_000_000;

/** The units reports show volumes in. */
export type VolumeUnit = 'L' | 'hL' | 'gal';

interface ReportUnit {
  /** Microlitres × num / den = the unit. */
  readonly num: bigint;
  readonly den: bigint;
  /** Decimal places enough for one millilitre, where nobody asks for others. */
  readonly places: number;
}

/** US gallon: 3.785411784 L, NIST Handbook 44, appendix C. */
const REPORT_UNITS: Record<VolumeUnit, ReportUnit> = {
  L: { num: 1n, den: 1_000_000n, places: 3 },
  hL: { num: 1n, den: 100_000_000n, places: 5 },
  gal: { num: 1000n, den: 3_785_411_784n, places: 4 },
};

/**
 * The volume a written number and its unit mean, rounded half to even to a whole microlitre. `undefined` where the unit
 * measures no volume or the volume is too large to be held exactly.
 */
export function volumeOf(written: Decimal, unit: UnitWord): Microlitres | undefined {
  return unit.dimension === 'volume' ? toIntegerWithin(written, unit.num, unit.den) : undefined;
}

/**
 * A volume for people, with its unit: `12 345.5 L` (groups from 10 000 on). Without `places` as many decimals as the
 * volume needs, down to a millilitre; with `places` exactly so many.
 */
export function formatVolume(volume: Microlitres, unit: VolumeUnit, places?: number): string {
  return `${volumeNumber(volume, unit, places)} ${unit}`;
}

/** As `formatVolume`, without the unit: for columns that name it in their head. */
export function volumeNumber(volume: Microlitres, unit: VolumeUnit, places?: number): string {
  const row = REPORT_UNITS[unit];
  return formatScaled(volume, row.num, row.den, places ?? row.places, { grouped: true, trimmed: places === undefined });
}

/** A volume as a number of the unit, for charts and chemistry only; balances stay in microlitres. */
export function volumeIn(volume: Microlitres, unit: VolumeUnit): number {
  const row = REPORT_UNITS[unit];
  return (volume * Number(row.num)) / Number(row.den);
}
