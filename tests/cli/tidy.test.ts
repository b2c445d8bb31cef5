/** `ullage tidy` as a user meets it: what it writes and what it never does to a file. */
import {
  chmodSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { lineChanges } from '../../src/cli/line-changes.ts';
import { replaceFile, writeWhole } from '../../src/cli/replace-file.ts';
import { CLEAN, folderOf, ullage } from './run.ts';

const UNTIDY = `${CLEAN}  11:00  Rack t2   into T1, lees 1l\n`;
const TIDIED = `${CLEAN}11:00 rack T2 to T1, lees 1 L\n`;

let folder = '';
beforeEach(() => {
  folder = folderOf({ 'a.cellar': UNTIDY, 'b.cellar': '2026-01-15 Thu\n10:00 stir T1\n' });
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

const text = (path: string): string => readFileSync(join(folder, path), 'utf8');

describe('what it writes', () => {
  test('the files that change, and says which; then nothing any more', () => {
    expect(ullage(['tidy', '.'], { cwd: folder })).toEqual({
      status: 0,
      stdout: 'tidied a.cellar\n1 of 2 files tidied\n',
      stderr: '',
    });
    expect(text('a.cellar')).toBe(TIDIED);
    const time = new Date('2020-01-01');
    utimesSync(join(folder, 'a.cellar'), time, time);
    expect(ullage(['tidy', '.'], { cwd: folder }).stdout).toBe('0 of 2 files tidied\n');
    expect(statSync(join(folder, 'a.cellar')).mtime).toEqual(time);
    expect(readdirSync(folder).sort()).toEqual(['a.cellar', 'b.cellar']);
  });

  test('single files, each once; names that only another file gives stay', () => {
    writeFileSync(join(folder, 'b.cellar'), '2026-01-15\n10:00 stir t1\n');
    const path = join(folder, 'b.cellar');
    expect(ullage(['tidy', path, path]).stdout).toBe(`tidied ${path}\n1 of 1 file tidied\n`);
    expect(text('b.cellar')).toBe('2026-01-15 Thu\n10:00 stir t1\n');
    expect(text('a.cellar')).toBe(UNTIDY);
    ullage(['tidy', folder]);
    expect(text('b.cellar')).toBe('2026-01-15 Thu\n10:00 stir T1\n');
  });

  test('the same line breaks, byte order mark and end of the file', () => {
    const path = join(folder, 'a.cellar');
    writeFileSync(path, `\ufeff${UNTIDY.trimEnd().replace(/\n/g, '\r\n')}`);
    expect(ullage(['tidy', folder]).status).toBe(0);
    expect(text('a.cellar')).toBe(`\ufeff${TIDIED.trimEnd().replace(/\n/g, '\r\n')}`);
  });

  test('lines it cannot read stay, and are counted', () => {
    writeFileSync(join(folder, 'a.cellar'), `${UNTIDY}12:00   trasnfer T1 1 L\n`);
    expect(ullage(['tidy', folder]).stdout).toContain('1 line left as written');
    expect(text('a.cellar')).toBe(`${TIDIED}12:00   trasnfer T1 1 L\n`);
  });
});

describe('--check and --diff', () => {
  test('--check writes nothing, and ends with 1 where something would change', () => {
    expect(ullage(['tidy', '--check', '.'], { cwd: folder })).toEqual({
      status: 1,
      stdout: 'would change a.cellar\n1 of 2 files would change\n',
      stderr: '',
    });
    expect(text('a.cellar')).toBe(UNTIDY);
    expect(ullage(['tidy', '--check', 'b.cellar'], { cwd: folder }).status).toBe(0);
  });

  test('--diff shows the lines, writes nothing, and ends with 0, or with 1 beside --check', () => {
    const diff = `--- a.cellar
+++ a.cellar
@@ -6,4 +6,4 @@
 
 2026-01-14 Wed
 10:00 transfer T1 100 L to T2
-  11:00  Rack t2   into T1, lees 1l
+11:00 rack T2 to T1, lees 1 L
`;
    const ran = ullage(['tidy', '--diff', '.'], { cwd: folder });
    expect(ran).toEqual({ status: 0, stdout: diff, stderr: '1 of 2 files would change\n' });
    expect(ullage(['tidy', '--diff', '--check', '.'], { cwd: folder })).toEqual({ ...ran, status: 1 });
    expect(text('a.cellar')).toBe(UNTIDY);
  });

  test('changes that stand together are shown together, others apart', () => {
    const lines = Array.from({ length: 30 }, (_, i) => `line ${i}`);
    const after = lines.map((line, i) => ([4, 5, 10, 25].includes(i) ? line.toUpperCase() : line));
    const shown = lineChanges('x', `${lines.join('\n')}\n`, `${after.join('\n')}\n`);
    expect(shown.filter((line) => line.startsWith('@@'))).toEqual(['@@ -2,13 +2,13 @@', '@@ -23,7 +23,7 @@']);
    expect(shown.slice(6, 10)).toEqual(['-line 4', '-line 5', '+LINE 4', '+LINE 5']);
    expect(lineChanges('x', 'a\n', 'a\n')).toEqual([]);
  });

  test('a journal cannot steer the terminal', () => {
    writeFileSync(join(folder, 'a.cellar'), `${CLEAN}10:00  stir T1 -- \u009b31m\u202e\n`);
    const { stdout } = ullage(['tidy', '--diff', folder]);
    expect(stdout).toContain('+10:00 stir T1 -- \ufffd31m\ufffd');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    expect(stdout).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
  });
});

describe('what it does not do', () => {
  test('permissions stay', () => {
    const path = join(folder, 'a.cellar');
    chmodSync(path, 0o640);
    ullage(['tidy', folder]);
    expect(text('a.cellar')).toBe(TIDIED);
    expect(statSync(path).mode & 0o777).toBe(0o640);
  });

  test('a symbolic link stays one, and what it leads to is written', () => {
    mkdirSync(join(folder, 'kept'));
    writeFileSync(join(folder, 'kept', 'real.txt'), UNTIDY);
    rmSync(join(folder, 'a.cellar'));
    symlinkSync(join('kept', 'real.txt'), join(folder, 'a.cellar'));
    expect(ullage(['tidy', folder]).status).toBe(0);
    expect(lstatSync(join(folder, 'a.cellar')).isSymbolicLink()).toBe(true);
    expect(readlinkSync(join(folder, 'a.cellar'))).toBe(join('kept', 'real.txt'));
    expect(readFileSync(join(folder, 'kept', 'real.txt'), 'utf8')).toBe(TIDIED);
    expect(readdirSync(join(folder, 'kept'))).toEqual(['real.txt']);
  });

  test('a read-only file is told of, and the others are written', () => {
    chmodSync(join(folder, 'a.cellar'), 0o444);
    writeFileSync(join(folder, 'b.cellar'), '2026-01-15\n');
    const ran = ullage(['tidy', '.'], { cwd: folder });
    expect(ran.status).toBe(2);
    expect(ran.stderr).toBe('a.cellar was not written: it is read-only\n');
    expect(ran.stdout).toBe('tidied b.cellar\n1 of 2 files tidied\n');
    expect(text('a.cellar')).toBe(UNTIDY);
  });

  test('what cannot be read, is no journal file or is not there is told of', () => {
    writeFileSync(join(folder, 'notes.txt'), UNTIDY);
    writeFileSync(join(folder, 'latin.cellar'), Uint8Array.from([0x23, 0xe9, 0x0a]));
    const ran = ullage(['tidy', 'notes.txt', 'latin.cellar', 'gone.cellar'], { cwd: folder });
    expect(ran.status).toBe(2);
    expect(ran.stderr).toBe(`notes.txt was not read: it is no journal file (*.cellar)
latin.cellar was not read: it is not UTF-8 text
gone.cellar was not read: it is not there
`);
    expect(text('notes.txt')).toBe(UNTIDY);
    expect(ullage(['tidy', 'gone'], { cwd: folder }).status).toBe(2);
    expect(ullage(['tidy', '--check', folder]).stderr).toContain('file-not-utf8');
    expect([...readFileSync(join(folder, 'latin.cellar'))]).toEqual([0x23, 0xe9, 0x0a]);
  });

  test('a file that was changed meanwhile is not written over', () => {
    const path = join(folder, 'a.cellar');
    expect(replaceFile(path, Buffer.from('other'), Buffer.from('new'))).toBe('it was changed meanwhile');
    expect(text('a.cellar')).toBe(UNTIDY);
    expect(replaceFile(path, Buffer.from(UNTIDY), Buffer.from(TIDIED))).toBeUndefined();
    expect(text('a.cellar')).toBe(TIDIED);
    expect(replaceFile(join(folder, 'gone'), Buffer.from(''), Buffer.from('new'))).toBe('it is not there');
  });

  test('nothing is left beside a file that could not be put in its place', () => {
    mkdirSync(join(folder, 'taken'));
    writeFileSync(join(folder, 'taken', 'in it'), '');
    expect(() => writeWhole(join(folder, 'taken'), Buffer.from('new'))).toThrow(/EISDIR/);
    expect(readdirSync(folder).sort()).toEqual(['a.cellar', 'b.cellar', 'taken']);
  });
});
