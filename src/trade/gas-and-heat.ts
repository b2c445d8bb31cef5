/** Carbon dioxide and heat of a ferment, from the sugar it takes up. */
import { milligramsPerMole } from './substances.ts';
import { firstRefusal, outside, type Worked } from './worked.ts';

/** Glucose and fructose weigh the same; each gives two molecules of carbon dioxide. */
const HEXOSE = milligramsPerMole('C6H12O6') / 1000;
const CARBON_DIOXIDE = milligramsPerMole('CO2') / 1000;
const PER_HEXOSE = 2;

/** J/mol/K, exact (SI, 2019), the standard atmosphere in Pa, and 0 °C in K. */
const GAS_CONSTANT = 8.31446261815324;
const ATMOSPHERE = 101_325;
const ZERO_CELSIUS = 273.15;

/**
 * Heat set free for each mole of sugar, kJ: about 24 kcal, "generally accepted" (as cited with S. Colombié, S. Malherbe &
 * J.-M. Sablayrolles, Food Control 18 (2007) 953). To 5 %, no nearer.
 */
const HEAT_PER_MOLE = 24 * 4.184;

/** What warms a litre of must or wine by one degree, kJ: 3.7 to 4.0 in the literature (from memory). */
const HEAT_CAPACITY = 3.9;

/**
 * Sugar taken up, g/L, for each °Bx by which a hydrometer falls. Worked out with the densities of OIML R 22 and ICUMSA:
 * from 9.9 at 26 °Bx to 8.5 at dryness, 9.0 over the whole of a ferment from 22 °Bx; the OIV's table agrees, with 214.7 g/L in
 * a must of 22 °Bx, which ends near −1.5 °Bx.
 */
const SUGAR_PER_BRIX = 9;

/** CO₂ in air that an eight hours' working day may average: 29 CFR 1910.1000 table Z-1, NIOSH, ACGIH. Parts per million. */
export const DAY_LIMIT_PPM = 5000;

/** The most sugar in a litre looked at, g, and the quickest ferment, g/L an hour (ten °Bx a day). */
const MOST_SUGAR = 500;
const QUICKEST = 4;
const MOST_LITRES = 1e8;
const MOST_GRAMS = MOST_SUGAR * MOST_LITRES;

function rateFits(sugarPerLitreHour: number, litres: number) {
  return firstRefusal(
    outside(sugarPerLitreHour, 0, QUICKEST, 'a sugar loss', 'g/L an hour'),
    outside(litres, 0, MOST_LITRES, 'a volume', 'L'),
  );
}

/** CO₂ in g from so many g of glucose and fructose fermented whole: 0.4886 g a gram (C₆H₁₂O₆ → 2 C₂H₅OH + 2 CO₂, IUPAC 2021). */
export function carbonDioxideOf(sugarGrams: number): Worked {
  return outside(sugarGrams, 0, MOST_GRAMS, 'sugar', 'g') ?? (sugarGrams * PER_HEXOSE * CARBON_DIOXIDE) / HEXOSE;
}

/** CO₂ in g an hour from so many litres that take up so much sugar, g/L an hour. As `carbonDioxideOf`. */
export function carbonDioxidePerHour(sugarPerLitreHour: number, litres: number): Worked {
  return rateFits(sugarPerLitreHour, litres) ?? carbonDioxideOf(sugarPerLitreHour * litres);
}

/** Litres of so many g of CO₂ as a gas at `celsius` and one standard atmosphere: n R T / p, half a per cent too much. 0 to 50 °C. */
export function litresOfCarbonDioxide(grams: number, celsius: number): Worked {
  const wrong = firstRefusal(
    outside(grams, 0, MOST_GRAMS, 'carbon dioxide', 'g'),
    outside(celsius, 0, 50, 'a temperature', '°C'),
  );
  const litresPerMole = (1000 * GAS_CONSTANT * (celsius + ZERO_CELSIUS)) / ATMOSPHERE;
  return wrong ?? (grams / CARBON_DIOXIDE) * litresPerMole;
}

/**
 * Litres of air that so many litres of CO₂ bring to a limit in parts per million, if it were mixed evenly and none were
 * there before: V / (ppm / 10⁶). A picture of how much gas it is, never a reckoning of ventilation: the gas lies low.
 */
export function airBroughtTo(litres: number, partsPerMillion: number): Worked {
  const wrong = firstRefusal(
    outside(litres, 0, MOST_GRAMS, 'carbon dioxide', 'L'),
    outside(partsPerMillion, 1, 1e6, 'a limit', 'ppm'),
  );
  return wrong ?? (litres * 1e6) / partsPerMillion;
}

/**
 * Sugar loss in g/L an hour where a hydrometer falls by so many °Bx a day: 9 g/L a °Bx, within a tenth.
 *
 * Less than 10 g/L because the alcohol lowers the hydrometer too. 0 to 10 °Bx a day.
 */
export function sugarLossOf(brixPerDay: number): Worked {
  return outside(brixPerDay, 0, 10, 'a fall a day', '°Bx') ?? (brixPerDay * SUGAR_PER_BRIX) / 24;
}

/** Heat in kJ of so many g of sugar fermented: 100 kJ a mole, 0.557 kJ a gram, to 5 %. */
export function heatOf(sugarGrams: number): Worked {
  return outside(sugarGrams, 0, MOST_GRAMS, 'sugar', 'g') ?? (sugarGrams * HEAT_PER_MOLE) / HEXOSE;
}

/** Heat in kW of so many litres that take up so much sugar, g/L an hour; the cooling that holds the temperature. To 5 %. */
export function heatingPower(sugarPerLitreHour: number, litres: number): Worked {
  return rateFits(sugarPerLitreHour, litres) ?? (sugarPerLitreHour * litres * HEAT_PER_MOLE) / HEXOSE / 3600;
}

/** Degrees by which must warms where no heat leaves it, for so much sugar fermented in a litre. To 10 %. */
export function warmingOf(sugarGramsPerLitre: number): Worked {
  return (
    outside(sugarGramsPerLitre, 0, MOST_SUGAR, 'sugar', 'g/L') ??
    (sugarGramsPerLitre * HEAT_PER_MOLE) / HEXOSE / HEAT_CAPACITY
  );
}
