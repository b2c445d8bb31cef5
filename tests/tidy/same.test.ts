/** What holds tidy to its word: two versions of a journal that differ in what they say are told apart. */
import { describe, expect, test } from 'vitest';
import { firstDifference } from '../../grammar/same-reading.ts';
import { firstOtherEvent } from '../../src/journal/same-events.ts';

const TEXT = `cellar "Quern Hollow" region "Lower Teal"
vessel T1..T2 tank 1200 L steel
block ledge-2 Syrah
hand ana, bo
material kms is potassium metabisulfite
plan steel-age for wine
  due reading free SO2 every 30 days

2026-01-12 Mon -- first day
    | Cold.
found T1 800 L as GR of ledge-2, vintage 2025
10:00 transfer T1 100 L to T2 by ana -- slowly
      | To make room.
11:00 add kms 30 mg/L SO2 to T1 batch a-1
12:00 readings temp C, brix
      T1 12.5 -1.2
13:00 trasnfer T1 1 L to T2
`;

const otherEvent = (after: string): number | undefined =>
  firstOtherEvent([{ path: 'a.cellar', text: TEXT }], [{ path: 'a.cellar', text: after }])?.line;

describe('spellings make no difference', () => {
  test.each([
    ['100 L to T2', '100  litres  into t2'],
    ['30 mg/L', '30mg/l'],
    ['T1 12.5 -1.2', '  t1   12.5,-1.2'],
    ['by ana -- slowly', 'by ANA   — slowly'],
    ['temp C', 'temp °C'],
    ['    | Cold.', '| Cold.'],
    ['2026-01-12 Mon', ' 2026-01-12'],
    ['every 30 days', 'every 30 day'],
    ['10:00 transfer', '10:00   Transfer'],
  ])('%j as %j', (before, after) => {
    const changed = TEXT.replace(before, after);
    expect(changed).not.toBe(TEXT);
    expect(firstDifference(TEXT, changed)).toBeUndefined();
    expect(otherEvent(changed)).toBeUndefined();
  });
});

describe('what is said does', () => {
  test.each([
    ['100 L to T2', '110 L to T2', 12],
    ['100 L to T2', '100 gal to T2', 12],
    ['100 L to T2', '~100 L to T2', 12],
    ['10:00 transfer', '10:01 transfer', 12],
    ['10:00 transfer', '10:00 struck transfer', 12],
    ['by ana -- slowly', 'by bo -- slowly', 12],
    ['-- slowly', '-- slow', 12],
    ['To make room', 'To make  room', 13],
    ['30 mg/L SO2 to T1', '30 mg/L SO2 to T2', 14],
    ['batch a-1', 'batch A-1', 14],
    ['T1 12.5 -1.2', 'T1 12.5 - 1.2', 16],
    ['T1 12.5 -1.2', 'T1 12.6 -1.2', 16],
    ['vintage 2025', 'vintage 2024', 11],
    ['first day', 'second day', 9],
  ])('%j as %j', (before, after, line) => {
    const changed = TEXT.replace(before, after);
    expect(firstDifference(TEXT, changed)).toBe(line);
    // a note or a row belongs to the line above it
    if (!/make/.test(before)) expect(otherEvent(changed)).toBeDefined();
  });

  test.each([
    ['1200 L steel', '1100 L steel', 2],
    ['"Lower Teal"', '"Upper Teal"', 1],
    ['every 30 days', 'every 31 days', 7],
    ['potassium metabisulfite', 'tartaric acid', 5],
  ])('standing facts too: %j as %j', (before, after, line) => {
    const changed = TEXT.replace(before, after);
    expect(firstDifference(TEXT, changed)).toBe(line);
    expect(otherEvent(changed)).toBeDefined();
  });

  test('as do lines that are moved, joined, lost or added, and any byte of a line that cannot be read', () => {
    expect(firstDifference(TEXT, TEXT.replace('\n\n', '\n'))).toBe(8);
    expect(firstDifference(TEXT, TEXT.replace('vintage 2025\n', 'vintage 2025,\n'))).toBe(11);
    expect(firstDifference(TEXT, TEXT.replace(/13:00.*\n/, ''))).toBe(17);
    expect(firstDifference(TEXT, `${TEXT}14:00 taste T1\n`)).toBe(18);
    expect(firstDifference(TEXT, TEXT.replace('trasnfer T1', 'trasnfer  T1'))).toBe(17);
    expect(otherEvent(`${TEXT}14:00 taste T1\n`)).toBe(18);
  });
});
