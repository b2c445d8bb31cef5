/** Days, times and figures as laboratories and loggers write them; what can be read in two ways is not read. */
import { describe, expect, test } from 'vitest';
import { formatDate } from '../../grammar/dates.ts';
import { columnMeaning, type DayOrder } from '../../src/journal/csv-columns.ts';
import { decimalMarkOf, readDay, readFigure, readTime } from '../../src/report/entered-cells.ts';

const day = (cell: string, order: DayOrder): string => {
  const read = readDay(cell, order);
  return 'why' in read ? read.why : `${formatDate(read.day)}${read.minute === undefined ? '' : ` ${read.minute}`}`;
};

describe('days', () => {
  test.each([
    ['2026-10-05', 'year-month-day', '2026-10-05'],
    ['2026/10/05', 'year-month-day', '2026-10-05'],
    ['5.10.2026', 'day-month-year', '2026-10-05'],
    ['05/10/2026 14:30', 'day-month-year', '2026-10-05 870'],
    ['10/5/2026', 'month-day-year', '2026-10-05'],
    ['2026-10-05T14:30:59', 'year-month-day', '2026-10-05 870'],
    ['10/05/2026 2:30 PM', 'month-day-year', '2026-10-05 870'],
  ] as const)('%s as %s', (cell, order, is) => {
    expect(day(cell, order)).toBe(is);
  });

  test.each([
    ['', 'year-month-day', 'missing'],
    ['3/4/2026', 'year-month-day', 'two ways'],
    ['3/4/26', 'day-month-year', 'four digits'],
    ['31/4/2026', 'day-month-year', 'no day there is'],
    ['13/25/2026', 'month-day-year', 'no day there is'],
    ['5 Oct 2026', 'day-month-year', 'no day in numbers'],
    ['2026-10/05', 'year-month-day', 'no day in numbers'],
    ['2026-10-05T14:30:00Z', 'year-month-day', 'another zone'],
    ['2026-10-05T14:30:00+02:00', 'year-month-day', 'another zone'],
    ['46300', 'year-month-day', 'no day in numbers'],
  ] as const)('%s as %s is refused: %s', (cell, order, why) => {
    expect(day(cell, order)).toContain(why);
  });
});

test.each([
  ['14:05', 845],
  ['7:40', 460],
  ['14:05:59.3', 845],
  ['2:05 pm', 845],
  ['12:00 AM', 0],
  ['12:00 p.m.', 720],
])('the time %s', (cell, minute) => {
  expect(readTime(cell)).toBe(minute);
});

test.each(['24:00', '12:60', '13:00 pm', '0:10 am', '1405', 'noon', '14:05Z'])('%s is no time', (cell) => {
  expect(readTime(cell)).toHaveProperty('why');
});

const BRIX = { kind: 'reading', analyte: 'brix', unit: undefined } as const;
const TA = { kind: 'reading', analyte: 'TA', unit: 'g/L' } as const;

describe('figures', () => {
  test.each([
    ['24.6', 'point', '24.6'],
    [' 24,6 ', 'comma', '24.6'],
    ['1.840,5', 'comma', '1840.5'],
    ['1,840', 'point', '1840'],
    ['-1.3', 'point', '-1.3'],
    ['−1,3', 'comma', '-1.3'],
    ['+.5', 'point', '0.5'],
    ['007', 'point', '7'],
    ['< 0,1', 'comma', '<0.1'],
    ['~12', 'point', '~12'],
  ] as const)('%s with a decimal %s', (cell, decimal, is) => {
    const read = readFigure(cell, BRIX, decimal);
    expect(read === undefined || 'why' in read ? read : read.mark + read.text).toBe(is);
  });

  test.each(['', '-', 'n/a', 'NaN', ' – '])('a cell with %j has none', (cell) => {
    expect(readFigure(cell, BRIX, 'point')).toBeUndefined();
  });

  test.each([
    ['1e3', 'stands behind'],
    ['12..3', 'stands behind'],
    ['see note', 'no figure'],
    ['12,34,5', 'decimal point'],
    ['1.2.3', 'decimal point'],
    ['24.6 °C', 'stands behind'],
  ])('%s is refused: %s', (cell, why) => {
    const read = readFigure(cell, BRIX, 'point');
    expect(read !== undefined && 'why' in read ? read.why : read).toContain(why);
  });

  test('a unit behind a figure must be the one of its column', () => {
    expect(readFigure('6.1 g/L', TA, 'point')).toEqual({ text: '6.1', mark: '' });
    expect(readFigure('6.1 mg/L', TA, 'point')).toHaveProperty('why');
  });
});

describe('what stands before decimals', () => {
  test('is told by the figures where they can tell it', () => {
    expect(decimalMarkOf(['24.6', '<0.1', 'n/a'], ',')).toBe('point');
    expect(decimalMarkOf(['24,6', '1,840'], ';')).toBe('comma');
    expect(decimalMarkOf(['24'], ';')).toBe('point');
  });

  test('else has to be said', () => {
    expect(decimalMarkOf(['1,840'], ';')).toHaveProperty('why');
    expect(decimalMarkOf(['24,6', '24.6'], ';')).toHaveProperty('why');
    expect(decimalMarkOf(['24,6'], ',')).toHaveProperty('why');
  });
});

describe('what a column means', () => {
  test.each([
    ['brix', { kind: 'reading', analyte: 'brix', unit: undefined }],
    ['brix °Bx', { kind: 'reading', analyte: 'brix', unit: undefined }],
    ['free SO2 mg/L', { kind: 'reading', analyte: 'free SO2', unit: 'mg/L' }],
    ['temp F', { kind: 'reading', analyte: 'temp', unit: 'F' }],
    ['alcohol %', { kind: 'reading', analyte: 'alcohol', unit: '%' }],
    ['vessel', { kind: 'vessel' }],
    ['day', { kind: 'day', order: 'year-month-day' }],
    ['day month/day/year', { kind: 'day', order: 'month-day-year' }],
    ['time', { kind: 'time' }],
  ])('%s', (words, is) => {
    expect(columnMeaning(words.split(' '))).toEqual(is);
  });

  test.each([
    ['TA', 'no unit'],
    ['TA mL', 'is no TA'],
    ['brix C', 'takes no unit'],
    ['temp C C', 'behind the unit'],
    ['day mm/dd', 'no way to write a day'],
    ['vessel tank', 'nothing stands behind'],
    ['brxi', 'nothing a column can mean'],
  ])('%s is refused: %s', (words, why) => {
    const read = columnMeaning(words.split(' '));
    expect('problem' in read ? read.problem : read).toContain(why);
  });

  test('a word misspelt is told what is near', () => {
    const read = columnMeaning(['brxi']);
    expect('help' in read ? read.help : '').toContain('brix');
  });
});
