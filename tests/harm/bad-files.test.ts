/** Files and folders that cannot be read as a journal: each is one finding, and the rest of the journal is still read. */
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';

const GOOD = `vessel T1..T2 tank 1200 L
block ledge-2 Syrah
2026-01-12 Mon
found T1 800 L as GR of ledge-2, vintage 2025
`;

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'journal-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

function put(path: string, content: string | Uint8Array): void {
  mkdirSync(dirname(join(folder, path)), { recursive: true });
  writeFileSync(join(folder, path), content);
}

/** What reading and checking the folder tells: `file:line code`. */
function told(): string[] {
  const read = readFolder(folder);
  const findings = [...read.findings, ...(read.missing ? [] : checkJournal(read.files).findings)];
  return findings.map(({ where, code }) => `${read.files[where.file]?.path ?? ''}:${where.line} ${code}`);
}

describe('folders', () => {
  test('that are not there', () => {
    rmSync(folder, { recursive: true });
    expect(told()).toEqual([':0 folder-unreadable']);
  });

  test('that are files', () => {
    put('file.cellar', GOOD);
    const inside = folder;
    folder = join(folder, 'file.cellar');
    expect(told()).toEqual([':0 folder-unreadable']);
    folder = inside;
  });

  test('that are empty', () => {
    expect(told()).toEqual([':0 journal-empty']);
  });

  test('that hold only other files', () => {
    put('notes.txt', 'racked T1');
    expect(told()).toEqual([':0 journal-empty']);
  });

  test('called like a file', () => {
    put('x.cellar/inside.cellar', GOOD);
    expect(told()).toEqual([]);
  });

  test('that are hidden are passed over', () => {
    put('a.cellar', GOOD);
    put('.old/a.cellar', GOOD);
    expect(told()).toEqual([]);
  });
});

describe('files', () => {
  test('that hold nothing', () => {
    put('a.cellar', '');
    expect(told()).toEqual(['a.cellar:0 journal-empty']);
  });

  test('that hold nothing beside one that does', () => {
    put('a.cellar', GOOD);
    put('b.cellar', '');
    expect(told()).toEqual([]);
  });

  test('in Latin-1', () => {
    put('a.cellar', GOOD);
    put('b.cellar', Buffer.from('2026-01-13 Tue\n10:00 taste T1 -- rosé, très bon\n', 'latin1'));
    expect(told()).toEqual(['b.cellar:0 file-not-utf8']);
  });

  test('in UTF-16', () => {
    put('a.cellar', GOOD);
    put('b.cellar', Buffer.from(`\ufeff${GOOD}`, 'utf16le'));
    expect(told()).toEqual(['b.cellar:0 file-not-utf8']);
  });

  test('with half a pair of surrogates', () => {
    put('a.cellar', GOOD);
    put('b.cellar', Uint8Array.from([0x23, 0x20, 0xed, 0xa0, 0x80, 0x0a]));
    expect(told()).toEqual(['b.cellar:0 file-not-utf8']);
  });

  test('that are pictures', () => {
    put('a.cellar', GOOD);
    put('b.cellar', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0x00, 0x00, 0xff]));
    expect(told()).toEqual(['b.cellar:0 binary-bytes']);
  });

  test('with a byte of nothing in one line cost that line', () => {
    put('a.cellar', `${GOOD}10:00 taste T1\u0000\n11:00 taste T1\n`);
    expect(told()).toEqual(['a.cellar:5 binary-bytes']);
  });

  test('that lead nowhere', () => {
    put('a.cellar', GOOD);
    symlinkSync(join(folder, 'gone.cellar'), join(folder, 'b.cellar'));
    expect(told()).toEqual(['b.cellar:0 file-unreadable']);
  });

  test('that lead to themselves', () => {
    put('a.cellar', GOOD);
    symlinkSync(join(folder, 'b.cellar'), join(folder, 'b.cellar'));
    expect(told()).toEqual(['b.cellar:0 file-unreadable']);
  });

  test('with a line of fifty megabytes cost that line', () => {
    put('a.cellar', `${GOOD}10:00 taste T1 -- ${'x'.repeat(50_000_000)}\n11:00 taste T1\n`);
    expect(told()).toEqual(['a.cellar:5 line-too-long']);
  });

  test('in folders below, in the order of their bytes', () => {
    put('b/2.cellar', '');
    put('b/10.cellar', '');
    put('B.cellar', GOOD);
    put('a.cellar', '');
    expect(readFolder(folder).files.map(({ path }) => path)).toEqual([
      'B.cellar',
      'a.cellar',
      'b/10.cellar',
      'b/2.cellar',
    ]);
  });
});
