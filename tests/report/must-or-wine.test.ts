/** What a vessel holds on a day, must or wine: the stage of its lot and the volumes by class, held against each other. */
import { describe, expect, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import type { Book } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { periodVolumes, toldUnits } from '../../src/report/period-volumes.ts';
import { daysPeriod } from '../../src/report/periods.ts';
import { wineFlowsTo } from '../../src/report/wine-flows.ts';

const STANDING = `law us
vessel T1..T4 tank 1200 L steel
block s Syrah region "Lower Teal" 1 ha
material kms solution, brings 50 g/L SO2
`;

function bookOf(days: string, on?: string): Book {
  const files = [{ path: 'a.cellar', text: STANDING + days }];
  const book = makeBook(files, on === undefined ? undefined : parseDate(on), checkJournal);
  expect(book.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  return book;
}

const stageOf = (book: Book, name: string) => book.lots.find(({ facts }) => facts.name === name)?.stage;

/** `must: 0 + made 500 = 500`, an account a line, in litres, of the days from one to another. */
function volumesOf(book: Book, from: string, to: string): string[] {
  const flows = wineFlowsTo(book, parseDate(to));
  const { accounts } = periodVolumes(flows, daysPeriod(parseDate(from), parseDate(to)), toldUnits(flows.rules));
  return accounts.map(({ account, start, lines, end }) =>
    [
      `${account}: ${start.exact / 1e6}`,
      ...lines.map(({ way, key, amount }) => `${way === 'in' ? '+' : '-'} ${key} ${amount.exact / 1e6}`),
      `= ${end.exact / 1e6}`,
    ].join(' '),
  );
}

const JUICE = `2026-09-14 Mon
07:00 receive SY from s, net 800 kg
09:00 press SY, pomace 200 kg
      cut 1.0 bar to T1 500 L as JU
`;

describe('a first reading that is dry', () => {
  // −1.0 to −2.0 °Bx when dry: trade press
  test.each([
    ['-0.9', 'fermenting'],
    ['-1', 'wine'],
    ['-1.2', 'wine'],
  ])('after 24 °Bx and nothing between, %s °Bx is %s', (brix, stage) => {
    const book = bookOf(`${JUICE}10:00 reading T1 brix 24\n2026-10-05 Mon\n10:00 reading T1 brix ${brix}\n`);
    expect(stageOf(book, 'JU')).toBe(stage);
    expect(volumesOf(book, '2026-10-01', '2026-10-31')).toEqual(
      stage === 'wine'
        ? ['must: 500 - produced 500 = 0', 'bulk still-16: 0 + produced 500 = 500']
        : ['must: 500 = 500'],
    );
  });

  test.each([
    ['-0.9', 'juice'],
    ['-1', 'wine'],
  ])('the only one there is, %s °Bx is %s', (brix, stage) => {
    expect(stageOf(bookOf(`${JUICE}2026-10-05 Mon\n10:00 reading T1 brix ${brix}\n`), 'JU')).toBe(stage);
  });

  test('of one vessel starts the ferment of its lot, and does not end it', () => {
    const two = JUICE.replace('T1 500 L', 'T1 250 L, T2 250 L');
    const days = `${two}10:00 reading JU brix 24\n2026-10-05 Mon\n10:00 reading T1 brix -1.2\n`;
    expect(stageOf(bookOf(days), 'JU')).toBe('fermenting');
    expect(stageOf(bookOf(`${days}11:00 reading T2 brix -1.2\n`), 'JU')).toBe('wine');
  });
});

describe('a ferment nobody ended', () => {
  // the 18th of September at ten and sixty days are the 17th of November at ten: a minute later it is wine
  const BEGUN = `${JUICE}10:00 reading T1 brix 22\n2026-09-18 Fri\n10:00 reading T1 brix 12\n`;
  const LATER = `${BEGUN}2027-02-01 Mon\n09:00 found T3 300 L as OLD of s, vintage 2025\n`;

  test.each([
    ['2026-11-16', 'fermenting', ['must: 0 + made 500 = 500']],
    ['2026-11-17', 'wine', ['must: 0 + made 500 - produced 500 = 0', 'bulk still-16: 0 + produced 500 = 500']],
    ['2026-11-18', 'wine', ['must: 0 + made 500 - produced 500 = 0', 'bulk still-16: 0 + produced 500 = 500']],
  ])('on %s is %s, by its stage and by its volumes, whatever is written later', (on, stage, volumes) => {
    for (const days of [BEGUN, LATER]) {
      const book = bookOf(days, on);
      expect(stageOf(book, 'JU')).toBe(stage);
      expect(volumesOf(book, '2026-01-01', on)).toEqual(volumes);
      const [not] = wineFlowsTo(book, parseDate(on)).notYetWine.get(parseDate(on)) ?? [];
      expect(not?.volume).toBe(stage === 'wine' ? undefined : 500_000_000);
    }
    expect(volumesOf(bookOf(LATER), '2026-01-01', on)).toEqual(volumes);
  });

  test('without a word its book ends as it began, and no month waits for one', () => {
    expect(stageOf(bookOf(BEGUN), 'JU')).toBe('fermenting');
    const book = bookOf(LATER);
    expect(volumesOf(book, '2026-11-01', '2026-11-30')).toEqual([
      'must: 500 - produced 500 = 0',
      'bulk still-16: 0 + produced 500 = 500',
    ]);
    expect(volumesOf(book, '2027-01-01', '2027-01-31')).toEqual(['bulk still-16: 500 = 500']);
  });

  test('that began a minute before midnight ends on the day after the sixtieth', () => {
    const late = BEGUN.replace('10:00 reading T1 brix 12', '23:59 reading T1 brix 12');
    for (const [on, stage, wine] of [
      ['2026-11-17', 'fermenting', undefined],
      ['2026-11-18', 'wine', 'bulk still-16: 0 + produced 500 = 500'],
    ] as const) {
      const book = bookOf(late, on);
      expect(stageOf(book, 'JU')).toBe(stage);
      expect(volumesOf(book, '2026-01-01', on)[1]).toBe(wine);
    }
  });

  test('whose volume is an estimate waits for its dip', () => {
    const guessed = BEGUN.replace('T1 500 L', 'T1 ~500 L');
    expect(volumesOf(bookOf(guessed, '2026-12-01'), '2026-01-01', '2026-12-01')).toEqual(['must: 0 + made 500 = 500']);
    expect(volumesOf(bookOf(`${guessed}2026-12-01 Tue\n09:00 dip T1 490 L\n`), '2026-12-01', '2026-12-01')).toEqual([
      'must: 500 - produced 490 - settled 10 = 0',
      'bulk still-16: 0 + produced 490 = 490',
    ]);
  });

  const CRUSHED = `2026-09-14 Mon
07:00 receive SY from s, net 920 kg
09:00 crush SY to T1 800 L, destemmed, stems 40 kg
10:00 reading SY brix 24
2026-09-18 Fri
10:00 reading SY brix 12
`;
  test('on its skins is must until it leaves them, and wine at once then', () => {
    const book = bookOf(CRUSHED, '2026-12-01');
    expect(stageOf(book, 'SY')).toBe('fermenting');
    expect(volumesOf(book, '2026-01-01', '2026-12-01')).toEqual(['must: 0 + made 800 = 800']);
    for (const as of ['', ' as SY-w']) {
      const pressed = bookOf(
        `${CRUSHED}2026-12-02 Wed\n09:00 press SY, pomace 210 kg\n      cut 1.0 bar to T2 600 L${as}\n`,
      );
      expect(stageOf(pressed, as === '' ? 'SY' : 'SY-w')).toBe('wine');
      expect(volumesOf(pressed, '2026-12-02', '2026-12-02')).toEqual([
        'must: 800 - produced 600 - pomace 200 = 0',
        'bulk still-16: 0 + produced 600 = 600',
      ]);
    }
  });
});

describe('must that is dry on its skins', () => {
  const dry = (volume: string): string => `2026-09-14 Mon
07:00 receive SY from s, net 920 kg
09:00 crush SY to T1 ${volume}, destemmed, stems 40 kg
10:00 reading SY brix 24
2026-09-18 Fri
10:00 reading SY brix 12
2026-09-28 Mon
10:00 reading SY brix -1.4
`;

  test.each(['800 L', '~800 L'])('of %s has not produced anything yet, and pomace is no wine', (volume) => {
    const days = `${dry(volume)}2026-10-05 Mon\n09:00 press SY, pomace 210 kg\n      cut 1.0 bar to T2 600 L as SY-w\n`;
    const book = bookOf(days);
    expect(volumesOf(book, '2026-09-01', '2026-09-30')).toEqual(['must: 0 + made 800 = 800']);
    expect(volumesOf(book, '2026-10-01', '2026-10-31')).toEqual([
      'must: 800 - produced 600 - pomace 200 = 0',
      'bulk still-16: 0 + produced 600 = 600',
    ]);
  });

  test('gives its free run when it is drained and the rest when it is pressed', () => {
    const drained = `${dry('800 L')}2026-10-05 Mon\n09:00 drain T1 to T2 400 L\n`;
    expect(volumesOf(bookOf(drained), '2026-10-01', '2026-10-31')).toEqual([
      'must: 800 - produced 400 = 400',
      'bulk still-16: 0 + produced 400 = 400',
    ]);
    const pressed = `${drained}11:00 press T1, pomace 210 kg\n      cut 1.0 bar to T3 200 L\n`;
    expect(volumesOf(bookOf(pressed), '2026-10-01', '2026-10-31')).toEqual([
      'must: 800 - produced 600 - pomace 200 = 0',
      'bulk still-16: 0 + produced 600 = 600',
    ]);
  });

  test('goes on being must where it is moved with its skins', () => {
    const book = bookOf(`${dry('800 L')}2026-10-05 Mon\n09:00 transfer T1 to T2 800 L\n`);
    expect(volumesOf(book, '2026-10-01', '2026-10-31')).toEqual(['must: 800 = 800']);
  });

  test('is dipped on its skins and is must still', () => {
    const book = bookOf(`${dry('~800 L')}2026-10-05 Mon\n09:00 dip T1 780 L\n`);
    expect(volumesOf(book, '2026-10-01', '2026-10-31')).toEqual(['must: 800 - settled 20 = 780']);
  });
});

describe('what is brought in', () => {
  const BROUGHT = `2026-09-14 Mon
09:00 bring 500 L to T1 as JUICE, variety Syrah, vintage 2026, region "Upper Teal", from "grower 9"
`;
  const day = (days: string): string[] => volumesOf(bookOf(days), '2026-09-14', '2026-09-14');

  // common practice, no source: below 5 °Bx it is wine that may have a little sugar left
  test.each([
    ['23', 'must', 'must: 0 + bought 500 = 500'],
    ['5', 'must', 'must: 0 + bought 500 = 500'],
    ['4.9', 'wine', 'bulk still-16: 0 + bought 500 = 500'],
    ['-1.2', 'wine', 'bulk still-16: 0 + bought 500 = 500'],
  ])('and first reads %s °Bx is %s from the day it came', (brix, stage, line) => {
    const book = bookOf(`${BROUGHT}10:00 reading T1 brix ${brix}\n`);
    expect(stageOf(book, 'JUICE')).toBe(stage);
    expect(book.lots.find(({ facts }) => facts.name === 'JUICE')?.stages.map((one) => one.stage)).toEqual([stage]);
    expect(volumesOf(book, '2026-09-14', '2026-09-14')).toEqual([line]);
  });

  test('is wine where nobody reads it', () => {
    expect(day(BROUGHT)).toEqual(['bulk still-16: 0 + bought 500 = 500']);
  });

  test('and is must ferments like any other', () => {
    const book = bookOf(
      `${BROUGHT}10:00 reading T1 brix 23\n2026-09-20 Sun\n10:00 reading T1 brix 9\n2026-10-02 Fri\n10:00 reading T1 brix -1.4\n`,
    );
    expect(stageOf(book, 'JUICE')).toBe('wine');
    expect(volumesOf(book, '2026-09-01', '2026-10-31')).toEqual([
      'must: 0 + bought 500 - produced 500 = 0',
      'bulk still-16: 0 + produced 500 = 500',
    ]);
  });

  test('may be dipped and added to first on the day it came', () => {
    expect(day(`${BROUGHT}10:00 add kms 400 mL to T1\n10:30 dip T1 498 L\n11:00 reading T1 brix 23\n`)).toEqual([
      'must: 0 + bought 500 + liquid 0.4 - short 2.4 = 498',
    ]);
  });

  test('is read on a later day, before anything else is done with it', () => {
    expect(day(`${BROUGHT}2026-09-16 Wed\n10:00 reading T1 brix 23\n`)).toEqual(['must: 0 + bought 500 = 500']);
    for (const before of ['09:00 add kms 400 mL to T1', '09:00 rack T1 to T2', '09:00 set-apart T1 as NEW'])
      expect(day(`${BROUGHT}2026-09-16 Wed\n${before}\n10:00 reading T1, T2 brix 23\n`)).toEqual([
        'bulk still-16: 0 + bought 500 = 500',
      ]);
  });

  test('and was poured to something else on that day is not told by a reading of both', () => {
    const poured = `${BROUGHT}09:30 found T2 100 L as OLD of s, vintage 2025\n09:40 rack T1 to T2 as BOTH\n`;
    expect(day(`${poured}10:00 reading T2 brix 19\n`)).toEqual(['bulk still-16: 0 + found 100 + bought 500 = 600']);
  });

  test('sweet, with its alcohol on the same line, is wine', () => {
    expect(day(`${BROUGHT}10:00 reading T1 brix 8, alcohol 15.5 %\n`)).toEqual(['bulk still-16: 0 + bought 500 = 500']);
  });

  // 27 CFR 24.266, edition of 2015: 3 % of what was there and received; must is neither
  test.each([
    ['10:00', 1],
    ['2026-09-16 Wed\n10:00', 1],
    ['2026-09-16 Wed\n09:00 add kms 400 mL to T1\n10:00', 0],
  ])('is no wine that losses have a share of, once its reading at %s says that it is must', (when, told) => {
    const book = bookOf(
      `2026-09-14 Mon
08:00 found T3 100 L as OLD of s, vintage 2025
09:00 bring 500 L to T1 as JUICE, variety Syrah, vintage 2026, region "Upper Teal", from "grower 9"
${when} reading T1 brix 23
2026-10-12 Mon
09:00 rack T3 to T4 95 L, lees 5 L
`,
    );
    const losses = book.findings.filter(({ code }) => code === 'loss-above-share');
    expect(losses.length).toBe(told);
    for (const { message } of losses) expect(message).toContain('of 100.0 L there at its start and received, 5.0 L');
  });

  test('in two vessels by one line is the same in both; by two lines each has a reading of its own', () => {
    const two = BROUGHT.replace('bring 500 L to T1', 'bring to T1 250 L, T2 250 L');
    expect(day(`${two}10:00 reading T1 brix 23\n`)).toEqual(['must: 0 + bought 500 = 500']);
    const more = '11:00 bring 300 L to T3 as JUICE, variety Syrah, vintage 2026, region "Upper Teal"\n';
    expect(day(`${BROUGHT}10:00 reading T1 brix 23\n${more}12:00 reading T3 brix 22\n`)).toEqual([
      'must: 0 + bought 800 = 800',
    ]);
  });
});
