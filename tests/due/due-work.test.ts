/** What is due on a day: every expectation is worked out by hand from the journal above it. */
import { describe, expect, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import { dueWork } from '../../src/due/due-work.ts';
import { bookOf, CELLAR, dueOn, MUST, sayItem, WINE } from './journal.ts';

const PUNCH = `${CELLAR}
plan red-ferment for must in bin
  due punch-down 3 a day
${MUST}`;

describe('so often a day', () => {
  test('the day of the crush is not a whole day: the work begins with the next', () => {
    expect(dueOn(PUNCH, '2026-09-14')).toEqual([
      'next 2026-09-15 B1 LS punch-down 3 of 3',
      'next 2026-09-15 B2 LS punch-down 3 of 3',
    ]);
    expect(dueOn(PUNCH, '2026-09-14', 0)).toEqual([]);
  });

  test('what is done counts, three times before a verb as three, ranges and lots for each vessel', () => {
    const text = `${PUNCH}
2026-09-15 Tue
07:40, 13:00 punch-down LS
18:30 punch-down B1..B1
`;
    expect(dueOn(text, '2026-09-15')).toEqual([
      'now B2 LS punch-down 1 of 3, last 2026-09-15 13:00',
      'next 2026-09-16 B1 LS punch-down 3 of 3, last 2026-09-15 18:30',
    ]);
  });

  test('`except` leaves a vessel out, `3 times` counts three, a struck line counts nothing', () => {
    const text = `${PUNCH}
2026-09-15 Tue
07:40 punch-down LS 3 times except B2
08:00 struck punch-down B2 3 times
`;
    expect(dueOn(text, '2026-09-15')).toEqual([
      'now B2 LS punch-down 3 of 3',
      'next 2026-09-16 B1 LS punch-down 3 of 3, last 2026-09-15 07:40',
    ]);
  });

  test('what was left out yesterday is not due today: it cannot be done any more', () => {
    expect(dueOn(`${PUNCH}\n2026-09-17 Thu\n07:00 note LS\n`, '2026-09-17')).toEqual([
      'now B1 LS punch-down 3 of 3',
      'now B2 LS punch-down 3 of 3',
    ]);
  });

  test('a work after midnight belongs to the day it is done on', () => {
    const text = `${PUNCH}
2026-09-15 Tue
+00:30 punch-down B1
`;
    expect(dueOn(text, '2026-09-15')[0]).toBe('now B1 LS punch-down 3 of 3');
    expect(dueOn(text, '2026-09-16')[0]).toBe('now B1 LS punch-down 2 of 3, last 2026-09-16 00:30');
  });

  test('cap works stand in for one another while there is a line for one alone', () => {
    const done = `
2026-09-15 Tue
07:40 punch-down LS
12:00 pump-over B1 20 min
18:00 rack-and-return B1
`;
    expect(dueOn(`${PUNCH}${done}`, '2026-09-15', 0)).toEqual(['now B2 LS punch-down 2 of 3, last 2026-09-15 07:40']);
    const both = PUNCH.replace('3 a day\n', '2 a day\n  due pump-over 1 a day\n');
    expect(dueOn(`${both}${done}`, '2026-09-15', 0)).toEqual([
      'now B2 LS punch-down 1 of 2, last 2026-09-15 07:40',
      'now B2 LS pump-over 1 of 1',
    ]);
  });
});

describe('so often a week or a month', () => {
  // 2 November 2026 is a Monday; the wine came at eight, so its first whole week begins on the 9th
  const text = (rhythm: string, done: string): string =>
    `${CELLAR}\nplan lees-work for wine in barrel\n  due stir ${rhythm}\n${WINE}${done}`;

  test('is due on the last days on which one a day is in time', () => {
    expect(dueOn(text('2 a week', ''), '2026-11-09', 14).slice(0, 1)).toEqual(['next 2026-11-14 FB-01 GR stir 2 of 2']);
    const once = text('2 a week', '\n2026-11-10 Tue\n10:00 stir GR\n');
    expect(dueOn(once, '2026-11-12')[0]).toBe('next 2026-11-15 FB-01 GR stir 1 of 2, last 2026-11-10 10:00');
    expect(dueOn(once, '2026-11-15')[0]).toBe('now FB-01 GR stir 1 of 2, last 2026-11-10 10:00');
  });

  test('once done it comes back with the next week', () => {
    const done = text('1 a week', '\n2026-11-10 Tue\n10:00 stir FB-01..FB-02\n');
    expect(dueOn(done, '2026-11-10', 5)).toEqual([]);
    expect(dueOn(done, '2026-11-10', 12)).toEqual([
      'next 2026-11-22 FB-01 GR stir 1 of 1, last 2026-11-10 10:00',
      'next 2026-11-22 FB-02 GR stir 1 of 1, last 2026-11-10 10:00',
    ]);
  });

  test('a month is that of the calendar: December has 31 days', () => {
    expect(dueOn(text('1 a month', ''), '2026-12-01', 40)[0]).toBe('next 2026-12-31 FB-01 GR stir 1 of 1');
    expect(dueOn(text('1 a month', ''), '2026-11-20', 9)).toEqual([]);
  });
});

describe('every so many days', () => {
  const TOP = `${CELLAR}
plan barrel-age for wine in barrel
  due top every 21 days
${WINE}`;

  test('is due so long after the wine came, and overdue after that', () => {
    // 2 November and 21 days are the 23rd
    expect(dueOn(TOP, '2026-11-15')).toEqual([]);
    expect(dueOn(TOP, '2026-11-16')).toEqual(['next 2026-11-23 FB-01 GR top', 'next 2026-11-23 FB-02 GR top']);
    expect(dueOn(TOP, '2026-11-23')).toEqual(['now FB-01 GR top', 'now FB-02 GR top']);
    expect(dueOn(TOP, '2026-11-24')).toEqual(['overdue 2026-11-23 FB-01 GR top', 'overdue 2026-11-23 FB-02 GR top']);
  });

  test('topping counts for what was topped, not for where it came from, and by either order of words', () => {
    const text = `${TOP}
2026-11-20 Fri
10:00 top FB-01 from FB-02 1 L
11:00 top T1 0.5 L to FB-02
`;
    expect(dueOn(text, '2026-11-20', 30)).toEqual([
      'next 2026-12-11 FB-01 GR top, last 2026-11-20 10:00',
      'next 2026-12-11 FB-02 GR top, last 2026-11-20 11:00',
    ]);
  });

  test('a lot that is topped is topped in all its barrels', () => {
    const text = `${TOP.replace('T1 400 L as GR', 'T1 400 L as GR').replace('FB-01..FB-02 225 L each, T1 400 L as GR', 'FB-01..FB-02 225 L each as GR')}
09:00 found K1 50 L as OLD of ledge-2, vintage 2024
2026-11-20 Fri
10:00 top GR from K1 2 L
`;
    expect(dueOn(text, '2026-11-20', 30)).toEqual([
      'next 2026-12-11 FB-01 GR top, last 2026-11-20 10:00',
      'next 2026-12-11 FB-02 GR top, last 2026-11-20 10:00',
    ]);
  });

  test('wine that moves to another barrel has its rhythm from there', () => {
    const text = `${TOP}
2026-11-10 Tue
09:00 rack FB-01 to FB-03
`;
    expect(dueOn(text, '2026-11-10', 30)).toEqual(['next 2026-11-23 FB-02 GR top', 'next 2026-12-01 FB-03 GR top']);
  });

  test('hours are told to the minute', () => {
    const text = `${CELLAR}
plan red-ferment for must
  due reading temp every 12 h
${MUST}
2026-09-14 Mon
20:00 reading LS temp 18 C
`;
    expect(dueOn(text, '2026-09-14', 1)[0]).toBe('next 2026-09-15 08:00 B1 LS reading temp, last 2026-09-14 20:00');
    expect(dueOn(text, '2026-09-16', 1)[0]).toBe('overdue 2026-09-15 08:00 B1 LS reading temp, last 2026-09-14 20:00');
  });
});

describe('once', () => {
  const FEED = `${CELLAR}
plan red-ferment for must
  due add nutri-a once when a third gone
${MUST}
2026-09-15 Tue
07:00 reading B1 brix 24
07:00 reading B2 brix 24
`;

  test('waits for its condition, is due the day it is met, and overdue after that', () => {
    // a third of 24 is gone at 16
    const text = `${FEED}
2026-09-17 Thu
07:00 reading B1 brix 16.1
18:00 reading B2 brix 16.0
`;
    expect(dueOn(text, '2026-09-16')).toEqual([]);
    expect(dueOn(text, '2026-09-17')).toEqual(['now B2 LS add nutri-a']);
    expect(dueOn(text, '2026-09-18')).toEqual(['overdue 2026-09-17 B2 LS add nutri-a']);
  });

  test('is counted from the day before on: an addition two days early was for something else', () => {
    const text = (day: string): string => `${FEED}
2026-09-${day}
08:00 add nutri-a 10 g/hL to LS

2026-09-17 Thu
18:00 reading LS brix 15
`;
    expect(dueOn(text('15 Tue'), '2026-09-17')).toEqual([
      'now B1 LS add nutri-a, last 2026-09-15 08:00',
      'now B2 LS add nutri-a, last 2026-09-15 08:00',
    ]);
    expect(dueOn(text('16 Wed'), '2026-09-17')).toEqual([]);
  });

  test('one addition answers one line, and what was added goes with the wine', () => {
    const text = `${CELLAR}
plan feeding for juice in tank
  due add nutri-a once when a quarter gone
  due add nutri-a once when half gone

2026-09-14 Mon
07:00 receive GB from ledge-7, net 900 kg
09:00 press GB to T1 620 L as GB-j, pomace 210 kg

2026-09-15 Tue
07:00 reading T1 brix 20

2026-09-18 Fri
07:00 reading T1 brix 9
08:00 add nutri-a 10 g/hL to T1
09:00 rack T1 to T2, lees 20 L
`;
    // 9 of 20 is more than half gone: both are due, one is done
    expect(dueOn(text, '2026-09-18')).toEqual(['now T2 GB-j add nutri-a, last 2026-09-18 08:00']);
    expect(dueOn(`${text}10:00 add nutri-a 10 g/hL to T2\n`, '2026-09-18')).toEqual([]);
  });

  test('a kind of material is answered by any of the kind, a yeast by inoculating', () => {
    const text = `${CELLAR}
plan red-ferment for must
  due add nutrient once
  due inoculate once
  due inoculate with ey-7 once
${MUST}`;
    expect(dueOn(text, '2026-09-14', 0)).toHaveLength(6);
    const done = `${text}10:00 add dap 10 g/hL to LS\n11:00 inoculate B1 with ey-7 25 g/hL\n`;
    // one inoculation of B1 answers one of its two lines
    expect(dueOn(done, '2026-09-14', 0)).toEqual([
      'now B2 LS inoculate',
      'now B1 LS inoculate with ey-7, last 2026-09-14 11:00',
      'now B2 LS inoculate with ey-7',
    ]);
  });

  test('after so many days it is known beforehand', () => {
    const text = `${CELLAR}
plan tank-age for wine in tank
  due rack after 90 days
${WINE}`;
    // 2 November and 90 days are 31 January
    expect(dueOn(text, '2026-12-01', 60)).toEqual([]);
    expect(dueOn(text, '2026-12-01', 61)).toEqual(['next 2027-01-31 T1 GR rack']);
    expect(dueOn(text, '2027-02-02')).toEqual(['overdue 2027-01-31 T1 GR rack']);
  });
});

describe('readings', () => {
  const READ = `${CELLAR}
plan red-ferment for must
  due reading brix, temp 2 a day
${MUST}
2026-09-15 Tue
07:00 readings brix, temp C
      B1  24.0  18.0
      B2  24.0  -
`;

  test('each measurement of a line is read by itself, and what lacks is told', () => {
    expect(dueOn(READ, '2026-09-15', 0)).toEqual([
      'now B1 LS reading brix, temp 1 of 2, last 2026-09-15 07:00',
      'now B2 LS reading brix 1 of 2, last 2026-09-15 07:00',
      'now B2 LS reading temp 2 of 2',
    ]);
  });

  test('sugar read on any scale is sugar read, a lot is read in all its vessels', () => {
    expect(dueOn(`${READ}17:00 reading LS SG 1.090, temp 20 C\n`, '2026-09-15', 0)).toEqual([
      'now B2 LS reading temp 1 of 2, last 2026-09-15 17:00',
    ]);
  });

  test('a sample counts on the day it was drawn', () => {
    const text = `${CELLAR}
plan barrel-age for wine in barrel
  due reading VA every 10 days
${WINE}
2026-11-09 Mon
09:00 sample FB-01 0.1 L as S-1

2026-11-16 Mon
09:00 reading S-1 VA 0.4 g/L
`;
    expect(dueOn(text, '2026-11-13')).toEqual([
      'overdue 2026-11-12 FB-01 GR reading VA',
      'overdue 2026-11-12 FB-02 GR reading VA',
    ]);
    expect(dueOn(text, '2026-11-16')).toEqual([
      'overdue 2026-11-12 FB-02 GR reading VA',
      'next 2026-11-19 FB-01 GR reading VA, last 2026-11-09 09:00',
    ]);
  });

  test('molecular sulfur dioxide is read where the free is and the pH is known', () => {
    const text = `${CELLAR}
plan barrel-age for wine in barrel
  due reading molecular SO2 every 10 days
${WINE}09:00 reading FB-01 pH 3.6
2026-11-05 Thu
09:00 reading GR free SO2 30 mg/L
`;
    expect(dueOn(text, '2026-11-05', 30)).toEqual([
      'next 2026-11-12 FB-02 GR reading molecular SO2',
      'next 2026-11-15 FB-01 GR reading molecular SO2, last 2026-11-05 09:00',
    ]);
  });
});

test('a journal without a plan, and wine that is gone, have nothing due', () => {
  expect(dueOn(`${CELLAR}${MUST}`, '2026-09-15')).toEqual([]);
  const text = `${PUNCH}
2026-09-20 Sun
08:00 press LS to T1 1000 L as LS-w, pomace 290 kg
`;
  expect(dueOn(text, '2026-09-20')).toEqual([]);
});

test('the list goes by status, then day, then as the plans stand', () => {
  const text = `${CELLAR}
plan barrel-age for wine in barrel
  due reading pH every 30 days
  due top every 21 days
plan tank-age for wine in tank
  due taste every 5 days
${WINE}`;
  expect(dueOn(text, '2026-11-23', 14)).toEqual([
    'overdue 2026-11-07 T1 GR taste',
    'now FB-01 GR top',
    'now FB-02 GR top',
    'next 2026-12-02 FB-01 GR reading pH',
    'next 2026-12-02 FB-02 GR reading pH',
  ]);
});

test('a book that ends with the day and a book that goes on give the same list', () => {
  const text = `${CELLAR}
plan red-ferment for must
  due punch-down 2 a day
  due punch-down 1 a day when half gone
  due add nutri-a once when a third gone
${MUST}
2026-09-15 Tue
07:00 reading LS brix 24
08:00 punch-down B1

2026-09-16 Wed
07:00 reading LS brix 12
08:00 set-apart B2 as LS-b
09:00 add nutri-a 10 g/hL to B1

2026-09-17 Thu
plan red-ferment for must
  due punch-down 5 a day
`;
  for (const on of ['2026-09-14', '2026-09-15', '2026-09-16']) {
    const ends = bookOf(text, on);
    expect(dueOn(text, on)).toEqual(dueWork(ends, parseDate(on), 7).map((item) => sayItem(ends, item)));
  }
  expect(dueOn(text, '2026-09-15', 0)).toEqual([
    'now B1 LS punch-down 1 of 2, last 2026-09-15 08:00',
    'now B2 LS punch-down 2 of 2',
  ]);
});
