/**
 * Figures rounded so that parts and sums agree: each is the difference of two rounded running sums. So what is told of
 * January and of February is what is told of both together, whatever is summed, and errors never pile up.
 */
import { formatScaled, mulDivFloor } from './decimal.ts';
import type { Microlitres } from './volume.ts';

/** A unit volumes are told in: microlitres × num / den, in lowest terms, to so many decimal places. */
export interface ToldUnit {
  readonly num: number;
  readonly den: number;
  readonly places: number;
}

/** A unit in lowest terms. */
export function toldUnit(num: bigint, den: bigint, places: number): ToldUnit {
  let [a, b] = [num, den];
  while (b > 0n) [a, b] = [b, a % b];
  return { num: Number(num / a), den: Number(den / a), places };
}

/** A volume of at least 0 in whole last places of the unit, rounded half up: only so does a whole step stay a whole step. */
export function rounded(volume: Microlitres, { num, den, places }: ToldUnit): number {
  // half up is half of what twice as much comes to, one more and rounded down
  return Math.floor((mulDivFloor(volume, 2 * num * 10 ** places, den) + 1) / 2);
}

/** Whole last places as text: `1 234.50`, with groups from five digits on where wanted. */
export const toldText = (units: number, { places }: ToldUnit, grouped: boolean): string =>
  formatScaled(units, 1n, 10n ** BigInt(places), places, { grouped });
