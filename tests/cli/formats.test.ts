/** Other forms of output, as a user meets them: tables in a folder, and a log of SARIF. */
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { CLEAN, folderOf, ullage, WRONG } from './run.ts';

const clean = folderOf({ 'a.cellar': CLEAN });
const wrong = folderOf({ 'sub/a b.cellar': WRONG });
const scratch = folderOf({ file: 'a file' });
afterAll(() => {
  for (const folder of [clean, wrong, scratch]) rmSync(folder, { recursive: true, force: true });
});

describe('export --format csv', () => {
  const out = join(scratch, 'deep', 'tables');

  test('writes the tables and their dictionary, and only what changed', () => {
    expect(ullage(['export', clean, '--format', 'csv', '--out', out])).toEqual({
      status: 0,
      stdout: `11 files in ${out}: 11 written, 0 unchanged\n`,
      stderr: '',
    });
    expect(readdirSync(out).sort()).toEqual([
      'additions.csv',
      'composition.csv',
      'data-dictionary.csv',
      'data-dictionary.md',
      'events.csv',
      'findings.csv',
      'lots.csv',
      'month-volumes.csv',
      'movements.csv',
      'readings.csv',
      'vessels.csv',
    ]);
    writeFileSync(join(out, 'mine.txt'), 'kept');
    expect(ullage(['export', clean, '--format', 'csv', '--out', out, '--on', '2026-01-12']).stdout).toMatch(
      /: \d written, \d unchanged/,
    );
    expect(readFileSync(join(out, 'mine.txt'), 'utf8')).toBe('kept');
    expect(readFileSync(join(out, 'vessels.csv'), 'utf8')).toContain(
      '\r\nT1,tank,1200,,,GR,800,no,no,no,2026-01-12T00:00,',
    );
  });

  test('gives the same bytes from anywhere', () => {
    const [one, two] = [join(scratch, 'one'), join(scratch, 'two')];
    ullage(['export', wrong, '--format', 'csv', '--out', one]);
    ullage(['export', '.', '--format', 'csv', '--out', two], {
      cwd: wrong,
      env: { LANG: 'tr_TR.UTF-8', TZ: 'Pacific/Apia' },
    });
    for (const name of readdirSync(one))
      expect(readFileSync(join(two, name)).equals(readFileSync(join(one, name))), name).toBe(true);
  });

  test('ends with 1 where the journal has errors, with 2 where the folder or the usage is wrong', () => {
    expect(ullage(['export', wrong, '--format', 'csv', '--out', join(scratch, 'wrong')]).status).toBe(1);
    expect(existsSync(join(scratch, 'wrong', 'findings.csv'))).toBe(true);
    for (const args of [
      [clean, '--format', 'csv'],
      [clean, '--out', out],
      [join(clean, 'gone'), '--format', 'csv', '--out', join(scratch, 'none')],
      [clean, '--format', 'csv', '--out', join(scratch, 'file')],
      [clean, '--format', 'csv', '--out', join(scratch, 'file', 'below')],
    ]) {
      const ran = ullage(['export', ...args]);
      expect(ran.status, args.join(' ')).toBe(2);
      expect(ran.stderr).not.toBe('');
      expect(ran.stderr).not.toMatch(/\n\s+at /);
      expect(ran.stdout).toBe('');
    }
    expect(existsSync(join(scratch, 'none'))).toBe(false);
  });
});

describe('check --format sarif', () => {
  const log = (args: readonly string[], cwd: string): { status: number | null; run: Record<string, unknown> } => {
    const { status, stdout } = ullage(['check', ...args, '--format', 'sarif'], { cwd });
    return { status, run: (JSON.parse(stdout) as { runs: [Record<string, unknown>] }).runs[0] };
  };

  test('says where a finding stands, from the folder of the journal, and that from here', () => {
    const { status, run } = log(['sub'], wrong);
    expect(status).toBe(1);
    expect(run.originalUriBaseIds).toMatchObject({ JOURNAL: { uri: 'sub/', uriBaseId: 'SRCROOT' } });
    expect(run.results).toMatchObject([
      {
        ruleId: 'vessel-overdrawn',
        level: 'error',
        locations: [
          {
            physicalLocation: {
              artifactLocation: { uri: 'a%20b.cellar', uriBaseId: 'JOURNAL' },
              region: { startLine: 9, startColumn: 16, endLine: 9, endColumn: 18 },
            },
          },
        ],
      },
    ]);
  });

  test('names no folder of the machine', () => {
    expect(log([wrong], clean).run.originalUriBaseIds).toEqual({
      JOURNAL: { description: { text: 'The folder of the journal.' } },
    });
    expect(log(['.'], wrong).run.originalUriBaseIds).toMatchObject({ JOURNAL: { uri: './' } });
    for (const args of [[wrong], ['.']])
      expect(JSON.stringify(log(args, wrong).run).includes(wrong), args.join(' ')).toBe(false);
  });

  test('is a log also where nothing could be read', () => {
    const { status, run } = log([join('gone')], clean);
    expect(status).toBe(2);
    expect(run.invocations).toEqual([{ executionSuccessful: false }]);
    expect(run.results).toMatchObject([{ ruleId: 'folder-unreadable' }]);
  });
});
