/** `ullage corrections` and `ullage build --history`, as a user meets them. */
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { CLEAN, folderOf, ullage, WRONG } from './run.ts';

const folder = folderOf({ 'a.cellar': `${CLEAN}11:00 struck transfer T1 90 L to T2 -- counted twice\n` });
const wrong = folderOf({ 'a.cellar': WRONG });
afterAll(() => {
  for (const one of [folder, wrong]) rmSync(one, { recursive: true, force: true });
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
