/** What a rule of a law is, as data: its figure, where it stands, of which date the text is, and how it was read. */
import type { RegionKind } from '../../grammar/words.ts';
import type { VolumeRules } from './volume-rules.ts';

/** How the text was known to whoever wrote the rule down here. */
export type Read = 'read' | 'read in an older edition' | 'read in a notice or copy of it' | 'from memory';

export interface Rule {
  /** Never used for something else later. */
  readonly id: string;
  readonly title: string;
  readonly section: string;
  /** The figure in words: `at least 85 %`. */
  readonly figure: string;
  /** The least share of the wine, in parts per million, where the rule is one of shares. */
  readonly least?: number;
  /** The date or edition of the text the figure is from. */
  readonly dated: string;
  readonly read: Read;
  /** What the comparison leaves out. */
  readonly leaves?: string;
}

export type ShareRule = Rule & { readonly least: number };

/** What a region of some kind on a label asks for. */
export interface RegionRules {
  readonly kind: RegionKind;
  /** `a viticultural area`. */
  readonly say: string;
  /** One region of the kind; several of them. */
  readonly one: ShareRule;
  readonly several: ShareRule | undefined;
  /** The share of a year, with a region of this kind on the label. */
  readonly vintage: ShareRule;
}

/** Alcohol in parts per million of the volume: 13.5 % is 135 000. */
export interface AlcoholRules {
  /** How far the label may be off, by what the wine has: the first row whose `upTo` is not below it. */
  readonly tolerances: readonly { readonly upTo: number; readonly off: number; readonly rule: Rule }[];
  /** Label and wine have to lie on one side of each; what has exactly so much is below. */
  readonly boundaries: readonly { readonly at: number; readonly rule: Rule }[];
  /** The label is a multiple of this. */
  readonly step: { readonly of: number; readonly rule: Rule } | undefined;
}

export interface ClaimRules {
  readonly variety: {
    readonly one: ShareRule;
    readonly several: ShareRule;
    /** How far a share shown may be off, in parts per million; undefined where no share has to be shown. */
    readonly shown: number | undefined;
    /** The grapes that count are those that come from the regions of the label too. */
    readonly fromRegion: boolean;
    /** They stand in the order of their shares. */
    readonly ordered: boolean;
    readonly needsRegion: Rule | undefined;
  };
  readonly vintageNeedsRegion: Rule | undefined;
  /** The year where no region stands on the label. */
  readonly vintage: ShareRule;
  /** The first is what a region is taken for where its line does not say. */
  readonly regions: readonly [RegionRules, ...RegionRules[]];
  readonly regionShown: number | undefined;
  readonly block: ShareRule | undefined;
  readonly estate: ShareRule | undefined;
  readonly alcohol: AlcoholRules;
  /** Declared from so many mg/L on; `above`: only from more. */
  readonly sulfites: { readonly from: number; readonly above: boolean; readonly rule: Rule };
  /** `all`: whoever declares one declares all. */
  readonly allergens: { readonly list: readonly string[]; readonly all: boolean; readonly rule: Rule };
  readonly totalSulfurDioxide: (
    colour: 'red' | 'white' | 'rosé',
    sugarGramsPerLitre: number,
  ) => { readonly milligramsPerLitre: number; readonly rule: Rule };
  readonly volatileAcidity: (colour: 'red' | 'white' | 'rosé') => {
    readonly gramsPerLitre: number;
    readonly rule: Rule;
  };
}

/** By when work has to stand in the record: at the end of so many business days after its day. */
export interface PostingRules {
  readonly receipts: number;
  readonly removals: number;
  readonly other: number;
  readonly rule: Rule;
}

/** What the record is compared with while wine is made. */
export interface MakingRules {
  /** The least sugar that water to ease a ferment may leave a juice of so much, both in °Brix. */
  readonly watered: { readonly leastBrix: (brix: number) => number; readonly rule: Rule };
  /** Juice with too much acid may have more water and sugar, in litres. */
  readonly ameliorated: {
    readonly mostLitres: (litres: number, fixedAcidGramsPerLitre: number) => number;
    readonly rule: Rule;
  };
  /** Water that comes with all materials together, in per cent of the volume. */
  readonly waterWithMaterials: { readonly mostPercent: number; readonly rule: Rule };
  /** Sugar brings a juice to no more than so many °Brix. */
  readonly sugared: { readonly mostBrix: number; readonly rule: Rule };
  /** Fixed acid is read before acid is added or taken away, and after it. */
  readonly acidRead: Rule;
}

export interface RuleSet {
  readonly law: 'us' | 'eu' | 'none';
  readonly name: string;
  /** Changes whenever a figure does. */
  readonly version: string;
  readonly claims: ClaimRules | undefined;
  readonly volumes: VolumeRules;
  readonly posting: PostingRules | undefined;
  readonly making: MakingRules | undefined;
  /** What a claim is to have behind it in the record. */
  readonly trail: Rule | undefined;
  /** Every rule of the set, those a claim is compared with among them. */
  readonly rules: readonly Rule[];
  readonly caution: string;
}

/** `85 %` of 850 000. */
export const percentOf = (partsPerMillion: number): string => `${String(partsPerMillion / 10_000)} %`;

export const atLeast = (rule: Omit<ShareRule, 'figure'>): ShareRule => ({
  ...rule,
  figure: rule.least === 1_000_000 ? 'all of it' : `at least ${percentOf(rule.least)}`,
});
