/** The inputs and sources that several calculations on sugar share. */
import { SUGAR_PER_ALCOHOL } from '../must-sugar.ts';
import type { Given, Input } from './calculation.ts';

export const NBS =
  'NBS Circular C440, Polarimetry, Saccharimetry and the Sugars (Bates et al., 1942), as fitted by a cubic';
export const ICUMSA = 'ICUMSA SPS-4; Bubnik, Kadlec, Urban & Bruhns, Sugar Technologists Manual (1995) p. 164';
export const OIV_MUST = 'OIV-MA-AS2-02 (Oeno 21/2004, rev. 466/2012), Tables I and II';
export const ARRETE = 'French Arrêté of 14 September 2011 (JORF 24 September 2011), annexes I and IV';
export const GERMAN_LAW = 'Weinverordnung 1995 (Germany), Anlage 8 to § 17 (BGBl. I 2009, 866)';
export const US_SUGAR_VOLUME = '27 CFR 24.181: 13.5 lb of dry sugar take up one US gallon';

/** The volume of a must. */
export const litres: Input = {
  name: 'volume',
  say: 'volume of the must',
  unit: 'L',
  dimensions: ['volume'],
  record: 'volume',
};

/** A Brix reading, said for what it is. */
export const brixInput = (say: string): Input => ({ name: 'brix', say, unit: '°Bx', record: 'brix' });

/** Which convention turns sugar into alcohol. */
export const perPercent: Input = {
  name: 'per-percent',
  say: 'sugar that is taken to give 1 % vol, in g/L',
  unit: '',
  choices: SUGAR_PER_ALCOHOL.map(String),
};

/** The chosen convention in g/L sugar for 1 % vol; the first where none was chosen. */
export const conventionOf = (given: Given): number => Number(given.words['per-percent'] ?? SUGAR_PER_ALCOHOL[0]);

/** A figure that has to be given; no number where it is not, which every formula refuses. */
export const needed = (given: Given, name: string): number => given.figures[name] ?? Number.NaN;

/** What a figure on a label has to be is measured, not worked out. */
export const NOT_A_LABEL =
  'A promise of alcohol is no measurement: what a label or a tax return states is measured in the wine, as the law of the place says.';
