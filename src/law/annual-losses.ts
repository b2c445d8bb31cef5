/** What a cellar lost in a year against what a law lets it lose before a claim is needed. */
import type { Microlitres } from '../journal/events.ts';
import { mulDivFloor } from '../trade/decimal.ts';
import { formatVolume, type VolumeUnit } from '../trade/volume.ts';
import type { LineKey, LossAllowance, LossRules } from './volume-rules.ts';

/** A year of one class of wine in vessels. */
export interface YearOfClass {
  /** What was there at the start, what the record found when it began, and what was received, as this class. */
  readonly stored: Microlitres;
  /** Wine made of must in the year. */
  readonly produced: Microlitres;
  /** Lost of wine that was there or was received. */
  readonly lostStored: Microlitres;
  /** Lost of wine that was produced in the same year. */
  readonly lostProduced: Microlitres;
}

export interface Used {
  readonly allowance: LossAllowance;
  /** What it is a share of. */
  readonly base: Microlitres;
  /** The most that may be lost. */
  readonly allowed: Microlitres;
  readonly lost: Microlitres;
  readonly passed: boolean;
}

const PPM = 1_000_000;

export const countsAsLoss = ({ counted }: LossRules, key: LineKey): boolean =>
  (counted as readonly LineKey[]).includes(key);

/**
 * How much of each allowance is used. The text speaks of losses in production or storage: what is lost of wine of the
 * year is held against what was produced, the rest against what was stored; a loss out of a vessel that holds both is
 * split in proportion to them, to the microlitre. Exactly as much as is allowed is not above it.
 */
export function usedOf({ allowances }: LossRules, year: YearOfClass): Used[] {
  return allowances.map((allowance) => {
    const [base, lost] =
      allowance.of === 'stored' ? [year.stored, year.lostStored] : [year.produced, year.lostProduced];
    const allowed = mulDivFloor(base, allowance.share, PPM);
    return { allowance, base, allowed, lost, passed: lost > allowed };
  });
}

/** The decimal places, one at least, with which what was lost and what is allowed read as the different volumes they are. */
export function tellingPlaces({ lost, allowed }: Used, unit: VolumeUnit): number {
  const MOST = 9;
  const text = (volume: Microlitres, places: number): string => formatVolume(volume, unit, places);
  for (let places = 1; places < MOST && lost !== allowed; places++) {
    const differ = text(lost, places) !== text(allowed, places);
    if (differ && text(Math.abs(lost - allowed), places) !== text(0, places)) return places;
  }
  return lost === allowed ? 1 : MOST;
}
