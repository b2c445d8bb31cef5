/** Dry extract: what a must or a wine leaves when water and alcohol are gone, told from densities (Tabarié). */
import { ethanolWaterDensity, massFractionOf, STANDARD_CELSIUS } from './ethanol-water.ts';
import { brixOfDensity, sucroseDensity, sucroseGramsPerLitre } from './sucrose.ts';
import { andThen, firstRefusal, outside, refuse, type Worked } from './worked.ts';

/** A must so heavy has 44 % of sugar by mass: beyond is concentrate. */
const HEAVIEST = 1.2;

/** What total SO₂ adds to the density in g/mL, for each g/L. OIV-MA-AS2-01A. */
const DENSITY_OF_SULFUR_DIOXIDE = 0.0006;

/**
 * Density at 20 °C in g/mL without what total sulfur dioxide adds to it: ρ = ρ′ − 0.0006 S, S in g/L.
 *
 * OIV-MA-AS2-01A, note on very accurate measurements. S from 0 to 0.5 g/L.
 */
export function densityWithoutSulfurDioxide(gramsPerMillilitre: number, totalGramsPerLitre: number): Worked {
  const wrong = firstRefusal(
    outside(gramsPerMillilitre, 0.9, 1.3, 'a density', 'g/mL'),
    outside(totalGramsPerLitre, 0, 0.5, 'total sulfur dioxide', 'g/L'),
  );
  return wrong ?? gramsPerMillilitre - DENSITY_OF_SULFUR_DIOXIDE * totalGramsPerLitre;
}

/** Relative density 20/20 °C of ethanol and water of so many % vol, against water by the same formula. OIML R 22. */
export function relativeDensityOfAlcohol(percentVolume: number): Worked {
  return andThen(massFractionOf(percentVolume), (p) =>
    andThen(ethanolWaterDensity(p, STANDARD_CELSIUS), (mixture) =>
      andThen(ethanolWaterDensity(0, STANDARD_CELSIUS), (water) => mixture / water),
    ),
  );
}

/**
 * Relative density 20/20 °C a wine would have without its alcohol, made up with water: d_r = d_v − d_a + 1.000.
 *
 * Tabarié's formula as OIV-MA-AS2-03B has it: d_v the wine's relative density, d_a that of water and alcohol of the same
 * % vol. For wines from 0 to 25 % vol.
 */
export function relativeDensityWithoutAlcohol(wineRelativeDensity: number, percentVolume: number): Worked {
  const wrong = firstRefusal(
    outside(wineRelativeDensity, 0.96, 1.17, 'a relative density', ''),
    outside(percentVolume, 0, 25, 'alcohol', '% vol'),
  );
  return wrong ?? andThen(relativeDensityOfAlcohol(percentVolume), (alcohol) => wineRelativeDensity - alcohol + 1);
}

/**
 * Extract in g/L of a liquid without alcohol, from its relative density 20/20 °C: the grams of sucrose in a litre of a
 * solution in water of the same relative density.
 *
 * OIV-MA-AS2-03B, with the sucrose densities of ICUMSA SPS-4 turned round by bracketing instead of the method's own
 * table. From 1 to 1.2; a wine without its alcohol lies between 1.005 and 1.1.
 */
export function extractOfRelativeDensity(relativeDensity: number): Worked {
  if (relativeDensity < 1) {
    return refuse(
      'what is lighter than water has no extract: the alcohol is too low for this density, or one is misread',
    );
  }
  const wrong = outside(relativeDensity, 1, HEAVIEST, 'a relative density', '');
  if (wrong !== undefined) return wrong;
  return andThen(sucroseDensity(0, STANDARD_CELSIUS), (water) =>
    andThen(brixOfDensity(relativeDensity * water, STANDARD_CELSIUS), sucroseGramsPerLitre),
  );
}

/** Total dry extract of a wine in g/L, from its relative density 20/20 °C and its alcohol. OIV-MA-AS2-03B. */
export function dryExtract(wineRelativeDensity: number, percentVolume: number): Worked {
  return andThen(relativeDensityWithoutAlcohol(wineRelativeDensity, percentVolume), extractOfRelativeDensity);
}
