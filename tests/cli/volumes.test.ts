/** `ullage volumes`, as a user meets it. */
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, describe, expect, test } from 'vitest';
import schema from '../../src/report/volumes.schema.json' with { type: 'json' };
import { folderOf, ullage } from './run.ts';

const JOURNAL = `cellar "Quern Hollow"
law us
vessel T1..T2 tank 1200 L
block ledge-2 Syrah region "Lower Teal"
2026-11-02
09:00 found T1 1000 L as SY of ledge-2, vintage 2025
10:00 rack T1 to T2 980 L, lees 20 L
2026-12-01
09:00 bottle T2 to 1200 x 750 mL as "25S", leaving 80 L
2027-01-15
10:00 dispatch "25S" 120 x 750 mL for sale
11:00 count "25S" 1079 x 750 mL
`;
const folder = folderOf({ 'a.cellar': JOURNAL });
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const volumes = (...args: string[]) => ullage(['volumes', folder, ...args]);

test('a month by class, in litres and wine gallons, with what the law asks for it as', () => {
  const { status, stdout } = volumes('--month', '2026-11');
  expect(status).toBe(0);
  expect(stdout).toContain('Quern Hollow: Wine by class, November 2026');
  expect(stdout).toMatch(/found when the record began\s+\+1000\.00\s+\+264\.17\s+A 1/);
  expect(stdout).toMatch(/lost with the lees\s+−20\.00\s+−5\.28\s+A 30/);
  expect(stdout).toMatch(/at the end\s+980\.00\s+258\.89\s+A 31/);
  expect(stdout).toContain('litres × 0.26417, the factor of 27 CFR 24.300');
  expect(stdout).toContain('the local authority decide');
});

test('without a period the month the record ends in; a year has its losses, and bottles that are missing stand apart', () => {
  expect(volumes().stdout).toContain('Wine by class, January 2027');
  const { stdout } = volumes('--year', '2026');
  expect(stdout).toMatch(/there at the start and received\s+1000\.0 L\s+30\.0 L\s+20\.0 L\s+66\.6 %\s+10\.0 L/);
  expect(volumes('--year', '2027').stdout).toMatch(/missing on 15 Jan 2027\s+0\.75/);
});

test('any days, exact gallons, other places', () => {
  const { stdout, status } = volumes(
    '--from',
    '2026-11-01',
    '--to',
    '2026-12-31',
    '--gallons',
    'exact',
    '--places',
    '3',
  );
  expect(status).toBe(0);
  expect(stdout).toContain('litres × 1/3.785411784, exactly');
  expect(stdout).toMatch(/bottled\s+−900\.000\s+−237\.755/);
});

describe('for programs', () => {
  const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema);

  test.each([
    ['--month', '2026-12'],
    ['--quarter', '2026-Q4'],
    ['--year', '2027'],
    ['--from', '2026-11-03', '--to', '2027-01-15'],
  ])('JSON as its schema says: %s %s', (...args) => {
    const { stdout, status } = volumes(...args, '--format', 'json');
    expect(status).toBe(0);
    validate(JSON.parse(stdout));
    expect(validate.errors).toBeNull();
  });

  test('each line has the entries that make it, with their lines of the journal', () => {
    const told = JSON.parse(volumes('--month', '2026-12', '--format', 'json').stdout);
    const bulk = told.accounts.find(({ kind }: { kind: string }) => kind === 'bulk');
    expect(bulk.lines).toMatchObject([
      {
        line: 'bottled',
        askedForAs: 'A 13',
        microlitres: 900_000_000,
        litres: 900,
        gallons: 237.75,
        entries: [{ at: '2026-12-01T09:00', source: { file: 'a.cellar', line: 9 } }],
      },
    ]);
  });

  test('CSV, a row a figure, to a file', () => {
    const out = join(folder, 'volumes.csv');
    expect(volumes('--quarter', '2026-Q4', '--format', 'csv', '--out', out).status).toBe(0);
    const rows = readFileSync(out, 'utf8').split('\r\n');
    expect(rows[0]).toBe('from,to,account,class,way,line,says,asked_for_as,litres,gallons,microlitres,entries');
    expect(rows).toContain('2026-10-01,2026-12-31,bulk,still-16,out,lees,lost with the lees,A 30,20,5.28,20000000,1');
    expect(rows.at(-1)).toBe('');
  });
});

describe('wrong usage ends with 2, in words', () => {
  test.each([
    [['--month', '2026-13'], '2026-13 is no such period'],
    [['--quarter', '2026-5'], '2026-5 is no such period'],
    [['--year', 'soon'], 'soon is no such period'],
    [['--from', '2026-11-01'], '--from and --to go together'],
    [['--from', '2026-11-31', '--to', '2026-12-01'], '2026-11-31 is no such period'],
    [['--from', '2026-12-02', '--to', '2026-12-01'], '--to lies before --from'],
    [['--month', '2026-11', '--year', '2026'], 'one period at a time'],
    [['--month', '2030-01'], 'the record ends on 15 Jan 2027'],
    [['--places', '7'], 'from 0 to 3'],
    [['--out', join(folder, 'no', 'such', 'folder.txt')], 'was not written'],
  ])('%j', (args, said) => {
    const { status, stdout, stderr } = volumes(...args);
    expect(status).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).toContain(said);
    expect(stderr).not.toContain('    at ');
  });

  test('a folder that is not there', () => {
    expect(ullage(['volumes', join(folder, 'gone')]).status).toBe(2);
  });
});

test('errors in the journal end with 1, and are told beside the volumes', () => {
  const wrong = folderOf({ 'a.cellar': `${JOURNAL}12:00 transfer T1 9000 L to T2\n` });
  const { status, stdout, stderr } = ullage(['volumes', wrong]);
  expect(status).toBe(1);
  expect(stdout).toContain('Wine by class');
  expect(stderr).toContain('may be told wrongly here');
  rmSync(wrong, { recursive: true, force: true });
});
