/** `ullage stocktake`, as a user meets it: lines to fill in, a sheet to print, and what becomes of them. */
import { appendFileSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { CLEAN, folderOf, ullage, WRONG } from './run.ts';

const folder = folderOf({ 'a.cellar': CLEAN });
const wrong = folderOf({ 'a.cellar': WRONG });
afterAll(() => {
  for (const one of [folder, wrong]) rmSync(one, { recursive: true, force: true });
});

test('lines to fill in, as of the last day or the day asked for, that change nothing until they are', () => {
  const { status, stdout } = ullage(['stocktake', folder]);
  expect(status).toBe(0);
  expect(stdout).toContain('2026-01-14 Wed\n# 23:59 dip T1 ____ L for stocktake # the book has 700 L of GR\n');
  expect(ullage(['stocktake', folder, '--on', '2026-01-12']).stdout).toContain('the book has 800 L of GR');
  expect(ullage(['stocktake', folder, '--blind']).stdout).not.toContain('the book has');
  const before = ullage(['export', folder]).stdout;
  appendFileSync(join(folder, 'a.cellar'), stdout);
  expect(ullage(['export', folder]).stdout).toBe(before);
});

test('a sheet to print, with what should be there or without, in one file', () => {
  const sheet = join(folder, 'sheet.html');
  expect(ullage(['stocktake', folder, '--format', 'html', '--out', sheet]).status).toBe(0);
  const html = readFileSync(sheet, 'utf8');
  expect(html).toContain('700 L');
  expect(html).toContain("default-src 'none'");
  expect(html).not.toMatch(/<script|href=|src=/u);
  expect(ullage(['stocktake', folder, '--format', 'html', '--blind']).stdout).not.toContain('700 L');
});

test('an error in the journal ends with 1; a folder that is not there, a file that cannot be written and another format with 2', () => {
  expect(ullage(['stocktake', wrong]).status).toBe(1);
  expect(ullage(['stocktake', join(folder, 'gone')]).status).toBe(2);
  expect(ullage(['stocktake', folder, '--out', join(folder, 'no', 'such', 'file')]).status).toBe(2);
  expect(ullage(['stocktake', folder, '--format', 'xml']).status).toBe(2);
});
