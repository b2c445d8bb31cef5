/** Lines of a plan as they are read: typed, in the units of what they measure, in the words they were written in. */
import { describe, expect, test } from 'vitest';
import type { PlanRow } from '../../src/journal/plans.ts';
import { bookOf, CELLAR } from './journal.ts';

/** A line of a plan, without where it stands. */
function read(line: string): Partial<PlanRow> | undefined {
  const text = `${CELLAR}plan p for wine\n  ${line}\n\n2026-11-02 Mon\nfound T1 100 L as GR of ledge-2, vintage 2025\n`;
  const row = bookOf(text).plans[0]?.rows[0];
  if (row === undefined) return undefined;
  const { place: _, ...rest } = row;
  return rest;
}

const DAY = 1440;

test('the words are kept as written, one blank between them', () => {
  expect(read('due   punch-down  3 a  day   while brix above 5 by bo sic -- every one')?.said).toBe(
    'due punch-down 3 a day while brix above 5',
  );
  expect(read('due add "nutri-a" 15 g/hL once')?.said).toBe('due add "nutri-a" 15 g/hL once');
});

describe('works', () => {
  test.each([
    ['due punch-down 3 a day', { kind: 'verb', verb: 'punch-down' }, 'punch-down'],
    ['due punchdown 3 a day', { kind: 'verb', verb: 'punch-down' }, 'punch-down'],
    ['due reading brix, free SO2 once', { kind: 'reading', analytes: ['brix', 'free SO2'] }, 'reading brix, free SO2'],
    ['due reading alcohol once', { kind: 'reading', analytes: ['alcohol'] }, 'reading alcohol'],
    [
      'due add nutri-a 15 g/hL once',
      { kind: 'material', verb: 'add', material: 4, dose: { kind: 'rate', text: '15', unit: 'g/hL' } },
      'add nutri-a 15 g/hL',
    ],
    [
      'due add kms 30 mg/L SO2 once',
      { kind: 'material', verb: 'add', material: 0, dose: { kind: 'rate', text: '30', unit: 'mg/L', of: 'SO2' } },
      'add kms 30 mg/L SO2',
    ],
    ['due add fining agent once', { kind: 'material kind', verb: 'add', of: 'fining agent' }, 'add fining agent'],
    ['due inoculate once with mlb-1', { kind: 'material', verb: 'inoculate', material: 3 }, 'inoculate with mlb-1'],
  ])('%s', (line, work, what) => {
    expect(read(line)).toMatchObject({ kind: 'due', work, what });
  });
});

describe('rhythms', () => {
  test.each([
    ['3 a day', { kind: 'count', count: 3, period: 'day' }],
    ['3 times a day', { kind: 'count', count: 3, period: 'day' }],
    ['twice a week', { kind: 'count', count: 2, period: 'week' }],
    ['once a month', { kind: 'count', count: 1, period: 'month' }],
    ['every 21 days', { kind: 'every', minutes: 21 * DAY }],
    ['every 2 weeks', { kind: 'every', minutes: 14 * DAY }],
    ['every 90 min', { kind: 'every', minutes: 90 }],
    ['every day', { kind: 'every', minutes: DAY }],
    ['once', { kind: 'once' }],
    ['after 3 days', { kind: 'once' }],
  ])('%s', (rhythm, is) => {
    expect(read(`due taste ${rhythm}`)).toMatchObject({ rhythm: is });
  });
});

describe('bounds, in the unit of what is measured', () => {
  test.each([
    ['keep temp 71.6..86 F', { low: 22, high: 30, strict: false }],
    ['keep temp above 10 C under 18 C', { low: 10, high: 18, strict: false }],
    ['keep VA under 700 mg/L', { high: 0.7, strict: false }],
    ['keep pH 3.4..3.7', { low: 3.4, high: 3.7, strict: false }],
    // figures are kept to a thousandth of a degree
    ['warn temp above 90 F', { low: 32.222, strict: true }],
    ['warn temp over 32 C', { low: 32, strict: true }],
    ['warn brix falling under 0.5 a day', { high: 0.5, strict: true }],
    ['warn temp rising over 9 F a day', { low: 5, strict: true }],
  ])('%s', (line, bounds) => {
    const row = read(line);
    expect(row !== undefined && 'bounds' in row ? row.bounds : undefined).toEqual(bounds);
  });
});

describe('conditions', () => {
  test.each([
    [
      'while brix above 5',
      [{ word: 'while', test: { kind: 'reading', analyte: 'brix', bounds: { low: 5, strict: true } } }],
    ],
    [
      'while brix 5..20',
      [{ word: 'while', test: { kind: 'reading', analyte: 'brix', bounds: { low: 5, high: 20, strict: false } } }],
    ],
    [
      'until malic under 300 mg/L',
      [{ word: 'until', test: { kind: 'reading', analyte: 'malic', bounds: { high: 0.3, strict: true } } }],
    ],
    ['when a third gone', [{ word: 'when', test: { kind: 'gone', share: 1 / 3 } }]],
    [
      'while fermenting until wine',
      [
        { word: 'while', test: { kind: 'stage', stage: 'fermenting' } },
        { word: 'until', test: { kind: 'stage', stage: 'wine' } },
      ],
    ],
    ['after 36 h', [{ word: 'after', minutes: 36 * 60 }]],
    ['until 1970-01-11', [{ word: 'until', day: 10 }]],
    [
      'while brix above 5 when temp above 20 C',
      [
        { word: 'while', test: { kind: 'reading', analyte: 'brix', bounds: { low: 5, strict: true } } },
        { word: 'when', test: { kind: 'reading', analyte: 'temp', bounds: { low: 20, strict: true } } },
      ],
    ],
  ])('%s', (condition, conditions) => {
    expect(read(`due taste 1 a day ${condition}`)).toMatchObject({ conditions });
  });
});

test('hands are those who were declared, and a line may answer for itself', () => {
  expect(read('due top every 21 days by bo, ana')).toMatchObject({ by: ['bo', 'ana'], sic: false });
  expect(read('keep temp 10..15 C sic')).toMatchObject({ by: [], sic: true });
});

test('a plan with a line that cannot be read has its others, and is in doubt', () => {
  const text = `${CELLAR}plan p for wine\n  due top evry 21 days\n  due taste every 21 days\n\n2026-11-02 Mon\nfound T1 100 L as GR of ledge-2, vintage 2025\n`;
  const [plan] = bookOf(text).plans;
  expect(plan?.rows.map(({ said }) => said)).toEqual(['due taste every 21 days']);
  expect(plan?.doubtful).toBe(true);
});
