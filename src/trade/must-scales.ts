/**
 * The scales must is weighed on, all of them plain functions of the relative density 20/20 °C: Oechsle, Klosterneuburg,
 * Baumé.
 */
import { waterDensity } from './water-density.ts';
import { andThen, firstRefusal, outside, type Worked } from './worked.ts';

/** What a hydrometer for must and wine shows. */
const LEAST = 0.98;
const MOST = 1.2;

/** Highest must weight the Klosterneuburg scale is turned round for, in °Oe. */
const KMW_MOST_OECHSLE = 200;
const KMW_LINEAR = 4.54;
const KMW_SQUARE = 0.022;
/** 200 °Oe on the Klosterneuburg scale. */
const MOST_KMW = 37.3;

const relativeDensityFits = (relativeDensity: number) =>
  outside(relativeDensity, LEAST, MOST, 'a relative density', '');

/** The moduli Baumé hydrometers are made to; the same must differs by 0.25 °Bé between the outermost. */
export const BAUME_MODULI = [145, 144.3, 144, 146.78] as const;

/** Degrees Oechsle of a relative density 20/20 °C from 0.98 to 1.2: 1000 (d − 1). The definition. */
export function oechsle(relativeDensity: number): Worked {
  return relativeDensityFits(relativeDensity) ?? 1000 * (relativeDensity - 1);
}

/** Relative density 20/20 °C of −20 to 200 degrees Oechsle: 1 + Oe/1000. The definition. */
export function relativeDensityOfOechsle(degrees: number): Worked {
  return outside(degrees, -20, 200, 'must weight', '°Oe') ?? 1 + degrees / 1000;
}

/**
 * Degrees Oechsle of a must weight by the Klosterneuburg scale: Oe = KMW (4.54 + 0.022 KMW), 0 to 37.3 °KMW. The legal
 * relation of Austria; "1 KMW is 5 Oe" is a rounding of it.
 */
export function oechsleOfKmw(kmw: number): Worked {
  return outside(kmw, 0, MOST_KMW, 'must weight', '°KMW') ?? kmw * (KMW_LINEAR + KMW_SQUARE * kmw);
}

/** Must weight by the Klosterneuburg scale of 0 to 200 degrees Oechsle: `oechsleOfKmw` turned round. */
export function kmwOfOechsle(degrees: number): Worked {
  const root = Math.sqrt(KMW_LINEAR ** 2 + 4 * KMW_SQUARE * degrees);
  return outside(degrees, 0, KMW_MOST_OECHSLE, 'must weight', '°Oe') ?? (root - KMW_LINEAR) / (2 * KMW_SQUARE);
}

const modulusFits = (modulus: number) => outside(modulus, 144, 147, "the hydrometer's modulus", '');

/**
 * Degrees Baumé of a relative density from 0.98 to 1.2: m − m/d, m the modulus the hydrometer was made to, 144 to 147.
 *
 * 145: United States, and the sugar tables of NBS; 144.3: Europe, "rational"; 144: old Dutch; 146.78: Gerlach.
 */
export function baume(relativeDensity: number, modulus: number): Worked {
  const wrong = firstRefusal(relativeDensityFits(relativeDensity), modulusFits(modulus));
  return wrong ?? modulus - modulus / relativeDensity;
}

/** Relative density of −2.9 to 24 degrees Baumé by a modulus: `baume` turned round. */
export function relativeDensityOfBaume(degrees: number, modulus: number): Worked {
  const wrong = firstRefusal(outside(degrees, -2.9, 24, 'must weight', '°Bé'), modulusFits(modulus));
  return wrong ?? modulus / (modulus - degrees);
}

/**
 * Density at 20 °C in g/L of a relative density 20/20 °C from 0.98 to 1.2: times that of water (CIPM). OIV-MA-AS2-01A.
 */
export function densityOfRelativeDensity(relativeDensity: number): Worked {
  return relativeDensityFits(relativeDensity) ?? andThen(waterDensity(20), (water) => relativeDensity * water);
}

/**
 * Relative density 20/20 °C of a density at 20 °C from 980 to 1197 g/L: through that of water (CIPM). OIV-MA-AS2-01A.
 */
export function relativeDensityOfDensity(gramsPerLitre: number): Worked {
  const wrong = outside(gramsPerLitre, 980, 1197, 'a density', 'g/L');
  return wrong ?? andThen(waterDensity(20), (water) => gramsPerLitre / water);
}
