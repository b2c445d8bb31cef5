/** Density of water, against which every must scale is measured. */
import { outside, type Worked } from './worked.ts';

/** Coefficients a1 to a5 of the CIPM formula. */
const A1 = -3.983035;
const A2 = 301.797;
const A3 = 522_528.9;
const A4 = 69.34881;
const A5 = 999.97495;

/**
 * Density in kg/m³ (= g/L) of clean, air-free water at 101.325 kPa.
 *
 * ρ = a5 (1 − (t + a1)² (t + a2) / (a3 (t + a4))), t from 0 to 40 °C; not rounded, uncertain by 0.001 kg/m³. CIPM
 * formula: Tanaka et al., Metrologia 38 (2001) 301–309.
 */
export function waterDensity(celsius: number): Worked {
  const fall = ((celsius + A1) ** 2 * (celsius + A2)) / (A3 * (celsius + A4));
  return outside(celsius, 0, 40, 'a temperature', '°C') ?? A5 * (1 - fall);
}
