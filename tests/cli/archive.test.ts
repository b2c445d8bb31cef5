/** `ullage archive` and `ullage verify`: bags that others can check, and everything that can be wrong with one. */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  appendFileSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type BagFile, bagFiles, writeBag } from '../../src/cli/bag-write.ts';
import { folderOf, ullage } from './run.ts';

const JOURNAL = {
  'cellar.cellar': `cellar "Sorrel Yard"
vessel T1..T6 tank 1200 L
vessel K1..K4 keg 50 L
`,
  'blocks.cellar': `block ledge-2 Syrah
hand ada
`,
  // the year before: it went into nothing of 2026, and nothing of 2026 into it
  '2025.cellar': `2025-12-01 Mon
found T1 800 L as OLD of ledge-2, vintage 2025
`,
  '2026.cellar': `2026-09-14 Mon
07:00 receive SY from ledge-2, net 700 kg
08:00 crush SY to T2 ~640 L, destemmed, stems 30 kg
`,
  // a wine found as of 2024 takes in a little of 2026: all that becomes of it is in the archive
  'other year.cellar': `2026-09-01 Tue
found T3 600 L as MIX of ledge-2, vintage 2024
`,
  '2026-10.cellar': `2026-10-01 Thu
09:00 drain SY to K1 50 L as SY-free
10:00 transfer K1 40 L to T3 as MIX
`,
  '2026-11.cellar': `2026-11-01 Sun
09:00 rack T3 to T4 630 L, lees 10 L
`,
  '2026-12.cellar': `2026-12-01 Tue
09:00 rack T1 to T5 790 L, lees 10 L
`,
};

let scratch: string;
let journal: string;
let bag: string;

beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'ullage-bag-'));
  journal = folderOf(JOURNAL);
  bag = join(scratch, 'bag');
  expect(ullage(['archive', journal, '--vintage', '2026', '--to', bag])).toMatchObject({ stderr: '' });
});
afterAll(() => {
  for (const folder of [scratch, journal]) rmSync(folder, { recursive: true, force: true });
});

const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
    .sort();
const read = (path: string): string => readFileSync(join(bag, path), 'utf8');

describe('what is in it', () => {
  test('the files that tell of the vintage and of what it went into, whole, and the standing facts', () => {
    expect(filesIn(join(bag, 'data', 'journal'))).toEqual(
      ['2026-10.cellar', '2026-11.cellar', '2026.cellar', 'blocks.cellar', 'cellar.cellar', 'other year.cellar'].sort(),
    );
    for (const path of filesIn(join(bag, 'data', 'journal')))
      expect(read(`data/journal/${path}`)).toBe(JOURNAL[path as keyof typeof JOURNAL]);
  });

  test('pages, tables, the export with the schema it follows, the language, the findings, and a plain text on top', () => {
    const validate = new Ajv2020({ strict: false }).compile(JSON.parse(read('data/export/export.schema.json')));
    expect(validate(JSON.parse(read('data/export/journal.json'))), JSON.stringify(validate.errors)).toBe(true);
    const paths = filesIn(join(bag, 'data'));
    for (const path of [
      'site/index.html',
      'tables/lots.csv',
      'tables/data-dictionary.md',
      'language/reference/language.md',
    ])
      expect(paths).toContain(path);
    expect(paths).toContain('language/findings/vessel-overdrawn.md');
    expect(read('data/READ-ME.txt')).toContain('sha256sum --check manifest-sha256.txt');
    expect(
      read('data/READ-ME.txt')
        .split('\n')
        .filter((line) => line.length > 80),
    ).toEqual([]);
  });

  test('the day the book tells of, for a date, and what says so', () => {
    expect(read('bag-info.txt')).toMatch(/^Bagging-Date: 2026-12-01$/m);
    expect(read('bag-info.txt').replace(/\n /g, ' ')).toContain('Bagging-Date is the day the book tells of');
    expect(read('bag-info.txt')).toMatch(/^Payload-Oxum: \d+\.\d+$/m);
    const early = join(scratch, 'early');
    ullage(['archive', journal, '--vintage', '2026', '--to', early, '--on', '2026-10-15']);
    expect(readFileSync(join(early, 'bag-info.txt'), 'utf8')).toMatch(/^Bagging-Date: 2026-10-15$/m);
    expect(filesIn(join(early, 'data', 'journal'))).not.toContain('2026-11.cellar');
  });
});

test('made twice it is the same, byte for byte', () => {
  const again = join(scratch, 'again');
  ullage(['archive', journal, '--vintage', '2026', '--to', again]);
  expect(filesIn(again)).toEqual(filesIn(bag));
  for (const path of filesIn(bag))
    expect(readFileSync(join(again, path)).equals(readFileSync(join(bag, path))), path).toBe(true);
});

test('a folder that holds anything is refused and left alone, and so is a vintage that never was', () => {
  const taken = folderOf({ 'thesis.txt': 'years of work' });
  expect(ullage(['archive', journal, '--vintage', '2026', '--to', taken]).status).toBe(2);
  expect(filesIn(taken)).toEqual(['thesis.txt']);
  const { status, stderr } = ullage(['archive', journal, '--vintage', '2019', '--to', join(scratch, 'none')]);
  expect(status).toBe(2);
  expect(stderr).toContain('the journal has 2024, 2025, 2026');
  expect(readdirSync(scratch).filter((name) => name.startsWith('.'))).toEqual([]);
});

test('a journal that cannot all be read is not put away', () => {
  const folder = folderOf(JOURNAL);
  writeFileSync(join(folder, 'latin.cellar'), Buffer.from([0x23, 0xe9, 0x0a]));
  expect(ullage(['archive', folder, '--vintage', '2026', '--to', join(scratch, 'part')]).status).toBe(2);
  rmSync(folder, { recursive: true });
});

describe('checked by others', () => {
  test('every checksum by the system’s own sha256sum, and the list against what find finds', () => {
    for (const list of ['manifest-sha256.txt', 'tagmanifest-sha256.txt']) {
      const { status, stderr } = spawnSync('sha256sum', ['--check', '--strict', '--quiet', list], {
        cwd: bag,
        encoding: 'utf8',
      });
      expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    }
    const found = spawnSync('find', ['data', '-type', 'f'], { cwd: bag, encoding: 'utf8' }).stdout.trim().split('\n');
    const listed = read('manifest-sha256.txt')
      .trim()
      .split('\n')
      .map((line) => line.slice(66));
    expect(listed.sort()).toEqual(found.sort());
  });

  test('the whole bag by another implementation', (context) => {
    const there = spawnSync('python3', ['-c', 'import bagit']).status === 0;
    if (!there) context.skip('the python module bagit is not installed, and no Debian package has it');
    const { status, stderr } = spawnSync('python3', ['-m', 'bagit', '--validate', bag], { encoding: 'utf8' });
    expect(status, stderr).toBe(0);
  });
});

describe('verify', () => {
  const sha = (text: string): string => createHash('sha256').update(text).digest('hex');
  let count = 0;
  /** A small bag that something was done to; gives what verify says of it. */
  function harmed(harm: (folder: string) => void): { status: number | null; said: string } {
    const folder = join(scratch, `small-${count++}`);
    const files: BagFile[] = [
      { path: 'a.txt', bytes: Buffer.from('alpha') },
      { path: 'deep/b.txt', bytes: Buffer.from('beta') },
    ];
    writeBag(folder, bagFiles(files, [['Source-Organization', 'A cellar']]));
    harm(folder);
    const { status, stdout, stderr } = ullage(['verify', folder]);
    return { status, said: stdout + stderr };
  }
  /** Writes the lists of a small bag anew, so that only what a test means to break is broken. */
  function relist(folder: string, lines: string): void {
    writeFileSync(join(folder, 'manifest-sha256.txt'), lines);
    const tags = ['bag-info.txt', 'bagit.txt', 'manifest-sha256.txt'];
    writeFileSync(
      join(folder, 'tagmanifest-sha256.txt'),
      tags.map((name) => `${sha(readFileSync(join(folder, name), 'utf8'))}  ${name}\n`).join(''),
    );
  }
  const LISTED = `${sha('alpha')}  data/a.txt\n${sha('beta')}  data/deep/b.txt\n`;

  test('a whole one', () => {
    expect(harmed(() => undefined)).toEqual({ status: 0, said: 'the bag is whole: 2 files as listed\n' });
    expect(ullage(['verify', bag])).toMatchObject({ status: 0, stderr: '' });
  });

  test.each<[what: string, harm: (folder: string) => void, says: string]>([
    ['a file is missing', (f) => unlinkSync(join(f, 'data/a.txt')), '`data/a.txt` is missing'],
    ['a file was changed', (f) => writeFileSync(join(f, 'data/a.txt'), 'alphb'), '`data/a.txt` was changed'],
    ['a file is too much', (f) => writeFileSync(join(f, 'data/c.txt'), 'c'), '`data/c.txt` is too much'],
    ['a file was renamed', (f) => renameSync(join(f, 'data/a.txt'), join(f, 'data/z.txt')), '`data/z.txt` is too much'],
    ['the payload is gone', (f) => rmSync(join(f, 'data'), { recursive: true }), 'the folder `data` is missing'],
    ['the declaration is gone', (f) => unlinkSync(join(f, 'bagit.txt')), '`bagit.txt` is missing'],
    ['no list', (f) => unlinkSync(join(f, 'manifest-sha256.txt')), 'no list of checksums'],
    ['a list that was changed', (f) => appendFileSync(join(f, 'bag-info.txt'), 'X: y\n'), '`bag-info.txt` was changed'],
    ['files from elsewhere', (f) => writeFileSync(join(f, 'fetch.txt'), ''), 'nothing is fetched here'],
    ['a link in the payload', (f) => symlinkSync('/etc/hosts', join(f, 'data/hosts')), '`data/hosts` is a link'],
    [
      'a mark before the declaration',
      (f) => writeFileSync(join(f, 'bagit.txt'), `\ufeff${readFileSync(join(f, 'bagit.txt'), 'utf8')}`),
      'byte-order mark',
    ],
    [
      'an older version',
      (f) => writeFileSync(join(f, 'bagit.txt'), 'BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n'),
      'the bag is of BagIt 0.97',
    ],
    [
      'another encoding',
      (f) => writeFileSync(join(f, 'bagit.txt'), 'BagIt-Version: 1.0\nTag-File-Character-Encoding: ISO-8859-1\n'),
      'another encoding than UTF-8',
    ],
    [
      'a list that is no text',
      (f) => writeFileSync(join(f, 'manifest-sha256.txt'), Buffer.from([0xff])),
      'is not UTF-8 text',
    ],
    ['checksums of an unknown kind', (f) => writeFileSync(join(f, 'manifest-crc32.txt'), LISTED), 'not known here'],
    [
      'a second list that lacks a file',
      (f) =>
        writeFileSync(join(f, 'manifest-md5.txt'), `${createHash('md5').update('alpha').digest('hex')}  data/a.txt\n`),
      '`data/deep/b.txt` is not listed in `manifest-md5.txt`',
    ],
    ['twice in a list', (f) => relist(f, `${LISTED}${sha('alpha')}  data/a.txt\n`), 'is listed twice'],
    ['no checksum', (f) => relist(f, `${LISTED}data/c.txt\n`), 'is not a checksum and a path'],
    [
      'a path outside the payload',
      (f) => relist(f, `${LISTED}${sha('x')}  bagit.txt\n`),
      '`bagit.txt` must not be listed there',
    ],
    ['a path that climbs', (f) => relist(f, `${LISTED}${sha('x')}  data/../../etc/passwd\n`), 'it climbs out'],
    ['a path from the root', (f) => relist(f, `${LISTED}${sha('x')}  /etc/passwd\n`), 'the root of a disk'],
    ['a path of a user', (f) => relist(f, `${LISTED}${sha('x')}  ~/x\n`), 'the folder of a user'],
    ['a path of a drive', (f) => relist(f, `${LISTED}${sha('x')}  C:/x\n`), 'the letter of a drive'],
    ['a path with strokes the other way', (f) => relist(f, `${LISTED}${sha('x')}  data\\x\n`), 'parts folders'],
    ['a path with an empty part', (f) => relist(f, `${LISTED}${sha('x')}  data//a.txt\n`), 'stands for no name'],
    ['an escape of no use', (f) => relist(f, `${LISTED}${sha('x')}  data/a%20b\n`), 'stands for no character'],
    [
      'a name that is no text',
      (f) => writeFileSync(Buffer.concat([Buffer.from(join(f, 'data/')), Buffer.from([0xff, 0x2e])]), 'x'),
      'is not UTF-8 text: it cannot be in a list',
    ],
    [
      'another amount',
      (f) => {
        writeFileSync(join(f, 'bag-info.txt'), 'Payload-Oxum: 1.1\n');
        relist(f, LISTED);
      },
      'another amount',
    ],
    [
      'two amounts',
      (f) => {
        writeFileSync(join(f, 'bag-info.txt'), 'Payload-Oxum: 9.2\nPayload-Oxum: 9.2\n');
        relist(f, LISTED);
      },
      'more than once',
    ],
    [
      'a line of no label',
      (f) => {
        writeFileSync(join(f, 'bag-info.txt'), 'nothing\n');
        relist(f, LISTED);
      },
      'is no label and value',
    ],
  ])('%s', (_, harm, says) => {
    const { status, said } = harmed(harm);
    expect(said).toContain(says);
    expect(said).toContain('the bag is not whole');
    expect(status).toBe(1);
  });

  test('what is only odd is told, and breaks nothing', () => {
    const folder = join(scratch, 'odd');
    writeBag(
      folder,
      bagFiles(
        [
          { path: 'con.txt', bytes: Buffer.from('1') },
          { path: 'a', bytes: Buffer.from('2') },
          { path: 'A', bytes: Buffer.from('3') },
        ],
        [],
      ),
    );
    writeFileSync(join(folder, 'notes.txt'), 'mine');
    const { status, stdout } = ullage(['verify', folder]);
    expect(status).toBe(0);
    expect(stdout).toContain('`con.txt` is the name of a device');
    expect(stdout).toContain('are the same name on some systems');
    expect(stdout).toContain('`notes.txt` is in no list');
  });

  test('names with a line break or a per cent sign are written by their numbers, and found again', () => {
    const folder = join(scratch, 'names');
    const names = ['line\nbreak', 'return\rhere', '100%', '%0A', 'Grünhang.cellar', 'two  blanks'];
    writeBag(
      folder,
      bagFiles(
        names.map((path) => ({ path, bytes: Buffer.from(path) })),
        [],
      ),
    );
    expect(readFileSync(join(folder, 'manifest-sha256.txt'), 'utf8')).toContain('data/line%0Abreak\n');
    expect(ullage(['verify', folder])).toMatchObject({ status: 0, stdout: 'the bag is whole: 6 files as listed\n' });
  });

  test('a bag with another’s checksums and line ends', () => {
    const folder = join(scratch, 'foreign');
    mkdirSync(join(folder, 'data'), { recursive: true });
    writeFileSync(join(folder, 'data/a.txt'), 'alpha');
    writeFileSync(join(folder, 'bagit.txt'), 'BagIt-Version: 1.0\r\nTag-File-Character-Encoding: UTF-8\r\n');
    const digest = createHash('sha512').update('alpha').digest('hex').toUpperCase();
    writeFileSync(join(folder, 'manifest-sha512.txt'), `${digest} \t data/a.txt\r\n`);
    expect(ullage(['verify', folder]).status).toBe(0);
  });

  test('no folder', () => {
    expect(ullage(['verify', join(scratch, 'nowhere')])).toMatchObject({ status: 2, stdout: '' });
  });

  test('a copy is as good as the bag', () => {
    const copy = join(scratch, 'copy');
    cpSync(bag, copy, { recursive: true });
    expect(ullage(['verify', copy]).status).toBe(0);
  });
});
