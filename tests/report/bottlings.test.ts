import { expect, test } from 'vitest';
import { bottledModel, bottlingModel, bottlingsOf } from '../../src/report/bottlings.ts';
import { columnOf, contextFrom, present, rowsOf } from './told.ts';

const JOURNAL = `
vessel T1..T4 tank 1000 L steel
block ledge-2 Syrah region "Lower Teal" 1 ha
block ledge-5 Grenache region "Lower Teal" 1 ha

2026-01-10 Sat
08:00 found T1 600 L as SYR of ledge-2, vintage 2025
      found T2 200 L as GR of ledge-5, vintage 2025
      found 60 x 750 mL as "24A" of ledge-2, vintage 2024
2026-02-01 Sun
08:00 blend T1, T2 to T3 800 L as RUNG
2026-03-01 Sun
09:00 reading RUNG free SO2 31 mg/L, total SO2 88 mg/L, alcohol 13.6 %
2026-03-10 Tue
09:00 bottle T3 to 800 x 750 mL, 100 x 1.5 L as "25RUNG", loss 5 L, leaving 45 L, closure cork
16:00 label "25RUNG" vintage 2025, alcohol 13.5 %
2026-04-01 Wed
10:00 dispatch "25RUNG" 120 x 750 mL for sale to "inn at the ford"
      dispatch "25RUNG" 12 x 750 mL, 6 x 1.5 L for sale to "shop on the quay"
      dispatch "25RUNG" 6 x 750 mL for tasting
11:00 dispatch "24A" 60 x 750 mL for sale to "inn at the ford"
2026-05-01 Fri
09:00 count "25RUNG" 660 x 750 mL, 95 x 1.5 L
`;

const context = contextFrom(JOURNAL);
const bottling = present(bottlingsOf(context).find(({ facts }) => facts.name === '25RUNG'));

test('bottlings on hand stand apart from those all gone', () => {
  const model = bottledModel(context);
  expect(model.lead).toBe('755 bottles of 1 bottling on hand, 637.5 L.');
  expect(rowsOf(model.held)).toEqual([
    [
      '25RUNG',
      '10 Mar 2026',
      'RUNG',
      '75 % Syrah ledge-2 2025, 25 % Grenache ledge-5 2025',
      '800 × 750 mL, 100 × 1.5 L (magnum)',
      '660 × 750 mL, 95 × 1.5 L (magnum)',
      '637.5 L',
    ],
  ]);
  expect(columnOf(model.gone, 'Bottling')).toEqual(['24A']);
});

test('dispatches are told by what for and to whom, the largest first', () => {
  const { went } = bottledModel(context);
  expect(rowsOf(went).map((row) => row.slice(0, 4))).toEqual([
    ['for sale', 'inn at the ford', '180', '135 L'],
    ['for sale', 'shop on the quay', '18', '18 L'],
    ['for tasting', '', '6', '4.5 L'],
  ]);
});

test('a bottling tells how it was filled, from what, and where its bottles went', () => {
  const model = bottlingModel(context, bottling);
  const fact = (name: string) =>
    model.facts.find((one) => one.name === name)?.figures.map(({ text }) => text.replaceAll('\u00A0', ' '));
  expect(fact('filled')).toEqual(['10 Mar 2026']);
  expect(fact('closure')).toEqual(['cork']);
  expect(fact('lost in filling')).toEqual(['5 L']);
  expect(fact('alcohol at filling')).toEqual(['13.6 % vol']);
  expect(fact('SO2 before filling')).toEqual(['free SO2 31 mg/L', 'total SO2 88 mg/L', 'on 1 Mar 2026']);
  expect(model.labels.map(({ text }) => text)).toEqual(['vintage 2025, alcohol 13.5 %']);
  expect(model.composition).toBe('75 % Syrah ledge-2 2025, 25 % Grenache ledge-5 2025');
  expect(rowsOf(model.went)).toEqual([
    ['for sale', 'inn at the ford, shop on the quay', '132 × 750 mL, 6 × 1.5 L (magnum)', '108 L'],
    ['for tasting', '', '6 × 750 mL', '4.5 L'],
  ]);
});

test('a count says by size what was missing or more', () => {
  const { steps } = bottlingModel(context, bottling);
  // by hand: 800 − 120 − 12 − 6 = 662 were there, and 100 − 6 = 94 magnums
  expect(rowsOf(steps).at(-1)?.slice(1, 4)).toEqual([
    'counted',
    '660 × 750 mL, 95 × 1.5 L (magnum)',
    '2 × 750 mL missing, 1 × 1.5 L (magnum) more',
  ]);
});

test('without a bottling there is nothing to list', () => {
  expect(bottledModel(contextFrom('# nothing\n'))).toMatchObject({
    held: undefined,
    gone: undefined,
    went: undefined,
    lead: '',
  });
});
