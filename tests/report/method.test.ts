import { expect, test } from 'vitest';
import { methodModel } from '../../src/report/method.ts';
import { CALCULATIONS } from '../../src/trade/calculations/index.ts';
import { contextFrom, rowsOf } from './told.ts';

const plain = methodModel(contextFrom('# nothing\n'));

test('every calculation is on the page, once', () => {
  const names = plain.groups.flatMap(({ rows }) => rows.map(({ name }) => name));
  expect(names).toEqual(CALCULATIONS.map(({ name }) => name));
});

test('each says its source, and no anchor stands twice', () => {
  for (const { rows } of plain.groups)
    for (const { name, sources } of rows) expect(sources.length, name).toBeGreaterThan(0);
  const ids = [
    ...plain.rules.map(({ id }) => id),
    ...plain.groups.flatMap(({ id, rows }) => [id, ...rows.map(({ name }) => name)]),
  ];
  expect(new Set(ids).size).toBe(ids.length);
});

test('the house’s own methods and tolerances are told, and what holds where it says nothing', () => {
  expect(rowsOf(plain.house)).toEqual([
    ['molecular SO2', 'pKa 1.81, water at 20 °C'],
    ['alcohol from sugar', '16.83 g/L of sugar for 1 % vol'],
  ]);
  const own = methodModel(contextFrom('method molecular SO2 oiv, brix hydrometer, alcohol 0.58\ntolerance dip 2 %\n'));
  expect(rowsOf(own.house)[1]).toEqual(['alcohol from sugar', '0.58 % vol for 1 °Bx']);
  expect(rowsOf(own.house)[2]).toEqual(['brix', 'hydrometer']);
  expect(rowsOf(own.house)[0]).not.toEqual(rowsOf(plain.house)[0]);
  expect(rowsOf(own.tolerances)[0]).toEqual(['dip', 'a dip against the book', '2 %']);
});
