/** Copper added against sulfides: how much copper sulfate brings it, and what laws allow in the wine. */
import { broughtShare, findSubstance } from './substances.ts';
import { andThen, firstRefusal, outside, refuse, type Worked } from './worked.ts';

/** More than any law read allows to be added; a dose above it is a slip. */
export const MOST_COPPER_ADDED = 6;
const MOST_COPPER_READ = 20;

/** The share of copper in a salt's mass, from its formula. */
function copperShare(salt: string): Worked {
  const substance = findSubstance(salt);
  const brought = substance === undefined ? undefined : broughtShare(substance, 'Cu');
  return brought === undefined ? refuse(`${salt} is no copper salt of the table`) : brought.num / brought.den;
}

/**
 * The dose of a copper salt in mg/L that brings so many mg/L of copper: copper / share, with the share from the formula,
 * 0.25451 for CuSO4·5H2O and 0.39815 for CuSO4 (IUPAC abridged atomic weights, 2021). For 0 to 6 mg/L of copper.
 */
export function copperSaltFor(copperMilligramsPerLitre: number, salt = 'copper sulfate'): Worked {
  return (
    outside(copperMilligramsPerLitre, 0, MOST_COPPER_ADDED, 'copper to add', 'mg/L') ??
    andThen(copperShare(salt), (share) => copperMilligramsPerLitre / share)
  );
}

/** The most copper there can be afterwards, in mg/L: what was read and what is added, none of it fallen out. */
export function copperAtMost(presentMilligramsPerLitre: number, addedMilligramsPerLitre: number): Worked {
  return (
    firstRefusal(
      outside(presentMilligramsPerLitre, 0, MOST_COPPER_READ, 'copper in the wine', 'mg/L'),
      outside(addedMilligramsPerLitre, 0, MOST_COPPER_ADDED, 'copper to add', 'mg/L'),
    ) ?? presentMilligramsPerLitre + addedMilligramsPerLitre
  );
}

export interface CopperLimit {
  readonly place: string;
  /** Whether the figure is for what is added, or for what is left in the wine. */
  readonly of: 'added' | 'left';
  readonly milligramsPerLitre: number;
  readonly source: string;
}

/** Limits of copper, each as read in the text named; the text now in force and the local authority prevail. */
export const COPPER_LIMITS: readonly CopperLimit[] = [
  { place: 'US', of: 'added', milligramsPerLitre: 6, source: '27 CFR 24.246, copper sulfate (2015 edition)' },
  { place: 'US', of: 'left', milligramsPerLitre: 0.5, source: '27 CFR 24.246, copper sulfate (2015 edition)' },
  // 1 g/hL of the pentahydrate, by its share of copper.
  { place: 'OIV', of: 'added', milligramsPerLitre: 2.545, source: 'OIV code of practices, sheet II.3.5-8 (2015)' },
  { place: 'OIV', of: 'left', milligramsPerLitre: 1, source: 'OIV code of practices, sheet II.3.5-8 (2015)' },
  { place: 'Germany', of: 'left', milligramsPerLitre: 2, source: 'Weinverordnung 1995, Anlage 7' },
];
