/** The names a journal knows at a moment: vessels, lots, blocks, materials, hands, samples, and the settings that hold. */
import type { Colour, MaterialKind, Style, VesselKind } from '../../grammar/words.ts';
import type { ColumnMeaning } from './csv-columns.ts';
import type { LotId, MaterialId, Microlitres, Minute, OriginId, Place, Target, VesselId } from './events.ts';

export interface VesselFacts {
  readonly id: VesselId;
  name: string;
  readonly kind: VesselKind;
  readonly capacity: Microlitres;
  /** Further words as written: steel, french oak, the cooper, toast. */
  readonly details: readonly string[];
  readonly at?: string;
  readonly firstUsed?: number;
  /** Microlitres a metre of height. */
  readonly gauge?: number;
  readonly place: Place;
}

export interface LotFacts {
  readonly id: LotId;
  name: string;
  /** Names it had before. */
  readonly formerly: string[];
  readonly place: Place;
  readonly since: Minute;
  /** A bottling holds bottles, not wine in vessels. */
  readonly bottling: boolean;
  style?: Style;
}

/** One source of wine: the law asks for the share that is all of these at once. */
export interface Origin {
  readonly id: OriginId;
  readonly block?: string;
  readonly variety: string;
  readonly colour: Colour | undefined;
  readonly vintage: number | undefined;
  readonly region?: string;
  readonly grower?: string;
  readonly estate: boolean;
  /** Free run or press run, once drained or pressed. */
  readonly run?: 'free' | 'press';
}

export interface BlockFacts {
  readonly name: string;
  readonly variety: string;
  readonly colour: Colour | undefined;
  readonly region?: string;
  readonly grower?: string;
  readonly estate: boolean;
  /** Hectares, for yields. */
  readonly hectares?: number;
  readonly details: readonly string[];
  readonly place: Place;
}

/** How much of an analyte a material brings: parts per million of its mass, or nanograms a litre of its volume, or micrograms a piece. */
export interface Brings {
  readonly analyte: string;
  readonly per: 'mass' | 'volume' | 'piece';
  readonly amount: number;
}

export interface MaterialFacts {
  readonly id: MaterialId;
  readonly name: string;
  readonly kind: MaterialKind;
  /** The substance the tool knows, if it is one. */
  readonly substance?: string;
  readonly brings: readonly Brings[];
  readonly allergen?: string;
  readonly caution?: string;
  /** It is a liquid that adds its volume: water, a solution. */
  readonly liquid: boolean;
  readonly place?: Place;
}

export interface Sample {
  readonly name: string;
  readonly minute: Minute;
  readonly targets: readonly Target[];
  readonly place: Place;
}

/** Shares in parts per million within which the record may be off. */
export interface Tolerances {
  dip: number;
  volume: number;
  estimate: number;
  topping: number;
  capacity: number;
  pressing: number;
}

export interface Settings {
  name: string;
  region?: string;
  code?: string;
  volume: 'L' | 'hL' | 'gal';
  temperature: 'C' | 'F';
  mass: 'kg' | 'lb';
  law: 'us' | 'eu' | 'none';
  readonly methods: Map<string, string>;
  readonly tolerances: Tolerances;
  /** The order in which the cellar is walked: vessels, and places where vessels stand. */
  walk?: readonly (VesselId | string)[];
  /** What columns of tables from outside mean, by their headings, folded. */
  columns?: ReadonlyMap<string, ColumnMeaning>;
}
