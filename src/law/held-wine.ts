/**
 * What a vessel holds, as an account by classes knows it: alcohol and gas as exact sums over the volume they are known
 * of, so that wine poured together in another order is the same wine; and what of it is of the year, in microlitres.
 */
import type { LotId, Microlitres } from '../journal/events.ts';
import { mulDivFloor } from '../trade/decimal.ts';
import type { YearOfClass } from './annual-losses.ts';
import type { Account } from './wine-postings.ts';

/** A mean by volume: the sum of whole values times microlitres, over the microlitres it is known of. */
export interface Mean {
  readonly sum: bigint;
  readonly known: Microlitres;
}

/** What is known of what a vessel, or the bottles of a lot, hold. */
export interface Held {
  account: Account;
  lot: LotId;
  volume: Microlitres;
  /** Parts per million of the volume: as read, or as the must's sugar promises. */
  alcohol: Mean;
  read: boolean;
  /** The highest sugar seen, in degrees Brix, coarsely. */
  brix: number;
  /** Milligrams of carbon dioxide a litre, as last read. */
  gas: Mean;
  sparkling: boolean;
  /** The calendar year `made` and `shares` are of. */
  year: number | undefined;
  /** How much of the volume was made of must in that year. */
  made: Microlitres;
  /** What the shares of that year are of, and what was lost of it, as far as it lies here still. */
  shares: YearOfClass;
}

/** Wine on its way: all that is known of it. */
export interface Portion
  extends Readonly<Pick<Held, 'volume' | 'alcohol' | 'read' | 'brix' | 'gas' | 'sparkling' | 'made'>> {}

export const UNKNOWN: Mean = { sum: 0n, known: 0 };
export const NO_SHARES: YearOfClass = { stored: 0, produced: 0, lostStored: 0, lostProduced: 0 };

export const emptyHeld = (): Held => ({
  account: 'must',
  lot: -1,
  volume: 0,
  alcohol: UNKNOWN,
  read: false,
  brix: Number.NEGATIVE_INFINITY,
  gas: UNKNOWN,
  sparkling: false,
  year: undefined,
  made: 0,
  shares: NO_SHARES,
});

/** Wine of which nothing is known but how much it is. */
export const plainPortion = (volume: Microlitres): Portion => ({ ...emptyHeld(), volume });

/** The whole of a volume has one whole value. */
export const evenly = (value: number, volume: Microlitres): Mean => ({
  sum: BigInt(value) * BigInt(volume),
  known: volume,
});

/** To the thousandth of a unit, which is coarser than any error of parts drawn to whole microlitres. */
const over = (sum: bigint, volume: Microlitres): number =>
  Number((sum * 2000n + BigInt(volume)) / (2n * BigInt(volume))) / 1000;

/** Parts per million; of wines of which some are unknown, the mean of the others. */
export const strengthOf = ({ alcohol: { sum, known } }: Held): number | undefined =>
  known === 0 ? undefined : over(sum, known);

/** Milligrams a litre; wine whose gas nobody read is taken to have none. */
export const gasOf = ({ gas: { sum, known }, volume }: Held): number | undefined =>
  known === 0 || volume <= 0 ? undefined : over(sum, volume);

/** As much of a mean as a volume is of another; its value stays. */
function scaled(mean: Mean, volume: Microlitres, of: Microlitres): Mean {
  if (mean.known === 0 || volume === of) return mean;
  const known = mean.known === of ? volume : mulDivFloor(mean.known, volume, of);
  return known === 0 ? UNKNOWN : { sum: (mean.sum * BigInt(known)) / BigInt(mean.known), known };
}

const joined = (a: Mean, b: Mean): Mean =>
  a.known === 0 ? b : b.known === 0 ? a : { sum: a.sum + b.sum, known: a.known + b.known };

const without = (a: Mean, b: Mean): Mean =>
  b.known === 0 ? a : b.known === a.known ? UNKNOWN : { sum: a.sum - b.sum, known: a.known - b.known };

/** Draws a volume: of all parts in proportion, cut to whole microlitres; the rest stays. */
export function draw(held: Held, volume: Microlitres): Portion {
  const of = held.volume;
  if (of <= 0) return plainPortion(volume);
  const { read, brix, sparkling } = held;
  const part = Math.min(volume, of);
  const alcohol = scaled(held.alcohol, part, of);
  const gas = scaled(held.gas, part, of);
  const made = mulDivFloor(held.made, part, of);
  held.alcohol = without(held.alcohol, alcohol);
  held.gas = without(held.gas, gas);
  held.made -= made;
  held.volume = of - volume;
  return { volume, alcohol, read, brix, gas, sparkling, made };
}

/** Pours wine in. Alcohol by volume, contraction left aside. */
export function pour(held: Held, from: Portion, sparkling: boolean): void {
  if (held.volume <= 0) {
    held.alcohol = from.alcohol;
    held.read = from.read;
    held.brix = from.brix;
    held.gas = from.gas;
    held.sparkling = sparkling || from.sparkling;
    held.made = from.made;
  } else {
    if (from.alcohol.known > 0) held.read &&= from.read;
    held.alcohol = joined(held.alcohol, from.alcohol);
    held.gas = joined(held.gas, from.gas);
    held.brix = Math.max(held.brix, from.brix);
    held.sparkling ||= sparkling;
    held.made += from.made;
  }
  held.volume += from.volume;
}

/** What a dip found more, liquids and juice: the wine is of the year, and of the strength, that it was. */
export function swell(held: Held, volume: Microlitres): void {
  const of = held.volume;
  held.volume += volume;
  if (of <= 0) return;
  held.alcohol = scaled(held.alcohol, held.volume, of);
  held.gas = scaled(held.gas, held.volume, of);
  widen(held, of);
}

/** What was of the year of a volume, is in the same proportion of the whole now. */
export function widen(held: Held, of: Microlitres): void {
  if (of > 0) held.made = mulDivFloor(held.made, held.volume, of);
}

/** In a new year all wine is wine that was there at its start, and nothing of it is lost. */
export function inYear(held: Held, year: number): void {
  if (held.year === year) return;
  held.year = year;
  held.made = 0;
  held.shares = held.account === 'must' ? NO_SHARES : { ...NO_SHARES, stored: Math.max(held.volume, 0) };
}

export const isNothing = ({ stored, produced, lostStored, lostProduced }: YearOfClass): boolean =>
  stored === 0 && produced === 0 && lostStored === 0 && lostProduced === 0;

export const plusShares = (a: YearOfClass, b: YearOfClass): YearOfClass => ({
  stored: a.stored + b.stored,
  produced: a.produced + b.produced,
  lostStored: a.lostStored + b.lostStored,
  lostProduced: a.lostProduced + b.lostProduced,
});

export const minusShares = (a: YearOfClass, b: YearOfClass): YearOfClass => ({
  stored: a.stored - b.stored,
  produced: a.produced - b.produced,
  lostStored: a.lostStored - b.lostStored,
  lostProduced: a.lostProduced - b.lostProduced,
});

/** As much of shares as a volume is of another, cut to whole microlitres. */
export function partOfShares(shares: YearOfClass, volume: Microlitres, of: Microlitres): YearOfClass {
  if (of <= 0) return NO_SHARES;
  if (volume >= of) return shares;
  const part = (all: Microlitres): Microlitres => mulDivFloor(all, volume, of);
  return {
    stored: part(shares.stored),
    produced: part(shares.produced),
    lostStored: part(shares.lostStored),
    lostProduced: part(shares.lostProduced),
  };
}
