/**
 * Bottle sizes with their trade names, US fill tolerances, and the rounded gallons that US wine records prescribe.
 *
 * Sizes and tolerances are those of the rules named beside them, as read in the editions of 2015 to 2025; check the text
 * in force. Names of sizes are trade usage, from memory, and differ by region above the magnum.
 */
import { formatScaled } from './decimal.ts';
import type { Microlitres } from './volume.ts';

export interface BottleFormat {
  readonly millilitres: number;
  /** The usual trade name, where there is one. */
  readonly name?: string;
  readonly names: readonly string[];
  /** Among the standards of fill of 27 CFR 4.72. */
  readonly usStandard: boolean;
}

/** 27 CFR 4.72, with the sizes added on 2020-12-29 and 2025-01-10 (T.D. TTB-200); whole litres above 3 L besides. */
const US_STANDARD: readonly number[] = [
  50, 100, 180, 187, 200, 250, 300, 330, 355, 360, 375, 473, 500, 550, 568, 600, 620, 700, 720, 750, 1000, 1500, 1800,
  2250, 3000,
];

/** Whether a bottle of so many millilitres is a US standard of fill: a listed size, or whole litres from 4 L up. */
export function isUsStandardFill(millilitres: number): boolean {
  return US_STANDARD.includes(millilitres) || (millilitres >= 4000 && millilitres % 1000 === 0);
}

const NAMED: readonly (readonly [millilitres: number, ...names: string[]])[] = [
  [187, 'split', 'quarter bottle', 'piccolo'],
  [250],
  [375, 'half bottle', 'half', 'demi'],
  [500, 'half-litre', 'half-liter'],
  [620, 'clavelin'],
  [750, 'bottle', 'standard bottle'],
  [1000, 'litre bottle', 'liter bottle'],
  [1500, 'magnum'],
  [2250, 'marie-jeanne'],
  [3000, 'double magnum'],
  [4500, 'rehoboam'],
  [6000, 'imperial', 'methuselah'],
  [9000, 'salmanazar'],
  [12_000, 'balthazar'],
  [15_000, 'nebuchadnezzar'],
];

/** Every size known, named or standard, from the smallest. */
export const BOTTLE_FORMATS: readonly BottleFormat[] = [
  ...new Set([...US_STANDARD, ...NAMED.map(([millilitres]) => millilitres)]),
]
  .sort((a, b) => a - b)
  .map((millilitres) => {
    const [, name, ...others] = NAMED.find(([size]) => size === millilitres) ?? [];
    return {
      millilitres,
      ...(name === undefined ? {} : { name }),
      names: others,
      usStandard: isUsStandardFill(millilitres),
    };
  });

/** The bottle size a trade name means (`magnum`, `half-bottles`), without regard to case, hyphens or a plural s. */
export function findBottleFormat(name: string): BottleFormat | undefined {
  const wanted = plainName(name);
  return BOTTLE_FORMATS.find(
    (format) =>
      (format.name !== undefined && plainName(format.name) === wanted) ||
      format.names.some((other) => plainName(other) === wanted),
  );
}

function plainName(name: string): string {
  return name
    .toLowerCase()
    .replace(/[\s\-_]+/gu, ' ')
    .trim()
    .replace(/(?<=[a-z]{3})s$/u, '');
}

/** Litres × 0.26417 = wine gallons, the factor 27 CFR 24.300(a) prescribes; the exact one is 0.264172052… */
export const PRESCRIBED_GALLONS_PER_LITRE: { readonly num: bigint; readonly den: bigint } = {
  num: 26_417n,
  den: 100_000n,
};

/** A volume in wine gallons by the prescribed factor, without groups: for reports that state they use it. */
export function prescribedGallons(volume: Microlitres, places: number): string {
  const { num, den } = PRESCRIBED_GALLONS_PER_LITRE;
  return formatScaled(volume, num, den * 1_000_000n, places);
}

export interface CaseGallons {
  readonly bottles: number;
  readonly millilitres: number;
  /** Wine gallons in hundred-thousandths, as printed. */
  readonly gallonsE5: number;
}

/** Wine gallons a case as 27 CFR 24.300(a) prints them for records kept in litres. */
export const PRESCRIBED_CASES: readonly CaseGallons[] = [
  { bottles: 4, millilitres: 3000, gallonsE5: 317_004 },
  { bottles: 6, millilitres: 1500, gallonsE5: 237_753 },
  { bottles: 12, millilitres: 1000, gallonsE5: 317_004 },
  { bottles: 12, millilitres: 750, gallonsE5: 237_753 },
  { bottles: 24, millilitres: 375, gallonsE5: 237_753 },
  { bottles: 48, millilitres: 187, gallonsE5: 237_119 },
  { bottles: 60, millilitres: 100, gallonsE5: 158_502 },
  { bottles: 120, millilitres: 50, gallonsE5: 158_502 },
];

/** The prescribed wine gallons of a case in hundred-thousandths, or `undefined` for a case the rule does not list. */
export function prescribedCaseGallonsE5(bottles: number, millilitres: number): number | undefined {
  return PRESCRIBED_CASES.find((row) => row.bottles === bottles && row.millilitres === millilitres)?.gallonsE5;
}

/** The volume of so many full bottles, as their labels state it. */
export function volumeOfBottles(bottles: number, millilitres: number): Microlitres {
  return bottles * millilitres * 1000;
}

/**
 * The fill tolerance of one bottle, in thousandths of its stated volume: 27 CFR 24.255(b). `undefined` for sizes the rule
 * gives no figure for, the sizes added since 2015 below one litre among them.
 */
export function fillTolerancePerMille(millilitres: number): number | undefined {
  if (millilitres >= 15_000) return 10;
  if (millilitres >= 1000) return 15;
  return SMALL_TOLERANCES.get(millilitres);
}

const SMALL_TOLERANCES: ReadonlyMap<number, number> = new Map([
  [750, 20],
  [375, 30],
  [187, 45],
  [100, 45],
  [50, 90],
]);
