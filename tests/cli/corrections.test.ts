/** `ullage corrections` and `ullage build --history`, as a user meets them. */
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { clearAway, HAS_GIT, scratch, TestRepository } from '../diff/repository.ts';
import { CLEAN, folderOf, ullage, WRONG } from './run.ts';

const folder = folderOf({ 'a.cellar': `${CLEAN}11:00 struck transfer T1 90 L to T2 -- counted twice\n` });
const wrong = folderOf({ 'a.cellar': WRONG });
afterAll(() => {
  for (const one of [folder, wrong]) rmSync(one, { recursive: true, force: true });
  clearAway();
});

test('tells struck lines with their reason, and that there is no version control', () => {
  const { status, stdout } = ullage(['corrections', folder], { cwd: folder });
  expect(stdout).toContain('struck out: the work of Wed 14 Jan 2026');
  expect(stdout).toContain('why: counted twice');
  expect(stdout).toContain('Version control was not read');
  expect(status).toBe(0);
});

test('an error in the journal ends with 1, a folder that is not there with 2, another format with 2', () => {
  expect(ullage(['corrections', wrong]).status).toBe(1);
  expect(ullage(['corrections', join(folder, 'gone')]).status).toBe(2);
  expect(ullage(['corrections', folder, '--format', 'xml']).status).toBe(2);
});

test('for programs', () => {
  const { stdout } = ullage(['corrections', folder, '--format', 'json', '--no-history']);
  expect(JSON.parse(stdout)).toMatchObject({
    format: 'ullage-corrections',
    versionControl: { read: false },
    corrections: [{ kind: 'struck', day: '2026-01-14', why: 'counted twice' }],
  });
});

test('a site says that version control was not read, and with --history why it could not be', () => {
  const page = (args: readonly string[]): string => {
    ullage(['build', folder, '--out', join(folder, 'site'), ...args]);
    return readFileSync(join(folder, 'site', 'corrections.html'), 'utf8');
  };
  expect(page([])).toContain('ullage build --history reads it');
  expect(page(['--history'])).toContain('no git repository');
});

test('a struck entry of several lines is told whole', () => {
  const text = `${CLEAN}11:00 struck readings brix\n      T1  24.0\n      | Of another tank.\n`;
  const at = folderOf({ 'a.cellar': text });
  const { stdout } = ullage(['corrections', at, '--no-history']);
  for (const line of ['11:00 struck readings brix', 'T1  24.0', '| Of another tank.'])
    expect(stdout).toContain(`  − ${line}  a.cellar:`);
  const { corrections } = JSON.parse(ullage(['corrections', at, '--no-history', '--format', 'json']).stdout);
  expect(corrections[0].stood).toEqual([
    { text: '11:00 struck readings brix', file: 'a.cellar', line: 9 },
    { text: 'T1  24.0', file: 'a.cellar', line: 10 },
    { text: '| Of another tank.', file: 'a.cellar', line: 11 },
  ]);
  rmSync(at, { recursive: true, force: true });
});

describe.skipIf(!HAS_GIT)('a bare repository', () => {
  const LATE = `law us\n${CLEAN}10:30 transfer T1 10 L to T2 written 2026-02-14
11:00 struck transfer T1 90 L to T2 -- counted twice
`;

  /** A bare clone of a repository with these texts of one file, each a commit. */
  const bareOf = (texts: readonly string[], path = 'a.cellar'): string => {
    const whole = new TestRepository();
    for (const text of texts) whole.commit({ [path]: text }, 'Told');
    const bare = join(scratch(), 'season.git');
    whole.git(['clone', '-q', '--bare', whole.folder, bare]);
    return bare;
  };

  test('is told by the journal of its last commit, as the folder it was cloned from is', () => {
    const bare = bareOf([LATE.replace('800 L', '801 L'), LATE]);
    const { status, stdout } = ullage(['corrections', bare, '--format', 'json']);
    const told = JSON.parse(stdout);
    expect(status).toBe(0);
    expect(told.law).toBe('us');
    expect(told.corrections.map(({ kind }: { kind: string }) => kind).sort()).toEqual(['late', 'past', 'struck']);
    expect(told.corrections.find(({ kind }: { kind: string }) => kind === 'struck').stood).toEqual([
      { text: '11:00 struck transfer T1 90 L to T2 -- counted twice', file: 'a.cellar', line: 11 },
    ]);
    expect(told.versionControl.unseen.join()).toContain('the repository is bare');
  });

  test('without its history too, and of a folder in it', () => {
    const bare = bareOf([LATE], 'cellar/a.cellar');
    const { status, stdout } = ullage(['corrections', join(bare, 'cellar'), '--no-history']);
    expect(status).toBe(0);
    expect(stdout).toContain('1 struck line; 1 line put down late, 1 of them later');
    expect(stdout).toContain('asked for the journal of its last commit alone');
  });

  test('errors of its journal end with 1; without a commit or without such a folder there is nothing to tell', () => {
    expect(ullage(['corrections', bareOf([WRONG])]).status).toBe(1);
    const gone = ullage(['corrections', join(bareOf([LATE]), 'gone')]);
    expect([gone.status, gone.stdout]).toEqual([2, '']);
    expect(gone.stderr).toContain('its last commit has no such folder');
    const empty = new TestRepository(scratch(), ['init', '-q', '--bare']).folder;
    const none = ullage(['corrections', empty]);
    expect([none.status, none.stdout]).toEqual([2, '']);
    expect(none.stderr).toContain('there is no commit');
  });
});
