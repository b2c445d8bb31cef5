/** What is asked of a blend, in plain figures. Types only. */
import type { Origin } from '../journal/register.ts';

/** Bounds, both of them allowed; one may be missing. Equal ones ask for exactly that. */
export interface Bounds {
  readonly low?: number;
  readonly high?: number;
}

/** How much of a vessel may go in, in litres. */
export interface Limit extends Bounds {
  readonly vessels: readonly string[];
  readonly said: string;
}

/** A figure the blend is to keep, in the analyte's own unit. */
export interface Keep extends Bounds {
  readonly analyte: string;
  readonly said: string;
}

/** A share of the wine, 0 to 1: of vessels or lots by name, or of what all comes from a source at once. */
export interface ShareAsked extends Bounds {
  readonly of:
    | { readonly kind: 'vessels'; readonly vessels: readonly string[] }
    | { readonly kind: 'source'; readonly test: (origin: Origin) => boolean };
  /** `variety Syrah, vintage 2026`. */
  readonly name: string;
  readonly said: string;
}

/** What makes one recipe better than another that keeps to all bounds. */
export type Aim =
  /** Few vessels left part full, then few vessels opened. */
  | { readonly kind: 'fewest' }
  | { readonly kind: 'least' | 'most'; readonly vessels: readonly string[]; readonly name: string }
  /** As near as can be to shares by lot, each 0 to 1. */
  | { readonly kind: 'near'; readonly shares: ReadonlyMap<string, number>; readonly name: string };

export interface Asked {
  /** Litres that are to arrive; undefined: as much as can be made. */
  readonly make: number | undefined;
  /** Litres drawn beyond that, which stay behind or are lost. */
  readonly lees: number;
  readonly loss: number;
  /** Vessels by name, each once. */
  readonly from: readonly string[];
  readonly limits: readonly Limit[];
  /** Vessels that are taken whole or not at all. */
  readonly whole: readonly string[];
  readonly keeps: readonly Keep[];
  readonly shares: readonly ShareAsked[];
  readonly aim: Aim;
  /** Litres a cellar measures by. */
  readonly step: number;
}
