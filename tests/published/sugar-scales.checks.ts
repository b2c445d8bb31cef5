/** Must scales and hydrometers against printed tables: Oechsle, Klosterneuburg, Baumé, corrections for temperature. */
import { convertDensity } from '../../src/trade/density-reading.ts';
import {
  CALIBRATED_20C,
  CALIBRATED_60F,
  correctBrixHydrometer,
  correctSgHydrometer,
} from '../../src/trade/hydrometer.ts';
import { baume, kmwOfOechsle, oechsle, oechsleOfKmw, relativeDensityOfDensity } from '../../src/trade/must-scales.ts';
import { sucroseDensity } from '../../src/trade/sucrose.ts';
import { andThen, type Worked } from '../../src/trade/worked.ts';
import type { PublishedCheck, Row } from './check.ts';
import { type Row as Cells, cell, publishedRows } from './rows.ts';
import { number, printed, quoted } from './sugar-rows.ts';

const BIGELOW =
  'Bigelow & Stevenson, Tomato Products: Pulp, Paste, Catsup and Chili Sauce, National Canners Association (1920s), Table 8';
const PHYSICS = 'Glass of 25·10⁻⁶ per K and the sucrose densities of ICUMSA SPS-4';

const corrections = publishedRows('hydrometer_temperature.csv');
const mustimeter = publishedRows('mustimeter_fr.csv');
const sugar = publishedRows('brix_sg.csv');

const brixCorrection = (reading: number, celsius: number, madeFor = CALIBRATED_20C): Worked =>
  andThen(correctBrixHydrometer(reading, celsius, madeFor), ({ brix }) => brix - reading);
const sgCorrection = (reading: number, celsius: number, madeFor = CALIBRATED_20C): Worked =>
  andThen(correctSgHydrometer(reading, celsius, madeFor), ({ relativeDensity }) => relativeDensity - reading);

const celsiusOf = (row: Cells): number => ((number(row, 'temperature_F') - 32) * 5) / 9;
const at = (row: Cells): string => `${cell(row, 'observed_reading')} at ${cell(row, 'temperature_F')} °F`;

const corrected = (
  source: string,
  scale: 'Brix' | 'SG',
  calibration: string,
  got: (row: Cells) => Worked,
  tolerance: number,
): Row[] =>
  printed(
    corrections.filter(
      (row) => cell(row, 'source') === source && row.scale === scale && cell(row, 'calibration') === calibration,
    ),
    'correction_to_add',
    at,
    got,
    tolerance,
  );

/** A reading of 1.000 in the cold is of something lighter than water, which the tool refuses. */
const notBelowWater = (row: Row): boolean => !(row.at.startsWith('1.000 ') && row.expected < 0);

/** Density of a sucrose solution against water, both at 20 °C. */
const trueRelative = (brix: number): Worked =>
  andThen(sucroseDensity(brix, 20), (density) => andThen(sucroseDensity(0, 20), (water) => density / water));

/** The two cells of the mustimeter table that stand off their neighbours. */
const MISPRINTED = new Set(['1021', '1040']);

export const CHECKS: readonly PublishedCheck[] = [
  {
    title: 'Correction of a Brix hydrometer made for 68 °F, dilute juice',
    source: BIGELOW,
    standing: 'read',
    note: 'The table is for about 5 to 12 °Bx and names none; compared at 5 °Bx.',
    unit: '°Bx',
    rows: corrected(
      'Bigelow & Stevenson, Table 8',
      'Brix',
      '68 F (20 C)',
      (row) => brixCorrection(5, celsiusOf(row)),
      0.03,
    ),
  },
  {
    title: 'Correction of a specific-gravity hydrometer made for 68 °F, dilute juice',
    source: BIGELOW,
    standing: 'read',
    note: 'The table is for about 1.02 to 1.05 and names none; compared at 1.040.',
    unit: 'SG',
    rows: corrected(
      'Bigelow & Stevenson, Table 8',
      'SG',
      '68 F (20 C)',
      (row) => sgCorrection(1.04, celsiusOf(row)),
      0.0002,
    ),
  },
  {
    title: 'Correction of a Brix hydrometer made for 20 °C',
    source: 'NBS Circular C440, Polarimetry, Saccharimetry and the Sugars (Bates et al., 1942)',
    standing: 'memory',
    note: 'Physics lies within 0.02 °Bx of it from 10 to 25 °C, 0.05 from 5 to 40 °C. Its row at 0 °C is up to 0.11 away and left out, as is what falls below water.',
    unit: '°Bx',
    rows: corrected(
      'NBS Circular C440 / AOAC',
      'Brix',
      '20 C',
      (row) => brixCorrection(number(row, 'observed_reading'), celsiusOf(row)),
      0.051,
    ).filter((row) => !/ at 32(\.0)? °F$/u.test(row.at) && !row.at.startsWith('0 ')),
  },
  {
    title: 'Correction of a Brix hydrometer made for 20 °C, by physics',
    source: PHYSICS,
    standing: 'computed',
    note: 'Worked out independently of the tool.',
    unit: '°Bx',
    rows: corrected(
      'glass 25e-6 per K with ICUMSA SPS-4',
      'Brix',
      '20 C',
      (row) => brixCorrection(number(row, 'observed_reading'), celsiusOf(row)),
      0.006,
    ).filter((row) => !row.at.startsWith('0 ')),
  },
  {
    title: 'Correction of a specific-gravity hydrometer made for 20 °C, by physics',
    source: PHYSICS,
    standing: 'computed',
    note: 'Worked out independently of the tool; readings of 1.000 in the cold, lighter than water, are left out: the tool refuses them.',
    unit: 'SG',
    rows: corrected(
      'glass 25e-6 per K with ICUMSA SPS-4',
      'SG',
      '20 C',
      (row) => sgCorrection(number(row, 'observed_reading'), celsiusOf(row)),
      0.000006,
    ).filter(notBelowWater),
  },
  {
    title: 'Correction of a specific-gravity hydrometer made for 60 °F, by physics',
    source: PHYSICS,
    standing: 'computed',
    note: 'Worked out independently of the tool; readings of 1.000 in the cold, lighter than water, are left out: the tool refuses them.',
    unit: 'SG',
    rows: corrected(
      'glass 25e-6 per K with ICUMSA SPS-4',
      'SG',
      '60 F (15.56 C)',
      (row) => sgCorrection(number(row, 'observed_reading'), celsiusOf(row), CALIBRATED_60F),
      0.000006,
    ).filter(notBelowWater),
  },
  {
    title: 'Degrees Baumé of must, modulus 144.3',
    source: 'French mustimeter table, as reprinted in a note on oenology (2010)',
    standing: 'read',
    note: 'The table follows a modulus between 144.2 and 144.3. The cells at 1021 and 1040 are misprints by their neighbours, 0.06 and 0.05 away.',
    unit: '°Bé',
    rows: printed(
      mustimeter,
      'baume',
      (row) => `density ${row.density}`,
      (row) => baume(number(row, 'density') / 1000, 144.3),
      0.02,
    ).map((row) => (MISPRINTED.has(row.at.slice('density '.length)) ? { ...row, tolerance: 0.06 } : row)),
  },
  {
    title: 'Degrees Baumé of sucrose solutions, modulus 145',
    source: 'Mohos, Confectionery and Chocolate Engineering (2010), Table A2.1',
    standing: 'read',
    note: 'By the true specific gravity; weighed in air it would print 5.58 and 8.35. The rows from 60 °Bx on are beyond must, by ICUMSA’s densities.',
    unit: '°Bé',
    rows: (
      [
        [10, 5.57],
        [15, 8.34],
      ] as const
    ).map(([brix, expected]) =>
      quoted(`${brix} °Bx`, expected, () => andThen(trueRelative(brix), (relative) => baume(relative, 145)), 0.0055),
    ),
  },
  {
    title: 'Degrees Baumé by the sucrose table, modulus 145',
    source: 'ICUMSA SPS-4; Bubnik, Kadlec, Urban & Bruhns, Sugar Technologists Manual (1995) p. 164',
    standing: 'computed',
    unit: '°Bé',
    rows: printed(
      sugar.filter((row) => Number(row.brix_pct_mass) <= 44),
      'baume_modulus_145_true_sg_icumsa',
      (row) => `${row.brix_pct_mass} °Bx`,
      (row) => andThen(trueRelative(number(row, 'brix_pct_mass')), (relative) => baume(relative, 145)),
      0.00051,
    ),
  },
  {
    title: 'Degrees Oechsle by the sucrose table',
    source: 'ICUMSA SPS-4; Bubnik, Kadlec, Urban & Bruhns, Sugar Technologists Manual (1995) p. 164',
    standing: 'computed',
    unit: '°Oe',
    rows: printed(
      sugar.filter((row) => Number(row.brix_pct_mass) <= 44),
      'oechsle_true_sg_icumsa',
      (row) => `${row.brix_pct_mass} °Bx`,
      (row) => andThen(trueRelative(number(row, 'brix_pct_mass')), oechsle),
      0.0051,
    ),
  },
  {
    title: 'Degrees Baumé of SG 1.100 by four moduli',
    source: 'Definitions of the Baumé scale (US 145, rational 144.3, old Dutch 144, Gerlach 146.78)',
    standing: 'computed',
    unit: '°Bé',
    rows: (
      [
        [145, 13.18],
        [144.3, 13.12],
        [144, 13.09],
        [146.78, 13.34],
      ] as const
    ).map(([modulus, expected]) => quoted(`modulus ${modulus}`, expected, () => baume(1.1, modulus), 0.005)),
  },
  {
    title: 'Degrees Oechsle from the density at 20 °C',
    source: 'Encyclopaedia article on degrees Oechsle (French edition, in Spanish)',
    standing: 'read',
    note: 'It takes water as 998.203 g/L, the tool as 998.2067: 0.004 °Oe.',
    unit: '°Oe',
    rows: [quoted('1086 g/L', 87.95, () => andThen(relativeDensityOfDensity(1086), oechsle), 0.005)],
  },
  {
    title: 'Degrees Oechsle of a specific gravity',
    source: 'Definition of degrees Oechsle, in an instrument manual',
    standing: 'read',
    unit: '°Oe',
    rows: [quoted('SG 1.0850', 85, () => oechsle(1.085), 1e-9)],
  },
  {
    title: 'Degrees Oechsle of degrees KMW',
    source: 'Legal relation of Austria for the Klosterneuburg scale, as quoted in two glossaries',
    standing: 'read',
    unit: '°Oe',
    rows: [quoted('20 °KMW', 99.6, () => oechsleOfKmw(20), 1e-9)],
  },
  {
    title: 'Degrees KMW of degrees Oechsle',
    source: 'Legal relation of Austria for the Klosterneuburg scale, as quoted in two glossaries',
    standing: 'computed',
    unit: '°KMW',
    rows: [quoted('99.6 °Oe', 20, () => kmwOfOechsle(99.6), 1e-9)],
  },
  {
    title: 'Least must weights of Austrian Prädikat wines, in both scales',
    source: 'Least must weights of Austrian Prädikat wines, as listed in a guide to measuring must',
    standing: 'read',
    note: 'Printed in whole degrees.',
    unit: '°Oe',
    rows: (
      [
        [17, 84],
        [19, 94],
        [21, 105],
        [25, 127],
      ] as const
    ).map(([kmw, expected]) => quoted(`${kmw} °KMW`, expected, () => oechsleOfKmw(kmw), 0.5)),
  },
  {
    title: 'Specific gravity 20/20 weighed in air and true',
    source: 'NBS Circular C440, Polarimetry, Saccharimetry and the Sugars (Bates et al., 1942)',
    standing: 'memory',
    note: 'The way from Brix to the true specific gravity, density and back.',
    unit: 'SG',
    rows: (
      [
        [20, 1.08287],
        [22, 1.09183],
        [24, 1.10092],
        [26, 1.11014],
      ] as const
    ).map(([brix, expected]) =>
      quoted(
        `${brix} °Bx by the hub`,
        expected,
        () => andThen(convertDensity(brix, 'brix', 'SG'), ({ value }) => value),
        0.00002,
      ),
    ),
  },
];
