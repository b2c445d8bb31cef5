/** `ullage due` as a user meets it: what it prints, how wide, where it goes, and how it ends. */
import { readdirSync, readFileSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { folderOf, ROOT, ullage } from '../cli/run.ts';
import { CELLAR, WINE } from './journal.ts';

const PLANS = `cellar "Quern Hollow"
${CELLAR}
plan barrel-age for wine in barrel
  due top every 21 days by bo
plan tank-age for T1
  due taste every 10 days
`;
const folders = {
  clean: folderOf({ 'a.cellar': `${PLANS}${WINE}` }),
  wrong: folderOf({ 'a.cellar': `${PLANS}${WINE}09:00 transfer T1 9000 L to T2\n` }),
  bare: folderOf({ 'a.cellar': `${CELLAR}${WINE}` }),
  empty: folderOf({}),
};
afterAll(() => {
  for (const folder of Object.values(folders)) rmSync(folder, { recursive: true, force: true });
});

test('it lists what is overdue, what is due today and on the days ahead', () => {
  const ran = ullage(['due', folders.clean, '--on', '2026-11-23', '--days', '10']);
  expect(ran.stderr).toBe('');
  expect(ran.stdout).toBe(`Quern Hollow
Mon 23 Nov 2026

overdue
  taste
    since 12 Nov 2026
    GR in T1
    tank-age, a.cellar:18

today
  top
    by bo
    GR in FB-01, FB-02
    barrel-age, a.cellar:16
`);
  expect(ullage(['due', folders.clean, '--on', '2026-11-20']).stdout).toContain(
    'the next 7 days\n  Mon 23 Nov 2026\n    top\n',
  );
});

test('without a day it tells the last one written, and says where nothing is due', () => {
  expect(ullage(['due', folders.clean]).stdout).toBe(
    'Quern Hollow\nMon 2 Nov 2026\n\nNothing is due, nor on 7 days ahead.\n',
  );
  expect(ullage(['due', folders.clean, '--days', '10']).stdout).toContain('Thu 12 Nov 2026');
});

test('a journal without a plan is told how one is written', () => {
  const ran = ullage(['due', folders.bare]);
  expect(ran.status).toBe(0);
  expect(ran.stdout).toContain('plan barrel-age for wine in barrel');
});

test('it fits a telephone: no line is wider than 44 columns', () => {
  for (const on of ['2026-10-05', '2027-09-11']) {
    const { stdout } = ullage(['due', join(ROOT, 'demo-journal'), '--on', on, '--days', '30']);
    expect(stdout.split('\n').length).toBeGreaterThan(10);
    for (const line of stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(44);
  }
});

describe('for a name', () => {
  test('only what concerns it', () => {
    const { stdout } = ullage(['due', folders.clean, '--on', '2026-11-23', '--for', 'Bo']);
    expect(stdout).toContain('Quern Hollow, Bo\n');
    expect(stdout).toContain('top');
    expect(stdout).not.toContain('taste');
  });

  test('that nobody has is wrong usage, with what is nearest', () => {
    const ran = ullage(['due', folders.clean, '--for', 'boo']);
    expect({ status: ran.status, stdout: ran.stdout, stderr: ran.stderr }).toEqual({
      status: 2,
      stdout: '',
      stderr: 'no hand, lot, vessel or plan is called boo; did you mean bo?\n',
    });
  });
});

describe('how it ends', () => {
  test.each([
    ['a clean journal', [folders.clean], 0],
    ['errors, with what can be told all the same', [folders.wrong], 1],
    ['an empty folder', [folders.empty], 0],
    ['a folder that is not there', [join(folders.empty, 'gone')], 2],
    ['a day that is none', [folders.clean, '--on', '2026-02-30'], 2],
    ['days that are no number', [folders.clean, '--days', 'many'], 2],
    ['more days than a year', [folders.clean, '--days', '400'], 2],
  ])('%s', (_, args, status) => {
    const ran = ullage(['due', ...args]);
    expect(ran.status).toBe(status);
    expect(ran.stderr === '').toBe(status === 0);
  });
});

test('for programs it prints JSON and nothing else, errors or not', () => {
  for (const folder of [folders.clean, folders.wrong]) {
    const { stdout, stderr } = ullage(['due', folder, '--on', '2026-11-23', '--format', 'json']);
    expect(stderr).toBe('');
    expect(JSON.parse(stdout)).toMatchObject({ format: 'ullage-due', on: '2026-11-23', days: 7, for: null });
  }
});

test('the plans of the demo journal are mostly kept, and what is not is told mildly', () => {
  const folder = join(ROOT, 'demo-journal');
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.name.endsWith('.cellar'))
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort()
    .map((path) => ({ path, text: readFileSync(join(folder, path), 'utf8') }));
  const codes = ['work-missed', 'bounds-left', 'plan-warns', 'not-under-plan'];
  const found = makeBook(files, undefined, checkJournal).findings.filter(({ code }) => codes.includes(code));
  expect(found.length).toBeLessThanOrEqual(12);
  expect(found.some(({ severity }) => severity === 'error')).toBe(false);
  const missed = found.filter(({ code }) => code === 'work-missed').map(({ message }) => message);
  expect(missed.filter((message) => message.includes('`top every'))).toHaveLength(1);
  expect(missed.some((message) => message.includes('`reading'))).toBe(true);
});
