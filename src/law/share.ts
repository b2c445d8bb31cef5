/** Shares of a wine against the least a rule asks for, in whole numbers of any size: no share is rounded before it is compared. */
import type { Microlitres } from '../journal/events.ts';

const MILLION = 1_000_000n;

/**
 * How far a share may be short because the book cuts volumes to whole microlitres: a unit or two a movement. What is
 * short by no more, in microlitres, is taken as reached; where all of a wine is asked for nothing is let pass.
 */
export const BOOK_CUT: Microlitres = 20;

export interface Share {
  readonly part: Microlitres;
  readonly whole: Microlitres;
  /** Least share asked for, in parts per million. */
  readonly least: number;
}

const cutOf = ({ least }: Share): bigint => (least >= 1_000_000 ? 0n : BigInt(BOOK_CUT));

export function isReached(share: Share): boolean {
  return (BigInt(share.part) + cutOf(share)) * MILLION >= BigInt(share.least) * BigInt(share.whole);
}

/** Tenths of a per cent, rounded down; what the book's own cuts left a hair short of a rule is shown as what it reached. */
function tenths(part: Microlitres, whole: Microlitres): bigint {
  return whole <= 0 ? 0n : (BigInt(part) * 1000n) / BigInt(whole);
}

const sayTenths = (count: bigint): string =>
  count % 10n === 0n ? String(count / 10n) : `${String(count / 10n)}.${String(count % 10n)}`;

/** `85.4 %`, rounded down; a trace is `<0.1 %`. */
export function sayShare(part: Microlitres, whole: Microlitres, least?: number): string {
  const count = tenths(part, whole);
  if (
    least !== undefined &&
    isReached({ part, whole, least }) &&
    BigInt(part) * MILLION < BigInt(least) * BigInt(whole)
  )
    return `${String(least / 10_000)} %`;
  return count === 0n && part > 0 ? '<0.1 %' : `${sayTenths(count)} %`;
}

/** Points of a per cent by which a share is above the least (rounded down) or below it (rounded up): `0.4 points`. */
export function sayPoints(share: Share): string {
  const { part, whole, least } = share;
  const off = BigInt(part) * MILLION - BigInt(least) * BigInt(whole);
  const per = BigInt(whole) * MILLION;
  if (off < 0n && isReached(share)) return 'nothing';
  if (off === 0n) return 'nothing';
  const count = off > 0n ? (off * 1000n) / per : (-off * 1000n + per - 1n) / per;
  if (count === 0n) return 'less than 0.1 points';
  return count === 10n ? '1 point' : `${sayTenths(count)} points`;
}

/** The most of another wine that may be poured in so that the share is still reached. */
export function roomFor({ part, whole, least }: Share): Microlitres {
  if (least === 0) return Number.MAX_SAFE_INTEGER;
  const room = (BigInt(part) * MILLION) / BigInt(least) - BigInt(whole);
  return room > 0n ? Number(room) : 0;
}

/** The least of the named wine that has to be poured in to reach the share; undefined where none can. */
export function lackOf({ part, whole, least }: Share): Microlitres | undefined {
  const others = MILLION - BigInt(least);
  if (others <= 0n) return undefined;
  const lack = BigInt(least) * BigInt(whole) - BigInt(part) * MILLION;
  return lack <= 0n ? 0 : Number((lack + others - 1n) / others);
}

/** Whether a share is within so much (parts per million) of the share that is shown. */
export function isWithin(part: Microlitres, whole: Microlitres, shown: number, off: number): boolean {
  const difference = BigInt(part) * MILLION - BigInt(shown) * BigInt(whole);
  const size = difference < 0n ? -difference : difference;
  return size <= BigInt(off) * BigInt(whole) + BigInt(BOOK_CUT) * MILLION;
}
