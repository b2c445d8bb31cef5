/** `ullage new`: what it starts is clean, tidy and complete, and it touches nothing that is there. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { folderOf, ullage } from './run.ts';

let scratch: string;
beforeEach(() => {
  scratch = mkdtempSync(join(tmpdir(), 'ullage-new-'));
});
afterEach(() => {
  rmSync(scratch, { recursive: true, force: true });
});

const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
    .sort();

describe.each(['small', 'season'])('the %s example', (example) => {
  const make = (): string => {
    const folder = join(scratch, 'deep', 'journal');
    const { status, stdout, stderr } = ullage(['new', folder, '--example', example]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    for (const path of filesIn(folder)) expect(stdout).toContain(path);
    return folder;
  };

  test('gives no finding, not even a note', () => {
    const { status, stdout } = ullage(['check', make()]);
    expect(status).toBe(0);
    expect(stdout).toMatch(/^\d+ lines of work in \d+ files: 0 errors, 0 warnings, 0 notes\n$/);
  });

  test('is in the tidy form, and builds', () => {
    const folder = make();
    expect(ullage(['tidy', folder, '--check']).status).toBe(0);
    expect(ullage(['build', folder, '--out', join(scratch, 'site')])).toMatchObject({ status: 0, stderr: '' });
  });

  test('has a readme whose commands exist, and attributes that keep the lines of two people', () => {
    const folder = make();
    const readme = readFileSync(join(folder, 'README.md'), 'utf8');
    const commands = [...readme.matchAll(/`ullage ([a-z]+)/g)].map((match) => match[1] ?? '');
    expect(commands.length).toBeGreaterThan(3);
    for (const command of commands) expect(ullage([command, '--help']).status).toBe(0);
    expect(readFileSync(join(folder, '.gitattributes'), 'utf8')).toMatch(/^\*\.cellar text eol=lf merge=union$/m);
    expect(readFileSync(join(folder, '.gitignore'), 'utf8')).toMatch(/^\/site\/$/m);
  });

  test('is in every file LF, without a blank at the end of a line', () => {
    const folder = make();
    for (const path of filesIn(folder)) expect(readFileSync(join(folder, path), 'utf8')).not.toMatch(/\r|[ \t]$/m);
  });
});

test('the small one is a dozen lines or two, and is what one gets without asking', () => {
  const folder = join(scratch, 'journal');
  expect(ullage(['new', folder]).status).toBe(0);
  const lines = filesIn(folder)
    .filter((path) => path.endsWith('.cellar'))
    .flatMap((path) => readFileSync(join(folder, path), 'utf8').split('\n'))
    .filter((line) => line.trim() !== '' && !line.trim().startsWith('#'));
  expect(lines.length).toBeGreaterThan(11);
  expect(lines.length).toBeLessThan(25);
});

test('begins in an empty folder that is there', () => {
  const folder = join(scratch, 'empty');
  mkdirSync(folder);
  expect(ullage(['new', folder]).status).toBe(0);
  expect(existsSync(join(folder, 'cellar.cellar'))).toBe(true);
});

test('refuses a folder that holds anything, and leaves it alone', () => {
  const folder = folderOf({ '.hidden': 'mine' });
  const { status, stderr } = ullage(['new', folder]);
  expect(status).toBe(2);
  expect(stderr).toContain('it holds something already');
  expect(filesIn(folder)).toEqual(['.hidden']);
  rmSync(folder, { recursive: true });
});

test('refuses the name of a file', () => {
  const path = join(scratch, 'file');
  writeFileSync(path, 'mine');
  expect(ullage(['new', path]).status).toBe(2);
  expect(readFileSync(path, 'utf8')).toBe('mine');
});

test('knows no other example', () => {
  expect(ullage(['new', join(scratch, 'a'), '--example', 'large']).status).toBe(2);
  expect(existsSync(join(scratch, 'a'))).toBe(false);
});
