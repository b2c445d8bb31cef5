/** The commands as a user meets them: what they print, where, and how they end. */
import { existsSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { CLEAN, folderOf, MILD, ROOT, ullage, WRONG } from './run.ts';

const folders = {
  clean: folderOf({ 'a.cellar': CLEAN }),
  wrong: folderOf({ 'a.cellar': WRONG }),
  mild: folderOf({ 'a.cellar': MILD }),
  empty: folderOf({}),
};
afterAll(() => {
  for (const folder of Object.values(folders)) rmSync(folder, { recursive: true, force: true });
});

const parsed = (text: string): Record<string, unknown> => JSON.parse(text) as Record<string, unknown>;

describe('how it ends', () => {
  test.each([
    ['a clean journal', folders.clean, 0],
    ['warnings alone', folders.mild, 0],
    ['errors', folders.wrong, 1],
    ['an empty folder', folders.empty, 0],
    ['a folder that is not there', join(folders.empty, 'gone'), 2],
  ])('check, %s', (_, folder, status) => {
    expect(ullage(['check', folder]).status).toBe(status);
  });

  test.each([
    ['a clean journal', folders.clean, 0],
    ['errors', folders.wrong, 1],
    ['a folder that is not there', join(folders.empty, 'gone'), 2],
  ])('export, %s', (_, folder, status) => {
    expect(ullage(['export', folder]).status).toBe(status);
  });

  test('build, with and without errors, and into a folder that cannot be', () => {
    const out = folderOf({ taken: 'a file' });
    expect(ullage(['build', folders.clean, '--out', join(out, 'site')]).status).toBe(0);
    expect(existsSync(join(out, 'site', 'index.html'))).toBe(true);
    expect(ullage(['build', folders.wrong, '--out', join(out, 'wrong')]).status).toBe(1);
    expect(existsSync(join(out, 'wrong', 'index.html'))).toBe(true);
    expect(ullage(['build', folders.clean, '--out', join(out, 'taken')]).status).toBe(2);
    expect(ullage(['build', join(out, 'gone'), '--out', join(out, 'other')]).status).toBe(2);
    expect(existsSync(join(out, 'other'))).toBe(false);
    rmSync(out, { recursive: true, force: true });
  });
});

describe('alone and with what it does not know', () => {
  test('without arguments it says what it can do', () => {
    const ran = ullage([]);
    expect(ran.status).toBe(0);
    for (const command of ['check', 'build', 'export', 'explain']) expect(ran.stdout).toContain(`ullage ${command}`);
    expect(ran.stderr).toBe('');
  });

  test('help and version', () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string };
    expect(ullage(['--version'])).toEqual({ status: 0, stdout: `${version}\n`, stderr: '' });
    expect(ullage(['--help']).status).toBe(0);
    expect(ullage(['check', '--help']).stdout).toContain('--format');
  });

  test.each([
    [['chekc', '.'], 'check'],
    [['explian', 'lots-meet'], 'explain'],
    [['check', '--formt', 'json', '.'], '--format'],
  ])('%j is answered with a suggestion', (args, suggestion) => {
    const ran = ullage(args);
    expect(ran.status).toBe(2);
    expect(ran.stderr).toContain(suggestion);
    expect(ran.stdout).toBe('');
  });

  test.each([
    [['check']],
    [['check', folders.clean, '--format', 'xml']],
    [['build', folders.clean]],
    [['export', folders.clean, '--on', '14.09.2026']],
    [['export', folders.clean, '--on', '2026-02-30']],
  ])('%j is refused in words', (args) => {
    const ran = ullage(args);
    expect(ran.status).toBe(2);
    expect(ran.stderr).not.toBe('');
    expect(ran.stderr).not.toMatch(/\n\s+at /);
    expect(ran.stdout).toBe('');
  });
});

describe('check', () => {
  test('tells the place, the line with a mark below it, and what to write instead', () => {
    const { stdout } = ullage(['check', folders.wrong]);
    expect(stdout).toBe(`a.cellar:9:16  error  vessel-overdrawn
  T1 holds 700 L on 14 January and 900 L are transferred: 200 L too many
  9 │ 11:00 transfer T1 900 L to T2
    │                ‾‾
  instead: mend the volume, or write the dip that shows what it held

5 lines of work in 1 file: 1 error, 0 warnings, 0 notes
`);
  });

  test('as JSON is one document, whatever was found', () => {
    for (const folder of [...Object.values(folders), join(folders.empty, 'gone')]) {
      const { stdout } = ullage(['check', folder, '--format', 'json']);
      expect(Object.keys(parsed(stdout))).toEqual(['entries', 'errors', 'warnings', 'notes', 'findings']);
    }
    expect(parsed(ullage(['check', folders.wrong, '--format', 'json']).stdout)).toMatchObject({
      errors: 1,
      findings: [{ file: 'a.cellar', line: 9, column: 16, endColumn: 18, code: 'vessel-overdrawn' }],
    });
  });

  test('shows no colour into a pipe, nor with NO_COLOR', () => {
    expect(ullage(['check', folders.wrong]).stdout).not.toContain('\u001b');
    expect(ullage(['check', folders.wrong], { env: { NO_COLOR: '1' } }).stdout).not.toContain('\u001b');
  });

  test('shows the most pressing of many findings, and all of them when asked', () => {
    const many = folderOf({ 'a.cellar': CLEAN + '11:00 taste Q\n12:00 trasnfer T1 1 L to T2\n'.repeat(40) });
    const short = ullage(['check', many]).stdout;
    const whole = ullage(['check', many, '--all']).stdout;
    expect(short).toMatch(/and \d+ more: --all shows them/);
    expect(whole).not.toContain('--all');
    expect(whole.length).toBeGreaterThan(short.length);
    rmSync(many, { recursive: true, force: true });
  });

  test('a journal cannot steer the terminal', () => {
    const folder = folderOf({
      'a.cellar': `${CLEAN}10:00 taste T1 \u001b]0;owned\u0007\n11:00 taste \u202eT1\n12:00 taste T1\u009b31m\n`,
      'b\u001b[31m.cellar': `${CLEAN}nonsense here\n`,
    });
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    expect(ullage(['check', folder, '--all']).stdout).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
    rmSync(folder, { recursive: true, force: true });
  });

  test('reads on where one file cannot be read', () => {
    const folder = folderOf({ 'a.cellar': WRONG });
    symlinkSync(join(folder, 'gone'), join(folder, 'b.cellar'));
    writeFileSync(join(folder, 'c.cellar'), Uint8Array.from([0xff, 0xfe, 0x41, 0x00]));
    const ran = ullage(['check', folder, '--format', 'json']);
    expect(ran.status).toBe(1);
    expect(
      (parsed(ran.stdout).findings as { code: string; file: string }[]).map(({ code, file }) => `${file} ${code}`),
    ).toEqual(['a.cellar vessel-overdrawn', 'b.cellar file-unreadable', 'c.cellar file-not-utf8']);
    rmSync(folder, { recursive: true, force: true });
  });
});

describe('export', () => {
  test('parses, and tells the cellar as of a day', () => {
    const volume = (args: readonly string[]): string => ullage(['export', folders.clean, ...args]).stdout;
    expect(() => parsed(volume([]))).not.toThrow();
    expect(volume(['--on', '2026-01-12'])).not.toBe(volume([]));
    expect(volume(['--on', '2026-01-14'])).toBe(volume([]));
  });
});

describe('explain', () => {
  test('prints the page of a code', () => {
    expect(ullage(['explain', 'lots-meet'])).toEqual({
      status: 0,
      stdout: readFileSync(join(ROOT, 'grammar/findings/lots-meet.md'), 'utf8'),
      stderr: '',
    });
  });

  test('suggests a code for one that is not there', () => {
    const ran = ullage(['explain', 'lots-met']);
    expect(ran.status).toBe(2);
    expect(ran.stderr).toContain('lots-meet');
    expect(ullage(['explain', '__proto__']).status).toBe(2);
    expect(ullage(['explain', '../../package']).status).toBe(2);
  });
});

describe('the same journal gives the same', () => {
  test.each([[['check']], [['check', '--format', 'json']], [['export']]])('%j, from anywhere, twice', (args) => {
    const [command = '', ...rest] = args;
    const first = ullage([command, folders.wrong, ...rest]);
    expect(ullage([command, folders.wrong, ...rest])).toEqual(first);
    expect(ullage([command, basename(folders.wrong), ...rest], { cwd: dirname(folders.wrong) })).toEqual(first);
    expect(ullage([command, '.', ...rest], { cwd: folders.wrong })).toEqual(first);
    expect(
      ullage([command, `${folders.wrong}/`, ...rest], { env: { LANG: 'tr_TR.UTF-8', TZ: 'Pacific/Apia' } }),
    ).toEqual(first);
  });

  test('build, byte for byte, from anywhere', () => {
    const out = folderOf({});
    ullage(['build', folders.clean, '--out', join(out, 'one')]);
    ullage(['build', '.', '--out', join(out, 'two')], { cwd: folders.clean, env: { TZ: 'Pacific/Apia' } });
    const files = (name: string): string[] =>
      readdirSync(join(out, name), { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => join(entry.parentPath, entry.name).slice(join(out, name).length))
        .sort();
    expect(files('one')).toEqual(files('two'));
    expect(files('one').length).toBeGreaterThan(3);
    for (const file of files('one'))
      expect(readFileSync(join(out, 'two', file)).equals(readFileSync(join(out, 'one', file))), file).toBe(true);
    rmSync(out, { recursive: true, force: true });
  });
});
