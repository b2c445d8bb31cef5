/** The list as people read it, and as programs do: held to its schema. */
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import { dueWork } from '../../src/due/due-work.ts';
import schema from '../../src/report/due.schema.json' with { type: 'json' };
import { dueJson } from '../../src/report/due-json.ts';
import { dueList, workFor } from '../../src/report/due-list.ts';
import { bookOf, CELLAR, MUST, WINE } from './journal.ts';

const TEXT = `${CELLAR}
plan red-ferment for must in bin
  due punch-down 3 a day
  due reading temp every 12 h by ana
plan barrel-age for wine in barrel
  due top every 21 days by bo
${MUST}
2026-09-15 Tue
07:00 punch-down B1..B2
08:00 found FB-01..FB-03 225 L each as GR of ledge-2, vintage 2025
09:00 reading LS temp 20 C
`;
const book = bookOf(TEXT);
const on = parseDate('2026-09-15');
const items = dueWork(book, on, 30);

test('the list tells a work once for all the lots and vessels it is due in', () => {
  const text = dueList(book, items, on).map(({ status, lines }) => [
    status,
    ...lines.map(({ what, day, at, where, why, by }) =>
      [what, day, at, where.map((one) => `${one.text} (${one.last})`).join(' + '), why, by.join(' ')].join(' | '),
    ),
  ]);
  expect(text).toEqual([
    [
      'now',
      'punch-down, 2 of 3 left |  |  | LS in B1, B2 (last today 07:00) | red-ferment, journal.cellar:15 | ',
      'reading temp |  | 21:00 | LS in B1, B2 (last today 09:00) | red-ferment, journal.cellar:16 | ana',
    ],
    ['next', 'top | Tue 6 Oct 2026 |  | GR in FB-01..FB-03 () | barrel-age, journal.cellar:18 | bo'],
  ]);
});

test('what is overdue says since when, and what is due several times how often', () => {
  const late = parseDate('2026-10-10');
  const [overdue, now] = dueList(book, dueWork(book, late, 1), late);
  expect(overdue?.lines.map(({ what, day, at }) => [what, day, at])).toEqual([
    ['reading temp', 'since 15 Sep 2026', '21:00'],
    ['top', 'since 6 Oct 2026', ''],
  ]);
  expect(now?.lines.map(({ what }) => what)).toEqual(['punch-down, 3 times']);
});

describe('for a name', () => {
  const work = (name: string) => {
    const found = workFor(book, items, name);
    return 'items' in found ? [...new Set(found.items.map(({ what }) => what))] : found;
  };

  test('of a hand, a lot, a vessel or a plan, whatever its case', () => {
    expect(work('bo')).toEqual(['top']);
    expect(work('Ana')).toEqual(['reading temp']);
    expect(work('ls')).toEqual(['punch-down', 'reading temp']);
    expect(work('FB-02')).toEqual(['top']);
    expect(work('barrel-age')).toEqual(['top']);
    expect(work('T1')).toEqual([]);
  });

  test('of nobody, with what is nearest', () => {
    expect(work('FB-77')).toEqual({ unknown: 'FB-77', near: 'FB-01' });
  });
});

describe('for programs', () => {
  const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema);
  const json = dueJson(book, items, on, 30, undefined);
  const plain: unknown = JSON.parse(JSON.stringify(json));

  test('it fits its schema, with every kind of item in it', () => {
    expect(validate(plain), JSON.stringify(validate.errors)).toBe(true);
    const late = dueJson(book, dueWork(book, parseDate('2026-10-10'), 3), parseDate('2026-10-10'), 3, 'bo');
    expect(validate(JSON.parse(JSON.stringify(late))), JSON.stringify(validate.errors)).toBe(true);
    expect(new Set(late.items.map(({ status }) => status))).toEqual(new Set(['overdue', 'now']));
  });

  test('the schema refuses what lacks a field, has one more, or another kind', () => {
    const [first] = json.items;
    const refused = (change: object): boolean => !validate(JSON.parse(JSON.stringify({ ...json, ...change })));
    expect(refused({ items: [{ ...first, vessel: undefined }] })).toBe(true);
    expect(refused({ items: [{ ...first, colour: 'red' }] })).toBe(true);
    expect(refused({ items: [{ ...first, status: 'soon' }] })).toBe(true);
    expect(refused({ items: [{ ...first, left: 0 }] })).toBe(true);
    expect(refused({ on: '15 September' })).toBe(true);
    expect(refused({})).toBe(false);
  });

  test('an item names its plan, its line and when it was last done', () => {
    expect(json.items[0]).toEqual({
      status: 'now',
      due: '2026-09-15',
      dueAt: null,
      work: 'punch-down',
      vessel: 'B1',
      lot: 'LS',
      left: 2,
      asked: 3,
      last: '2026-09-15T07:00',
      by: [],
      plan: 'red-ferment',
      says: 'due punch-down 3 a day',
      source: { file: 'journal.cellar', line: 15 },
    });
    expect(json.items.find(({ work }) => work === 'reading temp')?.dueAt).toBe('2026-09-15T21:00');
    expect(json.items.find(({ work }) => work === 'top')).toMatchObject({ left: null, last: null, by: ['bo'] });
  });
});

test('a book without plans has an empty list', () => {
  const bare = bookOf(`${CELLAR}${WINE}`);
  expect(dueList(bare, dueWork(bare, on, 7), on)).toEqual([]);
});
