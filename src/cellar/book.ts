/** The book: everything the fold of a journal leaves behind for checks, exports and pages. Types only. */

import type {
  Bottles,
  Event,
  LotId,
  MaterialId,
  Micrograms,
  Microlitres,
  Minute,
  OriginId,
  VesselId,
} from '../journal/events.ts';
import type { Finding } from '../journal/findings.ts';
import type { PlanFacts } from '../journal/plans.ts';
import type { BlockFacts, LotFacts, MaterialFacts, Origin, Settings, VesselFacts } from '../journal/register.ts';
import type { StruckLine } from '../journal/struck.ts';

export type LotStage = 'fruit' | 'must' | 'juice' | 'fermenting' | 'wine' | 'bottled' | 'gone';

export type LossKind =
  | 'lees'
  | 'pomace'
  | 'spill'
  | 'leak'
  | 'evaporation'
  | 'breakage'
  | 'spoilage'
  | 'cleaning'
  | 'theft'
  | 'handling'
  | 'other';

/**
 * The account of a lot, in microlitres. To the last unit:
 * made + bought + found + blendedIn + liquids + dipGains + settled =
 * blendedOut + setApart + bottled + dispatched + samples + lees + pomace + losses + evaporation + dipLosses + on hand.
 * `settled` may be negative; `blendedIn`/`blendedOut` hold all wine from and to other lots, drains and pressings included.
 */
export interface LotAccount {
  made: Microlitres;
  bought: Microlitres;
  found: Microlitres;
  blendedIn: Microlitres;
  liquids: Microlitres;
  dipGains: Microlitres;
  settled: Microlitres;
  blendedOut: Microlitres;
  setApart: Microlitres;
  bottled: Microlitres;
  dispatched: Microlitres;
  samples: Microlitres;
  lees: Microlitres;
  pomace: Microlitres;
  losses: Microlitres;
  evaporation: Microlitres;
  dipLosses: Microlitres;
}

/** Volume and what is in it. Parallel arrays; origin volumes sum to the volume. `origins[i] === ADDED_LIQUID` is water and solutions. */
export interface Content {
  volume: Microlitres;
  /** How far the volume may be off, because it follows from an estimate. 0: by measure. */
  slack: Microlitres;
  origins: OriginId[];
  volumes: Microlitres[];
  /** Materials carried, in micrograms (or thousandths of a piece, or nanolitres for liquids measured by volume). */
  materials: MaterialId[];
  amounts: number[];
}

/** A step in a vessel's or a lot's volume. */
export type Movement =
  | {
      readonly kind: 'in';
      readonly vessel: VesselId;
      readonly lot: LotId;
      readonly volume: Microlitres;
      readonly how: 'made' | 'bought' | 'found' | 'liquid' | 'dip' | 'settled';
    }
  | {
      readonly kind: 'out';
      readonly vessel: VesselId;
      readonly lot: LotId;
      readonly volume: Microlitres;
      readonly how: 'bottled' | 'dispatched' | 'sample' | 'dip' | 'settled' | LossKind;
    }
  | {
      readonly kind: 'across';
      readonly from: VesselId;
      readonly fromLot: LotId;
      readonly to: VesselId;
      readonly toLot: LotId;
      readonly volume: Microlitres;
    }
  /** The wine in a vessel takes another lot's name where it lies. */
  | {
      readonly kind: 'renamed';
      readonly vessel: VesselId;
      readonly fromLot: LotId;
      readonly toLot: LotId;
      readonly volume: Microlitres;
      readonly setApart: boolean;
    }
  /** Bottles that come or go; `filled` bottles are the `bottled` wine of another lot. */
  | {
      readonly kind: 'bottles';
      readonly direction: 'in' | 'out';
      readonly lot: LotId;
      readonly volume: Microlitres;
      readonly how: 'filled' | 'found' | 'dispatched' | 'sample' | 'dip' | LossKind;
    };

/** An addition as it was worked out for one vessel. */
export interface Added {
  readonly vessel: VesselId;
  readonly lot: LotId;
  readonly material: MaterialId;
  /** Micrograms, or undefined where it was given by volume or by the piece. */
  readonly micrograms?: Micrograms;
  readonly microlitres?: Microlitres;
  readonly pieces?: number;
  /** Into this volume. */
  readonly into: Microlitres;
  /** What it brings, in nanograms a litre of that volume. */
  readonly brings: readonly { readonly analyte: string; readonly nanogramsPerLitre: number }[];
}

/** What a vessel holds is something else than before: wine, or must and juice. */
export interface Became {
  readonly vessel: VesselId;
  readonly wine: boolean;
  /** Its volume follows from an estimate. */
  readonly estimated: boolean;
}

/** An event with what it did. */
export interface Happening {
  readonly index: number;
  readonly event: Event;
  /** What it says, as a plain sentence: `Racked T4 to FB-01..FB-03, K5, T6: 780 L, 20 L lees.` */
  readonly sentence: string;
  readonly vessels: readonly VesselId[];
  readonly lots: readonly LotId[];
  readonly movements: readonly Movement[];
  readonly added: readonly Added[];
  /** For a reading: the vessels and lots it tells of are `vessels`, `lots`; dips: measured minus computed by vessel. */
  readonly dipped: readonly {
    readonly vessel: VesselId;
    readonly lot: LotId;
    readonly computed: Microlitres;
    readonly measured: Microlitres;
  }[];
  /** Vessels that hold wine from here on where they held must or nothing, and the other way round; absent where none does. */
  readonly became?: readonly Became[];
  /** For a count of bottles: what was counted, and what the book had; absent for all else. */
  readonly counted?: readonly Recounted[];
}

/** Bottles of one size of a lot, as they were counted and as the book had them. */
export interface Recounted {
  readonly lot: LotId;
  readonly size: Microlitres;
  readonly computed: number;
  readonly counted: number;
}

/** A lot's volume after something changed it. */
export interface VolumeStep {
  readonly minute: Minute;
  readonly volume: Microlitres;
  readonly estimated: boolean;
  readonly happening: number;
}

export interface LotRecord {
  readonly facts: LotFacts;
  readonly stage: LotStage;
  readonly stages: readonly { readonly minute: Minute; readonly stage: LotStage; readonly happening: number }[];
  readonly colour: 'red' | 'white' | 'rosé' | undefined;
  readonly account: LotAccount;
  readonly losses: Readonly<Partial<Record<LossKind, Microlitres>>>;
  readonly onHand: Microlitres;
  readonly estimated: boolean;
  readonly vessels: readonly VesselId[];
  /** Bottles on hand, for a bottling. */
  readonly bottles: readonly Bottles[];
  readonly bottlesFilled: readonly Bottles[];
  readonly fruit: {
    readonly received: Micrograms;
    readonly sorted: Micrograms;
    readonly stems: Micrograms;
    readonly used: Micrograms;
    readonly waiting: Micrograms;
    readonly pomace: Micrograms;
  };
  /** By origin, of what is on hand now (or, where nothing is, of what it was last). Added liquids left out. */
  readonly composition: readonly { readonly origin: OriginId; readonly volume: Microlitres }[];
  /** By origin, of all that was filled, for a bottling: what left in bottles later changes nothing of it. */
  readonly filledOf?: readonly { readonly origin: OriginId; readonly volume: Microlitres }[];
  /** Direct additions summed by material, and what came in with wine from other lots. */
  readonly additions: readonly {
    readonly material: MaterialId;
    readonly direct: number;
    readonly carriedIn: number;
    readonly unit: 'µg' | 'µL' | 'pieces';
  }[];
  readonly parents: readonly { readonly lot: LotId; readonly volume: Microlitres }[];
  readonly children: readonly { readonly lot: LotId; readonly volume: Microlitres }[];
  readonly happenings: readonly number[];
  readonly steps: readonly VolumeStep[];
}

export interface VesselRecord {
  readonly facts: VesselFacts;
  readonly retired: boolean;
  readonly lot: LotId | undefined;
  readonly content: Content;
  readonly estimated: boolean;
  /** A line that could not be read may have touched it. */
  readonly doubtful: boolean;
  /** When the lot now in it came in. */
  readonly since: Minute | undefined;
  readonly fills: readonly { readonly lot: LotId; readonly from: Minute; readonly until: Minute | undefined }[];
  readonly happenings: readonly number[];
}

export interface JournalFile {
  /** Relative to the journal's folder, with `/`. */
  readonly path: string;
  readonly text: string;
}

export interface Book {
  readonly settings: Settings;
  readonly files: readonly JournalFile[];
  /** The day it tells of: the journal's last day, or the one asked for. */
  readonly on: number;
  readonly firstDay: number;
  readonly vessels: readonly VesselRecord[];
  readonly lots: readonly LotRecord[];
  readonly blocks: readonly BlockFacts[];
  readonly origins: readonly Origin[];
  readonly materials: readonly MaterialFacts[];
  readonly hands: readonly string[];
  readonly plans: readonly PlanFacts[];
  readonly happenings: readonly Happening[];
  /** Lines that are struck, in the order of their days: nothing came of them. */
  readonly struck: readonly StruckLine[];
  readonly findings: readonly Finding[];
}
