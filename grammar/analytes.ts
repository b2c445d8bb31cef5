/** What can be measured, one row an analyte: its words, the units it takes, and the range beyond which a slip is likely. */
import type { Dimension } from './units.ts';

export interface Analyte {
  /** The name pages and exports use. */
  readonly key: string;
  /** Every accepted spelling, the usual one first. */
  readonly words: readonly string[];
  /** True where the word fixes the unit and a number alone is complete. */
  readonly fixed: boolean;
  /** The dimensions its unit may have; empty for a bare scale. */
  readonly dimensions: readonly Dimension[];
  /** The unit reports use, and what a fixed word means. */
  readonly unit: string;
  /** Readings outside are likely slips (common practice, no source), in `unit`. */
  readonly plausible: readonly [number, number];
  readonly say: string;
}

const row = (
  key: string,
  words: string[],
  unit: string,
  plausible: [number, number],
  dimensions: Dimension[],
  say: string,
): Analyte => ({ key, words: [key, ...words], fixed: dimensions.length === 0, dimensions, unit, plausible, say });

export const ANALYTES: readonly Analyte[] = [
  row('brix', ['bx'], '°Bx', [-4, 40], [], 'sugar by mass as a hydrometer or refractometer shows it'),
  row('SG', ['sg'], 'SG', [0.98, 1.2], [], 'specific gravity, 20/20 °C'),
  row('density', [], 'g/L', [980, 1200], ['mass per volume'], 'density'),
  row('oechsle', [], '°Oe', [-20, 180], [], 'degrees Oechsle'),
  row('baume', ['baumé'], '°Bé', [-2, 22], [], 'degrees Baumé'),
  row('plato', [], '°P', [-4, 40], [], 'degrees Plato'),
  row('temp', ['temperature'], '°C', [-6, 45], ['temperature'], 'temperature of the liquid'),
  row('cap temp', ['cap temperature'], '°C', [-6, 50], ['temperature'], 'temperature in the cap'),
  row('ambient temp', [], '°C', [-25, 50], ['temperature'], 'temperature of the room'),
  row('pH', ['ph'], 'pH', [2.5, 4.6], [], 'pH'),
  row('TA', ['ta', 'total acidity'], 'g/L', [2, 18], ['mass per volume'], 'total acidity as tartaric'),
  row('TA-sulfuric', [], 'g/L', [1.5, 12], ['mass per volume'], 'total acidity as sulfuric'),
  row('VA', ['va', 'volatile acidity'], 'g/L', [0, 2.5], ['mass per volume'], 'volatile acidity as acetic'),
  row('malic', ['malic acid'], 'g/L', [0, 12], ['mass per volume'], 'malic acid'),
  row('lactic', ['lactic acid'], 'g/L', [0, 8], ['mass per volume'], 'lactic acid'),
  row('tartaric', ['tartaric acid'], 'g/L', [0, 10], ['mass per volume'], 'tartaric acid'),
  row('citric', ['citric acid'], 'g/L', [0, 3], ['mass per volume'], 'citric acid'),
  row('YAN', ['yan'], 'mg/L', [10, 600], ['mass per volume'], 'nitrogen that yeast can use'),
  row('ammonium', [], 'mg/L', [0, 300], ['mass per volume'], 'ammonium nitrogen'),
  row('glucose fructose', ['glucose+fructose', 'g+f'], 'g/L', [0, 350], ['mass per volume'], 'glucose and fructose'),
  row('residual sugar', ['sugar', 'rs'], 'g/L', [0, 350], ['mass per volume'], 'reducing sugar'),
  row('alcohol', ['abv'], '%vol', [0, 22], ['percent'], 'alcohol by volume at 20 °C'),
  row('free SO2', ['free'], 'mg/L', [0, 120], ['mass per volume'], 'free sulfur dioxide'),
  row('total SO2', ['total'], 'mg/L', [0, 400], ['mass per volume'], 'total sulfur dioxide'),
  row('molecular SO2', ['molecular'], 'mg/L', [0, 3], ['mass per volume'], 'molecular sulfur dioxide'),
  row('turbidity', ['ntu'], 'NTU', [0, 4000], ['turbidity'], 'turbidity'),
  row('dissolved oxygen', ['oxygen'], 'mg/L', [0, 12], ['mass per volume'], 'dissolved oxygen'),
  row('CO2', ['co2'], 'g/L', [0, 8], ['mass per volume'], 'dissolved carbon dioxide'),
  row('colour', ['color'], 'AU', [0, 60], [], 'colour intensity'),
  row('potassium', [], 'mg/L', [0, 4000], ['mass per volume'], 'potassium'),
  row('calcium', [], 'mg/L', [0, 300], ['mass per volume'], 'calcium'),
  row('copper', [], 'mg/L', [0, 10], ['mass per volume'], 'copper'),
  row('iron', [], 'mg/L', [0, 40], ['mass per volume'], 'iron'),
  row('pressure', [], 'bar', [0, 8], ['pressure'], 'pressure in the vessel'),
];

const BY_WORD: ReadonlyMap<string, Analyte> = new Map(
  ANALYTES.flatMap((analyte) => analyte.words.map((word) => [word.toLowerCase(), analyte] as const)),
);

/** The analyte a word, or words joined by one blank, name; case does not matter. */
export function findAnalyte(words: string): Analyte | undefined {
  return BY_WORD.get(words) ?? BY_WORD.get(words.toLowerCase());
}

/** Every word an analyte can be called by, for suggestions. */
export const ANALYTE_WORDS: readonly string[] = ANALYTES.flatMap((analyte) => analyte.words);

const PLACE: ReadonlyMap<string, number> = new Map(ANALYTES.map(({ key }, at) => [key, at]));

/** Analytes, each once, in the order of the table. */
export const inAnalyteOrder = (keys: readonly string[]): string[] =>
  [...new Set(keys)].sort((a, b) => (PLACE.get(a) ?? PLACE.size) - (PLACE.get(b) ?? PLACE.size));
