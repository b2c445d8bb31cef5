/** Water and pure sucrose in it against printed tables: density, specific gravity, weight of a gallon, refraction. */
import {
  brixOfDensity,
  brixOfRefractiveIndex,
  brixOfRelativeDensityInAir,
  inAir,
  inVacuo,
  platoOfRelativeDensityInAir,
  relativeDensityInAirOfBrix,
  relativeDensityInAirOfPlato,
  sucroseDensity,
  sucroseGramsPerLitre,
} from '../../src/trade/sucrose.ts';
import { waterDensity } from '../../src/trade/water-density.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import type { PublishedCheck } from './check.ts';
import { publishedRows } from './rows.ts';
import { number, printed, quoted } from './sugar-rows.ts';

const TANAKA = 'Tanaka et al., Metrologia 38 (2001) 301–309, recommended table for the density of water (CIPM)';
const KELL = 'Kell, J. Chem. Eng. Data 20 (1975) 97, as quoted by Jones & Harris, J. Res. NIST 97 (1992) 335';
const OIML = 'OIML R 22, International Alcoholometric Tables (1973/1975)';
const CRC = 'CRC Handbook of Chemistry and Physics, Concentrative Properties of Aqueous Solutions';
const USDA = 'USDA Agricultural Marketing Service, Sucrose Conversion Table, file code 135-A-50';
const NBS = 'NBS Circular C440, Polarimetry, Saccharimetry and the Sugars (Bates et al., 1942)';
const CHEN = 'Chen, Brix and Pounds Solids Tables (1992), after NBS Circular C440';
const ICUMSA = 'ICUMSA SPS-4; Bubnik, Kadlec, Urban & Bruhns, Sugar Technologists Manual (1995) p. 164';
const ARTICLE = 'Encyclopaedia article on degrees Brix';

const water = publishedRows('water_density.csv');
const sugar = publishedRows('brix_sg.csv');
const crc = publishedRows('sucrose_crc.csv');
const chen = publishedRows('pounds_per_gallon_chen.csv');

const celsius = (row: (typeof water)[number]) => `${row.temperature_C} °C`;
const atBrix = (row: (typeof sugar)[number]) => `${row.brix_pct_mass} °Bx`;
const percent = (row: (typeof crc)[number]) => `${row.pct_mass} %`;
const chenBrix = (row: (typeof chen)[number]) => `${row.brix} °Bx`;

const waterOf = (column: string, tolerance: number) =>
  printed(water, column, celsius, (row) => waterDensity(number(row, 'temperature_C')), tolerance);

/** True relative density 20/20 °C by ICUMSA. */
const trueRelative = (brix: number): Worked =>
  andThen(sucroseDensity(brix, 20), (density) => andThen(sucroseDensity(0, 20), (of) => density / of));

const GALLON = 3.785411784;
const POUND = 0.45359237;
/** Air, and the brass a balance is loaded with, in kg/m³. */
const AIR = 1.2;
const BRASS = 8400;
/** Weight in air of a US gallon, in pounds of brass. */
const poundsPerGallon = (brix: number): Worked =>
  andThen(sucroseDensity(brix, 20), (density) => ((density - AIR) / (1 - AIR / BRASS)) * (GALLON / 1000 / POUND));

export const CHECKS: readonly PublishedCheck[] = [
  {
    title: 'Density of water',
    source: TANAKA,
    standing: 'computed',
    note: 'Worked out from the published coefficients, independently of the tool.',
    unit: 'kg/m³',
    rows: waterOf('cipm_kg_m3', 0.00005),
  },
  {
    title: 'Density of water by another formula',
    source: KELL,
    standing: 'computed',
    note: 'An older formula on an older scale of temperature: up to 0.0035 from the CIPM’s.',
    unit: 'kg/m³',
    rows: waterOf('kell1975_kg_m3', 0.0035),
  },
  {
    title: 'Density of water by the formula of the alcohol tables',
    source: OIML,
    standing: 'computed',
    note: 'Up to 0.0077 below the CIPM’s: water that held air.',
    unit: 'kg/m³',
    rows: waterOf('oiml_r22_kg_m3', 0.008),
  },
  {
    title: 'Density of water, printed',
    source: 'CRC Handbook of Chemistry and Physics, density of water (scale of temperature of 1968)',
    standing: 'read',
    note: 'Read as an encyclopaedia quotes it. The older scale of temperature and Kell’s formula lie up to 0.0035 from the CIPM’s; the row at 40 °C is printed to 0.1.',
    unit: 'kg/m³',
    rows: printed(
      publishedRows('water_density_printed.csv'),
      'kg_m3',
      celsius,
      (row) => waterDensity(number(row, 'temperature_C')),
      0.0035,
    ).map((row) => (row.at === '40 °C' ? { ...row, tolerance: 0.05 } : row)),
  },
  {
    title: 'Density of water in the sucrose formula',
    source: 'IP Standard Methods (1998), appendix G, after Wagenbreth & Blanke, Bettin & Spieweck',
    standing: 'read',
    unit: 'kg/m³',
    rows: [quoted('0 °C', 999.84, () => sucroseDensity(0, 0), 0.0005)],
  },
  {
    title: 'Specific gravity 20/20 in air from Brix',
    source: USDA,
    standing: 'read',
    note: 'Only rows below 8 °Bx could be read. The cubic crosses zero at 1.00002, so the first rows are off by two units of the fifth decimal.',
    unit: 'SG',
    rows: printed(
      sugar,
      'sg_apparent_20_20_usda',
      atBrix,
      (row) => relativeDensityInAirOfBrix(number(row, 'brix_pct_mass')),
      0.000021,
    ),
  },
  {
    title: 'Brix from specific gravity 20/20 in air',
    source: USDA,
    standing: 'read',
    note: 'Half the last digit of the specific gravity is 0.0013 °Bx; near zero the cubic gives 0.005 less.',
    unit: '°Bx',
    rows: printed(
      sugar.filter((row) => row.sg_apparent_20_20_usda !== ''),
      'brix_pct_mass',
      (row) => `SG ${row.sg_apparent_20_20_usda}`,
      (row) => brixOfRelativeDensityInAir(number(row, 'sg_apparent_20_20_usda')),
      0.0055,
    ),
  },
  {
    title: 'Specific gravity 20/20 in air from Brix, other way round',
    source: `${NBS}, by its cubic`,
    standing: 'computed',
    note: 'The cubic solved independently of the tool.',
    unit: 'SG',
    rows: printed(
      sugar.filter((row) => Number(row.brix_pct_mass) <= 40),
      'sg_apparent_20_20_nbs_cubic',
      atBrix,
      (row) => relativeDensityInAirOfBrix(number(row, 'brix_pct_mass')),
      0.0000051,
    ),
  },
  {
    title: 'True specific gravity 20/20 from Brix',
    source: NBS,
    standing: 'memory',
    note: 'The cubic and the table differ by up to 0.005 °Bx, which is 0.00002.',
    unit: 'SG',
    rows: printed(
      sugar,
      'sg_true_20_20_nbs',
      atBrix,
      (row) => andThen(relativeDensityInAirOfBrix(number(row, 'brix_pct_mass')), inVacuo),
      0.00003,
    ),
  },
  {
    title: 'True specific gravity 20/20 by ICUMSA beside NBS',
    source: NBS,
    standing: 'memory',
    note: 'Newer measurements: ICUMSA lies above NBS by 0.00005 at 20 °Bx, 0.00008 at 30, 0.00011 at 40.',
    unit: 'SG',
    rows: printed(sugar, 'sg_true_20_20_nbs', atBrix, (row) => trueRelative(number(row, 'brix_pct_mass')), 0.00011),
  },
  {
    title: 'Specific gravity 20/20 in air from Plato',
    source: 'American Society of Brewing Chemists, table of extract, by its cubic',
    standing: 'computed',
    note: 'The cubic solved independently of the tool.',
    unit: 'SG',
    rows: printed(
      sugar.filter((row) => Number(row.brix_pct_mass) <= 20),
      'sg_apparent_20_20_asbc_cubic',
      (row) => `${row.brix_pct_mass} °P`,
      (row) => relativeDensityInAirOfPlato(number(row, 'brix_pct_mass')),
      0.0000051,
    ),
  },
  {
    title: 'Density of sucrose solutions at 20 °C',
    source: ICUMSA,
    standing: 'computed',
    note: 'Worked out from the published coefficients, independently of the tool.',
    unit: 'kg/m³',
    rows: [
      ...printed(
        sugar,
        'density_20C_kg_m3_icumsa',
        atBrix,
        (row) => sucroseDensity(number(row, 'brix_pct_mass'), 20),
        0.0051,
      ),
      quoted('25 % at 15 °C', 1105.125, () => sucroseDensity(25, 15), 0.0005),
      quoted('20 % at 20 °C', 1080.977, () => sucroseDensity(20, 20), 0.0005),
    ],
  },
  {
    title: 'True specific gravity 20/20 of sucrose solutions',
    source: ICUMSA,
    standing: 'computed',
    unit: 'SG',
    rows: printed(
      sugar,
      'sg_true_20_20_icumsa',
      atBrix,
      (row) => trueRelative(number(row, 'brix_pct_mass')),
      0.0000051,
    ),
  },
  {
    title: 'Specific gravity 20/20 in air of sucrose solutions',
    source: ICUMSA,
    standing: 'computed',
    note: 'Air 1.2 kg/m³.',
    unit: 'SG',
    rows: printed(
      sugar,
      'sg_apparent_20_20_icumsa',
      atBrix,
      (row) => andThen(trueRelative(number(row, 'brix_pct_mass')), inAir),
      0.0000051,
    ),
  },
  {
    title: 'Density of sucrose solutions at 20 °C, printed',
    source: CRC,
    standing: 'read',
    note: 'The handbook rests on older measurements (Plato, NBS): to 40 % within its last digit and a half of ICUMSA, at 70 % 0.28 below.',
    unit: 'kg/m³',
    rows: printed(
      crc,
      'density_g_cm3',
      percent,
      (row) => andThen(sucroseDensity(number(row, 'pct_mass'), 20), (density) => density),
      0.1,
    ).map((row) => {
      const brix = Number.parseFloat(row.at);
      return { ...row, expected: row.expected * 1000, tolerance: brix <= 40 ? 0.1 : brix <= 50 ? 0.16 : 0.28 };
    }),
  },
  {
    title: 'Brix from the density at 20 °C, printed',
    source: CRC,
    standing: 'read',
    note: 'Half the last digit of the density is 0.012 °Bx; the older measurements add 0.03 at 50 %, 0.05 at 70 %.',
    unit: '°Bx',
    rows: printed(
      crc.filter((row) => Number(row.pct_mass) > 0),
      'pct_mass',
      (row) => `${row.density_g_cm3} g/mL`,
      (row) => brixOfDensity(1000 * number(row, 'density_g_cm3'), 20),
      0.02,
    ).map((row) => ({ ...row, tolerance: row.expected <= 40 ? 0.025 : 0.055 })),
  },
  {
    title: 'Grams of sucrose in a litre at 20 °C',
    source: CRC,
    standing: 'read',
    note: 'As for the density: 0.2 below ICUMSA at 70 %.',
    unit: 'g/L',
    rows: printed(crc, 'grams_per_litre', percent, (row) => sucroseGramsPerLitre(number(row, 'pct_mass')), 0.07).map(
      (row) => ({ ...row, tolerance: row.expected <= 500 ? 0.08 : 0.2 }),
    ),
  },
  {
    title: 'Brix from the refractive index',
    source: CRC,
    standing: 'read',
    note: 'Half the last digit of the refractive index is 0.03 °Bx, and the polynomial lies 0.02 low.',
    unit: '°Bx',
    rows: printed(
      crc.filter((row) => Number(row.pct_mass) <= 44),
      'pct_mass',
      (row) => `n ${row.refractive_index}`,
      (row) => brixOfRefractiveIndex(number(row, 'refractive_index')),
      0.05,
    ),
  },
  {
    title: 'Brix from the refractive index, scale of 1966',
    source: 'Table of dry matter by refractive index (sucrose), teaching text on quality control of food',
    standing: 'read',
    note: 'Printed to four decimals of the index: 0.03 °Bx; older values than ICUMSA’s of 1974, up to 0.08 °Bx away to 30 %, 0.13 above.',
    unit: '°Bx',
    rows: printed(
      publishedRows('sucrose_refraction_teaching.csv'),
      'pct_mass',
      (row) => `n ${row.refractive_index}`,
      (row) => brixOfRefractiveIndex(number(row, 'refractive_index')),
      0.08,
    ).map((row) => (row.expected <= 30 ? row : { ...row, tolerance: 0.13 })),
  },
  {
    title: 'Pounds of a US gallon in air at 20 °C',
    source: CHEN,
    standing: 'read',
    note: 'Read from 0 to 5.2 °Bx. Half the last digit, and a thousandth of a per cent between NBS’s and ICUMSA’s densities.',
    unit: 'lb',
    rows: printed(chen, 'lb_per_us_gal', chenBrix, (row) => poundsPerGallon(number(row, 'brix')), 0.001),
  },
  {
    title: 'Pounds of sucrose in a US gallon at 20 °C',
    source: CHEN,
    standing: 'read',
    unit: 'lb',
    rows: printed(
      chen,
      'lb_sucrose_per_us_gal',
      chenBrix,
      (row) => andThen(poundsPerGallon(number(row, 'brix')), (pounds) => (pounds * number(row, 'brix')) / 100),
      0.00055,
    ),
  },
  {
    title: 'US gallons of a tonne in air at 20 °C',
    source: CHEN,
    standing: 'read',
    note: 'The row of 2.3 °Bx prints 262.5, as does the next; the step is 0.1.',
    unit: 'gal',
    rows: printed(
      chen,
      'us_gal_per_tonne',
      chenBrix,
      (row) => andThen(poundsPerGallon(number(row, 'brix')), (pounds) => 1000 / POUND / pounds),
      0.08,
    ),
  },
  {
    title: 'A solution of specific gravity 1.040 in air',
    source: ARTICLE,
    standing: 'read',
    note: 'The cubic as printed, with five decimals, gives 9.9931 °Bx; with four it gives 9.9934.',
    unit: '°',
    rows: [
      quoted('Brix by NBS', 9.99325, () => brixOfRelativeDensityInAir(1.04), 0.00015),
      quoted('Plato by ASBC', 9.99359, () => platoOfRelativeDensityInAir(1.04), 0.0001),
      quoted(
        '% by mass, ICUMSA',
        9.99249,
        () =>
          andThen(inVacuo(1.04), (relative) =>
            andThen(sucroseDensity(0, 20), (of) => brixOfDensity(relative * of, 20)),
          ),
        0.0003,
      ),
    ],
  },
  {
    title: 'Where the table of NBS that the cubic follows ends',
    source: ARTICLE,
    standing: 'read',
    unit: 'SG',
    rows: [quoted('40 °Bx', 1.17874, () => relativeDensityInAirOfBrix(40), 0.000005)],
  },
  {
    title: 'Worked examples of the cubics',
    source: `${NBS}, by its cubic`,
    standing: 'computed',
    unit: '°Bx',
    rows: [
      quoted('SG 1.09000', 21.5706, () => brixOfRelativeDensityInAir(1.09), 0.0003),
      quoted('SG 1.10000', 23.7742, () => brixOfRelativeDensityInAir(1.1), 0.0003),
      quoted('SG 1.04000', 9.9934, () => brixOfRelativeDensityInAir(1.04), 0.0003),
    ],
  },
  {
    title: 'Volume a kilogram of dissolved sugar takes up, by the densities of ICUMSA',
    source: '27 CFR 24.181, Use of sugar (13.5 lb to the US gallon)',
    standing: 'read',
    note: 'The rule’s 0.6182 L/kg against the apparent volume of sucrose at 20 %, where must is.',
    unit: 'L/kg',
    rows: [
      quoted(
        '20 % by mass',
        3.785411784 / (13.5 * 0.45359237),
        () =>
          andThen(sucroseDensity(20, 20), (density) =>
            andThen(sucroseDensity(0, 20), (of) => (1000 / density - 800 / of) / 0.2),
          ),
        0.002,
      ),
    ],
  },
];
