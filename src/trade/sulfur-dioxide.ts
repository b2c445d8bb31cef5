/** Molecular sulfur dioxide: the share of the free that is not ionised, by two methods that are never mixed. */
import { firstRefusal, isRefused, outside, refuse, type Worked } from './worked.ts';

/**
 * By which constant a molecular figure was worked out: the plain constant of water, or the tables of the OIV. The two
 * differ by a fourth to a half in wine, so a chart or a comparison holds figures of one method alone.
 */
export type SulfurDioxideMethod = 'plain' | 'oiv';

export const SULFUR_DIOXIDE_METHODS: readonly SulfurDioxideMethod[] = ['plain', 'oiv'];

/** Each method as it is printed beside its figures. */
export const SULFUR_DIOXIDE_METHOD_NAMES: Readonly<Record<SulfurDioxideMethod, string>> = {
  plain: 'pKa 1.81, water at 20 °C',
  oiv: 'OIV-MA-AS323-04C, mixed constant',
};

/** What a method asks of the wine. The plain one knows neither alcohol nor temperature. */
export type SulfurDioxideConditions =
  | { readonly method: 'plain'; readonly pH: number }
  | { readonly method: 'oiv'; readonly pH: number; readonly percentVolume: number; readonly celsius: number };

/** A molecular figure and the free one it belongs to. */
export interface MolecularSulfurDioxide {
  /** In mg/L. */
  readonly molecular: number;
  /** In mg/L. */
  readonly free: number;
  /** Molecular over free, 0 to 1. */
  readonly share: number;
  /** The constant the share rests on. */
  readonly pK: number;
  readonly method: SulfurDioxideMethod;
}

/**
 * The first constant of sulfurous acid in water at 20 °C as the trade uses it: University of California Cooperative
 * Extension, Enology Briefs I (1982), and most bulletins since. Others print 1.77.
 */
export const PLAIN_PK = 1.81;

/** Alcohol by volume of the rows, and temperature of the columns, of the OIV's tables. */
const TABLE_ALCOHOL: readonly number[] = [0, 5, 10, 15, 20];
const TABLE_CELSIUS: readonly number[] = [20, 25, 30, 35, 40];

/**
 * OIV-MA-AS323-04C, Table 1: the thermodynamic constant pKT, a row for each alcohol, a column for each temperature (after
 * Usseglio-Tomasset and Bosia, 1984). The row for 20 % vol is from memory, the others were read.
 */
const THERMODYNAMIC: readonly (readonly number[])[] = [
  [1.798, 2.0, 2.219, 2.334, 2.493],
  [1.897, 2.098, 2.299, 2.397, 2.527],
  [1.997, 2.198, 2.394, 2.488, 2.606],
  [2.099, 2.301, 2.503, 2.607, 2.728],
  [2.203, 2.406, 2.628, 2.754, 2.895],
];

/**
 * OIV-MA-AS323-04C, Table 2, its column for 20 °C: the mixed constant pKM at the ionic strength 0.038 mol/L of an average
 * wine. From memory; it lies within 0.002 of the method's own formula, pKM = pKT − A√I / (1 + B√I), which was read.
 */
const MIXED_AT_20: readonly number[] = [1.723, 1.819, 1.916, 2.014, 2.114];

/** Where between two table values a value lies: the index of the lower one, and the share of the way to the next. */
function place(value: number, values: readonly number[]): { readonly index: number; readonly share: number } {
  let index = 0;
  while (index < values.length - 2 && value > (values[index + 1] ?? 0)) index += 1;
  const low = values[index] ?? 0;
  const high = values[index + 1] ?? low;
  return { index, share: (value - low) / (high - low) };
}

/** The value a share of the way from one table value to the next: exact at both ends. */
function between(values: readonly number[], at: { readonly index: number; readonly share: number }): number {
  const low = values[at.index] ?? Number.NaN;
  const high = values[at.index + 1] ?? Number.NaN;
  return low * (1 - at.share) + high * at.share;
}

function outsideTables(percentVolume: number, celsius: number) {
  const cold =
    celsius < 20
      ? refuse(
          `a temperature of ${celsius} °C lies below 20 °C, where the tables of OIV-MA-AS323-04C begin: ask for 20 °C, ` +
            'the usual reference (in colder wine the molecular share is smaller), or take the plain method, which knows ' +
            'no temperature',
        )
      : undefined;
  return firstRefusal(
    outside(percentVolume, 0, 20, 'alcohol', '% vol'),
    cold,
    outside(celsius, 20, 40, 'a temperature', '°C'),
  );
}

/**
 * The thermodynamic constant pKT of sulfurous acid in wine.
 *
 * Table 1 of OIV-MA-AS323-04C, linear between its rows and columns; refused outside 0 to 20 % vol and 20 to 40 °C. The row
 * for 20 % vol is from memory.
 */
export function thermodynamicPK(percentVolume: number, celsius: number): Worked {
  const refused = outsideTables(percentVolume, celsius);
  if (refused !== undefined) return refused;
  const column = place(celsius, TABLE_CELSIUS);
  return between(
    THERMODYNAMIC.map((row) => between(row, column)),
    place(percentVolume, TABLE_ALCOHOL),
  );
}

/**
 * The mixed constant pKM, which goes with pH as a meter shows it, at the ionic strength 0.038 mol/L of an average wine.
 *
 * pKT less a step for ionic strength: 0.075 in water to 0.089 at 20 % vol, the difference of Tables 1 and 2 of
 * OIV-MA-AS323-04C at 20 °C, taken at other temperatures too. By the method's own formula the step grows by at most 0.004
 * from 20 to 40 °C, which is 1 % of the molecular figure. Refused outside 0 to 20 % vol and 20 to 40 °C.
 */
export function mixedPK(percentVolume: number, celsius: number): Worked {
  const thermodynamic = thermodynamicPK(percentVolume, celsius);
  if (isRefused(thermodynamic)) return thermodynamic;
  const steps = THERMODYNAMIC.map((row, index) => (row[0] ?? Number.NaN) - (MIXED_AT_20[index] ?? Number.NaN));
  return thermodynamic - between(steps, place(percentVolume, TABLE_ALCOHOL));
}

/** The constant a method takes for a wine: 1.81, or the mixed constant of the OIV. */
export function sulfurDioxidePK(conditions: SulfurDioxideConditions): Worked {
  return conditions.method === 'plain' ? PLAIN_PK : mixedPK(conditions.percentVolume, conditions.celsius);
}

/**
 * The molecular share of free sulfur dioxide, 0 to 1: 1 / (1 + 10^(pH − pK)).
 *
 * OIV-MA-AS323-04C, equation 1. The second step of the acid (pK about 7.2) is left out: at most 0.2 % of the free at pH
 * 4.5. Refused outside pH 2.5 to 4.5 and pK 1 to 3.
 */
export function molecularShare(pH: number, pK: number): Worked {
  return firstRefusal(outside(pH, 2.5, 4.5, 'a pH', ''), outside(pK, 1, 3, 'a pK', '')) ?? 1 / (1 + 10 ** (pH - pK));
}

function shareBy(conditions: SulfurDioxideConditions): Worked<{ readonly share: number; readonly pK: number }> {
  const pK = sulfurDioxidePK(conditions);
  if (isRefused(pK)) return pK;
  const share = molecularShare(conditions.pH, pK);
  return isRefused(share) ? share : { share, pK };
}

/**
 * The molecular sulfur dioxide, in mg/L, of a free reading in mg/L: free × share. Not rounded.
 *
 * Refused for free outside 0 to 500 mg/L, and where `molecularShare` or the method's constant is.
 */
export function molecularSulfurDioxide(
  free: number,
  conditions: SulfurDioxideConditions,
): Worked<MolecularSulfurDioxide> {
  const refused = outside(free, 0, 500, 'free sulfur dioxide', 'mg/L');
  if (refused !== undefined) return refused;
  const by = shareBy(conditions);
  return isRefused(by) ? by : { ...by, free, molecular: free * by.share, method: conditions.method };
}

/**
 * The free sulfur dioxide, in mg/L, that gives a molecular target in mg/L: target / share. Not rounded.
 *
 * Refused for a target outside 0 to 5 mg/L, and where `molecularShare` or the method's constant is.
 */
export function freeForMolecular(target: number, conditions: SulfurDioxideConditions): Worked<MolecularSulfurDioxide> {
  const refused = outside(target, 0, 5, 'molecular sulfur dioxide', 'mg/L');
  if (refused !== undefined) return refused;
  const by = shareBy(conditions);
  return isRefused(by) ? by : { ...by, free: target / by.share, molecular: target, method: conditions.method };
}
