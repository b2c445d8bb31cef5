/** Acidity in the terms of one acid or another, and how much acid raises it. */
import { milligramsPerMole } from './substances.ts';
import { firstRefusal, isRefused, outside, type Worked } from './worked.ts';

export type AcidName = 'tartaric' | 'sulfuric' | 'malic' | 'lactic' | 'citric' | 'acetic' | 'succinic';

/** What an acidity can be expressed as: grams of an acid in a litre, or milliequivalents in a litre. */
export type AcidityBasis = AcidName | 'meq';

/** Each acid's formula, and the protons a titration to pH 7 or 8.2 counts. */
const ACIDS: Readonly<Record<AcidName, { readonly formula: string; readonly equivalents: number }>> = {
  tartaric: { formula: 'C4H6O6', equivalents: 2 },
  sulfuric: { formula: 'H2SO4', equivalents: 2 },
  malic: { formula: 'C4H6O5', equivalents: 2 },
  lactic: { formula: 'C3H6O3', equivalents: 1 },
  citric: { formula: 'C6H8O7', equivalents: 3 },
  acetic: { formula: 'C2H4O2', equivalents: 1 },
  succinic: { formula: 'C4H6O4', equivalents: 2 },
};

/** Every basis, in the order lists show them. */
export const ACIDITY_BASES: readonly AcidityBasis[] = [
  'tartaric',
  'sulfuric',
  'malic',
  'lactic',
  'citric',
  'acetic',
  'succinic',
  'meq',
];

/** Grams of an acid in one mole of protons: its molar mass (IUPAC abridged weights, 2021) over its equivalents. */
export function gramsPerEquivalent(acid: AcidName): number {
  const { formula, equivalents } = ACIDS[acid];
  return milligramsPerMole(formula) / 1000 / equivalents;
}

/** Milliequivalents in a gram of an acid; one in a milliequivalent. */
function milliequivalents(basis: AcidityBasis): number {
  return basis === 'meq' ? 1 : 1000 / gramsPerEquivalent(basis);
}

/**
 * An acidity expressed in another basis: a total acidity as tartaric or sulfuric acid, a volatile one as acetic or
 * sulfuric, in g/L, or either in meq/L.
 *
 * By equivalents: value × (meq in a gram of the one) / (meq in a gram of the other), from molar masses. Not rounded.
 * Refused outside 0 to 1000 meq/L. It says nothing of the end point: the same wine titrated to pH 8.2 reads a few tenths of
 * a g/L above its titration to pH 7.0.
 */
export function convertAcidity(value: number, from: AcidityBasis, to: AcidityBasis): Worked {
  const equivalents = value * milliequivalents(from);
  return outside(equivalents, 0, 1000, 'an acidity', 'meq/L') ?? equivalents / milliequivalents(to);
}

/** The acids that are added to wine. */
export type AddedAcid = 'tartaric' | 'malic' | 'lactic' | 'citric';

export const ADDED_ACIDS: readonly AddedAcid[] = ['tartaric', 'malic', 'lactic', 'citric'];

/**
 * Grams of an acid that raise total acidity by so many g/L, as tartaric acid, in so many litres.
 *
 * rise × litres × (equivalent mass of the acid / 75.04) / purity, as long as nothing crystallises. Not rounded. Refused for a
 * rise outside 0 to 10 g/L, litres outside 0 to ten million and a purity outside 10 to 100 % (by mass).
 */
export function acidForRise(acid: AddedAcid, rise: number, litres: number, purityPercent: number): Worked {
  const refused = firstRefusal(
    outside(rise, 0, 10, 'a rise of total acidity', 'g/L'),
    outside(litres, 0, 10_000_000, 'a volume', 'L'),
    outside(purityPercent, 10, 100, 'a purity', '%'),
  );
  if (refused !== undefined) return refused;
  const gramsPerLitre = convertAcidity(rise, 'tartaric', acid);
  return isRefused(gramsPerLitre) ? gramsPerLitre : (gramsPerLitre * litres * 100) / purityPercent;
}

/**
 * By how many g/L, as tartaric acid, total acidity falls for each g/L of potassium bitartrate that crystallises: the salt
 * takes one of tartaric acid's two protons with it. 0.399, from molar masses.
 */
export const TARTARIC_PER_GRAM_OF_BITARTRATE = gramsPerEquivalent('tartaric') / (milligramsPerMole('KC4H5O6') / 1000);
