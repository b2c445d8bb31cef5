/** What of a wine blends by volume, and how well a cellar knows it. */

export interface ByVolume {
  /** The key of the analyte. */
  readonly analyte: string;
  /**
   * Standard uncertainty of one reading in the analyte's unit, where nothing else is known of it: common practice for the
   * usual methods of a cellar, from memory, no source.
   */
  readonly uncertainty: number;
  /** Decimal places a blend's figure is told with. */
  readonly places: number;
  /** By how much a bound is eased to see what it costs. */
  readonly ease: number;
  /** What else happens than mixing, where something does. */
  readonly remark?: string;
}

const row = (analyte: string, uncertainty: number, places: number, ease: number, remark?: string): ByVolume => ({
  analyte,
  uncertainty,
  places,
  ease,
  ...(remark === undefined ? {} : { remark }),
});

export const BY_VOLUME: readonly ByVolume[] = [
  row('alcohol', 0.1, 2, 0.1),
  row('TA', 0.1, 2, 0.1),
  row('TA-sulfuric', 0.07, 2, 0.1),
  row('VA', 0.04, 2, 0.02),
  row('malic', 0.05, 2, 0.05),
  row('lactic', 0.1, 2, 0.1),
  row('tartaric', 0.1, 2, 0.1),
  row('citric', 0.03, 2, 0.05),
  row('glucose fructose', 0.2, 1, 0.2),
  row('residual sugar', 0.3, 1, 0.2),
  row('free SO2', 3, 0, 1, 'free SO₂ is mixed by volume here; some of it is bound anew in the blend: measure it after'),
  row('total SO2', 5, 0, 1),
  row('YAN', 10, 0, 5),
  row('ammonium', 5, 0, 5),
  row('CO2', 0.1, 2, 0.1, 'carbon dioxide is mixed by volume here; pumping drives some of it off'),
  row('colour', 0.3, 1, 0.2, 'colour is mixed by volume here; pH and SO₂ of the blend shift it: look at it after'),
  row('potassium', 40, 0, 20),
  row('calcium', 5, 0, 5),
  row('copper', 0.05, 2, 0.05),
  row('iron', 0.3, 1, 0.2),
];

const BY_KEY: ReadonlyMap<string, ByVolume> = new Map(BY_VOLUME.map((one) => [one.analyte, one]));

export const byVolume = (analyte: string): ByVolume | undefined => BY_KEY.get(analyte);
