/** What happened: entries with names resolved, units exact and times absolute. Types only. */
import type { Declared, RegionKind, Style, VerbWord } from '../../grammar/words.ts';
import type { TrialSaid } from './trials.ts';

/** Minutes since 1970-01-01 00:00, in the cellar's own clock. */
export type Minute = number;
/** Days since 1970-01-01. */
export type DayNumber = number;
/** Whole microlitres. */
export type Microlitres = number;
/** Whole micrograms. */
export type Micrograms = number;
/** Indexes into the register's vessels, lots, materials, origins and samples. */
export type VesselId = number;
export type LotId = number;
export type MaterialId = number;
export type OriginId = number;

/** An event while it is built: objects that are spread are slow, and a journal has a great many events. */
export type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** The line an event or a finding comes from: an index into the journal's files and a line number from 1. */
export interface Place {
  readonly file: number;
  readonly line: number;
}

/** A volume as a line gives it. */
export interface VolumeSaid {
  readonly microlitres: Microlitres;
  readonly estimate: boolean;
  /** `each`: for every vessel of its range. */
  readonly each: boolean;
  /** `now`: what the vessel holds afterwards. */
  readonly now: boolean;
}

export type Target =
  | { readonly kind: 'vessel'; readonly vessel: VesselId }
  | { readonly kind: 'lot'; readonly lot: LotId }
  /** A block of vines, for notes and for readings of its fruit: an index into the register's blocks. */
  | { readonly kind: 'block'; readonly block: number };

/** One side of a movement: a target with the volume said for it; `rest` takes what is left, no volume means all or what comes. */
export interface Share {
  /** One target, or the members of a range. */
  readonly targets: readonly Target[];
  readonly volume?: VolumeSaid;
  readonly quant?: 'all' | 'rest';
}

export interface Measure {
  /** The key of the analyte, as `grammar/analytes.ts` has it. */
  readonly analyte: string;
  /** In the analyte's own unit, converted from the one written. */
  readonly value: number;
  readonly high?: number;
  /** `<` below and `>` above what the method sees, `~` estimated. */
  readonly mark: '' | '~' | '<' | '>';
  /** As written, unit included. */
  readonly said: string;
}

/** What is added to a litre, a kilogram or in all. */
export type Dose =
  | { readonly kind: 'mass'; readonly micrograms: Micrograms; readonly each: boolean }
  | { readonly kind: 'volume'; readonly microlitres: Microlitres; readonly each: boolean }
  /** A rate as written, exact; `of` is the analyte it counts, where it is a rate of what the material brings. */
  | { readonly kind: 'rate'; readonly text: string; readonly unit: string; readonly of?: string }
  | { readonly kind: 'count'; readonly count: number; readonly each: boolean }
  /** `?`, with the unit the answer is wanted in, where one stands behind it. */
  | { readonly kind: 'asked'; readonly text: string; readonly unit?: string };

export interface Addition {
  readonly material: MaterialId;
  readonly dose: Dose;
  /** As written. */
  readonly said: string;
  /** The figure in brackets, to compare with. */
  readonly check?: Dose;
}

/** What an addition is to bring the wine to: `for 0.6 mg/L molecular`. */
export interface Aim {
  /** The key of the analyte. */
  readonly analyte: string;
  /** In the analyte's own unit. */
  readonly value: number;
}

/** How much of a material: by weight, by volume, or by the piece. */
export interface StoreAmount {
  readonly unit: 'µg' | 'µL' | 'pieces';
  readonly amount: number;
}

/** A material as a line of the store gives it. */
export interface MaterialSaid {
  readonly material: MaterialId;
  /** As written; empty where no amount stands. */
  readonly said: string;
  readonly amount?: StoreAmount;
}

/** Bottles of one size. */
export interface Bottles {
  readonly count: number;
  readonly size: Microlitres;
}

/** Where wine comes from, and its share in parts per million. */
export interface OriginShare {
  readonly origin: OriginId;
  readonly share: number;
}

export interface EventBase {
  readonly verb: VerbWord;
  readonly minute: Minute;
  readonly until?: Minute;
  readonly place: Place;
  readonly hands: readonly string[];
  readonly remark?: string;
  /** Markdown, as written. */
  readonly note?: string;
  readonly sic: boolean;
  readonly written?: DayNumber;
  readonly using?: string;
  readonly purpose?: string;
}

export interface Receive extends EventBase {
  readonly kind: 'receive';
  readonly lot: LotId;
  readonly origin: OriginId;
  readonly net: Micrograms;
  readonly gross?: Micrograms;
  readonly tare?: Micrograms;
  readonly tag?: string;
  readonly bins?: number;
  readonly style?: Style;
}
export interface Sort extends EventBase {
  readonly kind: 'sort';
  readonly lot: LotId;
  readonly out: Micrograms;
}
export interface Crush extends EventBase {
  readonly kind: 'crush';
  readonly lot: LotId;
  /** Fruit used; absent: all that waits. */
  readonly fruit?: Micrograms;
  readonly parts: readonly Share[];
  readonly as?: LotId;
  readonly stems?: Micrograms;
  readonly details: string;
}
export interface Cut {
  readonly parts: readonly Share[];
  readonly as?: LotId;
  readonly pressure?: string;
  readonly place: Place;
}
export interface Press extends EventBase {
  readonly kind: 'press';
  readonly sources: readonly Share[];
  /** Fruit used where fruit is pressed; absent: all that waits. */
  readonly fruit?: Micrograms;
  readonly cuts: readonly Cut[];
  readonly pomace?: Micrograms;
  readonly lees?: Microlitres;
  readonly loss?: Microlitres;
  readonly leaving?: Microlitres;
}
export interface Move extends EventBase {
  readonly kind: 'move';
  readonly sources: readonly Share[];
  readonly parts: readonly Share[];
  readonly as?: LotId;
  /** A source without an amount is emptied. */
  readonly empties: boolean;
  readonly lees?: Microlitres;
  readonly loss?: Microlitres;
  readonly leaving?: Microlitres;
  readonly style?: Style;
}
export interface Top extends EventBase {
  readonly kind: 'top';
  readonly targets: readonly Share[];
  readonly sources: readonly Share[];
}
export interface Bottle extends EventBase {
  readonly kind: 'bottle';
  readonly sources: readonly Share[];
  readonly bottles: readonly Bottles[];
  readonly as: LotId;
  readonly lees?: Microlitres;
  readonly loss?: Microlitres;
  readonly leaving?: Microlitres;
  readonly closure?: string;
  readonly code?: string;
}
export interface Found extends EventBase {
  readonly kind: 'found';
  readonly parts: readonly Share[];
  readonly bottles: readonly Bottles[];
  readonly as: LotId;
  readonly origins: readonly OriginShare[];
}
export interface Bring extends EventBase {
  readonly kind: 'bring';
  readonly parts: readonly Share[];
  readonly as: LotId;
  readonly origins: readonly OriginShare[];
  readonly seller?: string;
  readonly style?: Style;
}
export interface Leave extends EventBase {
  /** Wine or bottles leave the book: dispatched, lost or drawn as a sample. */
  readonly kind: 'leave';
  readonly how: 'dispatch' | 'loss' | 'sample';
  readonly sources: readonly Share[];
  readonly bottles: readonly { readonly lot: LotId; readonly bottles: Bottles }[];
  /** What for, or the cause. */
  readonly why: string;
  readonly to?: string;
  /** The name a sample was given. */
  readonly sample?: string;
}
export interface Add extends EventBase {
  readonly kind: 'add';
  readonly targets: readonly Target[];
  readonly except: readonly Target[];
  readonly additions: readonly Addition[];
  readonly aim?: Aim;
  /** Water it was dissolved in. */
  readonly water?: Microlitres;
  readonly batch?: string;
}
export interface CapWork extends EventBase {
  readonly kind: 'cap';
  readonly targets: readonly Target[];
  readonly except: readonly Target[];
  readonly times: number;
  readonly minutes?: number;
  readonly moved?: Microlitres;
  readonly aerated: boolean;
}
export interface Work extends EventBase {
  readonly kind: 'work';
  readonly targets: readonly Target[];
  readonly except: readonly Target[];
  readonly details: string;
}
export interface Reading extends EventBase {
  readonly kind: 'reading';
  readonly targets: readonly Target[];
  readonly measures: readonly Measure[];
  /** The sample it was measured on; it counts from the day of sampling. */
  readonly sample?: string;
  readonly sampled?: Minute;
}
export interface Dip extends EventBase {
  readonly kind: 'dip';
  readonly dips: readonly { readonly vessel: VesselId; readonly volume: VolumeSaid; readonly said: string }[];
}
export interface Count extends EventBase {
  readonly kind: 'count';
  readonly bottles: readonly { readonly lot: LotId; readonly bottles: Bottles }[];
  readonly materials: readonly MaterialSaid[];
}
export interface Buy extends EventBase {
  /** Materials that come into the store. */
  readonly kind: 'buy';
  readonly materials: readonly MaterialSaid[];
  readonly supplier?: string;
  readonly batch?: string;
  /** The day they keep to. */
  readonly keeps?: DayNumber;
}
export interface Naming extends EventBase {
  readonly kind: 'naming';
  readonly how: 'rename' | 'retire' | 'set-apart';
  readonly targets: readonly Target[];
  readonly as?: LotId;
  readonly details: string;
}
/** What a label declares. Shares and alcohol are whole parts per million. */
export interface LabelSaid {
  readonly lot: LotId;
  readonly varieties: readonly { readonly name: string; readonly share?: number }[];
  readonly vintage?: number;
  readonly regions: readonly { readonly name: string; readonly kind?: RegionKind; readonly share?: number }[];
  readonly blocks: readonly string[];
  readonly estate: boolean;
  readonly alcohol?: number;
  readonly holds: readonly Declared[];
}
export interface Kept extends EventBase {
  /** Read and kept as written: trials, labels, plans, what has no bearing on volumes. */
  readonly kind: 'kept';
  readonly targets: readonly Target[];
  readonly details: string;
  readonly rows: readonly string[];
  /** For `clean` and `prepare`: what was taken from the store. */
  readonly used?: readonly MaterialSaid[];
  /** For `prepare`: the material that was made, and the batch of what went into it. */
  readonly prepared?: { readonly material: MaterialId; readonly batch?: string };
  /** For `put` and `take`: an index into the register's plans, and whether the targets come under it or from under it. */
  readonly planned?: { readonly plan: number; readonly under: boolean };
  /** For `label`: what it declares. */
  readonly label?: LabelSaid;
  /** For `trial`: what was tried, how it was tasted, what was chosen. */
  readonly trial?: TrialSaid;
  /** For `away`: who is, and the last day of it. */
  readonly away?: { readonly hands: readonly string[]; readonly until: DayNumber };
}
/** What a day's own note says. */
export interface DayNote extends EventBase {
  readonly kind: 'day';
}

export type Event =
  | Receive
  | Sort
  | Crush
  | Press
  | Move
  | Top
  | Bottle
  | Found
  | Bring
  | Leave
  | Add
  | CapWork
  | Work
  | Reading
  | Dip
  | Count
  | Buy
  | Naming
  | Kept
  | DayNote;
