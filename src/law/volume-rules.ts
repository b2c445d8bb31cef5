/** What a law asks of the volumes of a cellar, as data: classes of wine, gallons, periods, and what may be lost. Types only. */
import type { REMOVALS } from '../../grammar/words.ts';
import type { LossKind } from '../cellar/book.ts';
import type { Rule } from './rules.ts';

/** A class of wine that is kept apart. */
export interface WineClass {
  /** Letters, figures and hyphens. Never used for something else later. */
  readonly id: string;
  readonly title: string;
  /** The most alcohol, in parts per million of the volume, that is still in it; undefined: there is no most. */
  readonly upTo?: number;
  readonly effervescent: boolean;
  readonly rule?: Rule;
}

/** Above so much dissolved carbon dioxide, in mg/L, wine is effervescent. */
export interface GasRule {
  readonly above: number;
  readonly rule: Rule;
}

/** Wine gallons a litre, as a text prescribes them; undefined in a rule set: the exact figure. */
export interface GallonFactor {
  readonly num: bigint;
  readonly den: bigint;
  /** `0.26417`. */
  readonly text: string;
  readonly rule?: Rule;
}

/** What a share of something may be lost in a year before a claim is needed. */
export interface LossAllowance {
  /** `stored`: what was there at the start and was received; `produced`: wine made by fermentation. */
  readonly of: 'stored' | 'produced';
  /** Parts per million. */
  readonly share: number;
  readonly rule: Rule;
}

export interface LossRules {
  /** What counts; `short` is what dips and counts missed. */
  readonly counted: readonly LossKey[];
  readonly allowances: readonly LossAllowance[];
  /** Bottles that are missing and nobody knows why. */
  readonly shortage: Rule | undefined;
}

/** How long a time may be told of at once. */
export interface PeriodRule {
  readonly of: 'month' | 'quarter' | 'year';
  /** The most, in wine gallons, that may have to be accounted for in any `within`; undefined: no most. */
  readonly most?: { readonly gallons: number; readonly within: 'month' | 'quarter' };
  readonly rule: Rule;
}

export type LossKey = LossKind | 'short';

/** What a line of an account tells of. */
export type LineKey =
  | 'made'
  | 'found'
  | 'bought'
  | 'produced'
  | 'juice'
  | 'liquid'
  | 'blended'
  | 'effervescent'
  | 'corrected'
  | 'gain'
  | 'settled'
  | 'refermented'
  | 'bottled'
  | 'sample'
  | `for ${(typeof REMOVALS)[number]}`
  | LossKey;

/** A line as the lists of what a law asks for have it: the account, which way, and the line. */
export type AskedKey = `${AccountKind} ${'in' | 'out'} ${LineKey}` | `${AccountKind} ${'start' | 'end'}`;

/** Must and juice, wine in vessels, wine in bottles. */
export type AccountKind = 'must' | 'bulk' | 'bottled';

export interface VolumeRules {
  /** Still wine by its alcohol, the weakest first; the last has no most. */
  readonly classes: readonly [WineClass, ...WineClass[]];
  /** Effervescent wine that is said to be sparkling, and such as nobody says it of. */
  readonly sparkling: WineClass;
  readonly carbonated: WineClass;
  readonly gas: GasRule | undefined;
  readonly gallons: GallonFactor | undefined;
  readonly produced: Rule | undefined;
  readonly blended: Rule | undefined;
  readonly losses: LossRules | undefined;
  readonly periods: readonly PeriodRule[];
  /** What the lines of an account are to what is asked for there: in whose list, and under what. */
  readonly asked:
    | {
        readonly list: string;
        /** How the list was known to whoever wrote it down here. */
        readonly known: string;
        readonly lines: Readonly<Partial<Record<AskedKey, string>>>;
      }
    | undefined;
  /** Every rule named here. */
  readonly rules: readonly Rule[];
}
