/** Which plan has the say over which wine, and from when to when. */
import { describe, expect, test } from 'vitest';
import { CELLAR, dueOn, MUST, WINE } from './journal.ts';

/** Every vessel that something is due in, each once. */
const vessels = (text: string, on: string, days = 400): string[] => [
  ...new Set(dueOn(text, on, days).map((item) => / (\S+) \S+ taste/.exec(item)?.[1] ?? item)),
];

const plan = (head: string, rhythm = '1 a day'): string => `${CELLAR}\nplan p${head}\n  due taste ${rhythm}\n`;

describe('what a plan covers', () => {
  const PRESSED = `${MUST}
2026-09-15 Tue
08:00 receive GB from ledge-7, net 900 kg
09:00 press GB to T3 620 L as GB-j, pomace 210 kg
10:00 found FB-01..FB-02 225 L each, K1 50 L as OLD of ledge-2, vintage 2025
`;

  test('kinds of wine', () => {
    expect(vessels(plan(' for must') + PRESSED, '2026-09-15')).toEqual(['B1', 'B2']);
    expect(vessels(plan(' for juice') + PRESSED, '2026-09-15')).toEqual(['T3']);
    expect(vessels(plan(' for wine') + PRESSED, '2026-09-15')).toEqual(['FB-01', 'FB-02', 'K1']);
    expect(vessels(plan(' for must, juice') + PRESSED, '2026-09-15')).toEqual(['B1', 'B2', 'T3']);
  });

  test('kinds of vessel, vessels and ranges, and both together', () => {
    expect(vessels(plan(' in barrel') + PRESSED, '2026-09-15')).toEqual(['FB-01', 'FB-02']);
    expect(vessels(plan(' for wine in barrel, keg') + PRESSED, '2026-09-15')).toEqual(['FB-01', 'FB-02', 'K1']);
    expect(vessels(plan(' for FB-02..FB-06, B1') + PRESSED, '2026-09-15')).toEqual(['B1', 'FB-02']);
    expect(vessels(plan(' for must in B1..B1, T1..T4') + PRESSED, '2026-09-15')).toEqual(['B1']);
    expect(vessels(plan(' for juice in barrel') + PRESSED, '2026-09-15')).toEqual([]);
  });

  test('lots by name, once they are there', () => {
    const text = `${CELLAR}${PRESSED}11:00 plan p for OLD in barrel\n  due taste 1 a day\n`;
    expect(vessels(text, '2026-09-15')).toEqual(['FB-01', 'FB-02']);
  });

  test('a plan for nothing covers what is put under it, wherever the lot lies', () => {
    expect(vessels(plan('') + PRESSED, '2026-09-15')).toEqual([]);
    const put = `${plan('')}${PRESSED}11:00 put OLD under p\n12:00 rack K1 to K2\n`;
    expect(vessels(put, '2026-09-15')).toEqual(['FB-01', 'FB-02', 'K2']);
  });

  test('a vessel put under a plan stays under it until it is emptied, whatever the wine is called', () => {
    const put = `${plan('')}${PRESSED}11:00 put FB-01 under p\n12:00 set-apart FB-01 as OLD-b\n`;
    expect(vessels(put, '2026-09-15')).toEqual(['FB-01']);
    const emptied = `${put}13:00 rack FB-01 to FB-03\n14:00 rack FB-02 to FB-01\n`;
    expect(vessels(emptied, '2026-09-15')).toEqual([]);
  });

  test('a lot may be put under a plan while it is fruit', () => {
    const text = `${plan('')}
2026-09-14 Mon
07:00 receive LS from ledge-2, net 1540 kg
08:00 put LS under p
09:00 crush LS to B1..B2 ~680 L each, destemmed, stems 60 kg
`;
    expect(vessels(text, '2026-09-14')).toEqual(['B1', 'B2']);
  });

  test('what is taken from a plan is under it no more, until it is put there again', () => {
    const taken = `${plan(' for wine')}${PRESSED}11:00 take FB-01, K1 from p\n`;
    expect(vessels(taken, '2026-09-15')).toEqual(['FB-02']);
    expect(vessels(`${taken}12:00 put OLD under p\n`, '2026-09-15')).toEqual(['FB-01', 'FB-02', 'K1']);
    expect(vessels(`${taken}12:00 take OLD from p\n`, '2026-09-15')).toEqual([]);
  });

  test('only from the day it stands under, and from its hour', () => {
    const text = `${CELLAR}${WINE}
2026-11-05 Thu
12:00 plan p for wine in barrel
  due top every 10 days
`;
    expect(dueOn(text, '2026-11-04', 60)).toEqual([]);
    // not ten days after the wine came: ten days after the plan
    expect(dueOn(text, '2026-11-05', 60)).toEqual(['next 2026-11-15 FB-01 GR top', 'next 2026-11-15 FB-02 GR top']);
  });

  test('written anew under a later day it is the new plan from then on, and who was put under it stays', () => {
    const text = `${CELLAR}
plan p
  due top every 10 days
${WINE}09:00 put GR under p
2026-11-04 Wed
plan p for must
  due taste every 5 days
`;
    expect(dueOn(text, '2026-11-03', 20)).toHaveLength(3);
    expect(dueOn(text, '2026-11-04', 20)).toEqual([
      'next 2026-11-09 T1 GR taste',
      'next 2026-11-09 FB-01 GR taste',
      'next 2026-11-09 FB-02 GR taste',
    ]);
  });
});

describe('skins', () => {
  const text = (record: string): string => `${plan(' for must')}${MUST}${record}`;

  test('must that is moved with its skins stays must, what is bled, drained or pressed does not', () => {
    const moved = '\n2026-09-15 Tue\n08:00 transfer B1 100 L to B3\n09:00 bleed B2 50 L to T1 as RO\n';
    expect(vessels(text(moved), '2026-09-15')).toEqual(['B1', 'B2', 'B3']);
    const drained = `${moved}10:00 drain LS to T2 600 L as LS-free\n`;
    expect(vessels(text(drained), '2026-09-15')).toEqual(['B1', 'B2', 'B3']);
    expect(vessels(text(`${drained}11:00 press LS to T3 400 L as LS-p, pomace 300 kg\n`), '2026-09-15')).toEqual([]);
  });

  test('dry must on its skins is must still, wine begins where it leaves them', () => {
    const dry = '\n2026-09-20 Sun\n07:00 reading LS brix 24\n\n2026-09-28 Mon\n07:00 reading LS brix -1.5\n';
    expect(vessels(text(dry), '2026-09-28')).toEqual(['B1', 'B2']);
    const wine = text(dry).replace('for must', 'for wine');
    expect(vessels(wine, '2026-09-28')).toEqual([]);
    expect(vessels(`${wine}10:00 drain LS to T2 900 L as LS-free\n`, '2026-09-28')).toEqual(['T2']);
  });
});

describe('who has the say', () => {
  const wine = `\n2026-11-02 Mon\n08:00 found FB-01..FB-02 225 L each as GR of ledge-2, vintage 2025\n`;
  /** What is due in FB-01, of plans that ask for a taste every so many days: the day tells which. */
  const says = (plans: string, record = ''): string => {
    const [first] = dueOn(`${CELLAR}${plans}${wine}${record}`, '2026-11-02', 100).filter((one) =>
      one.includes('FB-01'),
    );
    return first?.replace(/^next 2026-11-(\d+) .*/, '$1') ?? 'none';
  };
  const taste = (name: string, cover: string, days: number): string =>
    `plan ${name}${cover}\n  due taste every ${days} days\n`;

  test('the narrowest: put by name, then lots, vessels, kinds of vessel, kinds of wine', () => {
    const kinds = taste('k', ' for wine', 2);
    const vesselKinds = taste('v', ' for wine in barrel', 3);
    const named = taste('n', ' for FB-01..FB-02', 4);
    const put = taste('u', '', 6);
    expect(says(kinds)).toBe('04');
    expect(says(vesselKinds + kinds)).toBe('05');
    expect(says(named + vesselKinds + kinds)).toBe('06');
    const lots = '09:00 plan l for GR\n  due taste every 5 days\n';
    expect(says(named + vesselKinds + kinds, lots)).toBe('07');
    expect(says(put + named + vesselKinds + kinds, `${lots}10:00 put GR under u\n`)).toBe('08');
  });

  test('of equals the later', () => {
    expect(says(taste('a', ' for wine', 2) + taste('b', ' for wine', 3))).toBe('05');
    expect(says(taste('b', ' for wine', 3) + taste('a', ' for wine', 2))).toBe('04');
  });

  test('about the works it has lines for, and no others', () => {
    const text = `${CELLAR}
plan wide for wine
  due taste every 2 days
  due top every 3 days
plan narrow for FB-01
  due taste every 9 days while pH above 5
${wine}`;
    // the narrow plan's line does not hold: then nothing is due, for it is that plan that speaks of tasting
    expect(dueOn(text, '2026-11-02', 5)).toEqual([
      'next 2026-11-04 FB-02 GR taste',
      'next 2026-11-05 FB-01 GR top',
      'next 2026-11-05 FB-02 GR top',
    ]);
  });

  test('each measurement of a reading by itself', () => {
    const text = `${CELLAR}
plan wide for wine
  due reading pH, VA every 4 days
plan narrow for FB-01
  due reading VA every 2 days
${wine}`;
    expect(dueOn(text, '2026-11-02', 4)).toEqual([
      'next 2026-11-04 FB-01 GR reading VA',
      'next 2026-11-06 FB-01 GR reading pH',
      'next 2026-11-06 FB-02 GR reading pH, VA',
    ]);
  });
});
