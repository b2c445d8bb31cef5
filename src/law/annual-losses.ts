/** What a cellar lost in a year against what a law lets it lose before a claim is needed. */
import type { Microlitres } from '../journal/events.ts';
import { mulDivFloor } from '../trade/decimal.ts';
import type { LineKey, LossAllowance, LossRules } from './volume-rules.ts';

/** A year of one class of wine in vessels. */
export interface YearOfClass {
  /** What was there at the start, what the record found when it began, and what was received. */
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
 * year is held against what was produced, the rest against what was stored. Exactly as much as is allowed is not above it.
 */
export function usedOf({ allowances }: LossRules, year: YearOfClass): Used[] {
  return allowances.map((allowance) => {
    const [base, lost] =
      allowance.of === 'stored' ? [year.stored, year.lostStored] : [year.produced, year.lostProduced];
    const allowed = mulDivFloor(base, allowance.share, PPM);
    return { allowance, base, allowed, lost, passed: lost > allowed };
  });
}
