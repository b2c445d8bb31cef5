/** What holds of any two journals: nothing differs from itself, the other way round is the mirror, new lines correct nothing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { tidy } from '../../grammar/tidy.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { spellingOf } from '../../src/journal/spelling.ts';
import { type Held, vesselSteps } from '../../src/report/compare/by-day.ts';
import type { StateDifference } from '../../src/report/compare/cellar-state.ts';
import { classOf } from '../../src/report/compare/classes.ts';
import type { Comparison, Touched } from '../../src/report/compare/comparison.ts';
import { type EntryChange, entryChanges } from '../../src/report/compare/entry-changes.ts';
import { journalOf, newestDay } from '../../src/report/compare/journal-entries.ts';
import { cases } from '../corpus/cases.ts';
import { dayTexts, journalOf as filesOfSeason, type Season, STANDING, seasons } from '../properties/season.ts';
import { compare } from './compared.ts';

const runs = (numRuns: number) => ({ numRuns, interruptAfterTimeLimit: 60_000, markInterruptAsFailure: true });
const corpus = [...cases('good'), ...cases('bad')];
const NOTHING = { gone: [], found: [], changed: [] };

/** Nothing at all differs. */
function expectSame(found: Comparison): void {
  const { changes, lots, vessels, states, findings, work } = found;
  expect(changes).toEqual([]);
  expect([lots, vessels]).toEqual([[], []]);
  expect(states.map((state) => [state.lots, state.vessels, state.totals.differs, state.months])).toEqual([
    [[], [], [], []],
  ]);
  expect(findings).toEqual(NOTHING);
  expect([work.gone, work.come, work.changed]).toEqual([[], [], []]);
}

describe('a journal and itself', () => {
  test.each(corpus)('$name, as it stands and in its tidy form', ({ files }) => {
    expectSame(compare(files, files));
    const spelling = spellingOf(files);
    const tidied = files.map(({ path, text }) => ({ path, text: tidy(text, spelling).text }));
    expect(entryChanges(journalOf(files), journalOf(tidied))).toEqual([]);
  });

  test('random seasons', () => {
    fc.assert(
      fc.property(seasons({ minLength: 5, maxLength: 40 }), (season) => {
        expectSame(compare(filesOfSeason(season), filesOfSeason(season)));
      }),
      runs(20),
    );
  });
});

/** A journal with lines of it left out, said twice, or with other figures. */
type Edit = readonly [at: number, kind: number];
const edits = fc.array(fc.tuple(fc.nat(999), fc.nat(3)), { minLength: 1, maxLength: 8 });

function edited(files: readonly SourceFile[], all: readonly Edit[]): SourceFile[] {
  return files.map(({ path, text }) => {
    const lines = text.split('\n');
    for (const [at, kind] of all) {
      const i = at % lines.length;
      const line = lines[i] ?? '';
      if (kind === 0) lines.splice(i, 1);
      else if (kind === 1) lines.splice(i, 0, line);
      else if (kind === 2)
        lines[i] = line.replace(/(\d)( L| g)/, (_, digit: string, unit: string) => `${9 - Number(digit)}${unit}`);
      else lines[i] = line.replace(/T(\d)/, (_, digit: string) => `T${(Number(digit) % 5) + 1}`);
    }
    return { path, text: lines.join('\n') };
  });
}

const mirrorOfManner = {
  words: 'words',
  struck: 'restored',
  restored: 'struck',
  redated: 'redated',
  mended: 'broken',
  broken: 'mended',
};

/** A change as plain data, both sides exchanged where asked for; places are no part of it where lines say the same. */
function plain(change: EntryChange, exchanged: boolean): string {
  const sides = [change.before, change.after].map((entry) =>
    entry === undefined ? null : [entry.day ?? null, entry.path, entry.head.line],
  );
  const lines = change.lines.map(({ before, after }) => [before?.text ?? null, after?.text ?? null]);
  const manner = change.kind === 'changed' ? change.manner : change.kind;
  const turned = manner === 'added' ? 'removed' : manner === 'removed' ? 'added' : mirrorOfManner[manner];
  const both = exchanged
    ? [turned, sides.reverse(), lines.map((line) => line.reverse()).sort()]
    : [manner, sides, lines.sort()];
  return JSON.stringify(both);
}

const mirroredState = <S, M>({ name, before, after, differs }: StateDifference<S, M>) => ({
  name,
  before: after,
  after: before,
  differs,
});
const mirroredThing = ({ name, firstDay, days }: Touched) => ({
  name,
  firstDay,
  days: days.map(({ day, before, after }) => ({ day, before: after, after: before })),
});
const asIs = ({ name, firstDay, days }: Touched) => ({ name, firstDay, days });
const byName = (a: { readonly name: string }, b: { readonly name: string }): number => (a.name < b.name ? -1 : 1);

describe('the other way round', () => {
  const mirror = (before: readonly SourceFile[], after: readonly SourceFile[]): void => {
    const [there, back] = [compare(before, after), compare(after, before)];
    expect(back.changes.map(({ change }) => plain(change, true)).sort()).toEqual(
      there.changes.map(({ change }) => plain(change, false)).sort(),
    );
    for (const kind of ['lots', 'vessels'] as const)
      expect(back[kind].map(mirroredThing).sort(byName)).toEqual(there[kind].map(asIs).sort(byName));
    expect(back.states.map(({ on }) => on)).toEqual(there.states.map(({ on }) => on));
    for (const [i, state] of there.states.entries()) {
      const other = back.states[i];
      expect(other?.lots.map(mirroredState).sort(byName)).toEqual([...state.lots].sort(byName));
      expect(other?.vessels.map(mirroredState).sort(byName)).toEqual([...state.vessels].sort(byName));
      expect([other?.totals.after, other?.totals.before]).toEqual([state.totals.before, state.totals.after]);
    }
    expect([back.findings.found, back.findings.gone]).toEqual([there.findings.gone, there.findings.found]);
    expect([back.work.come, back.work.gone]).toEqual([there.work.gone, there.work.come]);
  };

  test('of random seasons with random changes', () => {
    fc.assert(
      fc.property(seasons({ minLength: 5, maxLength: 30 }), edits, (season, changes) => {
        const files = filesOfSeason(season);
        mirror(files, edited(files, changes));
      }),
      runs(60),
    );
  });
});

describe('new lines alone', () => {
  /** The days of a season up to a day, and the lines of that day up to a time. */
  const untilOf = (season: Season, entries: number): SourceFile[] =>
    filesOfSeason({ entries: season.entries.slice(0, entries) });

  test('correct nothing, whatever was written by then', () => {
    fc.assert(
      fc.property(seasons({ minLength: 5, maxLength: 40 }), fc.nat(39), fc.nat(39), (season, one, other) => {
        const [first, second] = [one, other].map((at) => at % (season.entries.length + 1)).sort((a, b) => a - b);
        const [before, after] = [journalOf(untilOf(season, first ?? 0)), journalOf(untilOf(season, second ?? 0))];
        const changes = entryChanges(before, after);
        expect(changes.map((change) => classOf(change, newestDay(before)))).toEqual(changes.map(() => 'new'));
        expect(changes.every(({ kind }) => kind === 'added')).toBe(true);
      }),
      runs(100),
    );
  });

  test('put down for any day are late at most', () => {
    fc.assert(
      fc.property(seasons({ minLength: 5, maxLength: 40 }), fc.array(fc.nat(999)), (season, left) => {
        const entries = season.entries.filter((_, i) => !left.some((at) => at % season.entries.length === i));
        const [before, after] = [journalOf(filesOfSeason({ entries })), journalOf(filesOfSeason(season))];
        const classes = entryChanges(before, after).map((change) => classOf(change, newestDay(before)));
        expect(classes).not.toContain('correction');
      }),
      runs(100),
    );
  });
});

describe('where lines stand', () => {
  test('a file a day, in any order, is the same', () => {
    fc.assert(
      fc.property(seasons({ minLength: 5, maxLength: 40 }), fc.nat(99), (season, turn) => {
        const days = dayTexts(season).map(({ text }, i) => ({ path: `${String((i * 7 + turn) % 100)}.cellar`, text }));
        const parts = [...days.slice(turn % 5), ...days.slice(0, turn % 5), { path: 'facts.cellar', text: STANDING }];
        expect(entryChanges(journalOf(filesOfSeason(season)), journalOf(parts))).toEqual([]);
      }),
      runs(30),
    );
  });
});

describe('what vessels held by the movements', () => {
  const lastHeld = (files: readonly SourceFile[]): void => {
    const book = makeBook(files, undefined, checkJournal);
    const steps = vesselSteps(book);
    for (const { facts, content, lot } of book.vessels) {
      const last: Held = steps[facts.id]?.at(-1)?.held ?? { volume: 0 };
      expect([facts.name, last.volume]).toEqual([facts.name, content.volume]);
      if (last.volume > 0) expect(last.lot).toBe(lot === undefined ? undefined : book.lots[lot]?.facts.name);
    }
  };

  test('is what they hold in the end, in every case of the corpus', () => {
    for (const { files } of corpus) lastHeld(files);
  });

  test('and of random seasons', () => {
    fc.assert(
      fc.property(seasons({ minLength: 20, maxLength: 60 }), (season) => lastHeld(filesOfSeason(season))),
      runs(30),
    );
  });
});
