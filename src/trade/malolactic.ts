/** What malolactic conversion does to a wine's acids, and when it may be called finished. */
import { gramsPerEquivalent } from './acids.ts';
import { milligramsPerMole } from './substances.ts';
import { outside, type Worked } from './worked.ts';

const MALIC = milligramsPerMole('C4H6O5');
const LACTIC = milligramsPerMole('C3H6O3');
const CARBON_DIOXIDE = milligramsPerMole('CO2');

/** What becomes of converted malic acid, each in g/L. */
export interface MalolacticChange {
  readonly lactic: number;
  readonly carbonDioxide: number;
  /** By how much total acidity falls, as tartaric acid: one of malic acid's two protons goes. */
  readonly acidityDrop: number;
}

/**
 * What so many g/L of malic acid become: C4H6O5 → C3H6O3 + CO2.
 *
 * 0.6718 g lactic acid, 0.3282 g carbon dioxide and 0.5597 g/L less total acidity (as tartaric) a gram, from molar masses;
 * not rounded. The drop is that of the whole proton; a titration to pH 7 or 8.2 finds nearly all of it. Refused outside 0 to
 * 15 g/L.
 */
export function malolacticChange(malicConverted: number): Worked<MalolacticChange> {
  return (
    outside(malicConverted, 0, 15, 'malic acid', 'g/L') ?? {
      lactic: (malicConverted * LACTIC) / MALIC,
      carbonDioxide: (malicConverted * CARBON_DIOXIDE) / MALIC,
      acidityDrop: (malicConverted * 1000 * gramsPerEquivalent('tartaric')) / MALIC,
    }
  );
}

export type MalolacticStage = 'under way' | 'nearly finished' | 'finished';

/**
 * L-malic acid, in g/L, below which malolactic conversion may be called nearly finished and finished.
 *
 * A supplier's encyclopaedia of oenology, on checking malic acid: limits of 0.3 to 0.4 g/L in the rules of appellations,
 * below 0.2 g/L in practice. Below 0.1 g/L for wine bottled unfiltered is common practice, no source.
 */
export const MALOLACTIC_THRESHOLDS = { nearly: 0.3, finished: 0.2, unfiltered: 0.1 } as const;

/** How far a malic reading (g/L) says the conversion has come; refused outside 0 to 15 g/L. */
export function malolacticStage(malic: number): Worked<MalolacticStage> {
  const refused = outside(malic, 0, 15, 'malic acid', 'g/L');
  if (refused !== undefined) return refused;
  if (malic < MALOLACTIC_THRESHOLDS.finished) return 'finished';
  return malic < MALOLACTIC_THRESHOLDS.nearly ? 'nearly finished' : 'under way';
}
