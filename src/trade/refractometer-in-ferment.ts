/** Must in ferment as its refractometer readings tell it: an estimate, for alcohol bends light too. */
import { densityOfPercentVolume, whereRising } from './ethanol-water.ts';
import { MUST_LEAST_BRIX, MUST_MOST_BRIX, mustByRefractometer } from './must-sugar.ts';
import {
  brixOfDensity,
  brixOfSucroseGramsPerLitre,
  refractiveIndexOfBrix,
  sucroseDensity,
  sucroseGramsPerLitre,
} from './sucrose.ts';
import { andThen, outside, refuse, type Worked } from './worked.ts';

/**
 * What glucose and fructose, ethanol and glycerol add to the refractive index of water at 20 °C and 589 nm, by the
 * power of their concentration in g/L, from the first on.
 *
 * Fitted here to the CRC Handbook of Chemistry and Physics, Concentrative Properties of Aqueous Solutions: sugar to 340
 * g/L within 0.0002 (one unit of °Bx is 0.0016), ethanol to 145 g/L within 0.00007.
 */
const SUGAR_REFRACTS = [1.4195e-4, -4.676e-9];
const ETHANOL_REFRACTS = [5.7865e-5, 8.6352e-8];
const GLYCEROL_REFRACTS = 1.16e-4;

/** Grams of glycerol that come of a gram of fermented sugar. From memory: about 3 in a hundred. */
const GLYCEROL_SHARE = 0.03;
/** What a gram of glycerol counts for in grams of extract, by the densities in the same handbook. */
const GLYCEROL_AS_EXTRACT = 0.6;

/** Density of ethanol at 20 °C in g for each 10 mL: grams in a litre at 1 % vol. OIML R 22. */
const ETHANOL_GRAMS = 7.8924;

/** The least sugar for 1 % vol: less would make more ethanol of 30 °Bx than the figures above reach. */
const LEAST_SUGAR = 16.8;

/**
 * How far under the reading of the dry wine a reading may lie before the two readings cannot be of one must, in °Bx.
 */
const DRY_SLACK = 1;

const raised = ([linear = 0, square = 0]: readonly number[], gramsPerLitre: number): number =>
  gramsPerLitre * (linear + square * gramsPerLitre);

/** What 0 to 340 g/L glucose and fructose add to the refractive index of water at 20 °C. CRC Handbook, fitted. */
export const refractionOfSugar = (gramsPerLitre: number): number => raised(SUGAR_REFRACTS, gramsPerLitre);

/** What 0 to 145 g/L ethanol (18 % vol) adds to the refractive index of water at 20 °C. CRC Handbook, fitted. */
export const refractionOfEthanol = (gramsPerLitre: number): number => raised(ETHANOL_REFRACTS, gramsPerLitre);

/** A must in ferment as two refractometer readings tell it: an estimate. */
export interface InFerment {
  readonly sugarGramsPerLitre: number;
  readonly alcoholPercentVolume: number;
  /** 20/20 °C, as a hydrometer would show it once the gas is out. */
  readonly relativeDensity: number;
}

/**
 * Sugar, alcohol and relative density of a must in ferment from its refractometer readings before the ferment and now,
 * both at 20 °C: an estimate by physics, no published method. Alcohol bends light too, so the reading itself says none
 * of them.
 *
 * Before, 10 to 30 °Bx, gives the sugar (OIV-MA-AS2-02). The sugar now is the one for which the refractive index comes
 * out as read: the index before, less what the fermented sugar added, plus what its ethanol and glycerol add (CRC
 * Handbook), alcohol by the convention in g/L sugar a % vol. Each is taken to add for itself, volume and acids as
 * unchanged. The relative density follows by Tabarié's rule. Good to about 10 g/L, 0.6 % vol and 0.004; a dry wine from
 * 24 °Bx reads 8 to 9 °Bx, as is common experience.
 */
export function inFerment(brixBefore: number, brixNow: number, gramsPerPercent: number): Worked<InFerment> {
  const wrong =
    outside(brixBefore, MUST_LEAST_BRIX, MUST_MOST_BRIX, 'the reading before the ferment', '°Bx') ??
    outside(brixNow, 0, MUST_MOST_BRIX, 'the reading now', '°Bx') ??
    outside(gramsPerPercent, LEAST_SUGAR, 20, 'sugar for one % vol', 'g/L') ??
    (brixNow > brixBefore ? refuse('the reading now is above the one before the ferment') : undefined);
  if (wrong !== undefined) return wrong;
  return andThen(mustByRefractometer(brixBefore), ({ gramsPerLitre: sugarBefore, density }) =>
    andThen(sugarNow(sugarBefore, brixBefore, brixNow, gramsPerPercent), (sugarGramsPerLitre) => {
      const fermented = sugarBefore - sugarGramsPerLitre;
      const alcoholPercentVolume = fermented / gramsPerPercent;
      return andThen(densityInFerment(density, fermented, alcoholPercentVolume), (relativeDensity) => ({
        sugarGramsPerLitre,
        alcoholPercentVolume,
        relativeDensity,
      }));
    }),
  );
}

function sugarNow(sugarBefore: number, brixBefore: number, brixNow: number, gramsPerPercent: number): Worked {
  /** How far the refractive index has fallen once so much sugar is gone. */
  const fallen = (fermented: number): number => {
    const gone = refractionOfSugar(sugarBefore) - refractionOfSugar(sugarBefore - fermented);
    const ethanol = refractionOfEthanol((fermented / gramsPerPercent) * ETHANOL_GRAMS);
    return gone - ethanol - GLYCEROL_REFRACTS * GLYCEROL_SHARE * fermented;
  };
  return andThen(refractiveIndexOfBrix(brixBefore), (before) =>
    andThen(refractiveIndexOfBrix(brixNow), (now) => {
      const fall = before - now;
      const dry = fallen(sugarBefore);
      if (fall < dry) return sugarBefore - whereRising(fallen, fall, 0, sugarBefore);
      return andThen(refractiveIndexOfBrix(brixNow + DRY_SLACK), (higher) =>
        before - higher <= dry ? 0 : refuse('the reading now is lower than this must can show when it is dry'),
      );
    }),
  );
}

/**
 * Tabarié's rule: the relative density of what is left without alcohol, plus that of as much alcohol in water, less 1.
 */
function densityInFerment(mustDensity: number, fermented: number, alcoholPercentVolume: number): Worked {
  const lost = fermented * (1 - GLYCEROL_SHARE * GLYCEROL_AS_EXTRACT);
  const residue = andThen(brixOfDensity(mustDensity, 20), (brix) =>
    andThen(sucroseGramsPerLitre(brix), (extract) =>
      andThen(brixOfSucroseGramsPerLitre(extract - lost), (left) =>
        relativeTo(sucroseDensity(left, 20), sucroseDensity(0, 20)),
      ),
    ),
  );
  const alcohol = relativeTo(densityOfPercentVolume(alcoholPercentVolume, 20), densityOfPercentVolume(0, 20));
  return andThen(residue, (without) => andThen(alcohol, (of) => without + of - 1));
}

const relativeTo = (density: Worked, water: Worked): Worked =>
  andThen(density, (of) => andThen(water, (as) => of / as));
