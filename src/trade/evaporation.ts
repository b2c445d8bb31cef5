/** What barrels lose through the wood, told from what it took to top them. */
import { firstRefusal, outside, type Worked } from './worked.ts';

const DAYS_IN_YEAR = 365.25;
const DAYS_IN_MONTH = DAYS_IN_YEAR / 12;

/**
 * The loss of wine in barrels that is reported, % of their volume a year: 1 in a damp cellar, 9 in a dry warm one, 4 to 5 the
 * usual figure (a wine trader's glossary); 5 to 6 (a growers' magazine, 2021).
 */
export const REPORTED_PERCENT_A_YEAR: readonly [low: number, high: number] = [1, 9];

const MOST_LITRES = 1e7;
const MOST_BARRELS = 100_000;

/** What was topped, over how long, into how much wood. */
export interface Topping {
  /** Litres topped in all. */
  readonly litres: number;
  /** Days from full to full: since the topping before the first one counted. */
  readonly days: number;
  readonly barrels: number;
  /** What one barrel holds. */
  readonly barrelLitres: number;
}

function wrongTopping({ litres, days, barrels, barrelLitres }: Topping) {
  return firstRefusal(
    outside(litres, 0, MOST_LITRES, 'a volume topped', 'L'),
    outside(days, 1, 3660, 'a time', 'days'),
    outside(barrels, 1, MOST_BARRELS, 'a number of barrels', ''),
    outside(barrelLitres, 1, 20_000, 'what a barrel holds', 'L'),
  );
}

/** Litres one barrel loses in a month of 30.44 days. 1 day to 10 years; short times tell little. Arithmetic. */
export function litresPerBarrelMonth(topping: Topping): Worked {
  const { litres, days, barrels } = topping;
  return wrongTopping(topping) ?? (litres / barrels / days) * DAYS_IN_MONTH;
}

/** The loss in % of what the barrels hold, in a year. As above. */
export function percentPerYear(topping: Topping): Worked {
  const { litres, days, barrels, barrelLitres } = topping;
  return wrongTopping(topping) ?? ((100 * litres) / (barrels * barrelLitres)) * (DAYS_IN_YEAR / days);
}

/** Litres all the barrels together will want after so many further days, at the same rate. */
export function nextTopping(topping: Topping, furtherDays: number): Worked {
  return (
    wrongTopping(topping) ??
    outside(furtherDays, 1, 366, 'the time until the next topping', 'days') ??
    (topping.litres / topping.days) * furtherDays
  );
}
