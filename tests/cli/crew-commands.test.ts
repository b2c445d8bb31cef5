/** Sheets, rounds and tables taken in, as they are run: what is written where, how each ends, and what it leaves alone. */
import { existsSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import roundSchema from '../../src/report/crew-sheets/round.schema.json' with { type: 'json' };
import enteredSchema from '../../src/report/entered.schema.json' with { type: 'json' };
import { folderOf, ullage } from './run.ts';

const JOURNAL = `cellar "Quern Hollow"
vessel T1..T2 tank 1200 L
block ledge-2 Syrah
hand ana
columns "Tank" vessel, "Sampled" day day/month/year, "Brix" brix
plan tank-age for wine in tank
  due reading free SO2, pH every 10 days by ana
  due top every 10 days

2026-11-02 Mon
08:00 found T1 400 L, T2 300 L as GR of ledge-2, vintage 2025
`;
const BROKEN = `${JOURNAL}09:00 transfer T1 900 L to T2\n`;
const ROUND = `2026-11-12 Thu
07:00 readings pH, free SO2 mg/L
      T1       -      -
      T2       -      -
`;

/** What is wrong with data by a schema. */
function wrongBy(schema: object, data: unknown): unknown {
  const validate = new Ajv2020({ strict: false }).compile(schema);
  return validate(data) ? [] : validate.errors;
}

const folder = (text = JOURNAL): string => folderOf({ 'a.cellar': text });
const lines = (text: string): string[] => text.split('\n').map((line) => line.replace(/\s+/gu, ' ').trimEnd());

describe('ullage sheet', () => {
  test('writes one page with its style in it, and says what is on it', () => {
    const at = folder();
    const out = join(at, 'round.html');
    const ran = ullage(['sheet', at, 'round', '--on', '2026-11-12', '--out', out]);
    expect(ran).toEqual({ status: 0, stderr: '', stdout: `${out} written: round, Thu 12 Nov 2026, 2 rows\n` });
    const page = readFileSync(out, 'utf8');
    expect(page).toContain('<style>');
    expect(page).not.toMatch(/<script|<link|https?:/u);
  });

  test('for a hand, and in another order', () => {
    const at = folder();
    const out = join(at, 'x.html');
    expect(ullage(['sheet', at, 'topping', '--on', '2026-11-12', '--for', 'ana', '--out', out]).stdout).toContain(
      'nothing on it',
    );
    expect(ullage(['sheet', at, 'round', '--on', '2026-11-12', '--order', 'T2, T1', '--out', out]).status).toBe(0);
    const page = readFileSync(out, 'utf8');
    expect(page.indexOf('>T2')).toBeLessThan(page.indexOf('>T1'));
  });

  test.each([
    ['a kind that is none', ['round2', '--out', 'x.html']],
    ['no file', ['round']],
    ['a file of the journal', ['round', '--out', 'a.cellar']],
    ['a hand that is none', ['round', '--for', 'anna', '--out', 'x.html']],
    ['a walk through nothing', ['round', '--order', 'T1, attic', '--out', 'x.html']],
    ['a folder that is not there to write to', ['round', '--out', 'gone/gone/x.html']],
  ])('%s is wrong usage', (_, args) => {
    const at = folder();
    const ran = ullage(['sheet', at, ...args], { cwd: at });
    expect([ran.status, ran.stdout]).toEqual([2, '']);
    expect(ran.stderr).not.toMatch(/\n\s+at /u);
    expect(readFileSync(join(at, 'a.cellar'), 'utf8')).toBe(JOURNAL);
  });

  test('errors in the journal are told, and the page is written all the same', () => {
    const at = folder(BROKEN);
    const ran = ullage(['sheet', at, 'bottling', '--out', join(at, 'b.html')]);
    expect([ran.status, existsSync(join(at, 'b.html'))]).toEqual([1, true]);
    expect(ran.stderr).toContain('may be missing');
  });
});

describe('ullage round', () => {
  test('prints the lines of a round and writes nothing', () => {
    const at = folder();
    const ran = ullage(['round', at, '--on', '2026-11-12', '--at', '07:00']);
    expect([ran.status, ran.stderr, lines(ran.stdout)]).toEqual([0, '', lines(ROUND)]);
    expect(readFileSync(join(at, 'a.cellar'), 'utf8')).toBe(JOURNAL);
  });

  test('puts them at the end of a file where it is told to, and what is in the file stays', () => {
    for (const [held, gap] of [
      [JOURNAL, '\n'],
      [JOURNAL.trimEnd(), '\n\n'],
      [JOURNAL.replaceAll('\n', '\r\n'), '\r\n'],
    ] as const) {
      const at = folder(held);
      const into = join(at, 'a.cellar');
      expect(ullage(['round', at, '--on', '2026-11-12', '--at', '07:00', '--into', into]).status).toBe(0);
      const after = readFileSync(into, 'utf8');
      expect(after.startsWith(`${held}${gap}2026-11-12 Thu`)).toBe(true);
      expect(ullage(['check', at]).stdout).toContain('0 errors');
    }
    const at = folder();
    expect(ullage(['round', at, '--on', '2026-11-12', '--into', join(at, 'new.cellar')]).status).toBe(0);
    expect(readFileSync(join(at, 'new.cellar'), 'utf8')).toContain('2026-11-12 Thu');
  });

  test('not into a file that is no part of the journal', () => {
    const [at, other] = [folder(), folder()];
    for (const into of [join(at, 'x.txt'), join(other, 'a.cellar'), join(at, 'gone', 'x.cellar')]) {
      const ran = ullage(['round', at, '--on', '2026-11-12', '--into', into]);
      expect([ran.status, ran.stdout]).toEqual([2, '']);
      expect(ran.stderr).toContain('was not written');
    }
    expect(readFileSync(join(other, 'a.cellar'), 'utf8')).toBe(JOURNAL);
  });

  test.each(['.hid/x.cellar', '.cellar', '.x.cellar', 'node_modules/x.cellar', 'sub/.hid/x.cellar', 'led/x.cellar'])(
    'not into %s, which a journal does not read',
    (path) => {
      const at = folder();
      for (const made of ['.hid', 'node_modules', 'sub/.hid']) mkdirSync(join(at, made), { recursive: true });
      symlinkSync(join(at, '.hid'), join(at, 'led'));
      const ran = ullage(['round', at, '--on', '2026-11-12', '--into', join(at, path)]);
      expect([ran.status, ran.stdout, existsSync(join(at, path))]).toEqual([2, '', false]);
      expect(ran.stderr).toContain('a journal reads no hidden files');
    },
  );

  test('a journal that lies in a hidden folder itself is written to', () => {
    const at = join(folder(), '.season');
    mkdirSync(join(at, 'lab'), { recursive: true });
    writeFileSync(join(at, 'a.cellar'), JOURNAL);
    const into = join(at, 'lab', 'x.cellar');
    expect(ullage(['round', at, '--on', '2026-11-12', '--into', into]).status).toBe(0);
    expect(readFileSync(into, 'utf8')).toContain('2026-11-12 Thu');
  });

  test('not into bytes that are no UTF-8, which stay as they are', () => {
    const at = folder();
    const held = Buffer.from(`\ufeff${JOURNAL}`, 'utf16le');
    writeFileSync(join(at, 'b.cellar'), held);
    const ran = ullage(['round', at, '--on', '2026-11-12', '--into', join(at, 'b.cellar')]);
    expect([ran.status, ran.stderr]).toEqual([2, expect.stringContaining('not UTF-8')]);
    expect(readFileSync(join(at, 'b.cellar')).equals(held)).toBe(true);
  });

  test('says where nothing is due; a time that is none is wrong usage', () => {
    const at = folder();
    expect(ullage(['round', at, '--on', '2026-11-03'])).toEqual({
      status: 0,
      stdout: '',
      stderr: 'no reading is due on 2026-11-03\n',
    });
    expect(ullage(['round', at, '--at', '25:00']).status).toBe(2);
  });

  test('for programs it prints JSON', () => {
    const { stdout } = ullage(['round', folder(), '--on', '2026-11-12', '--format', 'json']);
    expect(wrongBy(roundSchema, JSON.parse(stdout))).toEqual([]);
    expect(JSON.parse(stdout)).toEqual({
      format: 'ullage-round',
      version: 1,
      on: '2026-11-12',
      for: null,
      tables: [
        {
          time: null,
          columns: [
            { analyte: 'pH', unit: null },
            { analyte: 'free SO2', unit: 'mg/L' },
          ],
          vessels: ['T1', 'T2'],
        },
      ],
    });
  });
});

describe('ullage enter', () => {
  const CSV = 'Tank;Sampled;Brix\r\nT1;03.11.2026;-1,4\r\nT2;03/11/2026;-1,35\r\n';
  const TAKEN = ['2026-11-03 Tue', 'readings brix', ' T1 -1.4', ' T2 -1.35', ''];

  const enter = (table: string | Buffer, args: readonly string[] = [], text = JOURNAL) => {
    const at = folder(text);
    writeFileSync(join(at, 'lab.csv'), table);
    return { at, ...ullage(['enter', join(at, 'lab.csv'), at, ...args]) };
  };

  test('prints lines to paste, says what it took, and writes nothing', () => {
    const { at, status, stdout, stderr } = enter(CSV);
    expect([status, lines(stdout), stderr]).toEqual([0, TAKEN, '2 figures taken, 0 in the journal already\n']);
    expect(readFileSync(join(at, 'a.cellar'), 'utf8')).toBe(JOURNAL);
  });

  test.each([
    ['a mark at its beginning', Buffer.from(`\ufeff${CSV}`)],
    ['UTF-16, little end first', Buffer.from(`\ufeff${CSV}`, 'utf16le')],
    ['UTF-16, big end first', Buffer.from(`\ufeff${CSV}`, 'utf16le').swap16()],
    ['tabs', CSV.replaceAll(';', '\t')],
    ['commas and quotes', CSV.replaceAll(',', '.').replaceAll(';', ',').replace('Brix', '"Brix"')],
    ['line breaks within quotes', CSV.replace('Sampled', '"Samp\nled"')],
    ['bare line feeds and blank lines', CSV.replaceAll('\r\n', '\n\n')],
  ])('%s', (_, table) => {
    const args = table.toString().includes('"Samp') ? ['--column', 'Samp\nled=day day/month/year'] : [];
    expect(lines(enter(table, args).stdout)).toEqual(TAKEN);
  });

  test('a second time it adds nothing', () => {
    const { at, stdout } = enter(CSV);
    writeFileSync(join(at, 'b.cellar'), stdout);
    const again = ullage(['enter', join(at, 'lab.csv'), at]);
    expect([again.status, again.stdout, again.stderr]).toEqual([0, '', '0 figures taken, 2 in the journal already\n']);
  });

  test('into a file it is told to', () => {
    const at = folder();
    writeFileSync(join(at, 'lab.csv'), CSV);
    const ran = ullage(['enter', join(at, 'lab.csv'), at, '--into', join(at, 'a.cellar')]);
    expect([ran.status, ran.stdout]).toEqual([0, '']);
    expect(readFileSync(join(at, 'a.cellar'), 'utf8').startsWith(`${JOURNAL}\n2026-11-03 Tue\n`)).toBe(true);
    expect(ullage(['check', at]).stdout).toContain('0 errors');
  });

  test('not into a file the journal would not read, which a second run would fill again', () => {
    const at = folder();
    mkdirSync(join(at, '.hid'));
    writeFileSync(join(at, 'lab.csv'), CSV);
    for (const path of ['.hid/x.cellar', '.cellar']) {
      const ran = ullage(['enter', join(at, 'lab.csv'), at, '--into', join(at, path)]);
      expect([ran.status, ran.stdout, existsSync(join(at, path))]).toEqual([2, '', false]);
      expect(ran.stderr).toContain('was not written');
      expect(ran.stderr).not.toContain('taken');
    }
  });

  test.each([
    ['sep=;', CSV],
    ['"sep=;"', CSV],
    ['SEP=,', CSV.replaceAll(',', '.').replaceAll(';', ',')],
    ['sep=|', CSV.replaceAll(';', '|')],
    ['sep=\t', CSV.replaceAll(';', '\t')],
  ])('a first line %j parts the cells, and is no heading', (first, text) => {
    expect(lines(enter(`${first}\r\n${text}`).stdout)).toEqual(TAKEN);
    const part = first.replaceAll('"', '').charAt(4);
    const ran = enter(`${first}\r\n${text}T9${part}03.11.2026${part}5\r\n`);
    expect(ran.stderr).toContain('lab.csv:5: left out: there is no vessel');
  });

  test('what the table has twice is not said to be in the journal, nor what is at odds within it', () => {
    const ran = enter(`${CSV}T1;03.11.2026;-1,4\r\nT2;03.11.2026;2\r\n`);
    expect([ran.status, lines(ran.stdout)]).toEqual([1, TAKEN]);
    expect(ran.stderr).toMatch(
      /lab\.csv:5: not what another row has: T2, 2026-11-03: brix is 2 here and -1\.35 in line 3 of the table\n2 figures taken, 0 in the journal already, 1 twice in the table, 1 not what another row has\n$/u,
    );
  });

  test('a heading that the table does not have is told with those it has', () => {
    const ran = enter(CSV, ['--column', 'Nope=brix', '--column', 'brix=brix']);
    expect([ran.status, ran.stdout, ran.stderr]).toEqual([
      2,
      '',
      '--column "Nope": the table has no such heading; it has "Tank", "Sampled", "Brix"\n',
    ]);
  });

  test('what is left out is told with its line, and ends with 1', () => {
    const { status, stdout, stderr } = enter(`${CSV}T9;03.11.2026;5\r\nT1;03.11.2026;7\r\n`);
    expect([status, lines(stdout)]).toEqual([1, TAKEN]);
    expect(stderr).toContain('lab.csv:4: left out: there is no vessel, lot or sample "T9"; did you mean T1?');
    expect(stderr).toContain('lab.csv:5: not what another row has: T1, 2026-11-03: brix is 7 here');
  });

  test.each([
    ['a table that is empty', '', []],
    ['quotes that do not close', 'Tank;Sampled;Brix\nT1;"03.11.2026;5\n', []],
    ['bytes that are no text', Buffer.from([0x54, 0xe4, 0x0a]), []],
    ['UTF-16 that does not say so', Buffer.from(CSV, 'utf16le'), []],
    ['a meaning without a heading', CSV, ['--column', 'brix']],
    ['a meaning that is none', CSV, ['--column', 'Brix=bricks']],
    ['a unit of another kind', CSV, ['--column', 'Brix=TA mL']],
    ['no column that is measured', CSV.replace('Brix', 'Sugar'), []],
    ['a day that is none', CSV, ['--day', '2026-13-01']],
    ['a heading that means two things', CSV, ['--column', 'Brix=brix', '--column', 'brix=temp C']],
    ['lines and JSON at once', CSV, ['--format', 'json', '--into', 'a.cellar']],
  ])('%s is refused in words', (_, table, args) => {
    const { status, stdout, stderr } = enter(table, args);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).not.toBe('');
    expect(stderr).not.toMatch(/\n\s+at /u);
  });

  test('a file that is not there, and a folder that is not there', () => {
    const at = folder();
    expect(ullage(['enter', join(at, 'gone.csv'), at]).stderr).toContain('it is not there');
    writeFileSync(join(at, 'lab.csv'), CSV);
    expect(ullage(['enter', join(at, 'lab.csv'), join(at, 'gone')]).status).toBe(2);
  });

  test('for programs it prints JSON', () => {
    const { stdout, stderr } = enter(CSV, ['--format', 'json']);
    expect(stderr).toBe('');
    expect(wrongBy(enteredSchema, JSON.parse(stdout))).toEqual([]);
    expect(JSON.parse(stdout)).toMatchObject({
      format: 'ullage-entered',
      version: 1,
      taken: 2,
      known: 0,
      doubled: 0,
      clashing: [],
    });
  });

  test('a table cannot steer the terminal nor write into the record', () => {
    const { stdout, stderr } = enter(
      'Tank;Sampled;Brix;Note\nT1\u001b[31m;03.11.2026;5;\nT1;03.11.2026;5;"x\n09:00 loss T1 100 L"\n',
      ['--column', 'Note=remark'],
    );
    expect(stderr).not.toContain('\u001b');
    expect(lines(stdout)).toEqual(['2026-11-03 Tue', 'readings brix', ' T1 5 -- x 09:00 loss T1 100 L', '']);
  });
});
