/** The season day by day: counted by rounds, and each day led to where the journal tells it. */
import { expect, test } from 'vitest';
import { daysModel, daysPages } from '../../src/report/days.ts';
import { linesOf } from '../../src/report/finding-list.ts';
import { contextFor, fermentingText, finishedText, present } from './small-cellar.ts';

test('a page a year, the newest first, which has its last month, and a page for each other month', () => {
  const context = contextFor(finishedText());
  const pages = daysPages(context);
  expect(pages.map(({ path, title }) => [path, title])).toEqual([
    ['days.html', 'The days of 2027'],
    ['days/2027-06.html', 'The days of Jun 2027'],
    ['days/2026.html', 'The days of 2026'],
    ['days/2026-10.html', 'The days of Oct 2026'],
    ['days/2026-09.html', 'The days of Sep 2026'],
  ]);
  const year = daysModel(context, present(pages[2]), pages);
  expect([year.month?.title, year.calendar?.rows.length]).toEqual(['Nov 2026', expect.any(Number)]);
  expect(year.months).toEqual([
    { text: 'Nov', href: 'days/2026.html', here: true },
    { text: 'Oct', href: 'days/2026-10.html', here: false },
    { text: 'Sep', href: 'days/2026-09.html', here: false },
  ]);
  const september = daysModel(context, present(pages[4]), pages);
  expect([september.calendar, september.month?.days.length]).toEqual([undefined, 5]);
});

const context = contextFor(fermentingText());
const pages = daysPages(context);
const model = daysModel(context, present(pages[0]), pages);

test('rounds of several vessels at one time count once', () => {
  const rows = new Map(model.calendar?.rows.map(({ name, days }) => [name, days]));
  const on23 = Date.UTC(2026, 8, 23) / 86_400_000;
  const count = (name: string): number | undefined => rows.get(name)?.find(({ day }) => day === on23)?.count;
  expect([count('Readings'), count('Punch-downs'), count('Pump-overs'), count('Additions')]).toEqual([
    1,
    3,
    1,
    undefined,
  ]);
  expect(rows.get('Fruit')?.[0]?.count).toBe(2);
});

test('the table of months adds up to the calendar', () => {
  for (const { name, all } of model.sums.rows) {
    const days = model.calendar?.rows.find((row) => row.name === name)?.days ?? [];
    expect(
      days.reduce((sum, { count }) => sum + count, 0),
      name,
    ).toBe(all);
  }
  expect(model.sums.months).toEqual(['Sep']);
});

test('the newest day stands first, and each leads to the line where its day begins', () => {
  const { month } = model;
  expect(month?.days.map(({ day }) => day)).toEqual(
    [24, 23, 22, 21, 20, 19, 18, 17, 16, 14].map((day) => `${day} Sep`),
  );
  const lines = linesOf(fermentingText());
  for (const { iso, lines: links } of month?.days ?? []) {
    const line = Number(/#L(\d+)$/u.exec(links[0]?.href ?? '')?.[1]);
    expect(lines[line - 1], iso).toBe(iso);
  }
});

test('a day says what was done on it, and what its own note says', () => {
  const first = model.month?.days.at(-1);
  expect(first?.work).toBe('fruit 2×, crushing, yeast, additions');
  expect(first?.notes).toEqual(['Clear, 9 C at dawn.']);
});

test('a journal without days has an empty page', () => {
  const empty = contextFor('vessel T1 tank 100 L\n');
  const only = daysPages(empty);
  expect(only.length).toBe(1);
  expect(daysModel(empty, present(only[0]), only)).toMatchObject({ calendar: undefined, month: undefined, lead: '' });
});
