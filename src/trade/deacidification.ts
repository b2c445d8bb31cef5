/** How much carbonate lowers total acidity by so much: by neutralisation alone, and where all its potassium crystallises. */
import { gramsPerEquivalent } from './acids.ts';
import { milligramsPerMole } from './substances.ts';
import { firstRefusal, outside, type Worked } from './worked.ts';

export type Deacidifier = 'potassium bicarbonate' | 'potassium carbonate' | 'calcium carbonate';

export const DEACIDIFIERS: readonly Deacidifier[] = [
  'potassium bicarbonate',
  'potassium carbonate',
  'calcium carbonate',
];

/** Each one's formula, the protons a mole of it neutralises, and the potassium it brings. */
const AGENTS: Readonly<
  Record<Deacidifier, { readonly formula: string; readonly neutralises: number; readonly potassium: number }>
> = {
  'potassium bicarbonate': { formula: 'KHCO3', neutralises: 1, potassium: 1 },
  'potassium carbonate': { formula: 'K2CO3', neutralises: 2, potassium: 2 },
  'calcium carbonate': { formula: 'CaCO3', neutralises: 2, potassium: 0 },
};

export interface Deacidification {
  /** Grams needed if nothing crystallises: the larger dose. */
  readonly neutralisationGrams: number;
  /**
   * Grams needed if all the potassium it brings leaves as potassium bitartrate, each with one more proton: half the
   * larger dose for a potassium salt. The same as the other for calcium carbonate, whose tartrate takes no further proton.
   */
  readonly precipitationGrams: number;
  /** Litres of carbon dioxide gas, at 20 °C and 101.3 kPa, that the larger dose sets free. */
  readonly carbonDioxideLitres: number;
}

/** Litres of a mole of an ideal gas at 20 °C and 101.325 kPa: 8.314 × 293.15 / 101.325. */
const MOLAR_VOLUME = 24.055;

/**
 * The dose of a carbonate that lowers total acidity by so many g/L, as tartaric acid, in so many litres, by both
 * assumptions.
 *
 * moles of protons = drop × litres / 75.04; grams = moles × molar mass / (protons neutralised, plus potassium if it
 * crystallises). From molar masses; not rounded. The Handbook of Enology, volume 2, counts neutralisation alone; bulletins
 * that ask 0.67 g/L of potassium bicarbonate for 1 g/L count on crystals. Calcium carbonate reaches about 85 % of the
 * deacidifying capacity of the potassium salt in wine (Usseglio-Tomasset 1989, as the Handbook quotes him). Refused for a
 * drop outside 0 to 5 g/L and litres outside 0 to ten million.
 */
export function deacidify(agent: Deacidifier, drop: number, litres: number): Worked<Deacidification> {
  const refused = firstRefusal(
    outside(drop, 0, 5, 'a drop of total acidity', 'g/L'),
    outside(litres, 0, 10_000_000, 'a volume', 'L'),
  );
  if (refused !== undefined) return refused;
  const { formula, neutralises, potassium } = AGENTS[agent];
  const molarMass = milligramsPerMole(formula) / 1000;
  const protons = (drop * litres) / gramsPerEquivalent('tartaric');
  return {
    neutralisationGrams: (protons / neutralises) * molarMass,
    precipitationGrams: (protons / (neutralises + potassium)) * molarMass,
    carbonDioxideLitres: (protons / neutralises) * MOLAR_VOLUME,
  };
}
