/** Sugar of must before it ferments, and the alcohol it promises: by the OIV's table, by convention, by German law. */
import { whereRising } from './ethanol-water.ts';
import { NATURAL_ALCOHOL, NATURAL_ALCOHOL_FROM } from './natural-alcohol-table.ts';
import { andThen, firstRefusal, outside, type Worked } from './worked.ts';

/** The part of the OIV's table that is held, in % sucrose by mass as a refractometer shows it (°Brix). */
export const MUST_LEAST_BRIX = 10;
export const MUST_MOST_BRIX = 30;

/**
 * Columns of OIV-MA-AS2-02 (Oeno 21/2004), Table II, as polynomials of x = (brix − 20)/10, the power 0 first.
 *
 * Fitted here to the 201 rows from 10.0 to 30.0 (as printed in the French Arrêté of 14 September 2011, annex IV) so
 * that the largest difference is the least. Density, g/L and g/kg meet every printed figure to its last digit; the
 * refractive index misses 11 of 201 by at most three tenths of a millionth.
 */
const INDEX = [1.36384258, 0.0166426, 0.00064532, 0.00002005];
const KILOGRAMS_PER_LITRE = [1.0817566, 0.044929, 0.0021583, -0.0001024];
const GRAMS_PER_LITRE = [191.8989, 113.3219, 3.5411, 0.0449, 0.142];
const GRAMS_PER_KILOGRAM = [177.3935, 97.3908, -1.1044, -0.104, 0.1149];

const column = (coefficients: readonly number[], brix: number): number =>
  coefficients.reduceRight((sum, coefficient) => (sum * (brix - 20)) / 10 + coefficient, 0);

const densityColumn = (brix: number): number => 1000 * column(KILOGRAMS_PER_LITRE, brix);
const indexColumn = (brix: number): number => column(INDEX, brix);

const brixFits = (brix: number) => outside(brix, MUST_LEAST_BRIX, MUST_MOST_BRIX, 'a refractometer reading', '°Bx');

/**
 * A grape must by the OIV's table. Sugar is glucose and fructose; what else is dissolved, 20 to 30 g/L, is taken off.
 */
export interface MustFigures {
  readonly gramsPerLitre: number;
  readonly gramsPerKilogram: number;
  /** Of the must at 20 °C, in g/L. */
  readonly density: number;
  /** At 20 °C and 589.3 nm. */
  readonly refractiveIndex: number;
}

/**
 * Sugar, density and refractive index of a grape must from its refractometer reading at 20 °C, 10 to 30 °Bx.
 *
 * OIV-MA-AS2-02, Evaluation by refractometry of the sugar concentration in grape musts, Table II. Its figures are
 * printed to 0.1 g/L, 0.1 g/kg, 0.0001 kg/L and 0.00001. Not for must in ferment, concentrate or other juices.
 */
export function mustByRefractometer(brix: number): Worked<MustFigures> {
  return (
    brixFits(brix) ?? {
      gramsPerLitre: column(GRAMS_PER_LITRE, brix),
      gramsPerKilogram: column(GRAMS_PER_KILOGRAM, brix),
      density: densityColumn(brix),
      refractiveIndex: indexColumn(brix),
    }
  );
}

/**
 * The refractometer reading (°Brix, 10 to 30) of a grape must of that density at 20 °C in g/L: the OIV's table read
 * backwards.
 */
export function refractometerBrixOfMustDensity(gramsPerLitre: number): Worked {
  const low = densityColumn(MUST_LEAST_BRIX);
  const high = densityColumn(MUST_MOST_BRIX);
  const wrong = outside(gramsPerLitre, low, high, "a must's density", 'g/L');
  return wrong ?? whereRising(densityColumn, gramsPerLitre, MUST_LEAST_BRIX, MUST_MOST_BRIX);
}

/**
 * The refractometer reading (°Brix, 10 to 30) of a grape must of that refractive index at 20 °C: the OIV's table read
 * backwards.
 */
export function refractometerBrixOfMustIndex(refractiveIndex: number): Worked {
  const low = indexColumn(MUST_LEAST_BRIX);
  const high = indexColumn(MUST_MOST_BRIX);
  const wrong = outside(refractiveIndex, low, high, "a must's refractive index", '');
  return wrong ?? whereRising(indexColumn, refractiveIndex, MUST_LEAST_BRIX, MUST_MOST_BRIX);
}

/** Grams of glucose and fructose in a litre of grape must of that density at 20 °C in g/L. OIV-MA-AS2-02, Table II. */
export function mustSugarOfDensity(gramsPerLitre: number): Worked {
  return andThen(refractometerBrixOfMustDensity(gramsPerLitre), (brix) =>
    andThen(mustByRefractometer(brix), (must) => must.gramsPerLitre),
  );
}

/** Sugar in g/L that is said to give 1 % vol. From 15.43, if all of it became alcohol, to 18 in hot red ferments. */
export const SUGAR_PER_ALCOHOL = [16.83, 17, 17.5] as const;

/**
 * Potential alcohol in % vol of so much sugar (glucose and fructose), 0 to 400 g/L: sugar / convention.
 *
 * The convention, 15.4 to 20 g/L a % vol, is agreed, not measured: 16.83 EU and OIV, 17.5 older French usage (both in
 * the Arrêté of 14 September 2011, annex I), 17 common practice.
 */
export function potentialAlcohol(sugarGramsPerLitre: number, gramsPerPercent: number): Worked {
  const wrong = firstRefusal(
    outside(sugarGramsPerLitre, 0, 400, 'sugar', 'g/L'),
    outside(gramsPerPercent, 15.4, 20, 'sugar for one % vol', 'g/L'),
  );
  return wrong ?? sugarGramsPerLitre / gramsPerPercent;
}

/**
 * Potential alcohol in % vol as a factor, 0.5 to 0.65, times 10 to 40 °Brix. A rule of thumb, common practice without a
 * source: 0.55 to 0.60. The OIV's table amounts to 0.580 at 22 °Bx and 0.597 at 26.
 */
export function potentialAlcoholByFactor(brix: number, factor: number): Worked {
  const wrong = firstRefusal(outside(brix, 10, 40, 'sugar', '°Bx'), outside(factor, 0.5, 0.65, 'a factor', ''));
  return wrong ?? brix * factor;
}

/**
 * Natural alcohol in % vol of must from 40 to 150 degrees Oechsle, between whole degrees in proportion.
 *
 * Weinverordnung 1995 (Germany), Anlage 8 to § 17 (BGBl. I 2009, 866), printed to 0.1. Up to 0.4 % vol from the OIV's
 * table.
 */
export function naturalAlcoholByGermanLaw(oechsle: number): Worked {
  const last = NATURAL_ALCOHOL_FROM + NATURAL_ALCOHOL.length - 1;
  const wrong = outside(oechsle, NATURAL_ALCOHOL_FROM, last, 'must weight', '°Oe');
  if (wrong !== undefined) return wrong;
  const row = Math.min(Math.floor(oechsle), last - 1) - NATURAL_ALCOHOL_FROM;
  const [below = Number.NaN, above = Number.NaN] = NATURAL_ALCOHOL.slice(row, row + 2);
  return below + (above - below) * (oechsle - NATURAL_ALCOHOL_FROM - row);
}
