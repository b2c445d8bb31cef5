/** Bench trials as the journal gives them: what each row tries, what the tasters said, which row was chosen. */
import { fold } from '../../grammar/words.ts';
import type { Addition, DayNumber, Place, Target } from './events.ts';

/** A wine of a blend that is tried, with its share. */
export interface TrialPart {
  readonly target: Target;
  /** As written. */
  readonly name: string;
  /** Parts per million of the blend. */
  readonly share: number;
}

export interface TrialRow {
  readonly name: string;
  /** Three digits that tell a taster nothing. */
  readonly code: string;
  /** What it tries, as written. */
  readonly said: string;
  /** Wines that are blended; empty where the wine of the trial is as it is. */
  readonly parts: readonly TrialPart[];
  /** What is added, at its rate. Nothing of both: the wine untreated. */
  readonly additions: readonly Addition[];
  /** It could not be read; it may still be tasted and chosen. */
  readonly unread: boolean;
  readonly remark?: string;
  readonly place: Place;
}

/** What one taster made of it. Rows by their place in the trial. */
export interface Tasting {
  readonly hand: string;
  /** Best first; not all rows have to stand. Empty where scores were given. */
  readonly order: readonly number[];
  readonly scores: readonly { readonly row: number; readonly score: number }[];
  readonly remark?: string;
  readonly place: Place;
}

export interface TrialSaid {
  readonly name: string;
  readonly rows: readonly TrialRow[];
  readonly tastings: readonly Tasting[];
  /** A row by its place. */
  readonly chosen?: number;
}

/** Words for a row that leaves the wine as it is. */
export const UNTREATED: ReadonlySet<string> = new Set(['none', 'nothing', 'untreated', 'control', 'unfined']);

const LOWEST = 100;
const CODES = 900;

/** FNV-1a, 32 bits: spreads like names far apart (Fowler, Noll and Vo). */
function spread(text: string): number {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, 0x01000193) >>> 0;
  return hash;
}

/**
 * Three-digit codes of the rows of a trial, all different: they follow from the names and the day, so that a glass has the
 * same code on every sheet. Beyond nine hundred rows there are none left, and codes stand again.
 */
export function blindCodes(trial: string, day: DayNumber, rows: readonly string[]): string[] {
  const taken = new Set<number>();
  return rows.map((row) => {
    let code = spread(`${fold(trial)}/${day}/${fold(row)}`) % CODES;
    while (taken.has(code) && taken.size < CODES) code = (code + 1) % CODES;
    taken.add(code);
    return String(LOWEST + code);
  });
}

/**
 * The order a taster is served in, as places in the trial: each taster begins with another glass, and the two neighbours of a
 * glass change as well (a Williams square, in pairs where the number of glasses is odd). `taster` counts from 0.
 */
export function servingOrder(rows: number, taster: number): number[] {
  // 0, 1, n − 1, 2, n − 2 ... moved on by one a taster
  const zigzag = Array.from({ length: rows }, (_, i) => (i % 2 === 1 ? (i + 1) / 2 : (rows - i / 2) % rows));
  const moved = zigzag.map((one) => (one + taster) % rows);
  return rows % 2 === 1 && Math.floor(taster / rows) % 2 === 1 ? moved.toReversed() : moved;
}
