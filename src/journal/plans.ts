/** Plans of work as the journal gives them: what wine they cover, what is due, what to keep and what to warn of. Types only. */
import type { MaterialKind, VerbWord, VesselKind } from '../../grammar/words.ts';
import type { DayNumber, Dose, LotId, MaterialId, Minute, Place, VesselId } from './events.ts';

/** What wine is to a plan: must lies on its skins, juice has none and is not yet wine, wine has fermented and has none. */
export type WineKind = 'must' | 'juice' | 'wine';
export const WINE_KINDS: readonly WineKind[] = ['must', 'juice', 'wine'];

/** What a condition can ask of the stage: a kind of wine, or that it ferments. */
export type StageWord = WineKind | 'fermenting';
export const STAGE_WORDS: readonly StageWord[] = [...WINE_KINDS, 'fermenting'];

/** What a plan covers by itself. A list that is empty asks nothing; where all are, only what is put under it is covered. */
export interface Cover {
  readonly kinds: readonly WineKind[];
  readonly lots: readonly LotId[];
  readonly vessels: readonly VesselId[];
  readonly vesselKinds: readonly VesselKind[];
}

/** Figures in the analyte's own unit. `strict`: the bounds themselves are outside. */
export interface Bounds {
  readonly low?: number;
  readonly high?: number;
  readonly strict: boolean;
}

export type Test =
  | { readonly kind: 'reading'; readonly analyte: string; readonly bounds: Bounds }
  /** So much of the sugar is gone, counted from the highest reading. */
  | { readonly kind: 'gone'; readonly share: number }
  | { readonly kind: 'stage'; readonly stage: StageWord };

/** `while` looks each time, `when` begins for good once met, `until` ends for good once met. */
export type Condition =
  | { readonly word: 'while' | 'when' | 'until'; readonly test: Test }
  /** From so long after the wine came under the plan. */
  | { readonly word: 'after'; readonly minutes: number }
  /** From the day after it, or up to it, it included. */
  | { readonly word: 'after' | 'until'; readonly day: DayNumber };

export type Work =
  | { readonly kind: 'verb'; readonly verb: VerbWord }
  | {
      readonly kind: 'material';
      readonly verb: VerbWord;
      readonly material: MaterialId;
      /** How much of it, where the line says so. */
      readonly dose?: Dose;
    }
  | { readonly kind: 'material kind'; readonly verb: VerbWord; readonly of: MaterialKind }
  | { readonly kind: 'reading'; readonly analytes: readonly string[] };

export type Period = 'day' | 'week' | 'month';
export const PERIODS: readonly Period[] = ['day', 'week', 'month'];

export type Rhythm =
  | { readonly kind: 'once' }
  | { readonly kind: 'count'; readonly count: number; readonly period: Period }
  | { readonly kind: 'every'; readonly minutes: number };

interface PlanRowBase {
  readonly place: Place;
  /** As written, in one blank's width: `due top every 21 days`. */
  readonly said: string;
  readonly conditions: readonly Condition[];
  /** Whose work it is, where the line says so. */
  readonly by: readonly string[];
  /** The line answers for itself: nothing is found by it. */
  readonly sic: boolean;
}

export interface DueRow extends PlanRowBase {
  readonly kind: 'due';
  readonly work: Work;
  /** The work in words: `top`, `add nutri-a 20 g/hL`, `reading brix, temp`. */
  readonly what: string;
  readonly rhythm: Rhythm;
  /** The rhythm in words: `every 21 days`. */
  readonly howOften: string;
}

export interface KeepRow extends PlanRowBase {
  readonly kind: 'keep';
  readonly analyte: string;
  readonly bounds: Bounds;
}

export interface WarnRow extends PlanRowBase {
  readonly kind: 'warn';
  readonly analyte: string;
  /** The figure itself, or how much it falls or rises in `per` minutes. */
  readonly of: 'figure' | 'falling' | 'rising';
  readonly per: number;
  readonly bounds: Bounds;
}

export type PlanRow = DueRow | KeepRow | WarnRow;

export interface PlanFacts {
  readonly id: number;
  readonly name: string;
  readonly place: Place;
  readonly since: Minute;
  readonly cover: Cover;
  readonly rows: readonly PlanRow[];
  /** A line of it could not be read: what it asks is not known well enough for findings. */
  readonly doubtful: boolean;
}
