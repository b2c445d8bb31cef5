/** The way back: a round printed as lines of a journal, filled in, read, and the list of work after it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import type { Book } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { dueWork } from '../../src/due/due-work.ts';
import { contextOf } from '../../src/report/context.ts';
import { orderOn } from '../../src/report/crew-sheets/crew-sheets.ts';
import { roundText } from '../../src/report/crew-sheets/round-text.ts';
import { ROOT } from '../cli/run.ts';
import { bookOf, CELLAR, foundIn, MUST, WINE } from './journal.ts';

const PLANS = `plan red-ferment for must
  due reading brix, temp 2 a day
plan barrel-age for wine in barrel
  due reading free SO2, pH every 21 days
`;
const TEXT = `${CELLAR}${PLANS}walk B2, B1, FB-02, FB-01\n${MUST}${WINE}`;
const ON = '2026-11-23';

function roundOf(book: Book, on: number, time = '07:00'): string {
  return roundText(contextOf(book), orderOn(contextOf(book), on), time);
}

const PRINTED = roundOf(bookOf(TEXT), parseDate(ON));

/** The dashes of a round replaced one after another, a dash for what is not read. */
function filled(round: string, figures: readonly (number | undefined)[]): string {
  let at = 0;
  return round.replace(/ -(?= |\n)/gu, () => {
    const figure = figures[at++];
    return figure === undefined ? ' -' : ` ${figure.toFixed(1)}`;
  });
}

const dashesOf = (round: string): number => round.match(/ -(?= |\n)/gu)?.length ?? 0;

describe('a round', () => {
  test('stands in the order of the walk, one table for vessels in which the same is due', () => {
    expect(PRINTED.split('\n').map((line) => line.replace(/\s+/gu, ' ').trim())).toEqual([
      '2026-11-23 Mon',
      '07:00 readings brix, temp C',
      'B2 - -',
      'B1 - -',
      '07:00 readings pH, free SO2 mg/L',
      'FB-02 - -',
      'FB-01 - -',
      '',
    ]);
  });

  test('without a time asks for one in a comment, and tells the last figures in comments', () => {
    const read = `${TEXT}2026-11-10 Tue\n08:00 reading B1 brix 1.2, temp 21.5 C\n`;
    const round = roundOf(bookOf(read), parseDate(ON), '');
    expect(round).toContain('# put the time before `readings`');
    expect(round).toMatch(/B1 .*# last 1\.2 °Bx 10 Nov, 21\.5 °C 10 Nov/u);
  });

  test('that is not filled in at all is no reading, and no finding', () => {
    const before = bookOf(TEXT);
    const after = bookOf(`${TEXT}\n${PRINTED}`);
    expect(after.happenings.filter(({ event }) => event.kind === 'reading')).toEqual([]);
    expect(after.findings.filter(({ severity }) => severity === 'error')).toEqual(
      before.findings.filter(({ severity }) => severity === 'error'),
    );
  });

  test('a vessel whose blanks were rubbed out has no reading, and costs the others nothing', () => {
    const rubbed = filled(PRINTED, [24, 18, 23, 17, 3.5, 30, 3.6, 31]).replace(/B1 .*/u, 'B1');
    const text = `${TEXT}\n${rubbed}`;
    const book = bookOf(text);
    expect(book.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
    expect(book.happenings.filter(({ event }) => event.kind === 'reading')).toHaveLength(3);
  });

  test('filled at random is read as it was filled', () => {
    const figure = fc.option(
      fc.integer({ min: 0, max: 400 }).map((tenths) => tenths / 10),
      { nil: undefined },
    );
    fc.assert(
      fc.property(fc.array(figure, { minLength: 8, maxLength: 8 }), (figures) => {
        const book = bookOf(`${TEXT}\n${filled(PRINTED, figures)}`);
        const read = book.happenings.flatMap(({ event }) =>
          event.kind === 'reading'
            ? event.measures.map(({ analyte, value }) => {
                const [target] = event.targets;
                return `${target?.kind === 'vessel' ? book.vessels[target.vessel]?.facts.name : ''} ${analyte} ${value}`;
              })
            : [],
        );
        const wanted = [
          'B2 brix',
          'B2 temp',
          'B1 brix',
          'B1 temp',
          'FB-02 pH',
          'FB-02 free SO2',
          'FB-01 pH',
          'FB-01 free SO2',
        ];
        expect(read).toEqual(
          wanted.flatMap((what, at) => (figures[at] === undefined ? [] : [`${what} ${figures[at]}`])),
        );
      }),
      { numRuns: 60 },
    );
  });

  test('names that need quotes, and plans of every unit, are read again', () => {
    const text = `vessel "Le 4" tank 1200 L\nvessel Tür tank 900 L\nblock ledge-2 Syrah
plan p for wine
  due reading TA, alcohol, turbidity, dissolved oxygen, pressure, SG, temp, copper every 2 days

2026-11-02 Mon
08:00 found "Le 4" 400 L, Tür 300 L as GR of ledge-2, vintage 2025
`;
    const book = bookOf(text);
    const round = roundOf(book, parseDate('2026-11-09'));
    const again = bookOf(
      `${text}\n${filled(
        round,
        Array.from({ length: dashesOf(round) }, () => 1),
      )}`,
    );
    expect(again.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
    expect(again.happenings.filter(({ event }) => event.kind === 'reading')).toHaveLength(2);
  });
});

describe('what was read leaves the list', () => {
  test('a filled round is done, a half-filled one is done by half, and it comes back when it is due', () => {
    const due = (text: string, on: string): string[] => {
      const book = bookOf(text);
      return dueWork(book, parseDate(on), 0).map(({ vessel, what }) => `${book.vessels[vessel]?.facts.name} ${what}`);
    };
    const barrels = (list: string[]): string[] => list.filter((one) => one.startsWith('FB'));
    expect(barrels(due(TEXT, ON))).toEqual(['FB-01 reading free SO2, pH', 'FB-02 reading free SO2, pH']);
    const half = `${TEXT}\n${filled(PRINTED, [24, 18, 23, 17, 3.5, undefined, 3.6, 31])}`;
    expect(barrels(due(half, ON))).toEqual(['FB-02 reading free SO2']);
    const whole = `${TEXT}\n${filled(PRINTED, [24, 18, 23, 17, 3.5, 30, 3.6, 31])}`;
    expect(barrels(due(whole, ON))).toEqual([]);
    expect(barrels(due(whole, '2026-12-13'))).toEqual([]);
    expect(barrels(due(whole, '2026-12-14'))).toEqual(['FB-01 reading free SO2, pH', 'FB-02 reading free SO2, pH']);
  });

  test('a round of a later day changes nothing of what is told of the days before it', () => {
    const later = `${TEXT}\n${filled(PRINTED, [24, 18, 23, 17, 3.5, 30, 3.6, 31])}`;
    for (const on of ['2026-09-14', '2026-11-02', '2026-11-22']) {
      const list = (text: string) => dueWork(bookOf(text), parseDate(on), 7);
      expect(list(later)).toEqual(list(TEXT));
    }
    expect(foundIn(later).length).toBeGreaterThan(0);
  });
});

test('the demo: tomorrow’s round printed, filled in and read, and the list moves as it should', () => {
  const folder = join(ROOT, 'demo-journal');
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.name.endsWith('.cellar'))
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort()
    .map((path) => ({ path, text: readFileSync(join(folder, path), 'utf8') }));
  const before = makeBook(files, undefined, checkJournal);
  const tomorrow = before.on + 1;
  const readings = (book: Book) =>
    dueWork(book, tomorrow, 0).filter(({ row, status }) => row.work.kind === 'reading' && status !== 'next');
  const due = readings(before);
  expect(due.length).toBeGreaterThan(0);
  const round = roundOf(before, tomorrow);
  const figures = round.split('\n').flatMap((line, at, lines) =>
    Array.from({ length: dashesOf(`${line}\n`) }, (_, cell) => {
      const head = lines.slice(0, at).findLast((one) => one.includes('readings')) ?? '';
      return head.split(',')[cell]?.includes('SO2') === true ? 28 : head.includes('brix') && cell === 0 ? 2 : 16;
    }),
  );
  expect(figures).toHaveLength(dashesOf(round));
  const after = makeBook(
    [...files, { path: 'tomorrow.cellar', text: filled(round, figures) }],
    undefined,
    checkJournal,
  );
  const file = after.files.findIndex(({ path }) => path === 'tomorrow.cellar');
  expect(after.findings.filter(({ where, severity }) => where.file === file && severity === 'error')).toEqual([]);
  const left = new Map(readings(after).map(({ vessel, what, left: times }) => [`${vessel} ${what}`, times ?? 1]));
  for (const { vessel, what, left: times } of due) {
    expect(left.get(`${vessel} ${what}`) ?? 0, `${before.vessels[vessel]?.facts.name} ${what}`).toBeLessThan(
      times ?? 1,
    );
  }
});
