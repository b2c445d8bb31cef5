import { mkdir, mkdtemp, readdir, readFile, rm, stat, symlink, utimes, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { MANIFEST, SiteFolderError, writeSite } from '../../src/site/write.ts';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'site-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true, force: true });
});

const files = [
  { path: 'index.html', text: 'first' },
  { path: 'lots/ls.html', text: 'lot' },
  { path: 'style.css', text: 'look' },
];
const read = (path: string): Promise<string> => readFile(join(folder, path), 'utf8');

test('writes all, then nothing, then only what changed', async () => {
  expect(await writeSite(files, folder)).toEqual({ written: 3, unchanged: 0, removed: 0 });
  expect(await read('lots/ls.html')).toBe('lot');
  const long = new Date(1_000_000_000_000);
  for (const { path } of files) await utimes(join(folder, path), long, long);
  expect(await writeSite(files, folder)).toEqual({ written: 0, unchanged: 3, removed: 0 });
  const changed = files.map((file) => (file.path === 'index.html' ? { ...file, text: 'second' } : file));
  expect(await writeSite(changed, folder)).toEqual({ written: 1, unchanged: 2, removed: 0 });
  expect(await read('index.html')).toBe('second');
  expect((await stat(join(folder, 'lots/ls.html'))).mtimeMs).toBe(long.getTime());
});

test('a folder that is not there is made', async () => {
  const deep = join(folder, 'a', 'b');
  expect((await writeSite(files, deep)).written).toBe(3);
});

test('removes what an earlier build wrote and this one does not, and nothing else', async () => {
  await writeSite(files, folder);
  await writeFile(join(folder, 'mine.txt'), 'mine');
  await writeFile(join(folder, 'lots', 'photo.jpg'), 'mine');
  expect(await writeSite(files.slice(0, 1), folder)).toEqual({ written: 0, unchanged: 1, removed: 2 });
  expect((await readdir(folder)).sort()).toEqual([MANIFEST, 'index.html', 'lots', 'mine.txt'].sort());
  expect(await readdir(join(folder, 'lots'))).toEqual(['photo.jpg']);
});

describe('refuses', () => {
  test('a folder that holds something else, and leaves it alone', async () => {
    await writeFile(join(folder, 'thesis.txt'), 'years of work');
    await expect(writeSite(files, folder)).rejects.toThrow(SiteFolderError);
    expect(await readdir(folder)).toEqual(['thesis.txt']);
  });

  test.each([
    '../out.html',
    '/etc/x.html',
    'a/../../x.html',
    'lots/../x.html',
    'x',
    'LOTS/x.html',
    '.hidden.html',
    'a/b/c.html',
    'lots\\x.html',
  ])('the path %s', async (path) => {
    await expect(writeSite([{ path, text: '' }], folder)).rejects.toThrow(SiteFolderError);
  });

  test('two files of one path', async () => {
    await expect(writeSite([...files, { path: 'index.html', text: 'other' }], folder)).rejects.toThrow(SiteFolderError);
  });

  test('a folder of ours that is a link to elsewhere', async () => {
    const elsewhere = await mkdtemp(join(tmpdir(), 'elsewhere-'));
    await writeSite(files.slice(0, 1), folder);
    await symlink(elsewhere, join(folder, 'lots'));
    await expect(writeSite(files, folder)).rejects.toThrow(SiteFolderError);
    expect(await readdir(elsewhere)).toEqual([]);
    await rm(elsewhere, { recursive: true });
  });
});

test('a list that was tampered with removes nothing outside', async () => {
  const precious = join(folder, 'precious.html');
  await writeFile(precious, 'keep');
  const site = join(folder, 'site');
  await mkdir(site);
  await writeFile(
    join(site, MANIFEST),
    JSON.stringify({ unfinished: false, files: ['../precious.html', '/etc/hosts', 7] }),
  );
  await writeSite(files, site);
  expect(await readFile(precious, 'utf8')).toBe('keep');
});

test('what a build that was cut short left behind is taken away or made whole', async () => {
  await writeSite(files, folder);
  const manifest = { unfinished: true, files: ['gone.html', 'index.html', 'lots/ls.html', 'style.css'] };
  await writeFile(join(folder, MANIFEST), JSON.stringify(manifest));
  await writeFile(join(folder, 'gone.html'), 'stale');
  await writeFile(join(folder, 'lots', 'ls.html.part'), 'half a l');
  await writeFile(join(folder, 'gone.html.part'), 'half');
  expect(await writeSite(files, folder)).toEqual({ written: 0, unchanged: 3, removed: 1 });
  expect((await readdir(folder)).sort()).toEqual([MANIFEST, 'index.html', 'lots', 'style.css'].sort());
  expect(await readdir(join(folder, 'lots'))).toEqual(['ls.html']);
});

test('a list that cannot be read counts as ours, with nothing known', async () => {
  await writeFile(join(folder, MANIFEST), '{ "files": [');
  expect((await writeSite(files, folder)).written).toBe(3);
});
