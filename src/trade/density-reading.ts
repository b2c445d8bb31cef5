/** Any density reading of a must in any other scale, by the relative density 20/20 °C that all of them stand for. */
import {
  baume,
  densityOfRelativeDensity,
  kmwOfOechsle,
  oechsle,
  oechsleOfKmw,
  relativeDensityOfBaume,
  relativeDensityOfDensity,
  relativeDensityOfOechsle,
} from './must-scales.ts';
import { mustSugarOfDensity } from './must-sugar.ts';
import {
  brixOfRelativeDensityInAir,
  inAir,
  inVacuo,
  platoOfRelativeDensityInAir,
  relativeDensityInAirOfBrix,
  relativeDensityInAirOfPlato,
} from './sucrose.ts';
import { andThen, outside, type Worked } from './worked.ts';

/** The scales a reading may be on. The names are those of the journal's measurements, but for the last. */
export type DensityScale = 'brix' | 'SG' | 'density' | 'oechsle' | 'baume' | 'plato' | 'KMW';

/** What a reading may be turned into: any scale, or the sugar of a must in g/L. */
export type DensityTarget = DensityScale | 'sugar';

interface Scale {
  /** To the true relative density 20/20 °C, and back. `modulus` is that of a Baumé hydrometer. */
  readonly read: (value: number, modulus: number) => Worked;
  readonly show: (relativeDensity: number, modulus: number) => Worked;
  /** How it goes, for people. */
  readonly route: string;
}

const SCALES: Readonly<Record<DensityScale, Scale>> = {
  brix: {
    read: (value) => andThen(relativeDensityInAirOfBrix(value), inVacuo),
    show: (relative) => andThen(inAir(relative), brixOfRelativeDensityInAir),
    route: '°Brix by the sugar table of NBS C440, which weighs in air',
  },
  SG: {
    read: (value) => outside(value, 0.98, 1.2, 'a specific gravity', '') ?? value,
    show: (relative) => outside(relative, 0.98, 1.2, 'a specific gravity', '') ?? relative,
    route: 'specific gravity as true relative density 20/20 °C',
  },
  density: {
    read: relativeDensityOfDensity,
    show: densityOfRelativeDensity,
    route: 'density at 20 °C against water of 998.2067 g/L (CIPM)',
  },
  oechsle: {
    read: relativeDensityOfOechsle,
    show: oechsle,
    route: '°Oechsle as 1000 (relative density − 1)',
  },
  baume: {
    read: relativeDensityOfBaume,
    show: baume,
    route: '°Baumé as modulus − modulus / relative density',
  },
  plato: {
    read: (value) => andThen(relativeDensityInAirOfPlato(value), inVacuo),
    show: (relative) => andThen(inAir(relative), platoOfRelativeDensityInAir),
    route: '°Plato by the sugar table of the ASBC, which weighs in air',
  },
  KMW: {
    read: (value) => andThen(oechsleOfKmw(value), relativeDensityOfOechsle),
    show: (relative) => andThen(oechsle(relative), kmwOfOechsle),
    route: '°KMW by the legal relation of Austria, through °Oechsle',
  },
};

const SUGAR_ROUTE = 'sugar of a must of this density by OIV-MA-AS2-02, Table II';

/** The modulus of Baumé hydrometers where none is named: that of the United States and of the sugar tables. */
export const USUAL_BAUME_MODULUS = 145;

export interface Converted {
  readonly value: number;
  /** By which tables and formulas the value was got, one after the other, for people. */
  readonly route: readonly [from: string, to: string];
}

/** True relative density 20/20 °C of a reading at 20 °C on a scale, within the range of that scale's own formula. */
export function relativeDensityOfReading(value: number, scale: DensityScale, modulus = USUAL_BAUME_MODULUS): Worked {
  return SCALES[scale].read(value, modulus);
}

/**
 * A density reading at 20 °C in another scale, or as glucose and fructose of a must in g/L, with the route it went.
 *
 * Brix here is a hydrometer's: a refractometer in must reads 0.2 to 0.4 °Bx lower (`mustByRefractometer`). Ranges are
 * those of the formulas at both ends. Sugar only for must that has not begun to ferment, 1039 to 1128 g/L.
 */
export function convertDensity(
  value: number,
  from: DensityScale,
  to: DensityTarget,
  modulus: number = USUAL_BAUME_MODULUS,
): Worked<Converted> {
  return andThen(relativeDensityOfReading(value, from, modulus), (relative) => {
    const shown =
      to === 'sugar'
        ? andThen(densityOfRelativeDensity(relative), mustSugarOfDensity)
        : SCALES[to].show(relative, modulus);
    const route = [SCALES[from].route, to === 'sugar' ? SUGAR_ROUTE : SCALES[to].route] as const;
    return andThen(shown, (found) => ({ value: found, route }));
  });
}
