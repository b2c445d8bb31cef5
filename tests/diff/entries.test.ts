/** Which entries are the same, and what was added, changed and taken out: cases worked by hand. */
import { describe, expect, test } from 'vitest';
import { entryChanges } from '../../src/report/compare/entry-changes.ts';
import { journalOf } from '../../src/report/compare/journal-entries.ts';
import { changesOf, classesOf, files, sayChange } from './compared.ts';

const STANDING = `vessel T1..T4 tank 1200 L
block ledge-2 Syrah
hand ana, bo
`;
const DAYS = `${STANDING}
2026-01-12 Mon
09:00 found T1 800 L as GR of ledge-2, vintage 2025
10:00 transfer T1 100 L to T2 by ana
11:00 readings brix, temp C
      T1   -1.0   16.0
      T2   -1.1   16.2

2026-01-14 Wed
    | A cold day.
08:00 transfer T1 50 L to T3
      | The pump stuck.
reading T3 pH 3.6
`;

const swap = (from: string | RegExp, to: string): string[] => changesOf(DAYS, DAYS.replace(from, to));

describe('what says the same is no change', () => {
  test.each([
    ['blanks', DAYS.replace(/ {3,}-1.0 +16.0/, '  -1.0 16.0')],
    ['a comment', DAYS.replace('by ana', 'by ana   # as ever')],
    ['other spellings of links and units', DAYS.replace('100 L to T2', '100 l into T2')],
    ['capitals of names', DAYS.replace('transfer T1 50 L to T3', 'transfer t1 50 L to t3')],
    ['carriage returns', DAYS.replace(/\n/g, '\r\n')],
    ['blank lines', DAYS.replace(/\n/g, '\n\n')],
    [
      'lines in another order of the file',
      DAYS.replace('10:00 transfer T1 100 L to T2 by ana\n', '').replace(
        '2026-01-14 Wed\n',
        '2026-01-12 Mon\n10:00 transfer T1 100 L to T2 by ana\n\n2026-01-14 Wed\n',
      ),
    ],
    ['rows in another order', DAYS.replace(/( +T1 +-1.0 +16.0\n)( +T2.*\n)/, '$2$1')],
  ])('%s', (_, after) => {
    expect(changesOf(DAYS, after)).toEqual([]);
  });

  test('files that are called otherwise, or cut otherwise', () => {
    const [standing = '', ...days] = DAYS.split(/^(?=2026)/m);
    const parts = [
      { path: 'z/facts.cellar', text: standing },
      ...days.map((text, i) => ({ path: `day-${i}.cellar`, text })),
    ];
    expect(entryChanges(journalOf(files(DAYS)), journalOf(files(DAYS, 'other.cellar')))).toEqual([]);
    expect(entryChanges(journalOf(files(DAYS)), journalOf(parts))).toEqual([]);
  });
});

describe('a changed line is the same entry', () => {
  test('by day, verb and names', () => {
    expect(swap('T1 100 L to T2', 'T1 110 L to T2')).toEqual([
      '12: changed words: 10:00 transfer T1 100 L to T2 by ana → 10:00 transfer T1 110 L to T2 by ana',
    ]);
    expect(swap('10:00 transfer', '10:30 transfer')).toEqual([
      '12: changed words: 10:00 transfer T1 100 L to T2 by ana → 10:30 transfer T1 100 L to T2 by ana',
    ]);
    expect(swap('by ana', 'by bo')).toHaveLength(1);
  });

  test('of several, the one whose time is nearest', () => {
    const before = `${STANDING}2026-01-12\n07:40 punch-down T1\n18:00 punch-down T1\n`;
    const after = `${STANDING}2026-01-12\n07:50 punch-down T1\n13:00 punch-down T1\n18:00 punch-down T1\n`;
    expect(changesOf(before, after)).toEqual([
      '12: changed words: 07:40 punch-down T1 → 07:50 punch-down T1',
      '12: added: → 13:00 punch-down T1',
    ]);
  });

  test('with one name of several changed', () => {
    expect(swap('T1 50 L to T3', 'T1 50 L to T4')).toEqual([
      '14: changed words: 08:00 transfer T1 50 L to T3 → 08:00 transfer T1 50 L to T4',
    ]);
  });

  test('another verb, or all other names, is another entry', () => {
    expect(swap('10:00 transfer', '10:00 rack')).toEqual([
      '12: removed: 10:00 transfer T1 100 L to T2 by ana →',
      '12: added: → 10:00 rack T1 100 L to T2 by ana',
    ]);
    expect(swap('reading T3 pH 3.6', 'reading T2 SG 0.996')).toEqual([
      '14: removed: reading T3 pH 3.6 →',
      '14: added: → reading T2 SG 0.996',
    ]);
  });

  test('its rows and notes line by line', () => {
    expect(swap('16.2', '16.4')).toEqual(['12: changed words: T2   -1.1   16.2 → T2   -1.1   16.4']);
    expect(swap(/( +T2 +-1.1 +16.2\n)/, '$1      T3 -1.0 15.0\n')).toEqual(['12: changed words: → T3 -1.0 15.0']);
    expect(swap('The pump stuck', 'The pump stuck again')).toEqual([
      '14: changed words: | The pump stuck. → | The pump stuck again.',
    ]);
    expect(swap('A cold day', 'A mild day')).toEqual(['14: changed words: | A cold day. → | A mild day.']);
  });

  test('struck out, with the right line beside it', () => {
    const after = DAYS.replace(
      '10:00 transfer T1 100 L to T2 by ana',
      '10:00 struck transfer T1 100 L to T2 by ana\n10:00 transfer T1 110 L to T2 by ana written 2026-01-20',
    );
    expect(changesOf(DAYS, after)).toEqual([
      '12: changed struck: 10:00 transfer T1 100 L to T2 by ana → 10:00 struck transfer T1 100 L to T2 by ana',
      '12: added: → 10:00 transfer T1 110 L to T2 by ana written 2026-01-20',
    ]);
    expect(changesOf(after, DAYS)[0]).toContain('changed restored');
  });

  test('put under another day', () => {
    const after = DAYS.replace('reading T3 pH 3.6\n', '').replace('\n2026-01-14', 'reading T3 pH 3.6\n\n2026-01-14');
    expect(changesOf(DAYS, after)).toEqual(['12: changed redated: reading T3 pH 3.6 → reading T3 pH 3.6']);
  });

  test('mended, where it could not be read', () => {
    expect(changesOf(DAYS.replace('08:00 transfer', '08:00 trasnfer'), DAYS)[0]).toBe(
      '14: changed mended: 08:00 trasnfer T1 50 L to T3 → 08:00 transfer T1 50 L to T3',
    );
    expect(changesOf(DAYS, DAYS.replace('50 L to T3', '50,5 L to T3'))[0]).toBe(
      '14: changed broken: 08:00 transfer T1 50 L to T3 → 08:00 transfer T1 50,5 L to T3',
    );
  });
});

describe('of the same line twice', () => {
  const twice = DAYS.replace('reading T3 pH 3.6\n', 'reading T3 pH 3.6\nreading T3 pH 3.6\n');

  test('one more or one less is told', () => {
    expect(changesOf(DAYS, twice)).toEqual(['14: added: → reading T3 pH 3.6']);
    expect(changesOf(twice, DAYS)).toEqual(['14: removed: reading T3 pH 3.6 →']);
  });
});

describe('corrections of the past, late entries and new work', () => {
  const at = (from: string | RegExp, to: string) => classesOf(DAYS, DAYS.replace(from, to));

  test('a change before the newest day is a correction, on it or after it is new', () => {
    expect(at('T1 100 L', 'T1 110 L')).toEqual(['correction']);
    expect(at('10:00 transfer T1 100 L to T2 by ana\n', '')).toEqual(['correction']);
    expect(at('T1 50 L', 'T1 55 L')).toEqual(['new']);
    expect(at('reading T3 pH 3.6\n', '')).toEqual(['new']);
    expect(at(/$/, '2026-01-15\n08:00 transfer T1 1 L to T2\n')).toEqual(['new']);
  });

  test('what is put down for a past day and touches nothing there is late', () => {
    expect(at('11:00 readings', '10:30 reading T2 pH 3.7\n11:00 readings')).toEqual(['late']);
    expect(at(/( +T2 +-1.1.*\n)/, '$1      T3 -1.0 15.0\n')).toEqual(['late']);
  });

  test('moved from the newest day to a past one, or back, is a correction', () => {
    const moved = DAYS.replace('reading T3 pH 3.6\n', '').replace('\n2026-01-14', 'reading T3 pH 3.6\n\n2026-01-14');
    expect(classesOf(DAYS, moved)).toEqual(['correction']);
    expect(classesOf(moved, DAYS)).toEqual(['correction']);
  });

  test('a standing fact that is changed is a correction, for it holds from the beginning; a new one is new', () => {
    expect(at('1200 L', '1300 L')).toEqual(['correction']);
    expect(at('hand ana', 'vessel K1 keg 50 L\nhand ana')).toEqual(['new']);
  });

  test('nothing corrects an empty journal', () => {
    expect(classesOf('', DAYS).every((one) => one === 'new')).toBe(true);
    expect(classesOf(DAYS, '').filter((one) => one === 'correction')).not.toEqual([]);
  });
});

test('what nobody can read is held against its text', () => {
  const before = `${DAYS}${'?? nonsense\n'.repeat(3)}`;
  expect(changesOf(before, before)).toEqual([]);
  expect(changesOf(before, DAYS)).toHaveLength(3);
  expect(entryChanges(journalOf(files(DAYS)), journalOf([])).map(sayChange)).toHaveLength(9);
});
