/** The package as it is published: what is in it, and that it runs by itself once unpacked. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CLEAN, folderOf, ROOT, runNode, ullage, WRONG } from './run.ts';

const scratch = mkdtempSync(join(tmpdir(), 'ullage-package-'));
const program = join(scratch, 'package', 'dist', 'ullage.js');
let packed: readonly string[] = [];

beforeAll(() => {
  // the bundle stands already: packing must not make it anew under other tests
  ullage(['--version']);
  const { stdout } = spawnSync(
    'npm',
    ['pack', '--json', '--ignore-scripts', '--offline', '--pack-destination', scratch],
    {
      cwd: ROOT,
      encoding: 'utf8',
    },
  );
  const [made] = JSON.parse(stdout) as { filename: string; files: { path: string }[] }[];
  packed = made?.files.map((file) => file.path).sort() ?? [];
  spawnSync('tar', ['-xzf', join(scratch, made?.filename ?? ''), '-C', scratch]);
});
afterAll(() => {
  rmSync(scratch, { recursive: true, force: true });
});

describe('what is in it', () => {
  test('the bundle, the templates, the pages of the findings, the reference, the manual page, and nothing else', () => {
    const others = packed.filter((path) => !/^(dist|templates|grammar\/findings)\//.test(path));
    expect(others).toEqual([
      'LICENSE',
      'README.md',
      'grammar/reference/language.md',
      'grammar/reference/ullage.1',
      'package.json',
    ]);
  });

  test('every page and every template', () => {
    for (const folder of ['grammar/findings', 'templates']) {
      const there = readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => join(entry.parentPath, entry.name).slice(ROOT.length));
      expect(packed.filter((path) => path.startsWith(`${folder}/`))).toEqual(there.sort());
    }
  });

  test('no path of the machine it was made on', () => {
    for (const path of packed.filter((one) => one.endsWith('.js')))
      expect(readFileSync(join(scratch, 'package', path), 'utf8').includes(ROOT), path).toBe(false);
  });
});

describe('unpacked, with no modules beside it', () => {
  test('checks, exports, explains and builds', () => {
    expect(existsSync(join(scratch, 'package', 'node_modules'))).toBe(false);
    const clean = folderOf({ 'a.cellar': CLEAN });
    const wrong = folderOf({ 'a.cellar': WRONG });
    const run = (...args: string[]) => runNode(program, args, { cwd: scratch });
    expect(run('check', clean)).toMatchObject({ status: 0, stderr: '' });
    expect(run('check', wrong).status).toBe(1);
    expect(run('export', clean)).toMatchObject({ status: 0, stderr: '' });
    expect(run('explain', 'lots-meet')).toMatchObject({ status: 0, stderr: '' });
    expect(run('build', clean, '--out', join(scratch, 'site'))).toMatchObject({ status: 0, stderr: '' });
    expect(existsSync(join(scratch, 'site', 'index.html'))).toBe(true);
    const blend = run('blend', clean, '--from', 'T1,T2', '--make', '750L', '--format', 'json');
    expect(blend).toMatchObject({ status: 0, stderr: '' });
    expect(JSON.parse(blend.stdout)).toMatchObject({ status: 'recipe', litres: 750 });
    for (const folder of [clean, wrong]) rmSync(folder, { recursive: true, force: true });
  });

  test('says its version', () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string };
    expect(runNode(program, ['--version'], { cwd: scratch }).stdout).toBe(`${version}\n`);
  });
});
