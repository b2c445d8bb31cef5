/** Pure sucrose in water, which every sugar scale stands on: density, relative density, degrees Plato, refraction. */
import { whereRising } from './ethanol-water.ts';
import { andThen, firstRefusal, outside, type Worked } from './worked.ts';

/** The strongest solution looked at, % by mass: grape concentrate. */
const MOST_BRIX = 70;

/** ICUMSA's coefficients: row i is of ((t − 20)/100)^i, in it the powers of the mass fraction from the first on. */
const DENSITY: readonly (readonly number[])[] = [
  [385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289],
  [-46.272, -7.172, 1.1597, 5.1126, 17.5254],
  [59.7712, 7.2491, 12.363, -35.4791],
  [-47.2207, -21.6977, 27.6301],
  [18.3184, 12.3081],
];

/**
 * Water as ICUMSA has it: Bettin and Spieweck's equation after Wagenbreth and Blanke, the powers of t in the numerator.
 */
const WATER = [999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12];
const WATER_BELOW = 16.887236e-3;

/** Density of air in kg/m³ where liquids are weighed: 20 °C, sea level. */
const AIR = 1.2;

/** How far the cubic fitted to the sugar table of NBS Circular C440 reaches. */
const NBS_MOST_BRIX = 40;
const NBS_MOST_SG = 1.17874;

/** The range in which the cubic of the brewing chemists keeps to the table of NBS; above it leaves it. */
const MOST_PLATO = 20;
const PLATO_MOST_SG = 1.08297;

/** Refractive indices of water, and of a solution of 45 %. */
const LEAST_INDEX = 1.33299;
const MOST_INDEX = 1.40985;
const INDEX_MOST_BRIX = 45;

const polynomial = (coefficients: readonly number[], x: number): number =>
  coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);

function densityAt(brix: number, celsius: number): number {
  const fraction = brix / 100;
  const warmth = (celsius - 20) / 100;
  const water = polynomial(WATER, celsius) / (1 + WATER_BELOW * celsius);
  const rows = DENSITY.map((row) => fraction * polynomial(row, fraction));
  return water + polynomial(rows, warmth);
}

const temperatureFits = (celsius: number) => outside(celsius, 0, 100, 'a temperature', '°C');

/**
 * Density in kg/m³ (= g/L), in vacuo, of a solution of so many % sucrose by mass (°Brix).
 *
 * ρ = ρw(t) + Σ a w^i + x Σ b w^i + x² Σ c w^i + x³ Σ d w^i + x⁴ Σ e w^i, w = brix/100, x = (t − 20)/100; 0 to 70 °Bx,
 * 0 to 100 °C; not rounded. ICUMSA SPS-4; Bubnik, Kadlec, Urban & Bruhns, Sugar Technologists Manual (1995) p. 164.
 */
export function sucroseDensity(brix: number, celsius: number): Worked {
  const wrong = firstRefusal(outside(brix, 0, MOST_BRIX, 'sugar', '°Bx'), temperatureFits(celsius));
  return wrong ?? densityAt(brix, celsius);
}

/** % sucrose by mass (°Brix) of a solution of that density in g/L at a temperature: `sucroseDensity` by bracketing. */
export function brixOfDensity(gramsPerLitre: number, celsius: number): Worked {
  const wrong = temperatureFits(celsius);
  if (wrong !== undefined) return wrong;
  const water = densityAt(0, celsius);
  return (
    outside(gramsPerLitre, water, densityAt(MOST_BRIX, celsius), 'a density', 'g/L') ??
    whereRising((brix) => densityAt(brix, celsius), gramsPerLitre, 0, MOST_BRIX)
  );
}

/**
 * Relative density 20/20 °C as weighing in air shows it, from the true one: (ρ − air) / (ρw − air), air 1.2 kg/m³. From
 * 0.9 to 1.5; 0.0001 above the true one at 20 °Bx.
 */
export function inAir(relativeDensity: number): Worked {
  const water = densityAt(0, 20);
  return (
    outside(relativeDensity, 0.9, 1.5, 'a relative density', '') ?? (relativeDensity * water - AIR) / (water - AIR)
  );
}

/** The true relative density 20/20 °C of one weighed in air: `inAir` turned round, over the same range. */
export function inVacuo(relativeDensityInAir: number): Worked {
  const water = densityAt(0, 20);
  return (
    outside(relativeDensityInAir, 0.9, 1.5, 'a relative density', '') ??
    (relativeDensityInAir * (water - AIR) + AIR) / water
  );
}

const nbsCubic = (s: number): number => polynomial([-669.56218, 1262.7794, -775.68212, 182.46007], s);

/**
 * °Brix from the relative density 20/20 °C in air.
 *
 * Bx = 182.46007 S³ − 775.68212 S² + 1262.7794 S − 669.56218, S from 1 to 1.17874 (40 °Bx); below 1.00002, where it
 * falls under nothing, 0. Fitted to the table of NBS Circular C440 (Bates et al., 1942), 0.0009 °Bx from it in the
 * mean.
 */
export function brixOfRelativeDensityInAir(relativeDensityInAir: number): Worked {
  const wrong = outside(relativeDensityInAir, 1, NBS_MOST_SG, 'a relative density', '');
  return wrong ?? Math.max(0, nbsCubic(relativeDensityInAir));
}

/** Relative density 20/20 °C in air of so many °Brix, 0 to 40: `brixOfRelativeDensityInAir` by bracketing. */
export function relativeDensityInAirOfBrix(brix: number): Worked {
  const wrong = outside(brix, 0, NBS_MOST_BRIX, 'sugar', '°Bx');
  return wrong ?? whereRising(nbsCubic, brix, 1, NBS_MOST_SG + 1e-5);
}

const asbcCubic = (s: number): number => polynomial([-616.868, 1111.14, -630.272, 135.997], s);

/**
 * Degrees Plato from the relative density 20/20 °C in air.
 *
 * P = 135.997 S³ − 630.272 S² + 1111.14 S − 616.868, S from 1 to 1.08297 (20 °P): above, the fit leaves the sugar
 * tables (0.12 thousandths at 30). Below nothing, 0. Fitted to the table of the American Society of Brewing Chemists.
 */
export function platoOfRelativeDensityInAir(relativeDensityInAir: number): Worked {
  const wrong = outside(relativeDensityInAir, 1, PLATO_MOST_SG, 'a relative density', '');
  return wrong ?? Math.max(0, asbcCubic(relativeDensityInAir));
}

/** Relative density 20/20 °C in air of so many degrees Plato, 0 to 20: `platoOfRelativeDensityInAir` by bracketing. */
export function relativeDensityInAirOfPlato(plato: number): Worked {
  const wrong = outside(plato, 0, MOST_PLATO, 'extract', '°P');
  return wrong ?? whereRising(asbcCubic, plato, 1, PLATO_MOST_SG + 1e-4);
}

const indexQuintic = (n: number): number =>
  polynomial([-99_127.4536, 318_417.95, -413_145.8, 270_177.93, -88_885.21, 11_758.74], n);

/**
 * °Brix from the refractive index at 20 °C and 589.3 nm, as a refractometer turns it into its scale.
 *
 * Bx = 11758.74 n⁵ − 88885.21 n⁴ + 270177.93 n³ − 413145.80 n² + 318417.95 n − 99127.4536, n from 1.33299 (water) to
 * 1.40985 (45 °Bx); below nothing, 0. A fit to the table of ICUMSA; its printed digits leave it 0.015 to 0.021 °Bx
 * under OIV-MA-AS2-02 between 10 and 30.
 */
export function brixOfRefractiveIndex(index: number): Worked {
  const wrong = outside(index, LEAST_INDEX, MOST_INDEX, 'a refractive index', '');
  return wrong ?? Math.max(0, indexQuintic(index));
}

/** Refractive index at 20 °C and 589.3 nm of so many °Brix, 0 to 45: `brixOfRefractiveIndex` by bracketing. */
export function refractiveIndexOfBrix(brix: number): Worked {
  const wrong = outside(brix, 0, INDEX_MOST_BRIX, 'sugar', '°Bx');
  return wrong ?? whereRising(indexQuintic, brix, LEAST_INDEX - 1e-4, MOST_INDEX + 1e-3);
}

/** Grams of sucrose in a litre at 20 °C of a solution of so many °Brix: brix/100 × density, 0 to 70. */
export function sucroseGramsPerLitre(brix: number): Worked {
  return andThen(sucroseDensity(brix, 20), (density) => (brix / 100) * density);
}

/**
 * °Brix of a solution with so many grams of sucrose a litre at 20 °C, 0 to 940: `sucroseGramsPerLitre` by bracketing.
 */
export function brixOfSucroseGramsPerLitre(gramsPerLitre: number): Worked {
  const concentration = (brix: number): number => (brix / 100) * densityAt(brix, 20);
  return outside(gramsPerLitre, 0, 940, 'sugar', 'g/L') ?? whereRising(concentration, gramsPerLitre, 0, MOST_BRIX);
}
