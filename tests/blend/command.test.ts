/** `ullage blend` and `ullage trial` as commands: exit codes, text, data, pages, and the demo's own blend found again. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, describe, expect, it } from 'vitest';
import schema from '../../src/blend/recipe.schema.json' with { type: 'json' };
import { folderOf, ROOT, ullage } from '../cli/run.ts';

const valid = new Ajv2020().compile(schema);
const scratch = mkdtempSync(join(tmpdir(), 'ullage-blend-'));
afterAll(() => {
  rmSync(scratch, { recursive: true, force: true });
});

const CELLAR = `vessel T1..T4 tank 1200 L
block ledge-2 Syrah region "Lower Teal"
block lower-3 Grenache region "Lower Teal"
hand ana, bo

2026-12-01 Tue
08:00 found T1 600 L as GR of lower-3, vintage 2026
      found T2 500 L as SY of ledge-2, vintage 2026
09:00 reading T1 alcohol 14.2 %, TA 5.1 g/L, pH 3.7
      reading T2 alcohol 12.8 %, TA 6.2 g/L, pH 3.5
10:00 trial GR, SY as E-1
      A GR 60 %, SY 40 %
      B GR 30 %, SY 70 %
      choose A
`;
const folder = folderOf({ 'a.cellar': CELLAR });

describe('a recipe', () => {
  it('tells what to draw, what it will read, and a line that checks clean', () => {
    const { status, stdout, stderr } = ullage([
      'blend',
      folder,
      '--from',
      'T1,T2',
      '--make',
      '500L',
      '--keep',
      'alcohol 13.5 %',
      '--to',
      'T3',
      '--as',
      'house',
    ]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    // half of each: 13.5 lies in the middle of 14.2 and 12.8
    expect(stdout).toContain('T1  250 L');
    expect(stdout).toContain('alcohol  13.50 %vol  ± 0.07');
    const lines = stdout
      .slice(stdout.indexOf('to paste'))
      .split('\n')
      .slice(1)
      .map((line) => line.trim());
    const pasted = folderOf({ 'a.cellar': `${CELLAR}\n${lines.join('\n')}` });
    expect(ullage(['check', pasted])).toMatchObject({ status: 0 });
    expect(ullage(['check', pasted]).stdout).toContain('0 errors, 0 warnings, 0 notes');
    rmSync(pasted, { recursive: true });
  });

  it('is data that keeps to its schema, whatever came of it', () => {
    for (const more of [
      ['--make', '500L'],
      ['--make', '5000L'],
      ['--make', '50L', '--keep', 'VA under 0.6 g/L'],
    ]) {
      const { stdout } = ullage(['blend', folder, '--from', 'T1,T2', ...more, '--format', 'json']);
      const data: unknown = JSON.parse(stdout);
      expect(valid(data), JSON.stringify(valid.errors)).toBe(true);
    }
  });

  it('is a page that holds everything, and no text of the journal as HTML', () => {
    const hostile = folderOf({ 'a.cellar': CELLAR.replaceAll('GR', '"<b>GR</b>"') });
    const page = join(scratch, 'recipe.html');
    expect(ullage(['blend', hostile, '--from', 'T1,T2', '--make', '700L', '--page', page]).status).toBe(0);
    const html = readFileSync(page, 'utf8');
    expect(html).toContain('&lt;b&gt;GR&lt;/b&gt;');
    expect(html).not.toContain('<b>GR');
    expect(html).toContain('<svg');
    rmSync(hostile, { recursive: true });
  });

  it('comes near to a trial', () => {
    const { stdout } = ullage(['blend', folder, '--from', 'GR,SY', '--make', '500L', '--near', 'E-1']);
    expect(stdout).toContain('T1  300 L');
    expect(stdout).toContain('T2  200 L');
  });
});

describe('no recipe', () => {
  it('ends with 1, the bounds that conflict, and the nearest', () => {
    const { status, stdout } = ullage([
      'blend',
      folder,
      '--from',
      'T1,T2',
      '--make',
      '500L',
      '--keep',
      'alcohol above 15 %',
    ]);
    expect(status).toBe(1);
    expect(stdout).toContain('- alcohol at least 15 %vol\n');
    expect(stdout).toContain('it would be 14.20 %vol');
  });

  it('ends with 1 and asks for the reading that is missing', () => {
    const { status, stdout, stderr } = ullage([
      'blend',
      folder,
      '--from',
      'T1,T2',
      '--make',
      '500L',
      '--keep',
      'VA under 0.6 g/L',
    ]);
    expect({ status, stdout }).toEqual({ status: 1, stdout: '' });
    expect(stderr).toContain('there is no reading of VA in T1, T2');
  });

  it('ends with 2 for what cannot be understood', () => {
    const { status, stderr } = ullage(['blend', folder, '--from', 'T9', '--make', '500L']);
    expect(status).toBe(2);
    expect(stderr).toContain('there is no vessel and no lot `T9`');
    expect(ullage(['blend', join(folder, 'gone'), '--from', 'T1']).status).toBe(2);
    expect(ullage(['blend', folder, '--from', 'T1', '--near', 'E-9']).status).toBe(2);
  });

  it('ends with 1 where its line would not be clean', () => {
    // T2 is not empty: the blend would run into it
    const { status, stderr } = ullage(['blend', folder, '--from', 'T1', '--make', '900L', '--to', 'T2']);
    expect(status).toBe(1);
    expect(stderr === '' || stderr.includes('would not be clean')).toBe(true);
  });
});

describe('a trial', () => {
  it('is told with its amounts, and writes its sheets', () => {
    const sheet = join(scratch, 'sheet.html');
    const { status, stdout } = ullage(['trial', folder, 'E-1', '--sheet', sheet, '--tasters', 'ana, bo']);
    expect(status).toBe(0);
    expect(stdout).toContain('GR 600 L');
    const html = readFileSync(sheet, 'utf8');
    expect(html.match(/<section class="sheet"/g)).toHaveLength(3);
    expect(html).not.toMatch(/<script|style="/);
  });

  it('is data for programs', () => {
    const { stdout } = ullage(['trial', folder, 'E-1', '--format', 'json', '--row', 'B']);
    expect(JSON.parse(stdout)).toMatchObject({
      trial: 'E-1',
      chosen: 'A',
      cellar: { row: 'B', amounts: ['GR 214 L', 'SY 500 L'] },
    });
  });

  it('is listed, and asked for by a name there is', () => {
    expect(ullage(['trial', folder]).stdout).toContain('E-1  1 Dec 2026  GR, SY; 2 rows, chosen A');
    expect(ullage(['trial', folder, 'E-2'])).toMatchObject({
      status: 2,
      stderr: expect.stringContaining('did you mean `E-1`?'),
    });
    expect(ullage(['trial', folder, 'E-1', '--row', 'D']).status).toBe(2);
    expect(ullage(['trial', folder, 'E-1', '--make', '0L'])).toMatchObject({
      status: 2,
      stdout: '',
      stderr: '`0L`: nothing is to be made; write how much, as `900 L`\n',
    });
  });
});

describe('the demo’s blend', () => {
  it('is what comes of what was asked of it', () => {
    const { stdout } = ullage([
      'blend',
      join(ROOT, 'demo-journal'),
      '--on',
      '2027-06-07',
      ...['--make', '2226L', '--lees', '12L', '--loss', '3L', '--near', 'RUNG-bench B', '--to', 'T4', '--as', 'RUNG'],
      // every barrel of the three lots that is ready, whole; what is held back for topping stays
      ...['--from', 'GREN-free,FB-01..FB-02,FB-14..FB-15,T10,T5', '--whole', 'GREN-free,FB-01..FB-02,FB-14..FB-15'],
      ...['--limit', 'FB-02 195 L', '--limit', 'FB-15 190 L'],
      // the rest of the press goes for vinegar, and 380.5 L of FLATS are promised elsewhere
      ...['--limit', 'T10 100 L', '--limit', 'T5 250 L'],
      ...['--share', 'region "Ostrel Bank" above 85 %', '--share', 'FLATS under 12 %'],
      ...['--keep', 'alcohol 13.4..13.8 %', '--keep', 'TA above 5.3 g/L', '--keep', 'VA under 0.55 g/L'],
      ...['--format', 'json'],
    ]);
    const { parts } = JSON.parse(stdout) as { parts: { vessel: string; litres: number }[] };
    const journal = readFileSync(join(ROOT, 'demo-journal/2027/06-blend.cellar'), 'utf8');
    expect(journal).toContain(
      'blend H-02..H-03, BB-02..BB-03, FB-01, FB-02, FB-14..FB-15, T10 100 L, T5 250 L to T4 as RUNG, lees 12 L, loss 3 L',
    );
    expect(journal).toContain('transfer FB-02 30 L to K2');
    expect(journal).toContain('transfer FB-15 35 L to K15');
    expect(Object.fromEntries(parts.map(({ vessel, litres }) => [vessel, litres]))).toEqual({
      'H-02': 300,
      'H-03': 300,
      'BB-02': 228,
      'BB-03': 228,
      'FB-01': 225,
      'FB-02': 195,
      'FB-14': 225,
      'FB-15': 190,
      T10: 100,
      T5: 250,
    });
  });
});
