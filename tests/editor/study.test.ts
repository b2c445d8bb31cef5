/** What an editor says of a journal is what a check from scratch says, whatever is edited, in whatever order. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Cellar } from '../../src/cellar/cellar.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { CHECKS } from '../../src/checks/index.ts';
import { Study } from '../../src/editor/study.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { Register } from '../../src/journal/names.ts';
import { DEMO, WRONG_LINES } from './journals.ts';

/** One edit: where, as shares of the journal, how, and with what. */
type Edit = readonly [kind: number, file: number, line: number, other: number, text: string, slice: number];

const edits = fc.array(
  fc.tuple(
    fc.nat(11),
    fc.nat(9999),
    fc.nat(99999),
    fc.nat(99999),
    fc.constantFrom(...WRONG_LINES),
    fc.constantFrom(0, 40, 400),
  ),
  { minLength: 1, maxLength: 12 },
);

/** Lines that change much: days, standing facts, names, plans, what was written past midnight. */
const WEIGHTY = [
  '2026-09-20 Sun',
  '2026-08-01 Sat',
  '2027-12-24 Fri -- the last of it',
  '2026-13-40',
  '14/09/2026',
  'vessel Z1..Z3 tank 900 L',
  'rename T1 to T1x',
  'rename T1x to T1',
  '+00:40 reading T1 brix 4, temp 22 C',
  '23:10 transfer T1 20 L to T2',
  'transfer T1 20 L to',
  'plan new-one for wine in tank',
  '  due top every 3 days',
  'struck rack T1 to T2',
  '    | a note',
  'tolerance dip 5 %',
  'law eu',
];

const split = (text: string): string[] => text.split('\n');

function apply(files: readonly SourceFile[], [kind, which, at, other, text]: Edit): SourceFile[] {
  const index = which % files.length;
  const file = files[index] as SourceFile;
  const lines = split(file.text);
  const here = at % lines.length;
  const there = other % lines.length;
  const line = lines[here] ?? '';
  const weighty = WEIGHTY[other % WEIGHTY.length] ?? '';
  switch (kind) {
    case 0:
      lines.splice(here, 0, text);
      break;
    case 1:
      lines.splice(here, 0, weighty);
      break;
    case 2:
      lines.splice(here, 1);
      break;
    case 3:
      lines[here] = line.slice(0, other % (line.length + 1)) + text.slice(0, 3) + line.slice(other % (line.length + 1));
      break;
    case 4:
      lines[here] = line.slice(0, other % (line.length + 1));
      break;
    case 5:
      lines[here] = lines[there] ?? '';
      lines[there] = line;
      break;
    case 6:
      lines.splice(here, 0, '');
      break;
    case 7:
      lines[here] = line.replace(/\d+/, (digits) => String(Number(digits) + 1));
      break;
    case 8:
      // typing at the end of the last day
      lines.push(text);
      break;
    case 9:
      return files.map((one, i) => (i === index ? { ...one, text: one.text.replaceAll('\n', '\r\n') } : one));
    case 10:
      return files.map((one, i) => (i === index ? { ...one, text: `${one.text}${weighty}\n` } : one));
    default:
      return other % 7 === 0
        ? files.filter((_, i) => i !== index || files.length === 1)
        : files.map((one, i) => (i === index ? { ...one, text: one.text.replace(line, `${line} `) } : one));
  }
  return files.map((one, i) => (i === index ? { ...one, text: lines.join('\n') } : one));
}

/** A journal of some months in a few files, so that an edit has days before and after it. */
const SMALL = DEMO.filter(({ path }) => /^cellar|2026\/(08|09|rounds)/.test(path));

function holds(start: readonly SourceFile[], all: readonly Edit[], spacing: number): void {
  let files = start;
  let study = new Study(files, undefined, spacing);
  study.outcome();
  for (const edit of all) {
    files = apply(files, edit);
    study = new Study(files, study, spacing);
    const slice = edit[5];
    // a burst of edits: some studies are left before they come to an end
    if (slice > 0) {
      study.advance(slice);
      if (slice === 40) continue;
      while (!study.advance(slice));
    }
    // somebody looks at a day of the past
    const { firstDay = 0, lastDay = 0 } = study.outcome();
    study.watch(firstDay + (edit[2] % (lastDay - firstDay + 1)), () => ({ after: () => {} }));
    expect(study.outcome().findings).toEqual(checkJournal(files).findings);
    expect(study.outcome().entries).toBe(checkJournal(files).entries);
  }
  expect(study.outcome().findings).toEqual(checkJournal(files).findings);
}

describe('a study of a journal says what a check from scratch says', () => {
  test('after any edits', () => {
    fc.assert(
      fc.property(edits, fc.constantFrom(60, 300, 5000), (all, spacing) => holds(SMALL, all, spacing)),
      { numRuns: 60, interruptAfterTimeLimit: 60_000 },
    );
  });

  test('of the whole demo journal', () => {
    fc.assert(
      fc.property(edits, (all) => holds(DEMO, all, 500)),
      { numRuns: 6, interruptAfterTimeLimit: 30_000 },
    );
  });

  test('of no files, and of files that say nothing', () => {
    for (const files of [[], [{ path: 'a.cellar', text: '' }], [{ path: 'a.cellar', text: '# nothing yet\n' }]])
      expect(new Study(files).outcome().findings).toEqual(checkJournal(files).findings);
  });
});

describe('a study goes on from where nothing changed', () => {
  const typed = (text: string): SourceFile[] =>
    DEMO.map((file) => (file.path === '2027/09-harvest.cellar' ? { ...file, text: file.text + text } : file));
  const folded = (study: Study): number => study.lines;

  test('typing on the last day folds that day again, and no more', () => {
    const whole = new Study(typed(''), undefined, 500);
    whole.outcome();
    const first = new Study(typed('23:00 note'), whole, 500);
    first.outcome();
    const second = new Study(typed('23:00 note T'), first, 500);
    second.outcome();
    expect(folded(whole)).toBeGreaterThan(1000);
    expect(folded(second)).toBeLessThan(100);
  });

  test('and every check can be taken up from a copy', () => {
    const cellar = new Cellar(new Register());
    for (const check of CHECKS) expect(check(cellar).copy).toBeTypeOf('function');
  });
});
