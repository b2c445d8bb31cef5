/** What fruit gave: must yield and wine yield, each defined once. */
import { yieldOf } from './convert.ts';

/** Volumes in microlitres, the weight of the fruit in micrograms. */
export interface FruitGave {
  /** Fruit that went into the crusher or the press: received, less what was sorted out. */
  readonly used: number;
  /** Must as it was first written: with its skins where fruit was crushed, juice where it was pressed. */
  readonly made: number;
  /** By how much the must turned out to be more, or less (below zero), than was first written. */
  readonly settled: number;
  /** Must that stayed with the pomace. */
  readonly pomace: number;
}

/**
 * Must yield: must as it was first written, over the fruit used. With skins and pips in it where fruit was crushed, so that
 * it is not to be compared with juice. In nanolitres a kilogram (a million of them are a litre a tonne); undefined where no
 * fruit was used or nothing came of it.
 */
export function mustYield({ used, made }: Pick<FruitGave, 'used' | 'made'>): number | undefined {
  return used > 0 && made > 0 ? yieldOf(Math.round(made), Math.round(used)) : undefined;
}

/** Litres that left the skins, whatever became of them later: free run and pressings, their lees still in them. */
export const offTheSkins = ({ made, settled, pomace }: Omit<FruitGave, 'used'>): number => made + settled - pomace;

/**
 * Wine yield: free run and pressings with their lees, over the fruit used; juice where fruit was pressed as it came. What is
 * lost later (lees, evaporation, filters) is no matter of the fruit and is not taken off. So the trade counts it at the press:
 * American Journal of Enology and Viticulture 34 (1983) has 130 to 185 US gallons a short ton. Known once the must is
 * pressed. In nanolitres a kilogram; undefined where no fruit was used or nothing came of it.
 */
export function wineYield(gave: FruitGave): number | undefined {
  const wine = offTheSkins(gave);
  return gave.used > 0 && wine > 0 ? yieldOf(Math.round(wine), Math.round(gave.used)) : undefined;
}

/** Litres a tonne of a yield in nanolitres a kilogram. */
export const litresPerTonne = (perKilogram: number): number => perKilogram / 1_000_000;
