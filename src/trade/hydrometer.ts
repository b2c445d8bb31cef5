/** Hydrometer readings taken at another temperature than the hydrometer was made for. */
import { brixOfDensity, sucroseDensity } from './sucrose.ts';
import { andThen, firstRefusal, outside, refuse, type Worked } from './worked.ts';

/** How much a glass hydrometer grows, in volume, for each degree. */
const GLASS_GROWS = 25e-6;

/** The temperatures hydrometers for must are made for, in °C: 20 °C, and 60 °F. */
export const CALIBRATED_20C = 20;
export const CALIBRATED_60F = (60 - 32) / 1.8;

/** What a sample's reading comes to at the temperature the hydrometer was made for. */
export interface AtCalibration {
  /** % sucrose by mass: the same on every scale. */
  readonly brix: number;
  /** Relative density against water, both at the hydrometer's temperature. */
  readonly relativeDensity: number;
}

/**
 * Sugar of a sample in °Brix, from the density in g/L that its hydrometer stands for, at the temperature it was read
 * at.
 *
 * A hydrometer made for temperature c that reads the density R stands, at t, in a liquid of R / (1 + 25·10⁻⁶ (t − c));
 * the sugar is that of the sucrose solution (ICUMSA SPS-4) of this density at t.
 */
function sugarAt(densityRead: number, celsius: number, madeFor: number): Worked {
  const density = densityRead / (1 + GLASS_GROWS * (celsius - madeFor));
  return andThen(sucroseDensity(0, celsius), (water) =>
    density < water
      ? refuse(
          'this is lighter than water: bring a sample without sugar, or with alcohol, to the temperature on the hydrometer',
        )
      : brixOfDensity(density, celsius),
  );
}

const temperaturesFit = (celsius: number, madeFor: number) =>
  firstRefusal(
    outside(celsius, 0, 40, 'a temperature', '°C'),
    outside(madeFor, CALIBRATED_60F, CALIBRATED_20C, "the hydrometer's temperature", '°C'),
  );

function atCalibration(brix: number, madeFor: number): Worked<AtCalibration> {
  return andThen(sucroseDensity(brix, madeFor), (density) =>
    andThen(sucroseDensity(0, madeFor), (water) => ({ brix, relativeDensity: density / water })),
  );
}

/**
 * A Brix hydrometer's reading (0 to 40 °Bx) at 0 to 40 °C, brought to the temperature it was made for (60 °F to 20 °C).
 *
 * By physics (glass 25·10⁻⁶ per K, sucrose densities of ICUMSA SPS-4). The table of NBS C440 lies within 0.02 °Bx from
 * 10 to 25 °C and 0.05 from 5 to 40 °C. For must before it ferments; in ferment its alcohol makes it grow otherwise.
 */
export function correctBrixHydrometer(reading: number, celsius: number, madeFor: number): Worked<AtCalibration> {
  const wrong = outside(reading, 0, 40, 'a hydrometer reading', '°Bx') ?? temperaturesFit(celsius, madeFor);
  if (wrong !== undefined) return wrong;
  return andThen(sucroseDensity(reading, madeFor), (density) =>
    andThen(sugarAt(density, celsius, madeFor), (brix) => atCalibration(brix, madeFor)),
  );
}

/**
 * A relative-density hydrometer's reading (1 to 1.17) at 0 to 40 °C, brought to the temperature it was made for (60 °F
 * to 20 °C).
 *
 * As `correctBrixHydrometer`. A cubic often copied for this follows water, and lies up to 0.0012 from must.
 */
export function correctSgHydrometer(reading: number, celsius: number, madeFor: number): Worked<AtCalibration> {
  const wrong = outside(reading, 1, 1.17, 'a hydrometer reading', '') ?? temperaturesFit(celsius, madeFor);
  if (wrong !== undefined) return wrong;
  return andThen(sucroseDensity(0, madeFor), (water) =>
    andThen(sugarAt(reading * water, celsius, madeFor), (brix) => atCalibration(brix, madeFor)),
  );
}
