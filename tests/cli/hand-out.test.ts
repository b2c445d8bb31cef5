/** What a command makes is never put over a file of a journal, nor where the journal would read it. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ullage } from './run.ts';

const JOURNAL = `vessel T1..T3 tank 1200 L
block ledge-2 Syrah region "Lower Teal"
hand ana
2026-10-01
08:00 found T1 600 L as SY of ledge-2, vintage 2026
08:10 found T2 150 L as SYP of ledge-2, vintage 2026
09:00 trial SY, SYP as E-4 for blend by ana
      A SY 90 %, SYP 10 %
      B SY 80 %, SYP 20 %
      ana B, A
      choose B
`;

let folder: string;
let file: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ullage-hand-out-'));
  file = join(folder, 'c.cellar');
  writeFileSync(file, JOURNAL);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a file of the journal', () => {
  test.each([
    ['stocktake', (f: string, to: string) => ['stocktake', f, '--out', to]],
    ['stocktake as a page', (f: string, to: string) => ['stocktake', f, '--format', 'html', '--out', to]],
    ['trial', (f: string, to: string) => ['trial', f, 'E-4', '--sheet', to]],
    ['blend', (f: string, to: string) => ['blend', f, '--from', 'T1,T2', '--make', '300L', '--page', to]],
    ['diff', (f: string, to: string) => ['diff', f, f, '--page', to]],
    ['volumes', (f: string, to: string) => ['volumes', f, '--month', '2026-10', '--out', to]],
    ['sheet', (f: string, to: string) => ['sheet', f, 'round', '--out', to]],
  ] as const)('is left as it is by %s', (_, words) => {
    const { status, stderr } = ullage([...words(folder, file)]);
    expect(stderr).toContain('ends in .cellar');
    expect(status).toBe(2);
    expect(readFileSync(file, 'utf8')).toBe(JOURNAL);
  });
});

test('no archive is made inside the journal, where it would be read twice', () => {
  const { status, stderr } = ullage(['archive', folder, '--vintage', '2026', '--to', join(folder, 'bag')]);
  expect(stderr).toContain('inside the journal');
  expect(status).toBe(2);
  expect(readdirSync(folder)).toEqual(['c.cellar']);
});
