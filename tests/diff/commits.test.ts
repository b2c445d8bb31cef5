/** What commits of a history changed, worked by hand: corrections of the past, merges, and who made a change. */
import { describe, expect, test } from 'vitest';
import {
  type CommitChanges,
  commitChanges,
  correctionsInHistory,
  type HistoryStep,
  makersOn,
  wayOf,
} from '../../src/report/compare/commits.ts';
import { entryChanges } from '../../src/report/compare/entry-changes.ts';
import { type Journal, journalOf } from '../../src/report/compare/journal-entries.ts';
import { files, sayChange } from './compared.ts';

const day = (date: string, ...lines: readonly string[]): string => `\n2026-01-${date}\n${lines.join('\n')}\n`;
const journal = (...days: readonly string[]): Journal => journalOf(files(days.join('')));

const step = (subject: string, after: Journal, parents: readonly Journal[], base?: Journal): HistoryStep => ({
  commit: { id: 'a'.repeat(40), author: 'Ana', date: '2026-01-14 18:00 +0200', subject },
  parents,
  base,
  journal: after,
  unseen: false,
});

/** Each journal as a commit on the one before it. */
const line = (...journals: readonly Journal[]): HistoryStep[] =>
  journals.map((after, i) => step(String(i), after, i === 0 ? [] : [journals[i - 1] ?? after]));

const say = ({ commit, changes }: CommitChanges): string[] => [
  commit?.subject ?? 'work tree',
  ...changes.map((one) => `${one.class} ${sayChange(one.change)}`),
];

const FIRST = day('12', '09:00 dip T1 100 L');
const MENDED = day('12', '09:00 dip T1 110 L');
const SECOND = day('14', '09:00 dip T1 90 L');
const THIRD = day('15', '09:00 dip T1 80 L');

describe('corrections in a history', () => {
  test('are those against the journal of their time, with late entries, and without new work', () => {
    const steps = line(
      journal(FIRST),
      journal(MENDED),
      journal(MENDED, SECOND),
      journal(FIRST, SECOND),
      journal(FIRST, day('13', '10:00 taste T1'), SECOND, THIRD),
    );
    expect(correctionsInHistory(steps).map(say)).toEqual([
      ['3', 'correction 12: changed words: 09:00 dip T1 110 L → 09:00 dip T1 100 L'],
      ['4', 'late 13: added: → 10:00 taste T1'],
    ]);
    // the newest day was the twelfth when that was mended
    expect(steps.map(commitChanges).map(say)[1]).toEqual([
      '1',
      'new 12: changed words: 09:00 dip T1 100 L → 09:00 dip T1 110 L',
    ]);
  });

  test('cannot be told of a commit whose parent is not there', () => {
    const hidden = { ...step('9', journal(FIRST), []), unseen: true };
    expect(commitChanges(hidden)).toMatchObject({ unseen: true, changes: [] });
    expect(correctionsInHistory([hidden])).toEqual([]);
  });
});

describe('a merge', () => {
  const base = journal(FIRST, SECOND);
  const ours = journal(FIRST, SECOND, THIRD);
  const theirs = journal(MENDED, SECOND);
  const merged = (after: Journal, from: Journal | undefined = base): string[] =>
    say(commitChanges(step('merge', after, [ours, theirs], from)));

  test('that takes what both sides changed did nothing itself', () => {
    expect(merged(journal(MENDED, SECOND, THIRD))).toEqual(['merge']);
    expect(merged(journal(MENDED, SECOND, THIRD), undefined)).toEqual(['merge']);
  });

  test('that lets go of what one side changed is told of', () => {
    expect(merged(journal(FIRST, SECOND, THIRD))).toEqual([
      'merge',
      'correction 12: changed words: 09:00 dip T1 110 L → 09:00 dip T1 100 L',
    ]);
    expect(merged(journal(MENDED, SECOND))).toEqual(['merge', 'new 15: removed: 09:00 dip T1 80 L →']);
  });

  test('that writes what no side had is told of', () => {
    expect(merged(journal(day('12', '09:00 dip T1 105 L'), SECOND, THIRD))).toEqual([
      'merge',
      'correction 12: changed words: 09:00 dip T1 110 L → 09:00 dip T1 105 L',
    ]);
  });

  test('may have a line that both sides wrote once or twice', () => {
    const both = [journal(FIRST, SECOND), journal(FIRST, SECOND)];
    for (const after of [journal(FIRST, SECOND), journal(FIRST, SECOND, SECOND)])
      expect(commitChanges(step('merge', after, both, journal(FIRST))).changes).toEqual([]);
    expect(commitChanges(step('merge', journal(FIRST), both, journal(FIRST))).changes).toHaveLength(1);
  });
});

describe('who made a change', () => {
  const makers = (steps: readonly HistoryStep[], before: Journal, after: Journal): number[][] => {
    const find = makersOn(wayOf([], steps.map(commitChanges)));
    return entryChanges(before, after).map(find);
  };

  test('every commit the entry went through', () => {
    const [a, b, c] = [
      journal(FIRST, SECOND),
      journal(MENDED, SECOND),
      journal(day('12', '09:00 dip T1 120 L'), SECOND),
    ];
    expect(makers(line(a, b, c).slice(1), a, c)).toEqual([[0, 1]]);
  });

  test('of one that was changed and then taken out', () => {
    const [a, b, c] = [journal(FIRST, SECOND), journal(MENDED, SECOND), journal(SECOND)];
    expect(makers(line(a, b, c).slice(1), a, c)).toEqual([[0, 1]]);
  });

  test('of one that was taken out, and written anew by another commit', () => {
    const [a, b, c] = [journal(FIRST, SECOND), journal(SECOND), journal(MENDED, SECOND)];
    expect(makers(line(a, b, c).slice(1), a, c)).toEqual([[0, 1]]);
  });

  test('the last that wrote it, of one that came and went before', () => {
    const [a, b] = [journal(SECOND), journal(SECOND, THIRD)];
    expect(makers(line(a, b, a, b).slice(1), a, b)).toEqual([[2]]);
  });

  test('of commits that are taken back', () => {
    const [a, b, c] = [journal(FIRST, SECOND), journal(MENDED, SECOND), journal(MENDED, SECOND, THIRD)];
    const back = line(a, b, c).slice(1).map(commitChanges);
    const way = wayOf(back, []);
    expect(way.map(({ made }) => made.commit?.subject)).toEqual(['2', '1']);
    expect(entryChanges(c, a).map(makersOn(way))).toEqual([[1], [0]]);
  });

  test('nobody, where no commit tells it', () => {
    expect(makers([], journal(FIRST), journal(MENDED))).toEqual([[]]);
  });
});
