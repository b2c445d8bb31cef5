/** The scales on which a ferment's sugar is read, each with what a dry wine shows on it and how surely it is read. */

/** Keys of `grammar/analytes.ts`. */
export type SugarScaleKey = 'brix' | 'plato' | 'SG' | 'density' | 'oechsle' | 'baume' | 'residual sugar';

export interface SugarScale {
  readonly key: SugarScaleKey;
  readonly unit: string;
  /** Decimals a reading of it has. */
  readonly decimals: number;
  /**
   * What a must fermented dry reads. Hydrometers: −1.5 °Bx, out of −1.0 to −2.0 °Bx as the trade press gives it; the density
   * of 11 to 15 % vol of alcohol (OIML R 22) with 23 to 27 g/L of extract comes to −1.5 to −2.3 °Bx. The other scales follow
   * from 3.87 thousandths of density a degree about zero.
   */
  readonly dry: number;
  /** How far a dry wine may lie from that, as a standard deviation: 0.4 °Bx, for alcohol, extract and gas differ. */
  readonly drySpread: number;
  /** The standard deviation of one reading, sampling and temperature with it: 0.3 °Bx (common practice, no source). */
  readonly error: number;
  /** One degree Brix on this scale, midway through a ferment. */
  readonly perBrix: number;
  /**
   * At this or below a wine counts as dry: −1.0 °Bx, where dryness by hydrometer begins as the trade press gives it; 2 g/L of
   * sugar itself (common practice, no source).
   */
  readonly finished: number;
}

const DRY_BRIX = -1.5;
const DRY_SPREAD_BRIX = 0.4;
const ERROR_BRIX = 0.3;
const FINISHED_BRIX = -1;

const byDensity = (
  key: SugarScaleKey,
  unit: string,
  decimals: number,
  dry: number,
  perBrix: number,
): readonly [SugarScaleKey, SugarScale] => [
  key,
  {
    key,
    unit,
    decimals,
    dry,
    drySpread: DRY_SPREAD_BRIX * perBrix,
    error: ERROR_BRIX * perBrix,
    perBrix,
    finished: dry + (FINISHED_BRIX - DRY_BRIX) * perBrix,
  },
];

/** A degree Brix is 3.87 thousandths of SG at 0 and 4.6 at 25 °Bx (NBS Circular C440): 4.1 on the way from one to the other. */
const THOUSANDTHS = 4.1;
/** Water at 20 °C, kg/m³ (CIPM 2001). */
const WATER = 998.207;

const SCALES: ReadonlyMap<SugarScaleKey, SugarScale> = new Map([
  byDensity('brix', '°Bx', 1, DRY_BRIX, 1),
  byDensity('plato', '°P', 1, DRY_BRIX, 1),
  byDensity('SG', 'SG', 4, 0.9942, THOUSANDTHS / 1000),
  byDensity('density', 'g/L', 1, 0.9942 * WATER, (THOUSANDTHS / 1000) * WATER),
  byDensity('oechsle', '°Oe', 0, -5.8, THOUSANDTHS),
  byDensity('baume', '°Bé', 1, -0.85, 0.55),
  // Sugar itself: dry is next to nothing (2 g/L and 2 about it); analysis and sampling are surer to 3 g/L at best.
  [
    'residual sugar',
    { key: 'residual sugar', unit: 'g/L', decimals: 1, dry: 2, drySpread: 2, error: 3, perBrix: 9, finished: 2 },
  ] as const,
]);

/** The scale of an analyte; `undefined` for one that measures no sugar. */
export function sugarScale(key: string): SugarScale | undefined {
  return SCALES.get(key as SugarScaleKey);
}

/** What so many degrees Brix of a hydrometer are on a scale, about: a ferment passes both at the same time. */
export function fromBrix(brix: number, { dry, perBrix }: SugarScale): number {
  return dry + (brix - DRY_BRIX) * perBrix;
}

/** A value of a scale with its unit, for people: `12.4 °Bx`, `SG 1.0503`. */
export function sugarText(value: number, { unit, decimals }: SugarScale): string {
  const text = signless(value.toFixed(decimals));
  return unit === 'SG' ? `SG ${text}` : `${text} ${unit}`;
}

/** A difference on a scale with its unit; one of SG is in thousandths. */
export function sugarChangeText(change: number, { unit, decimals }: SugarScale): string {
  return unit === 'SG'
    ? `${signless((change * 1000).toFixed(1))} thousandths of SG`
    : `${signless(change.toFixed(decimals))} ${unit}`;
}

/** A figure that rounds to nothing has no sign. */
const signless = (text: string): string => (/^-0(?:\.0*)?$/.test(text) ? text.slice(1) : text);
