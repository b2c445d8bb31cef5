/** Alcohol of a wine from its two densities, and of what comes of mixing wine, spirit and water. */
import {
  densityOfPercentVolume,
  massFractionOf,
  percentVolumeOf,
  STANDARD_CELSIUS,
  whereRising,
} from './ethanol-water.ts';
import { dryExtract, extractOfRelativeDensity } from './extract.ts';
import { andThen, firstRefusal, isRefused, outside, refuse, type Worked } from './worked.ts';

/** Sugar that gives one % vol, g/L: the convention of the EU and the OIV. From 15.4, all of it, to 18 in hot red ferments. */
export const USUAL_SUGAR_PER_ALCOHOL = 16.83;

/** The most alcohol looked for, % vol: yeast gives no more. */
const MOST_FERMENTED = 20;

/**
 * Alcohol in % vol of a wine that fell from one relative density 20/20 °C to another while it fermented: an estimate.
 *
 * Tabarié's formula backwards: the alcohol a at which a × sugarPerAlcohol = extract(before) − extract(after − d(a) + 1),
 * with the extracts of OIV-MA-AS2-03B and d(a) of OIML R 22; found by bracketing. Must and wine are taken as equal volumes,
 * and nothing as added between the two readings. No body has a method for this; 16.83 g/L a % vol is the convention of
 * the EU and the OIV for potential alcohol, 17 and 17.5 are common. Good to about half a % vol.
 */
export function alcoholFromDrop(
  before: number,
  after: number,
  sugarPerAlcohol: number = USUAL_SUGAR_PER_ALCOHOL,
): Worked {
  const wrong = firstRefusal(
    outside(before, 1, 1.17, 'a relative density before', ''),
    outside(after, 0.98, 1.17, 'a relative density after', ''),
    outside(sugarPerAlcohol, 15.4, 20, 'sugar for one % vol', 'g/L'),
  );
  if (wrong !== undefined) return wrong;
  if (after > before) return refuse('the density rose: nothing was fermented between these two readings');
  const extractBefore = extractOfRelativeDensity(before);
  if (isRefused(extractBefore)) return extractBefore;
  /** What this much alcohol would need, less what is gone: rises with the alcohol; no extract where it is lighter than water. */
  const surplus = (percent: number): number => {
    const left = dryExtract(after, percent);
    return percent * sugarPerAlcohol - (extractBefore - (isRefused(left) ? 0 : left));
  };
  const alcohol = whereRising(surplus, 0, 0, MOST_FERMENTED);
  // Below water even with that alcohol, the two readings do not belong to one wine.
  return andThen(dryExtract(after, alcohol), () =>
    alcohol > MOST_FERMENTED - 0.01
      ? refuse(`more than ${MOST_FERMENTED} % vol is no fermentation's work: look at the two readings`)
      : alcohol,
  );
}

/** So many litres at so much alcohol. */
export interface AlcoholPart {
  readonly litres: number;
  readonly percentVolume: number;
}

/** What a mixture comes to. */
export interface Mixture {
  readonly litres: number;
  readonly percentVolume: number;
  /** Litres gained by mixing; below 0 where the mixture is less than its parts together, as with spirit. */
  readonly gained: number;
}

function wrongPart({ litres, percentVolume }: AlcoholPart) {
  return firstRefusal(outside(litres, 0, 1e9, 'a volume', 'L'), outside(percentVolume, 0, 100, 'alcohol', '% vol'));
}

/**
 * Volume and alcohol of parts mixed at 20 °C, by mass: masses and masses of alcohol add up, volumes do not.
 *
 * p = Σ V ρ(p) p / Σ V ρ(p), V = Σ V ρ(p) / ρ(p), with the densities of OIML R 22. Each part is taken as alcohol and water, a
 * wine's extract left out: told to a tenth of a % vol. Water is a part of 0 % vol. Refuses no litres at all.
 */
export function mixedByMass(parts: readonly AlcoholPart[]): Worked<Mixture> {
  let poured = 0;
  let mass = 0;
  let alcohol = 0;
  for (const part of parts) {
    const share = wrongPart(part) ?? massFractionOf(part.percentVolume);
    if (isRefused(share)) return share;
    const density = densityOfPercentVolume(part.percentVolume, STANDARD_CELSIUS);
    if (isRefused(density)) return density;
    poured += part.litres;
    mass += part.litres * density;
    alcohol += part.litres * density * share;
  }
  if (poured <= 0) return refuse('there is nothing to mix');
  return andThen(percentVolumeOf(Math.min(alcohol / mass, 1)), (percentVolume) =>
    andThen(densityOfPercentVolume(percentVolume, STANDARD_CELSIUS), (density) => ({
      litres: mass / density,
      percentVolume,
      gained: mass / density - poured,
    })),
  );
}
