/** The page of work due, the marks on other pages, and the calendar beside them. */
import { join } from 'node:path';
import ICAL from 'ical.js';
import { describe, expect, test } from 'vitest';
import { alertsOf } from '../../src/report/alerts.ts';
import { contextOf, type ReportContext } from '../../src/report/context.ts';
import { crewSheet, siteOrder } from '../../src/report/crew-sheets/crew-sheets.ts';
import { CREW_SHEETS } from '../../src/report/crew-sheets/kinds.ts';
import type { Sheet } from '../../src/report/sheet.ts';
import { workModel } from '../../src/report/work.ts';
import { dueFactOfLot, dueFactOfVessel, dueMarkOf } from '../../src/report/work-due.ts';
import { crewPage } from '../../src/site/crew-page.ts';
import { ROOT } from '../cli/run.ts';
import { fixtureBook } from '../report/fixture.ts';
import { hrefsOf, siteOf } from '../site/build.ts';
import { bookOf, CELLAR, MUST, WINE } from './journal.ts';

const PLANS = `plan red-ferment for must
  due punch-down 3 a day by ana
  due reading brix 1 a day
plan barrel-age for wine in barrel
  due top every 21 days by bo
`;
const TEXT = `${CELLAR}${PLANS}${MUST}
2026-09-15 Tue
07:40 punch-down LS
08:00 reading LS brix 24.1
${WINE}`;

const context = (on: string, text = TEXT): ReportContext => contextOf(bookOf(text, on));

/** Rows of a table as text, a cell after another. */
const rowsOf = ({ rows }: Sheet): string[] =>
  rows.map(({ cells }) =>
    cells
      .map(({ figures, quiet = '' }) =>
        [...figures.map(({ text }) => text), quiet].filter((one) => one !== '').join(' '),
      )
      .join(' | '),
  );

describe('the page', () => {
  test('tells what, where, when it was done last, why, and whose it is', () => {
    const { sections } = workModel(context('2026-09-15'));
    expect(sections.map(({ id }) => id)).toEqual(['now', 'next']);
    expect(rowsOf(sections[0]?.sheet ?? ({ rows: [] } as never))).toEqual([
      'B1 B2 | LS | punch-down, 2 of 3 left | today 07:40 | due punch-down 3 a day red-ferment | ana',
    ]);
  });

  test('every name and figure leads to its page or its line', () => {
    const [today] = workModel(context('2026-09-15')).sections;
    const links = today?.sheet.rows.flatMap(({ cells }) => cells.flatMap(({ figures }) => figures)) ?? [];
    expect(links.flatMap(({ href }) => href ?? [])).toEqual([
      'vessels/b1.html',
      'vessels/b2.html',
      'lots/ls.html',
      'journal/journal.html#L24',
      'journal/journal.html#L14',
    ]);
  });

  test('what is overdue comes first, with the day it was due', () => {
    const { sections, lead } = workModel(context('2026-11-30'));
    expect(sections[0]?.id).toBe('overdue');
    expect(rowsOf(sections[0]?.sheet ?? ({ rows: [] } as never))).toContain(
      'FB-01 FB-02 | GR | top | 23 Nov 2026 | not yet | due top every 21 days barrel-age | bo',
    );
    expect(lead).toMatch(/^Overdue: 1\. /u);
  });

  test('vessels in which the work was last done at different times stand in rows of their own', () => {
    const text = `${TEXT}\n2026-11-10 Tue\n09:00 top FB-01 from T1 0.5 L\n`;
    const [overdue] = workModel(context('2026-12-10', text)).sections;
    expect(overdue?.sheet.rows).toHaveLength(2);
  });

  test('cautions stand once each, and only where such work is there', () => {
    const titles = (on: string): string[] => workModel(context(on)).cautions.map(({ title }) => title);
    expect(titles('2026-09-15')).toEqual(['Carbon dioxide', 'Bins and tanks', 'Bin walls and ladders']);
    const wineOnly = `${CELLAR}plan p for wine\n  due taste every 7 days\n${WINE}`;
    expect(workModel(context('2026-11-09', wineOnly)).cautions).toEqual([]);
    const sulfite = `${CELLAR}plan p for wine\n  due add kms 30 mg/L SO2 every 7 days\n${WINE}`;
    expect(workModel(context('2026-11-09', sulfite)).cautions.map(({ title }) => title)).toEqual(['Sulfur dioxide']);
    const pressing = `${CELLAR}plan p for must\n  due press once after 1 day\n${MUST}`;
    expect(workModel(context('2026-09-15', pressing)).cautions.map(({ title }) => title)).toEqual(
      expect.arrayContaining(['Presses and augers', 'Hoses under pressure', 'Lifting and forklifts']),
    );
  });

  test('every caution defers to the local code', () => {
    for (const { text } of workModel(context('2026-09-15')).cautions) expect(text).toMatch(/local code/iu);
  });

  test('without a plan it says how one is written, and has no calendar', () => {
    const model = workModel(context('2026-11-02', CELLAR + WINE));
    expect([model.planless, model.sections, model.calendar]).toEqual([true, [], undefined]);
  });
});

describe('marks', () => {
  test('a vessel is marked by what is due by the day, and by nothing that is not', () => {
    const at = context('2026-09-15');
    expect(dueMarkOf(at, 0)).toEqual({
      text: 'due today: punch-down, 2 of 3 left',
      short: 'due today',
      overdue: false,
    });
    expect(dueMarkOf(at, 3)).toBeUndefined();
    expect(dueMarkOf(context('2026-11-30'), 8)).toEqual({ text: 'overdue: top', short: 'overdue', overdue: true });
  });

  test('a vessel and a lot tell theirs among the facts', () => {
    const at = context('2026-11-30');
    const texts = (facts: ReturnType<typeof dueFactOfLot>): string[] =>
      facts.flatMap(({ name, figures }) => [name, ...figures.map(({ text }) => text)]);
    expect(texts(dueFactOfVessel(at, 8))).toEqual(['due', 'top, overdue since 23 Nov']);
    expect(texts(dueFactOfLot(at, 1))).toEqual(['due', 'top, overdue since 23 Nov']);
    expect(dueFactOfLot(context('2026-09-15', CELLAR + MUST), 0)).toEqual([]);
  });

  test('the first page tells late work among what is to be looked at', () => {
    const group = alertsOf(context('2026-11-30')).find(({ title }) => title === 'Work overdue');
    expect(group?.rows.map(({ about, words }) => [about[0]?.text, words.map(({ text }) => text).join('')])).toEqual([
      ['Top', 'FB-01, FB-02 (GR), overdue since 23 Nov'],
    ]);
    expect(group?.further?.href).toBe('work.html');
  });
});

describe('the site', () => {
  test('has the page, the sheets and the calendar, linked from the page; equal books give equal bytes', async () => {
    const book = bookOf(TEXT, '2026-11-30');
    const files = await siteOf(book);
    const work = files.find(({ path }) => path === 'work.html')?.text ?? '';
    for (const href of [
      'calendar.ics',
      ...['round', 'cap-work', 'topping', 'additions', 'pressing', 'bottling'].map((kind) => `sheets/${kind}.html`),
    ]) {
      expect(hrefsOf(work)).toContain(href);
      expect(files.some(({ path }) => path === href)).toBe(true);
    }
    expect(await siteOf(bookOf(TEXT, '2026-11-30'))).toEqual(files);
  });

  test('its calendar is read by a parser, and an event keeps its UID from day to day', async () => {
    const uids = async (on: string): Promise<Map<string, string>> => {
      const { text = '' } = (await siteOf(bookOf(TEXT, on))).find(({ path }) => path === 'calendar.ics') ?? {};
      const component = new ICAL.Component(
        ICAL.parse(text) as unknown[] as ConstructorParameters<typeof ICAL.Component>[0],
      );
      return new Map(
        component.getAllSubcomponents('vevent').map((event) => {
          const { uid, summary } = new ICAL.Event(event);
          return [summary.replace(/^overdue since [^:]*: /u, ''), uid];
        }),
      );
    };
    const [before, after] = [await uids('2026-11-20'), await uids('2026-11-25')];
    const top = 'top: GR in FB-01\\, FB-02'.replaceAll('\\', '');
    expect(before.get(top)).toBeDefined();
    expect(after.get(top)).toBe(before.get(top));
  });

  test('names that are no names stay text, on the page, on every sheet and on a sheet by itself', async () => {
    const evil = '<img src=x onerror=alert(1)>';
    const text = `cellar "${evil}"
vessel "${evil}" tank 1200 L at "${evil}"
block ledge-2 Syrah
hand "${evil} "
material "${evil}" sulfite, brings 50 % SO2
walk "${evil}"
plan "${evil}" for wine
  due reading pH every 2 days
  due top every 2 days by "${evil} "
  due add "${evil}" 30 mg/L SO2 once
  due bottle once

2026-11-02 Mon
08:00 found "${evil}" 400 L as "GR ${evil}" of ledge-2, vintage 2025
09:00 reading "GR ${evil}" pH 3.5
`;
    const book = bookOf(text, '2026-11-30');
    expect(book.plans.length + book.vessels.length).toBe(2);
    const files = await siteOf(book);
    const pages = files.filter(({ path }) => path === 'work.html' || path.startsWith('sheets/')).map((one) => one.text);
    const at = contextOf(book);
    for (const { kind } of CREW_SHEETS)
      pages.push(await crewPage(crewSheet(at, kind, siteOrder(at, kind)), book.settings.name, join(ROOT, 'templates')));
    expect(pages).toHaveLength(13);
    for (const page of pages) {
      expect(page).not.toContain('<img');
      expect(page).toContain('&lt;img');
      expect(page).not.toMatch(/ style=/u);
    }
  });

  test('a book without plans has no calendar', async () => {
    expect((await siteOf(fixtureBook())).some(({ path }) => path === 'calendar.ics')).toBe(false);
  });
});
