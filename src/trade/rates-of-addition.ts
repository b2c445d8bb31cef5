/** Amounts and rates of additions: in any units, from bench to tank, as powder or solution, and the most laws allow. */
import { findUnit } from '../../grammar/units.ts';
import { inUnit } from './convert.ts';
import { findSubstance } from './substances.ts';
import { firstRefusal, outside, refuse, type Worked } from './worked.ts';

const MOST_LITRES = 10_000_000;
const MOST_KILOGRAMS = 10_000_000;
/** A kilogram to the litre: more is no addition. */
const MOST_RATE = 1_000_000;

/**
 * A quantity in another unit of the same dimension, by the exact factors of the unit table, as a double (relative error
 * below 1e-15). Any two units of the table: `g/hL` and `lb/1000 gal`, `g/100 kg` and `lb/short-ton`, `C` and `F`.
 */
export function valueInUnit(value: number, from: string, to: string): Worked {
  const source = findUnit(from);
  const target = findUnit(to);
  if (source === undefined) return refuse(`no unit is written ${from}`);
  if (target === undefined) return refuse(`no unit is written ${to}`);
  if (source.dimension !== target.dimension) {
    return refuse(`${from} is ${source.dimension} and ${to} is ${target.dimension}: neither is in the other`);
  }
  if (!Number.isFinite(value)) return refuse('an amount has to be a number');
  return inUnit(value, source, target);
}

const litresOf = (litres: number) => outside(litres, 0.001, MOST_LITRES, 'a volume', 'L');
const ratePerLitre = (rate: number) => outside(rate, 0, MOST_RATE, 'a rate', 'mg/L');

/** Grams that a rate in mg/L asks for in so many litres: rate × litres / 1000. Volumes of 1 mL to 10 million litres. */
export function gramsAtRate(milligramsPerLitre: number, litres: number): Worked {
  return firstRefusal(ratePerLitre(milligramsPerLitre), litresOf(litres)) ?? (milligramsPerLitre * litres) / 1000;
}

/** The rate in mg/L that so many grams make in so many litres: grams × 1000 / litres. */
export function rateOfGrams(grams: number, litres: number): Worked {
  const refused = firstRefusal(outside(grams, 0, MOST_KILOGRAMS * 1000, 'an amount', 'g'), litresOf(litres));
  if (refused !== undefined) return refused;
  const rate = (grams * 1000) / litres;
  return ratePerLitre(rate) ?? rate;
}

/** The litres that so many grams treat at a rate in mg/L: grams × 1000 / rate. */
export function litresTreated(grams: number, milligramsPerLitre: number): Worked {
  return (
    firstRefusal(
      outside(grams, 0, MOST_KILOGRAMS * 1000, 'an amount', 'g'),
      outside(milligramsPerLitre, 0.001, MOST_RATE, 'a rate', 'mg/L'),
    ) ?? (grams * 1000) / milligramsPerLitre
  );
}

/** Grams that a rate in mg/kg asks for on so many kilograms of fruit: rate × kilograms / 1000. */
export function gramsOnFruit(milligramsPerKilogram: number, kilograms: number): Worked {
  return (
    firstRefusal(
      outside(milligramsPerKilogram, 0, MOST_RATE, 'a rate on fruit', 'mg/kg'),
      outside(kilograms, 0.001, MOST_KILOGRAMS, 'fruit', 'kg'),
    ) ?? (milligramsPerKilogram * kilograms) / 1000
  );
}

/** The rate in mg/kg that so many grams make on so many kilograms of fruit: grams × 1000 / kilograms. */
export function rateOnFruit(grams: number, kilograms: number): Worked {
  return (
    firstRefusal(
      outside(grams, 0, MOST_KILOGRAMS * 1000, 'an amount', 'g'),
      outside(kilograms, 0.001, MOST_KILOGRAMS, 'fruit', 'kg'),
    ) ?? (grams * 1000) / kilograms
  );
}

/** Millilitres of a liquid that a rate in mL/L asks for in so many litres: rate × litres. */
export function millilitresAtRate(millilitresPerLitre: number, litres: number): Worked {
  return (
    firstRefusal(outside(millilitresPerLitre, 0, 1000, 'a rate', 'mL/L'), litresOf(litres)) ??
    millilitresPerLitre * litres
  );
}

/** The rate in mL/L that so many millilitres make in so many litres: millilitres / litres. */
export function rateOfMillilitres(millilitres: number, litres: number): Worked {
  return (
    firstRefusal(outside(millilitres, 0, MOST_LITRES * 1000, 'an amount', 'mL'), litresOf(litres)) ??
    millilitres / litres
  );
}

/** A slurry thicker than this is no longer measured by volume. */
const MOST_PERCENT = 100;
const LEAST_PERCENT = 1e-6;
/** A solution of 1 % holds 10 g/L: per cent is grams in 100 mL of solution. */
const GRAMS_PER_LITRE_A_PERCENT = 10;

const strengthOf = (percent: number) => outside(percent, LEAST_PERCENT, MOST_PERCENT, 'a strength', '%');

/** Millilitres of a solution that hold so many grams: grams × 100 / per cent, per cent being grams in 100 mL. To 100 %. */
export function millilitresOfSolution(grams: number, percent: number): Worked {
  return (
    firstRefusal(outside(grams, 0, MOST_KILOGRAMS * 1000, 'an amount', 'g'), strengthOf(percent)) ??
    (grams * 100) / percent
  );
}

/** The strength in per cent (grams in 100 mL) of so many grams made up to so many millilitres. */
export function strengthOfSolution(grams: number, millilitres: number): Worked {
  const refused = firstRefusal(
    outside(grams, 0, MOST_KILOGRAMS * 1000, 'an amount', 'g'),
    outside(millilitres, 0.001, MOST_LITRES * 1000, 'a volume', 'mL'),
  );
  if (refused !== undefined) return refused;
  const percent = (grams * 100) / millilitres;
  return strengthOf(percent) ?? percent;
}

/**
 * Millilitres of a strong solution to make up to so many of a weaker one: volume × weak / strong. Both in the same
 * per cent; refused where the weak one is the stronger.
 */
export function millilitresToDilute(strongPercent: number, weakPercent: number, weakMillilitres: number): Worked {
  return (
    firstRefusal(
      strengthOf(strongPercent),
      outside(weakPercent, LEAST_PERCENT, strongPercent, 'the strength wanted', '%'),
      outside(weakMillilitres, 0.001, MOST_LITRES * 1000, 'a volume', 'mL'),
    ) ?? (weakMillilitres * weakPercent) / strongPercent
  );
}

export interface BenchDose {
  /** Milligrams for every litre of wine: what scales to a tank. */
  readonly milligramsPerLitreOfWine: number;
  /** Milligrams in every litre of the mixed sample, the solution's own volume counted. */
  readonly milligramsPerLitreOfMix: number;
  /** Litres of solution for every litre of wine. */
  readonly solutionPerLitreOfWine: number;
}

/**
 * What so many millilitres of a solution in a sample mean. Per cent is grams in 100 mL, so 1 mL of 1 % brings 10 mg.
 * A sample either is so much wine to which the solution comes, or is made up to its volume with wine over the solution.
 *
 * Samples of 1 mL to 100 L; refused where the solution would be half of the sample or more.
 */
export function benchDose(trial: {
  readonly solutionPercent: number;
  readonly addedMillilitres: number;
  readonly sampleMillilitres: number;
  readonly madeUp: boolean;
}): Worked<BenchDose> {
  const { solutionPercent, addedMillilitres, sampleMillilitres, madeUp } = trial;
  const refused = firstRefusal(
    strengthOf(solutionPercent),
    outside(sampleMillilitres, 1, 100_000, 'a sample', 'mL'),
    outside(addedMillilitres, 0, sampleMillilitres / 2, 'solution in that sample', 'mL'),
  );
  if (refused !== undefined) return refused;
  const milligrams = addedMillilitres * solutionPercent * GRAMS_PER_LITRE_A_PERCENT;
  const wine = madeUp ? sampleMillilitres - addedMillilitres : sampleMillilitres;
  return {
    milligramsPerLitreOfWine: (milligrams * 1000) / wine,
    milligramsPerLitreOfMix: (milligrams * 1000) / (wine + addedMillilitres),
    solutionPerLitreOfWine: addedMillilitres / wine,
  };
}

/** Water that all treating materials together may bring into US wine, in per cent: 27 CFR 24.246(a)(2). */
export const MOST_WATER_PERCENT = 1;

export interface AdditionLimit {
  readonly place: 'US' | 'OIV' | 'EU';
  /** Names of the substance table. */
  readonly substances: readonly string[];
  readonly milligramsPerLitre: number;
  /** As the text prints it. */
  readonly printed: string;
  readonly source: string;
}

const US = '27 CFR 24.246 (2015 edition)';
const OIV = 'OIV International Code of Oenological Practices, annex of limits';
const EU = 'Regulation (EC) 606/2009, annex I A, which (EU) 2019/934 replaced';
const AMMONIUM_PHOSPHATES = ['diammonium phosphate', 'monoammonium phosphate'];

type LimitRow = readonly [substances: readonly string[], milligramsPerLitre: number, printed: string];

/** As the rule prints them in grams, rounded there from the pounds; `printed` has both. */
const US_ROWS: readonly LimitRow[] = [
  [AMMONIUM_PHOSPHATES, 960, '8 lb/1000 gal (0.96 g/L)'],
  [['thiamine'], 0.6, '0.005 lb/1000 gal (0.6 mg/L)'],
  [['yeast hulls'], 360, '3 lb/1000 gal (0.36 g/L)'],
  [['citric acid', 'citric acid monohydrate'], 700, '5.8 lb/1000 gal (0.7 g/L), to stabilise'],
  [['activated carbon'], 3000, '25 lb/1000 gal (3.0 g/L), juice and wine together,'],
  [['PVPP'], 7190, '60 lb/1000 gal (7.19 g/L), juice and wine together and filtered out,'],
  [['gum arabic'], 240, '2 lb/1000 gal (0.24 g/L), perhaps raised since,'],
  [['silica sol'], 2400, '20 lb/1000 gal (2.4 g/L) of a 30 % product, all removed again,'],
  [['potassium bitartrate'], 4190, '35 lb/1000 gal (4.19 g/L) as seed'],
  [['calcium carbonate'], 3590, '30 lb/1000 gal (3.59 g/L)'],
  [['dimethyl dicarbonate'], 200, '200 mg/L in all'],
  [['lysozyme'], 500, '500 mg/L'],
];

const OIV_ROWS: readonly LimitRow[] = [
  [['diammonium phosphate'], 300, '0.3 g/L'],
  [['ammonium sulfate'], 300, '0.3 g/L'],
  [['activated carbon'], 1000, '100 g/hL'],
  [['copper sulfate'], 10, '1 g/hL'],
  [['gum arabic'], 300, '0.3 g/L'],
  [['lysozyme'], 500, '500 mg/L'],
  [['metatartaric acid'], 100, '10 g/hL'],
  [['ascorbic acid'], 250, '250 mg/L'],
];

const EU_ROWS: readonly LimitRow[] = [
  [['diammonium phosphate', 'ammonium sulfate'], 1000, '1 g/L of ammonium salts in all,'],
  [['ascorbic acid'], 250, '250 mg/L each time'],
];

const limits = (place: AdditionLimit['place'], source: string, rows: readonly LimitRow[]): AdditionLimit[] =>
  rows.map(([substances, milligramsPerLitre, printed]) => ({ place, substances, milligramsPerLitre, printed, source }));

/**
 * The most of a substance that may be added, as read in the text named; rules that limit only what is left, or how it is
 * used, are not here. The text now in force and the local authority prevail.
 */
export const ADDITION_LIMITS: readonly AdditionLimit[] = [
  ...limits('US', US, US_ROWS),
  ...limits('OIV', OIV, OIV_ROWS),
  ...limits('EU', EU, EU_ROWS),
];

/** The limits of a substance, called by any of its names; none where no text read limits what is added. */
export function limitsOf(substance: string): readonly AdditionLimit[] {
  const name = findSubstance(substance)?.name;
  return name === undefined ? [] : ADDITION_LIMITS.filter((limit) => limit.substances.includes(name));
}

/** What each limit says of a dose in mg/L, one sentence a limit: it alone, not what went in before. */
export function limitRemarks(substance: string, milligramsPerLitre: number): readonly string[] {
  const name = findSubstance(substance)?.name ?? substance;
  return limitsOf(substance).map((limit) => {
    const verdict =
      milligramsPerLitre > limit.milligramsPerLitre
        ? 'this dose alone is more'
        : 'this dose alone is within it, earlier ones count too';
    return `${limit.place}: at most ${limit.printed} of ${name}, ${limit.source}: ${verdict}. The text in force prevails.`;
  });
}
