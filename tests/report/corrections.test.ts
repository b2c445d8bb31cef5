/** Struck lines and late entries as the book tells them, and what version control adds, from hand-made journals. */
import { describe, expect, test } from 'vitest';
import { correctionsInHistory } from '../../src/report/compare/commits.ts';
import { journalOf } from '../../src/report/compare/journal-entries.ts';
import { correctionsOf, PAST_NOT_ASKED, type PastSeen } from '../../src/report/corrections.ts';
import { correctionsModel } from '../../src/report/corrections-page.ts';
import { contextFrom, hrefsIn, rowsOf } from './told.ts';

const FACTS = `law us
vessel T1..T3 tank 1200 L
block ledge-2 Syrah
hand ana, bo
`;
const FIRST = `
2026-01-06 Tue
08:00 found T1 800 L as SY of ledge-2, vintage 2025
09:00 struck transfer T1 400 L to T2 by ana -- the meter was read too late
09:00 transfer T1 300 L to T2 by bo written 2026-01-08
10:00 struck dip T2 290 L by ana
      | The stick was upside down.
11:00 taste T1
`;
const SECOND = `
2026-01-09 Fri
09:00 transfer T1 100 L to T3 by bo written 2026-01-16 -- from the slip by the tank
09:30 readings brix
      T1  -1.0
      T2  -1.1
`;
const MENDED = FIRST.replace('800 L', '810 L');

const fileOf = (text: string) => [{ path: 'a.cellar', text }];

describe('what the journal says itself', () => {
  const context = contextFrom(FACTS + FIRST + SECOND);
  const all = correctionsOf(context.book, PAST_NOT_ASKED);

  test('every struck line with what stands in its place, its reason, its hands and its day', () => {
    expect(all.map(({ kind, stood, stands }) => [kind, stood.length, stands.length])).toEqual([
      ['struck', 2, 0],
      ['struck', 1, 1],
      ['late', 0, 1],
    ]);
    expect(all[1]).toMatchObject({
      stood: [{ text: '09:00 struck transfer T1 400 L to T2 by ana -- the meter was read too late' }],
      stands: [{ text: '09:00 transfer T1 300 L to T2 by bo written 2026-01-08' }],
      by: ['ana', 'bo'],
      why: 'the meter was read too late',
    });
  });

  test('what stands in the place of a struck line is not told again as late', () => {
    expect(all.filter(({ kind }) => kind === 'late').map(({ why }) => why)).toEqual(['from the slip by the tank']);
  });

  test('a late entry says by when the law asks for it, one in time does not', () => {
    // Friday the 9th: the third business day after is Wednesday the 14th, 27 CFR 24.300(b)
    expect(all.map(({ due }) => due)).toEqual([undefined, undefined, Date.UTC(2026, 0, 14) / 86_400_000]);
  });

  test('a line is struck with its rows, whatever they say', () => {
    const { book } = contextFrom(`${FACTS}${FIRST}
2026-01-07 Wed
09:00 struck readings brix
      T1  24.0
      T2  24.5
`);
    expect(book.struck.map(({ verb, below }) => [verb, below])).toEqual([
      ['transfer', 0],
      ['dip', 0],
      ['readings', 2],
    ]);
    expect(book.findings).toEqual([]);
  });

  /** The lines of every struck entry and of what stands in its place. */
  const struckIn = (text: string): (readonly [readonly string[], readonly string[]])[] => {
    const { book } = contextFrom(text);
    return correctionsOf(book, PAST_NOT_ASKED).map(({ stood, stands }) => {
      for (const { text: words, place } of [...stood, ...stands])
        expect(text.split('\n')[(place?.line ?? 0) - 1]?.trim()).toBe(words);
      return [stood.map((one) => one.text), stands.map((one) => one.text)];
    });
  };

  test('an entry of several lines is told with all of them, and so is what stands in its place', () => {
    expect(
      struckIn(`${FACTS}
2026-01-06 Tue
08:00 found T1 800 L, T2 200 L as SY of ledge-2, vintage 2025

2026-01-07 Wed
09:00 struck readings brix, temp C -- the meter was off
      T1  24.0  12
      # between
      T2  24.5  13
      | Nobody had set it.
      | It was new.
09:00 readings brix, temp C
      T1  -1.0  12
      T2  -1.1  13
10:00 taste T1
`)[0],
    ).toEqual([
      [
        '09:00 struck readings brix, temp C -- the meter was off',
        'T1  24.0  12',
        'T2  24.5  13',
        '| Nobody had set it.',
        '| It was new.',
      ],
      ['09:00 readings brix, temp C', 'T1  -1.0  12', 'T2  -1.1  13'],
    ]);
  });

  test('a struck line below an entry is told alone', () => {
    expect(
      struckIn(`vessel T1..T2 tank 400 L
block ledge-2 Roussanne
2026-09-14 Mon
08:00 receive RO from ledge-2, net 280 kg
10:00 press RO, pomace 80 kg
      cut 0.5 bar to T1 190 L
      struck cut 1.2 bar to T2 40 L
      | It went to the drain.
      cut 1.4 bar to T2 10 L
`)[0]?.[0],
    ).toEqual(['struck cut 1.2 bar to T2 40 L', '| It went to the drain.']);
  });

  test('a struck table that cannot be read is told with its rows', () => {
    expect(
      struckIn(`${FACTS}
2026-01-06 Tue
08:00 found T1 800 L, T2 200 L as SY of ledge-2, vintage 2025

2026-01-07 Wed
09:00 struck readings brxi
      T1  24.0
      T2  24.5
10:00 struck transfer T1 to
11:00 taste T1
`),
    ).toEqual([
      [['09:00 struck readings brxi', 'T1  24.0', 'T2  24.5'], []],
      [['10:00 struck transfer T1 to'], []],
    ]);
  });

  test('a standing fact and a cut can be struck', () => {
    const { book } = contextFrom(`struck vessel T9 tank 900 L -- never bought
vessel T1..T2 tank 400 L
block ledge-2 Roussanne
2026-09-14 Mon
08:00 receive RO from ledge-2, net 280 kg
10:00 press RO, pomace 80 kg
      cut 0.5 bar to T1 190 L
      struck cut 1.2 bar to T2 40 L
`);
    expect(book.struck.map(({ verb, minute }) => [verb, minute === undefined])).toEqual([
      ['vessel', true],
      ['cut', false],
    ]);
    expect(book.vessels.map(({ facts, content }) => [facts.name, content.volume / 1e6])).toEqual([
      ['T1', 190],
      ['T2', 0],
    ]);
  });
});

describe('with version control', () => {
  const steps = [
    { commit: undefined, parents: [], base: undefined, journal: journalOf([]), unseen: false },
    {
      commit: { id: 'a'.repeat(40), author: 'Ana', date: '2026-01-10 18:00 +0100', subject: 'It was 810 litres' },
      parents: [journalOf(fileOf(FACTS + FIRST + SECOND))],
      base: undefined,
      journal: journalOf(fileOf(FACTS + MENDED + SECOND)),
      unseen: false,
    },
  ];
  const past: PastSeen = { read: true, changes: correctionsInHistory(steps), unseen: ['a thing'] };
  const context = contextFrom(FACTS + MENDED + SECOND);

  test('a past day changed stands between what the journal says, by its commit', () => {
    const all = correctionsOf(context.book, past);
    expect(all.map(({ kind }) => kind)).toEqual(['struck', 'struck', 'past', 'late']);
    expect(all[2]).toMatchObject({ what: 'changed', by: ['Ana'], why: 'It was 810 litres', day: 20_459 });
    expect(all[2]?.stood[0]?.text).toContain('800 L');
    expect(all[2]?.stands[0]?.text).toContain('810 L');
  });

  test('the page tells both, leads to the lines, and says what was not seen', () => {
    const page = correctionsModel(context, past);
    expect(page.lead).toBe(
      '2 struck lines; 1 line put down late, 1 of them later than the chosen law allows; 1 change of past days seen by version control.',
    );
    expect(rowsOf(page.sheet).map((row) => [row[0], row[1], row[2], row[5], row[7]])).toEqual([
      ['not told', '6 Jan 2026', 'struck out', 'ana', 'the journal'],
      ['8 Jan 2026', '6 Jan 2026', 'struck out, and written anew', 'ana, bo', 'the journal'],
      ['10 Jan 2026', '6 Jan 2026', 'changed', 'Ana', `commit ${'a'.repeat(10)}`],
      ['16 Jan 2026', '9 Jan 2026', 'put down late due by 14 Jan 2026', 'bo', 'the journal'],
    ]);
    expect(hrefsIn(page.sheet)).toContain('journal/a.html#L8');
    expect(page.witness).toContain('Not seen: a thing.');
  });

  test('without it the page says so', () => {
    expect(correctionsModel(context, PAST_NOT_ASKED).witness[0]).toContain('Version control was not read');
  });
});
