/** How much of a sulfiting agent raises free sulfur dioxide by so much, and the limits of the total. */
import { broughtShare, type Substance } from './substances.ts';
import { firstRefusal, isRefused, outside, refuse, type Worked } from './worked.ts';

/** What is dosed: a substance by weight, of some purity, or a solution by volume, of some strength. */
export type SulfitingSource =
  | { readonly substance: Substance; readonly purityPercent: number }
  /** Grams of sulfur dioxide in 100 mL. */
  | { readonly percentMassVolume: number };

export interface SulfurDioxideDose {
  /** Grams of the substance, or millilitres of the solution. */
  readonly amount: number;
  readonly unit: 'g' | 'mL';
  /** Grams of sulfur dioxide in it. */
  readonly sulfurDioxideGrams: number;
  /** By how much the total rises, in mg/L: what stays free and what binds. */
  readonly totalRise: number;
}

/**
 * The share of an addition that usually binds and is not found as free, in per cent. Common practice: 30 to 60 % in most
 * bulletins; a printed sheet has 25 % at pH 3.1 and 50 % at pH 3.5, another a third. The reading a day later decides.
 */
export const USUAL_BOUND_PERCENT = 40;

/**
 * Grams of sulfur dioxide in a gram of a substance or a millilitre of a solution.
 *
 * From molar masses: 0.5763 for pure potassium metabisulfite, times its purity. Refused for a substance that brings no known
 * share, a purity outside 50 to 100 %, and a solution outside 0.1 to 25 % (mass in volume).
 */
export function sulfurDioxideContent(source: SulfitingSource): Worked {
  if (!('substance' in source)) {
    const strength = source.percentMassVolume;
    return outside(strength, 0.1, 25, 'a strength', 'g in 100 mL') ?? strength / 100;
  }
  const { substance, purityPercent } = source;
  const brought = broughtShare(substance, 'SO2');
  if (brought === undefined) {
    if (substance.name === 'sulfur dioxide solution') return refuse('a solution is dosed by its strength: say it');
    if (substance.name === 'sulfur wick') {
      return refuse('how much of a sulfur wick ends up in the wine depends on how it burns: measure the wine instead');
    }
    return refuse(`${substance.name} brings no sulfur dioxide that the table knows`);
  }
  return outside(purityPercent, 50, 100, 'a purity', '%') ?? ((brought.num / brought.den) * purityPercent) / 100;
}

/**
 * The dose that raises free sulfur dioxide by so many mg/L in so many litres, while a share of it binds.
 *
 * total rise = free rise / (1 − share bound); grams of SO2 = total rise × litres / 1000; amount = grams of SO2 / content.
 * Not rounded. Refused for a rise outside 0 to 300 mg/L, a share bound outside 0 to 0.9, litres outside 0 to ten million,
 * and where `sulfurDioxideContent` is.
 */
export function doseForFreeRise(wanted: {
  readonly litres: number;
  readonly freeRise: number;
  readonly shareBound: number;
  readonly source: SulfitingSource;
}): Worked<SulfurDioxideDose> {
  const { litres, freeRise, shareBound, source } = wanted;
  const refused = firstRefusal(
    outside(litres, 0, 10_000_000, 'a volume', 'L'),
    outside(freeRise, 0, 300, 'a rise of free sulfur dioxide', 'mg/L'),
    outside(shareBound * 100, 0, 90, 'a share that binds', '%'),
  );
  if (refused !== undefined) return refused;
  const content = sulfurDioxideContent(source);
  if (isRefused(content)) return content;
  const totalRise = freeRise / (1 - shareBound);
  const sulfurDioxideGrams = (totalRise * litres) / 1000;
  return {
    amount: sulfurDioxideGrams / content,
    unit: 'substance' in source ? 'g' : 'mL',
    sulfurDioxideGrams,
    totalRise,
  };
}

/** A limit of total sulfur dioxide in still wine, by some law. */
export interface TotalLimit {
  /** Whose limit: `United States`, `European Union`. */
  readonly where: string;
  /** What it covers: `red wine with 5 g/L of sugar or more`. */
  readonly covers: string;
  readonly milligramsPerLitre: number;
  /** The law and its section. */
  readonly source: string;
}

/** Beside every limit: it is a reading of the law, no advice on it. */
export const LIMIT_CAUTION =
  'Limits change, and sparkling, liqueur, sweet and organic wines have others: check the law in force where the wine is sold, ' +
  'and ask its authority or licensed counsel.';

/** From this glucose and fructose on, in g/L, the Union allows 50 mg/L more. */
const SWEETER_FROM = 5;

/** Total sulfur dioxide, in mg/L, from which US labels declare sulfites: 27 CFR 4.32(e). */
export const DECLARED_FROM = 10;

/**
 * The limits of total sulfur dioxide for still wine of a colour with so much glucose and fructose (g/L).
 *
 * United States: 350 mg/L, 27 CFR 4.22(b)(1). European Union: 150 mg/L red, 200 mg/L white and rosé, each 50 more with
 * 5 g/L of glucose and fructose or more, Delegated Regulation (EU) 2019/934, Annex I, part B. Its higher limits for listed
 * sweet wines are not here. Refused for sugar outside 0 to 500 g/L.
 */
export function totalLimits(
  colour: 'red' | 'white' | 'rosé',
  sugarGramsPerLitre: number,
): Worked<readonly [TotalLimit, TotalLimit]> {
  const refused = outside(sugarGramsPerLitre, 0, 500, 'sugar', 'g/L');
  if (refused !== undefined) return refused;
  const sweeter = sugarGramsPerLitre >= SWEETER_FROM;
  return [
    {
      where: 'United States',
      covers: 'wine',
      milligramsPerLitre: 350,
      source: '27 CFR 4.22(b)(1)',
    },
    {
      where: 'European Union',
      covers: `${colour} wine with ${sweeter ? `${SWEETER_FROM} g/L of sugar or more` : `less than ${SWEETER_FROM} g/L of sugar`}`,
      milligramsPerLitre: (colour === 'red' ? 150 : 200) + (sweeter ? 50 : 0),
      source: 'Delegated Regulation (EU) 2019/934, Annex I, part B',
    },
  ];
}
