/** What an editor folds, lists, colours, mends and makes tidy. */
import { describe, expect, test } from 'vitest';
import { tidy } from '../../grammar/tidy.ts';
import { checkTexts } from '../../src/checks/check-journal.ts';
import { actionsIn } from '../../src/editor/actions.ts';
import { coloursOf } from '../../src/editor/colours.ts';
import { foldsOf } from '../../src/editor/folding.ts';
import { formattingOf } from '../../src/editor/formatting.ts';
import { outlineOf } from '../../src/editor/outline.ts';
import { withEdits } from '../../src/editor/rename.ts';
import { Study } from '../../src/editor/study.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { spellingOf } from '../../src/journal/spelling.ts';
import { cases } from '../corpus/cases.ts';
import { CELLAR, DEMO } from './journals.ts';

const one = (text: string): Study => new Study([{ path: 'a.cellar', text }]);

describe('outline', () => {
  test('days with their entries, standing facts by themselves', () => {
    const items = outlineOf(one(CELLAR), 0);
    expect(items.filter(({ kind }) => kind === 'standing').map(({ name }) => name)).toContain('vessel');
    const days = items.filter(({ kind }) => kind === 'day');
    expect(days.map(({ name, children }) => [name, children.length])).toEqual([
      ['2026-09-14 Mon', 5],
      ['2026-09-24 Thu', 4],
    ]);
    expect(days[0]?.children[0]).toMatchObject({
      name: '07:00 receive',
      detail: 'LS from ledge-2, net 1540 kg by ana',
    });
    const plan = items.find(({ name }) => name === 'plan');
    expect(CELLAR.slice(plan?.start, plan?.end)).toBe('plan barrel-age for wine in barrel\n  due top every 21 days');
  });

  test('items lie in their order, inside one another, in every journal of the corpus', () => {
    for (const { files } of [...cases('good'), ...cases('bad')]) {
      const study = new Study(files);
      for (const file of files.keys()) {
        let last = 0;
        for (const { start, end, lineStart, lineEnd, children } of outlineOf(study, file)) {
          expect(start).toBeGreaterThanOrEqual(last);
          expect(lineStart >= start && lineEnd <= end && start <= end).toBe(true);
          for (const child of children) expect(child.start >= start && child.end <= end).toBe(true);
          last = end;
        }
      }
    }
  });
});

describe('folding', () => {
  test('days, tables, notes and comments', () => {
    const text = `# one\n# two\n${CELLAR}    | a note\n    | that goes on\n`;
    const lines = text.split('\n');
    const folded = foldsOf(one(text), 0).map(
      ({ first, last, kind }) => `${kind} ${lines[first - 1]?.trim()} / ${lines[last - 1]?.trim()}`,
    );
    expect(folded).toEqual([
      'comment # one / # two',
      'table plan barrel-age for wine in barrel / due top every 21 days',
      'day 2026-09-14 Mon / B2   24.5   16.5',
      'table 10:00 readings brix, temp C / B2   24.5   16.5',
      'day 2026-09-24 Thu / | that goes on',
      'table 08:30 press LS, pomace 290 kg / cut 1.8 bar to K1 40 L as LS-p2',
      'note | a note / | that goes on',
    ]);
  });

  test('folds of days never cross', () => {
    const study = new Study(DEMO);
    for (const file of DEMO.keys()) {
      const days = foldsOf(study, file).filter(({ kind }) => kind === 'day');
      for (const [i, day] of days.entries()) expect(day.first).toBeGreaterThan(days[i - 1]?.last ?? 0);
    }
  });
});

describe('colours', () => {
  const coloured = (text: string, line: string): string[] => {
    const from = text.indexOf(line);
    const study = one(text);
    study.outcome();
    return coloursOf(study, 0, from, from + line.length).map(
      ({ start, end, colour, gives, struck }) =>
        `${colour}${gives ? '!' : ''}${struck ? '~' : ''} ${text.slice(start, end)}`,
    );
  };

  test('words as the lexer cuts them, names by what they stand for', () => {
    expect(coloured(CELLAR, '08:00 drain LS to T1 860 L as LS-free by bo')).toEqual([
      'time 08:00',
      'verb drain',
      'lot LS',
      'link to',
      'vessel T1',
      'number 860',
      'unit L',
      'link as',
      'lot! LS-free',
      'link by',
      'hand bo',
    ]);
    expect(coloured(CELLAR, '2026-09-24 Thu')).toEqual(['date 2026-09-24', 'date Thu']);
    expect(coloured(CELLAR, '10:00 readings brix, temp C')).toContain('analyte temp');
    expect(coloured(CELLAR, 'vessel T1..T4 tank 1200 L steel')).toEqual([
      'verb vessel',
      'vessel! T1',
      'sign ..',
      'vessel! T4',
      'number 1200',
      'unit L',
    ]);
  });

  test('what is struck, noted, remarked', () => {
    const line = '10:00 struck stir T1 -- no';
    expect(coloured(`${CELLAR}${line}\n    | so\n`, line)).toEqual([
      'time~ 10:00',
      'struck~ struck',
      'verb~ stir',
      'vessel~ T1',
      'remark~ -- no',
    ]);
    expect(coloured(`${CELLAR}    | so\n`, '    | so')).toEqual(['note | so']);
    expect(coloured(`# so\n${CELLAR}`, '# so')).toEqual(['comment # so']);
  });

  test('never overlap, and never run over the end of a line', () => {
    for (const { files, name } of [...cases('good'), ...cases('bad')]) {
      const study = new Study(files);
      study.outcome();
      for (const [file, { text }] of files.entries()) {
        let last = 0;
        for (const { start, end } of coloursOf(study, file)) {
          expect(start, name).toBeGreaterThanOrEqual(last);
          expect(end, name).toBeGreaterThanOrEqual(start);
          last = end;
        }
        expect(last).toBeLessThanOrEqual(text.length);
      }
    }
  });
});

describe('the tidy form', () => {
  /** A journal as a hurried hand writes it. */
  const untidy = (files: readonly SourceFile[]): SourceFile[] =>
    files.map((file) => ({ ...file, text: file.text.replace(/^(\d\d:\d\d) /gm, '$1   ').replace(/ L\b/g, 'L') }));

  test('is what tidy writes, line by line', () => {
    const files = untidy(DEMO);
    const study = new Study(files);
    const spelling = spellingOf(files);
    let edited = 0;
    for (const [file, { text }] of files.entries()) {
      const edits = formattingOf(study, file);
      edited += edits.length;
      for (const { start, end } of edits) expect(text.slice(start, end)).not.toContain('\n');
      expect(withEdits(files, edits)[file]?.text).toBe(tidy(text, spelling).text);
    }
    expect(edited).toBeGreaterThan(300);
  });

  test('of what is tidy is nothing', () => {
    const text = tidy(CELLAR).text;
    expect(formattingOf(one(text), 0)).toEqual([]);
  });
});

/** Where an action mends its finding and the line still has something wrong: what it has. */
const MORE_TO_MEND: ReadonlySet<string> = new Set([
  'cascades/block-unread',
  'files/prose',
  'files/spreadsheet',
  'numbers/thousands-comma',
  'numbers/two-points',
  'numbers/two-thousands-commas',
  'units/capital-ml',
  'units/misspelt-in-an-addition',
]);

describe('actions', () => {
  test('mend what they are offered for, in every journal of the corpus', () => {
    let made = 0;
    const codes = new Set<string>();
    for (const { files, name } of cases('bad')) {
      const { findings } = checkTexts(files);
      for (const [file, { text }] of files.entries()) {
        for (const { finding, edit } of actionsIn(files, findings, { file, start: 0, end: text.length })) {
          const after = checkTexts(withEdits(files, [edit])).findings;
          const there = after.filter(({ where }) => where.file === file && where.line === finding.where.line);
          expect(
            there.filter(({ code, message }) => code === finding.code && message === finding.message),
            name,
          ).toEqual([]);
          if (!MORE_TO_MEND.has(name))
            expect(
              there.filter(({ severity }) => severity === 'error'),
              name,
            ).toEqual([]);
          codes.add(finding.code);
          made++;
        }
      }
    }
    expect(made).toBeGreaterThan(90);
    expect(codes.size).toBeGreaterThan(20);
  });

  test('a mistake that can mean two things has two', () => {
    const text = `${CELLAR}10:00 transfer T1 1,500 L to T3\n`;
    const files = [{ path: 'a.cellar', text }];
    const { findings } = checkTexts(files);
    const found = actionsIn(files, findings, { file: 0, start: text.indexOf('1,500'), end: text.indexOf('1,500') });
    expect(found.map(({ title, only }) => [title, only])).toEqual([
      ['write `1500` instead of `1,500`', false],
      ['write `1.500` instead of `1,500`', false],
    ]);
    expect(actionsIn(files, findings, { file: 0, start: 0, end: 3 })).toEqual([]);
  });

  test('an answered question is put in its place', () => {
    const text = `${CELLAR}10:00 reading T1 pH 3.5, free SO2 10 mg/L\n11:00 add kms ? to T1 for free SO2 30 mg/L\n`;
    const files = [{ path: 'a.cellar', text }];
    const [action] = actionsIn(files, checkTexts(files).findings, { file: 0, start: 0, end: text.length });
    expect(action?.finding.code).toBe('question-answered');
    const mended = withEdits(files, action === undefined ? [] : [action.edit])[0]?.text ?? '';
    expect(mended).toMatch(/add kms [\d.]+ g to T1 for free SO2/);
    expect(
      checkTexts([{ path: 'a.cellar', text: mended }]).findings.filter(({ severity }) => severity === 'error'),
    ).toEqual([]);
  });
});
