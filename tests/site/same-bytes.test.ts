/** The same journal gives the same bytes: whatever the clock's zone, the language, the folder one stands in, and the disk's order. */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ROOT, ullage } from '../cli/run.ts';

const scratch = mkdtempSync(join(tmpdir(), 'same-bytes-'));
const journal = join(scratch, 'journal');

/** Every file of a folder by its path. */
function bytesIn(folder: string): Map<string, string> {
  const files = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  return new Map(
    files
      .map((entry) => join(entry.parentPath, entry.name))
      .sort()
      .map((path) => [relative(folder, path), readFileSync(path, 'latin1')]),
  );
}

function built(name: string, env: Record<string, string>, cwd: string): Map<string, string> {
  const out = join(scratch, name);
  const from = relative(cwd, journal);
  const { status, stderr } = ullage(['build', from, '--out', out], { env, cwd });
  expect(status, stderr).toBe(0);
  return bytesIn(out);
}

let first: Map<string, string>;
beforeAll(() => {
  cpSync(join(ROOT, 'demo-journal'), journal, { recursive: true });
  first = built('first', { TZ: 'UTC', LANG: 'C', LC_ALL: 'C' }, ROOT);
});
afterAll(() => {
  rmSync(scratch, { recursive: true, force: true });
});

const reversed = pathToFileURL(join(import.meta.dirname, 'reversed-folders.mjs')).href;

test.each([
  ['a zone far ahead', { TZ: 'Pacific/Kiritimati' }, ROOT],
  ['a zone with half hours behind', { TZ: 'America/St_Johns' }, ROOT],
  ['a language with letters of its own', { TZ: 'UTC', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8' }, ROOT],
  ['a language with other digits and order', { TZ: 'Asia/Tehran', LANG: 'fa_IR.UTF-8', LC_ALL: 'fa_IR.UTF-8' }, ROOT],
  ['another folder to stand in', { TZ: 'UTC' }, scratch],
  ['a disk that lists folders the other way round', { TZ: 'UTC', NODE_OPTIONS: `--import ${reversed}` }, ROOT],
])('%s', (name, env, cwd) => {
  const again = built(name.replaceAll(' ', '-'), env, cwd);
  expect([...again.keys()]).toEqual([...first.keys()]);
  expect(first.size).toBeGreaterThan(100);
  for (const [path, text] of first) expect(again.get(path) === text, path).toBe(true);
});

test('the folders are truly turned round', () => {
  const listed = (...args: string[]): string[] => {
    const ask = 'console.log(JSON.stringify(require("node:fs").readdirSync(process.argv[1])))';
    return JSON.parse(
      spawnSync(process.execPath, [...args, '-e', ask, journal], { encoding: 'utf8' }).stdout,
    ) as string[];
  };
  const usual = listed();
  expect(usual.length).toBeGreaterThan(1);
  expect(listed('--import', reversed)).toEqual(usual.reverse());
});
