/** Refractometer readings taken at another temperature than 20 °C. */
import { MUST_LEAST_BRIX } from './must-sugar.ts';
import { firstRefusal, outside, type Worked } from './worked.ts';

/** The readings the columns of the corrections stand for, in % by mass. */
const COLUMNS = [10, 15, 20, 25, 30, 35, 40];

/** Below this temperature the rows end at 30 %. */
const FULL_FROM = 10;
const SHORT_MOST = 30;
const COLDEST = 5;
const WARMEST = 30;

/**
 * What is added to a reading in % by mass at a temperature, in hundredths; a row a temperature.
 *
 * 5 to 17 °C: OIV-MA-AS2-02, Table I. 20 °C: nothing. 21 to 30 °C: the international correction table of 1936 (AOAC
 * 932.14, ISO 2173), its rows from 23 °C on from memory: the rows 10 to 22 of the same memory are those an interstate
 * standard prints.
 */
const CORRECTIONS: readonly (readonly [celsius: number, ...hundredths: readonly number[]])[] = [
  [5, -82, -87, -92, -95, -99],
  [6, -80, -82, -87, -90, -94],
  [7, -74, -78, -82, -84, -88],
  [8, -69, -73, -76, -79, -82],
  [9, -64, -67, -71, -73, -75],
  [10, -59, -62, -65, -67, -69, -71, -72],
  [11, -54, -57, -59, -61, -63, -64, -65],
  [12, -49, -51, -53, -55, -56, -57, -58],
  [13, -43, -45, -47, -48, -50, -51, -52],
  [14, -38, -39, -40, -42, -43, -44, -44],
  [15, -32, -33, -34, -35, -36, -37, -37],
  [16, -26, -27, -28, -28, -29, -30, -30],
  [17, -20, -20, -21, -21, -22, -22, -23],
  [20, 0, 0, 0, 0, 0, 0, 0],
  [21, 7, 7, 7, 8, 8, 8, 8],
  [22, 14, 14, 15, 15, 15, 15, 15],
  [23, 21, 22, 22, 23, 23, 23, 23],
  [24, 28, 29, 30, 30, 31, 31, 31],
  [25, 36, 37, 38, 38, 39, 40, 40],
  [26, 43, 44, 45, 46, 47, 48, 48],
  [27, 52, 53, 54, 55, 55, 56, 56],
  [28, 60, 61, 62, 63, 63, 64, 64],
  [29, 68, 69, 71, 72, 72, 73, 73],
  [30, 77, 78, 79, 80, 80, 81, 81],
];

/** The warmest row that was read in print. */
export const READ_UP_TO_CELSIUS = 22;

/** The value at x of a line through points given by rising places, in proportion between two of them. */
function between(places: readonly number[], values: readonly number[], x: number): number {
  const next = Math.max(
    1,
    places.findIndex((place) => place >= x),
  );
  const [left = Number.NaN, right = Number.NaN] = places.slice(next - 1, next + 1);
  const [from = Number.NaN, to = Number.NaN] = values.slice(next - 1, next + 1);
  return from + ((to - from) * (x - left)) / (right - left);
}

/**
 * What is added to a refractometer reading taken at another temperature than 20 °C, in °Brix; for instruments that do
 * not correct it themselves.
 *
 * From two published tables (see `CORRECTIONS`), between rows and columns in proportion; readings from 10 to 40 °Bx at
 * 10 to 30 °C, to 30 °Bx from 5 °C. Printed to 0.01; an older table, of the CRC Handbook, lies up to 0.10 lower at 30
 * °C.
 */
export function refractometerCorrection(brix: number, celsius: number): Worked {
  const most = celsius < FULL_FROM ? SHORT_MOST : 40;
  const wrong = firstRefusal(
    outside(celsius, COLDEST, WARMEST, 'a temperature', '°C'),
    outside(brix, MUST_LEAST_BRIX, most, 'a refractometer reading', '°Bx'),
  );
  if (wrong !== undefined) return wrong;
  // Rows that end before the reading are those of temperatures it is not held for.
  const holding = CORRECTIONS.filter(([, ...row]) => brix <= (COLUMNS[row.length - 1] ?? 0));
  const atReading = holding.map(([, ...row]) => between(COLUMNS, row, brix));
  const temperatures = holding.map(([temperature]) => temperature);
  return between(temperatures, atReading, celsius) / 100;
}
