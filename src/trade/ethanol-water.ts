/** Ethanol and water mixed: density, strength by mass and by volume, after the international alcoholometric tables. */
import { andThen, firstRefusal, outside, type Refused, refuse, type Worked } from './worked.ts';

/** kg/m³, by powers 0 to 11 of the mass fraction. OIML R 22 (1973/75) = Council Directive 76/766/EEC, annex. */
const A = [
  998.20123, -192.9769495, 389.1238958, -1668.103923, 13_522.15441, -88_292.78388, 306_287.4042, -613_838.1234,
  747_017.2998, -547_846.1354, 223_446.0334, -39_032.85426,
];

/** By powers 1 to 6 of t − 20 °C. */
const B = [-2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.169354e-9, -9.9739231e-11];

/** Row i by powers 1 and up of the mass fraction, times (t − 20 °C) to the power i + 1. */
const C = [
  [
    1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2, 3.924090430035045e3,
    -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4, 1.852373922069467e4, -7.420201433430137e3,
    1.285617841998974e3,
  ],
  [
    -1.19301300505701e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1, -5.029988758547014e1,
    1.09635566657757e2, -1.422753946421155e2, 1.08043594285623e2, -4.414153236817392e1, 7.442971530188783,
  ],
  [
    -6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.02299296671922, -2.895696483903638,
    4.810060584300675, -4.672147440794683, 2.458043105903461, -5.411227621436812e-1,
  ],
  [4.075376675622027e-6, -8.76305857347111e-6, 6.515031360099368e-6, -1.51578483698721e-6],
  [-2.788074354782409e-8, 1.345612883493354e-8],
];

/** Where the formula holds, °C. */
const COLDEST = -20;
const WARMEST = 40;

/** What % vol is counted at: 20 °C nearly everywhere, 60 °F in the United States (27 CFR 30.11). */
export const STANDARD_CELSIUS = 20;
export const US_STANDARD_CELSIUS = (60 - 32) / 1.8;

/** Where ice begins, °C, at these mass fractions of ethanol and on straight lines between (handbook values, from memory). */
const ICE: readonly (readonly [massFraction: number, celsius: number])[] = [
  [0.1, -4.4],
  [0.2, -10.9],
  [0.3, -20.5],
];

/** c₀ + c₁x + c₂x² + … */
function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);
}

function densityAt(massFraction: number, celsius: number): number {
  const warmer = celsius - STANDARD_CELSIUS;
  if (warmer === 0) return polynomial(A, massFraction);
  const mixed = C.map((row) => massFraction * polynomial(row, massFraction));
  return polynomial(A, massFraction) + warmer * polynomial(B, warmer) + warmer * polynomial(mixed, warmer);
}

/** The weakest mixture that is liquid, as a mass fraction. */
function weakestLiquid(celsius: number): number {
  if (celsius >= 0) return 0;
  let [weaker, warmer] = [0, 0];
  for (const [massFraction, freezes] of ICE) {
    if (freezes <= celsius) return weaker + ((massFraction - weaker) * (celsius - warmer)) / (freezes - warmer);
    [weaker, warmer] = [massFraction, freezes];
  }
  return weaker;
}

const temperatureFits = (celsius: number): Refused | undefined =>
  outside(celsius, COLDEST, WARMEST, 'a temperature', '°C');

/** Halvings of a bracket: after so many it is 10⁻¹⁸ of its width. */
const HALVINGS = 60;

/**
 * The value between low and high at which a rising function reaches a target, by halving. The function must rise, and reach
 * the target between the two; where it does not, the nearer end comes out.
 */
export function whereRising(of: (x: number) => number, target: number, low: number, high: number): number {
  let [under, over] = [low, high];
  for (let halving = 0; halving < HALVINGS; halving += 1) {
    const middle = (under + over) / 2;
    if (of(middle) < target) under = middle;
    else over = middle;
  }
  return (under + over) / 2;
}

/**
 * Density of ethanol and water in kg/m³ (= g/L), in vacuo.
 *
 * ρ = Σ A·p^(k−1) + Σ B·(t−20)^k + ΣΣ C·p^k·(t−20)^i, p the mass fraction of ethanol (0 to 1), t in °C from −20 to 40,
 * and liquid. OIML R 22, International Alcoholometric Tables (1973/75), general formula; the same as Council Directive
 * 76/766/EEC and OIV-MA-AS312. Its tables print two decimals.
 */
export function ethanolWaterDensity(massFraction: number, celsius: number): Worked {
  const wrong =
    firstRefusal(outside(massFraction, 0, 1, 'a share of alcohol by mass', ''), temperatureFits(celsius)) ??
    (massFraction < weakestLiquid(celsius) ? refuse('a mixture this weak is ice at this temperature') : undefined);
  return wrong ?? densityAt(massFraction, celsius);
}

/**
 * % vol of a mass fraction of ethanol, both volumes at `celsius`: 20 °C nearly everywhere, 60 °F in the United States.
 *
 * q = 100 p ρ(p, t) / ρ(1, t), p from 0 to 1, t from 0 to 40 °C. OIML R 22.
 */
export function percentVolumeOf(massFraction: number, celsius = STANDARD_CELSIUS): Worked {
  const wrong = firstRefusal(
    outside(massFraction, 0, 1, 'a share of alcohol by mass', ''),
    outside(celsius, 0, WARMEST, 'a temperature', '°C'),
  );
  return wrong ?? (100 * massFraction * densityAt(massFraction, celsius)) / densityAt(1, celsius);
}

/** The mass fraction of ethanol (0 to 1) in a mixture of so many % vol at 20 °C: `percentVolumeOf` turned round by bracketing. */
export function massFractionOf(percentVolume: number): Worked {
  return (
    outside(percentVolume, 0, 100, 'alcohol', '% vol') ??
    whereRising((p) => (p * densityAt(p, STANDARD_CELSIUS)) / densityAt(1, STANDARD_CELSIUS), percentVolume / 100, 0, 1)
  );
}

/**
 * The mass fraction of ethanol (0 to 1) in a mixture of so many kg/m³ at `celsius`: `ethanolWaterDensity` turned round by
 * bracketing. Refuses densities that no liquid mixture of the two has at that temperature. Only ethanol and water:
 * a distillate, never a wine with its extract. OIML R 22, tables Va and VI.
 */
export function massFractionOfDensity(kilogramsPerCubicMetre: number, celsius: number): Worked {
  const cold = temperatureFits(celsius);
  if (cold !== undefined) return cold;
  const weakest = weakestLiquid(celsius);
  const lightest = densityAt(1, celsius);
  const heaviest = densityAt(weakest, celsius);
  if (!(kilogramsPerCubicMetre >= lightest && kilogramsPerCubicMetre <= heaviest)) {
    return refuse(
      `no liquid of alcohol and water alone has this density at this temperature: it lies between ${lightest.toFixed(2)} and ${heaviest.toFixed(2)} g/L`,
    );
  }
  return whereRising((p) => -densityAt(p, celsius), -kilogramsPerCubicMetre, weakest, 1);
}

/** Density in kg/m³ at `celsius` of a mixture of so many % vol at 20 °C. OIML R 22, table II. */
export function densityOfPercentVolume(percentVolume: number, celsius: number): Worked {
  return andThen(massFractionOf(percentVolume), (p) => ethanolWaterDensity(p, celsius));
}
