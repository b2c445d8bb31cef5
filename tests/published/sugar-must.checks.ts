/** Must, its sugar and its promise of alcohol, refractometers and enrichment against printed tables and law. */
import {
  ameliorationLimit,
  concentrateToBrix,
  EU_CAPS,
  LITRES_PER_KILOGRAM_SUGAR,
  sugarForMust,
  waterToBrix,
  type Zone,
} from '../../src/trade/enrichment.ts';
import {
  mustByRefractometer,
  naturalAlcoholByGermanLaw,
  potentialAlcohol,
  potentialAlcoholByFactor,
  refractometerBrixOfMustDensity,
  refractometerBrixOfMustIndex,
} from '../../src/trade/must-sugar.ts';
import { refractometerCorrection } from '../../src/trade/refractometer.ts';
import { inFerment, refractionOfEthanol, refractionOfSugar } from '../../src/trade/refractometer-in-ferment.ts';
import { brixOfRefractiveIndex, sucroseDensity } from '../../src/trade/sucrose.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import type { PublishedCheck, Row } from './check.ts';
import { type Row as Cells, cell, publishedRows } from './rows.ts';
import { number, printed, quoted, sure } from './sugar-rows.ts';

const OIV = 'OIV-MA-AS2-02 (Oeno 21/2004), Table II, as printed in the French Arrêté of 14 September 2011, annex IV';
const OIV_CORRECTION = 'OIV-MA-AS2-02 (Oeno 21/2004), Table I';
const GERMAN = 'Weinverordnung 1995 (Germany), Anlage 8 to § 17 (BGBl. I 2009, 866)';
const CRC_2021 =
  'CRC Handbook of Chemistry and Physics, 102nd ed. (2021), Concentrative Properties of Aqueous Solutions';

const must = publishedRows('brix_sugar_alcohol.csv');
const corrections = publishedRows('refractometer_temperature.csv');
const parts = publishedRows('must_parts_crc.csv');
const german = publishedRows('oechsle_alcohol_de.csv');

const brixOf = (row: Cells): number => number(row, 'sucrose_pct_mass');
const atBrix = (row: Cells): string => `${cell(row, 'sucrose_pct_mass')} °Bx`;
const figures = (row: Cells) => sure(mustByRefractometer(brixOf(row)));

const correctionRows = (table: string, tolerance: number): Row[] =>
  printed(
    corrections.filter((row) => row.table === table),
    'correction_to_add',
    (row) => `${row.measured_pct_mass} % at ${row.temperature_C} °C`,
    (row) => refractometerCorrection(number(row, 'measured_pct_mass'), number(row, 'temperature_C')),
    tolerance,
  );

/** Grams of the solute in a litre, by the printed density. */
const gramsPerLitre = (row: Cells): number => 10 * number(row, 'pct_mass') * number(row, 'density_g_cm3');

const refraction = (solutes: readonly string[], got: (grams: number) => Worked, tolerance: number): Row[] =>
  printed(
    parts.filter((row) => solutes.includes(cell(row, 'solute'))),
    'refractive_index',
    (row) => `${row.pct_mass} % ${row.solute}`,
    (row) => andThen(got(gramsPerLitre(row)), (raised) => 1.333 + raised),
    tolerance,
  );

/** Kilograms added to 100 kg of must of so many °Brix. */
const per100Kilograms = (brix: number, of: (litres: number) => Worked<{ readonly kilograms: number }>): Worked =>
  andThen(sucroseDensity(brix, 20), (density) => andThen(of(100_000 / density), ({ kilograms }) => kilograms));

const law = publishedRows('enrichment_law.csv');
const zoneOf = (row: Cells): Zone => {
  const zone = cell(row, 'zone');
  if (zone === 'A' || zone === 'B' || zone === 'C') return zone;
  throw new Error(`no zone ${zone}`);
};
const lawRows = (what: string, of: (zone: Zone) => number): PublishedCheck => {
  const rows = law.filter((row) => row.what === what);
  return {
    title: `EU enrichment: ${what}`,
    source: cell(rows[0] ?? {}, 'source'),
    standing: 'read',
    note: 'A figure of law; the text in force decides.',
    unit: cell(rows[0] ?? {}, 'unit'),
    rows: printed(
      rows,
      'value',
      (row) => `zone ${row.zone}`,
      (row) => of(zoneOf(row)),
      0,
    ),
  };
};

export const CHECKS: readonly PublishedCheck[] = [
  {
    title: 'Sugar of must from its refractometer reading',
    source: OIV,
    standing: 'read',
    unit: 'g/L',
    rows: printed(must, 'sugar_g_L', atBrix, (row) => figures(row).gramsPerLitre, 0.05),
  },
  {
    title: 'Sugar of must by mass from its refractometer reading',
    source: OIV,
    standing: 'read',
    unit: 'g/kg',
    rows: printed(must, 'sugar_g_kg', atBrix, (row) => figures(row).gramsPerKilogram, 0.05),
  },
  {
    title: 'Density of must at 20 °C from its refractometer reading',
    source: OIV,
    standing: 'read',
    unit: 'kg/L',
    rows: printed(must, 'must_density_20C_kg_L', atBrix, (row) => figures(row).density / 1000, 0.00005),
  },
  {
    title: 'Refractive index of must from its refractometer reading',
    source: OIV,
    standing: 'read',
    note: 'A cubic: 11 of 201 cells lie up to 0.0000003 beyond half the last digit.',
    unit: 'n',
    rows: printed(must, 'refractive_index_20C', atBrix, (row) => figures(row).refractiveIndex, 0.0000053),
  },
  {
    title: 'Refractometer reading of must from its refractive index',
    source: OIV,
    standing: 'read',
    note: 'Half the last digit of the refractive index is 0.003 °Bx. At both ends of the table the printed index may lie outside the formula’s.',
    unit: '°Bx',
    rows: printed(
      must.slice(1, -1),
      'sucrose_pct_mass',
      (row) => `n ${row.refractive_index_20C}`,
      (row) => refractometerBrixOfMustIndex(number(row, 'refractive_index_20C')),
      0.0035,
    ),
  },
  {
    title: 'Refractometer reading of must from its density',
    source: OIV,
    standing: 'read',
    note: 'Half the last digit of the density is 0.012 °Bx.',
    unit: '°Bx',
    rows: printed(
      must.slice(1, -1),
      'sucrose_pct_mass',
      (row) => `${row.must_density_20C_kg_L} kg/L`,
      (row) => refractometerBrixOfMustDensity(1000 * number(row, 'must_density_20C_kg_L')),
      0.0125,
    ),
  },
  {
    title: 'Potential alcohol of must, 16.83 g/L for 1 % vol',
    source: OIV,
    standing: 'read',
    note: 'The printed alcohol is not the printed sugar / 16.83: 62 of 201 cells differ in the last digit, by up to 0.0103.',
    unit: '% vol',
    rows: printed(
      must,
      'potential_alcohol_pct_vol_16_83',
      atBrix,
      (row) => potentialAlcohol(figures(row).gramsPerLitre, 16.83),
      0.0115,
    ),
  },
  {
    title: 'Potential alcohol of must, 17.5 g/L for 1 % vol',
    source: OIV,
    standing: 'computed',
    note: 'The printed sugar divided by 17.5, to 0.1 % vol.',
    unit: '% vol',
    rows: printed(
      must,
      'potential_alcohol_pct_vol_17_5',
      atBrix,
      (row) => potentialAlcohol(figures(row).gramsPerLitre, 17.5),
      0.053,
    ),
  },
  {
    title: 'Brix of sucrose from the refractive index of must',
    source: OIV,
    standing: 'read',
    note: 'The polynomial’s printed digits leave it 0.015 to 0.021 °Bx under the table.',
    unit: '°Bx',
    rows: printed(
      must,
      'sucrose_pct_mass',
      (row) => `n ${row.refractive_index_20C}`,
      (row) => brixOfRefractiveIndex(number(row, 'refractive_index_20C')),
      0.024,
    ),
  },
  {
    title: 'Potential alcohol at 24.2 °Bx, in the OIV’s table',
    source: 'Spanish guide to grape analysis (grado alcohólico probable por refractometría)',
    standing: 'read',
    note: 'It prints 14.28 where the Arrêté has 14.26.',
    unit: '% vol',
    rows: [
      quoted(
        '24.2 °Bx',
        14.28,
        () => andThen(mustByRefractometer(24.2), ({ gramsPerLitre: sugar }) => potentialAlcohol(sugar, 16.83)),
        0.015,
      ),
    ],
  },
  {
    title: 'Natural alcohol of must by German law',
    source: GERMAN,
    standing: 'read',
    unit: '% vol',
    rows: printed(
      german,
      'natural_alcohol_pct_vol',
      (row) => `${row.oechsle} °Oe`,
      (row) => naturalAlcoholByGermanLaw(number(row, 'oechsle')),
      1e-9,
    ),
  },
  {
    title: 'Alcohol of must by the formula that German usage follows',
    source: 'German wine lexica, on degrees Oechsle',
    standing: 'read',
    unit: '% vol',
    rows: [
      quoted('76 °Oe', 10, () => naturalAlcoholByGermanLaw(76), 0.05),
      quoted('100 °Oe', 13.8, () => naturalAlcoholByGermanLaw(100), 0.05),
    ],
  },
  {
    title: 'Potential alcohol by a factor of 0.58 times Brix',
    source: 'Newsletter on wine labelling, a series of Brix and alcohol',
    standing: 'read',
    note: 'A rule of thumb: the series goes from 0.576 to 0.585.',
    unit: '% vol',
    rows: (
      [
        [22.5, 13],
        [24.8, 14.3],
        [25.8, 15.1],
      ] as const
    ).map(([brix, expected]) => quoted(`${brix} °Bx`, expected, () => potentialAlcoholByFactor(brix, 0.58), 0.15)),
  },
  {
    title: 'Alcohol of must by the French mustimeter, 17 g/L for 1 % vol',
    source: 'French mustimeter table, as reprinted in a note on oenology (2010)',
    standing: 'read',
    note: 'From the sugar it prints, rows from 1.050 on, where both are printed to 0.1.',
    unit: '% vol',
    rows: printed(
      publishedRows('mustimeter_fr.csv').filter((row) => Number(row.density) >= 1050),
      'pct_vol',
      (row) => `${row.sugar_g_100mL} g/100 mL`,
      (row) => potentialAlcohol(10 * number(row, 'sugar_g_100mL'), 17),
      0.08,
    ),
  },
  {
    title: 'Correction of a refractometer below 20 °C',
    source: OIV_CORRECTION,
    standing: 'read',
    unit: '°Bx',
    rows: correctionRows('OIV', 1e-9),
  },
  {
    title: 'Correction of a refractometer, other table',
    source:
      'Interstate standard (GOST; technical-law collection no. 1200157922), Table A.1: corrections of a laboratory refractometer',
    standing: 'read',
    note: 'The international table of 1936; its rows from 21 °C on are the tool’s. Below, the tool follows the OIV, up to 0.03 away; one cell, 40 % at 12 °C, prints 0.57.',
    unit: '°Bx',
    rows: correctionRows('interstate', 0.03),
  },
  {
    title: 'Correction of a refractometer, oldest table',
    source: 'CRC Handbook of Chemistry and Physics, older editions: correction of sugar refractometers',
    standing: 'read',
    note: 'Older measurements (after Stanek, from memory): 0.05 from the OIV at 15 °C, 0.10 from the international table at 30 °C.',
    unit: '°Bx',
    rows: correctionRows('crc', 0.1),
  },
  {
    title: 'Correction of a refractometer above 22 °C',
    source: 'International temperature correction table, 1936 (AOAC 932.14)',
    standing: 'memory',
    note: 'The same memory agrees with every cell of the interstate standard from 10 to 22 °C but one.',
    unit: '°Bx',
    rows: correctionRows('international', 1e-9),
  },
  {
    title: 'Refractive index of glucose and fructose in water',
    source: CRC_2021,
    standing: 'read',
    note: 'One quadratic for both, for the estimate in ferment: 0.0002 is 0.13 °Bx.',
    unit: 'n',
    rows: refraction(['glucose', 'fructose'], refractionOfSugar, 0.0002),
  },
  {
    title: 'Refractive index of ethanol in water',
    source: CRC_2021,
    standing: 'read',
    note: 'A quadratic, for the estimate in ferment.',
    unit: 'n',
    rows: refraction(['ethanol'], refractionOfEthanol, 0.000085),
  },
  {
    title: 'Refractometer reading of a dry wine from 24 °Bx',
    source: 'Common experience: a dry wine reads 8 to 9 °Bx',
    standing: 'practice',
    note: 'No published method; the estimate has to find hardly any sugar left at the middle of it.',
    unit: 'g/L',
    rows: [
      quoted(
        '24 °Bx before, 8.5 °Bx now',
        0,
        () => andThen(inFerment(24, 8.5, 16.83), (now) => now.sugarGramsPerLitre),
        5,
      ),
    ],
  },
  {
    title: 'Volume a kilogram of dissolved sugar takes up',
    source: '27 CFR 24.181, Use of sugar (13.5 lb to the US gallon)',
    standing: 'read',
    note: 'The rule in litres and kilograms.',
    unit: 'L/kg',
    rows: [quoted('13.5 lb', 0.6182, () => LITRES_PER_KILOGRAM_SUGAR, 0.00005)],
  },
  {
    title: 'Sugar for a rise of 2 % vol',
    source: 'Austrian wine glossary: 3.4 kg of sucrose to 100 L of must for at most 2 % vol',
    standing: 'read',
    unit: 'kg',
    rows: [quoted('100 L, 17 g/L', 3.4, () => andThen(sugarForMust(100, 2, 17), ({ kilograms }) => kilograms), 1e-9)],
  },
  {
    title: 'Sugar for a rise of 1.5 % vol',
    source: 'Arithmetic on conventions',
    standing: 'computed',
    unit: 'kg',
    rows: [
      quoted('1000 L, 17 g/L', 25.5, () => andThen(sugarForMust(1000, 1.5, 17), ({ kilograms }) => kilograms), 1e-9),
      quoted(
        '1000 L, 16.83 g/L',
        25.245,
        () => andThen(sugarForMust(1000, 1.5, 16.83), ({ kilograms }) => kilograms),
        1e-9,
      ),
      quoted('220 g/L at 16.83', 13.072, () => potentialAlcohol(220, 16.83), 0.0005),
    ],
  },
  {
    title: 'Water and concentrate by mass',
    source: 'Arithmetic: mass of sugar kept',
    standing: 'computed',
    note: 'Kilograms to 100 kg of must: 25 °Bx to 20 needs a quarter of its mass; 20 to 22 with 68 needs 2/46.',
    unit: 'kg',
    rows: [
      quoted('25 to 20 °Bx', 25, () => per100Kilograms(25, (litres) => waterToBrix(litres, 25, 20)), 1e-6),
      quoted(
        '20 to 22 °Bx with 68',
        200 / 46,
        () => per100Kilograms(20, (litres) => concentrateToBrix(litres, 20, 22, 68)),
        1e-6,
      ),
    ],
  },
  {
    title: 'Amelioration of 1000 gallons at the cap',
    source: '27 CFR 24.178, Amelioration',
    standing: 'read',
    note: 'The rule prints 538.4; 35 % of the whole is 538.46. At 7.69 g/L the acid allows 538.0.',
    unit: 'gal',
    rows: [
      quoted('12 g/L', 538.4, () => ameliorationLimit(1000, 12), 0.1),
      quoted('7.69 g/L', 538.4, () => ameliorationLimit(1000, 7.69), 0.41),
      quoted('5.1 g/L: 20 for each 0.1', 20, () => ameliorationLimit(1000, 5.1), 1e-9),
      quoted('6.0 g/L: 20 for each 0.1', 200, () => ameliorationLimit(1000, 6), 1e-9),
    ],
  },
  lawRows('rise', (zone) => EU_CAPS[zone].percentVolume),
  lawRows('rise in unfavourable years', (zone) => EU_CAPS[zone].inBadYears),
  lawRows('volume by concentrate', (zone) => EU_CAPS[zone].concentratePercent),
];
