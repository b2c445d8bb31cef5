/** When lines of a plan hold: each case names the moment at which the record turns it, and what the day after shows. */
import { describe, expect, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import { dueWork } from '../../src/due/due-work.ts';
import { bookOf, CELLAR, dueOn, MUST, sayItem, WINE } from './journal.ts';

/** Which line is in force about the taste of B1 on the day after the record ends: each asks for another number. */
function lineOn(plan: string, record: string, on: string): string {
  const text = `${CELLAR}\nplan p for must, wine\n${plan}${MUST}${record}`;
  const book = bookOf(text, on);
  const items = dueWork(book, parseDate(on) + 1, 0).map((item) => sayItem(book, item));
  return /B1 LS taste (\d+)/.exec(items.join('\n'))?.[1] ?? 'none';
}

const FERMENT = `
2026-09-15 Tue
07:00 reading LS brix 24.0, temp 16 C

2026-09-16 Wed
07:00 reading LS brix 22.0, temp 22 C

2026-09-17 Thu
07:00 reading LS brix 15.0, temp 28 C

2026-09-18 Fri
07:00 reading LS brix 4.0, temp 26 C

2026-09-19 Sat
07:00 reading LS brix 6.0, temp 24 C

2026-09-20 Sun
07:00 reading LS brix -1.5, temp 20 C
`;

/** The line in force on the day after each reading, as the record stood then. */
const afterEachDay = (plan: string): string =>
  ['15', '16', '17', '18', '19', '20'].map((day) => lineOn(plan, FERMENT, `2026-09-${day}`)).join(' ');

describe('conditions', () => {
  test('`while` looks at every reading, and leaves the figure itself out', () => {
    expect(afterEachDay('  due taste 3 a day while brix above 6\n  due taste 2 a day\n')).toBe('3 3 3 2 2 2');
    expect(afterEachDay('  due taste 3 a day while brix above 5\n  due taste 2 a day\n')).toBe('3 3 3 2 3 2');
    expect(afterEachDay('  due taste 3 a day while brix 6..24\n  due taste 2 a day\n')).toBe('3 3 3 2 3 2');
  });

  test('`when` begins and `until` ends for good', () => {
    expect(afterEachDay('  due taste 3 a day when brix under 5\n')).toBe('none none none 3 3 3');
    expect(afterEachDay('  due taste 3 a day until brix under 5\n')).toBe('3 3 3 none none none');
  });

  test('shares of the sugar count from the highest reading', () => {
    // of 24: 18, 16, 12, 8 and 6 are left
    expect(afterEachDay('  due taste 3 a day when a quarter gone\n')).toBe('none none 3 3 3 3');
    expect(afterEachDay('  due taste 3 a day while half gone\n')).toBe('none none none 3 3 3');
    expect(afterEachDay('  due taste 3 a day while three quarters gone\n')).toBe('none none none 3 3 3');
    expect(afterEachDay('  due taste 3 a day when two thirds gone\n')).toBe('none none none 3 3 3');
  });

  test('stages are those of the record: must stays must on its skins, the ferment ends with dryness', () => {
    expect(afterEachDay('  due taste 3 a day while must\n')).toBe('3 3 3 3 3 3');
    expect(afterEachDay('  due taste 3 a day while fermenting\n')).toBe('none 3 3 3 3 none');
    expect(afterEachDay('  due taste 3 a day when wine\n')).toBe('none none none none none none');
  });

  test('other units of a bound are converted: 77 F are 25 C', () => {
    expect(afterEachDay('  due taste 3 a day while temp above 77 F\n')).toBe('none none 3 3 none none');
  });

  test('several conditions hold together', () => {
    expect(afterEachDay('  due taste 3 a day when a third gone until brix under 5\n')).toBe(
      'none none 3 none none none',
    );
    expect(afterEachDay('  due taste 3 a day while brix above 5 when temp above 25 C\n')).toBe(
      'none none 3 none 3 none',
    );
  });

  test('the line with more conditions has the say, of equals the later', () => {
    expect(afterEachDay('  due taste 3 a day while brix above 5\n  due taste 4 a day\n  due taste 2 a day\n')).toBe(
      '3 3 3 2 3 2',
    );
    expect(afterEachDay('  due taste 3 a day while brix above 5\n  due taste 4 a day while temp above 21 C\n')).toBe(
      '3 4 4 4 4 none',
    );
  });

  test('what nobody has read is not met', () => {
    expect(lineOn('  due taste 3 a day while pH under 4\n', FERMENT, '2026-09-16')).toBe('none');
    expect(lineOn('  due taste 3 a day while a third gone\n', '', '2026-09-16')).toBe('none');
  });

  test('a figure beyond what the method sees lies beyond it', () => {
    const malic = (said: string, asked: string): string =>
      lineOn(
        `  due taste 3 a day while malic ${asked}\n`,
        `\n2026-09-15 Tue\n07:00 reading LS malic ${said}\n`,
        '2026-09-15',
      );
    expect(malic('<0.1 g/L', 'under 0.1 g/L')).toBe('3');
    expect(malic('<0.1 g/L', 'under 0.05 g/L')).toBe('none');
    expect(malic('<0.3 g/L', 'above 0.1 g/L')).toBe('none');
    expect(malic('0.1 g/L', 'under 0.1 g/L')).toBe('none');
    expect(malic('>4 g/L', 'above 4 g/L')).toBe('3');
  });
});

describe('time', () => {
  const plan = (rest: string): string => `  due taste 3 a day ${rest}\n`;

  test('`after 3 days` counts from the hour the wine came under the plan', () => {
    // crushed on the 14th at nine: the 17th at nine, so the 18th is the first whole day
    expect(lineOn(plan('after 3 days'), '', '2026-09-16')).toBe('none');
    expect(lineOn(plan('after 3 days'), '', '2026-09-17')).toBe('3');
  });

  test('`after` a day begins with the next, `until` a day ends with it', () => {
    expect(lineOn(plan('after 2026-09-17'), '', '2026-09-16')).toBe('none');
    expect(lineOn(plan('after 2026-09-17'), '', '2026-09-17')).toBe('3');
    expect(lineOn(plan('until 2026-09-17'), '', '2026-09-16')).toBe('3');
    expect(lineOn(plan('until 2026-09-17'), '', '2026-09-17')).toBe('none');
  });
});

describe('wine that moves', () => {
  const MALIC = `${CELLAR}
plan sulfite for wine
  due add kms once when malic under 0.3 g/L
  due reading malic every 14 days until malic under 0.3 g/L
${WINE}10:00 reading GR malic 0.2 g/L
11:00 rack T1 to FB-03 225 L, FB-04 175 L
`;

  test('takes its figures along, and what was done to it', () => {
    expect(dueOn(MALIC, '2026-11-02', 0).map((item) => item.slice(0, 18))).toEqual([
      'now FB-01 GR add k',
      'now FB-02 GR add k',
      'now FB-03 GR add k',
      'now FB-04 GR add k',
    ]);
    expect(dueOn(`${MALIC}12:00 add kms 50 mg/L SO2 to GR\n13:00 rack FB-03 to FB-05\n`, '2026-11-02', 30)).toEqual([]);
  });

  test('under another name is another wine', () => {
    const text = `${MALIC}12:00 add kms 50 mg/L SO2 to GR\n13:00 rack FB-03 to FB-05 as GR-b\n`;
    expect(dueOn(text, '2026-11-02', 30)).toEqual(['next 2026-11-16 FB-05 GR-b reading malic']);
  });

  test('set apart where it lies is the same wine', () => {
    const text = `${MALIC}12:00 add kms 50 mg/L SO2 to GR\n13:00 set-apart FB-03 as GR-b\n`;
    expect(dueOn(text, '2026-11-02', 30)).toEqual([]);
  });
});

test('a ferment nobody ended is wine after sixty days, and juice no longer', () => {
  const text = `${CELLAR}
plan white-ferment for juice
  due taste 1 a day
plan wine-care for wine
  due taste 2 a day

2026-09-14 Mon
07:00 receive GB from ledge-7, net 900 kg
09:00 press GB to T1 620 L as GB-j, pomace 210 kg

2026-09-16 Wed
07:00 reading T1 brix 20

2026-09-17 Thu
07:00 reading T1 brix 18
`;
  expect(dueOn(text, '2026-11-15', 0)).toEqual(['now T1 GB-j taste 1 of 1']);
  // the 17th of September and sixty days are the 16th of November, at seven
  expect(dueOn(text, '2026-11-17', 0)).toEqual(['now T1 GB-j taste 2 of 2']);
});
