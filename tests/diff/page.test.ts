/** A comparison as a page in one file, and the commands as a user meets them. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { ullage } from '../cli/run.ts';
import { diffIn } from './printed.ts';
import { ANA, clearAway, HAS_GIT, scratch, TestRepository } from './repository.ts';

const FACTS = 'cellar "Quern & <b>Hollow</b>"\nvessel T1..T3 tank 1200 L\nblock ledge-2 Syrah\n';
const FIRST = '\n2026-01-12 Mon\n09:00 found T1 800 L as GR of ledge-2, vintage 2025\n10:00 transfer T1 100 L to T2\n';
const SECOND = '\n2026-01-14 Wed\n10:00 transfer T1 50 L to T3\n11:00 note T1 -- clear\n';
const BEFORE = FACTS + FIRST + SECOND;
const HOSTILE = `<script>alert(1)</script> "x' & \u202eback`;
const AFTER = BEFORE.replace('100 L', '110 L')
  .replace('-- clear', `-- ${HOSTILE}`)
  .replace('10:00 transfer T1 50', '10:00 transfer T1 900');

/** A folder with a journal of one file. */
function plainOf(text: string): string {
  const folder = scratch();
  new TestRepository(folder, []).write({ 'a.cellar': text });
  return folder;
}

/** The page of two journals. */
async function pageOf(before: string, after: string): Promise<string> {
  const file = join(scratch(), 'page.html');
  const printed = await diffIn(after, [before, after], { page: file });
  expect(printed.out).toBe(`a page in ${file}\n`);
  return readFileSync(file, 'utf8');
}

afterAll(clearAway);

describe('the page', () => {
  test('has everything in it: no script, no other file, and one style that it may have', async () => {
    const html = await pageOf(plainOf(BEFORE), plainOf(AFTER));
    const [, style = ''] = /<style>([\s\S]*?)<\/style>/.exec(html) ?? [];
    const [, policy = ''] = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(html) ?? [];
    const hash = createHash('sha256').update(style).digest('base64');
    expect(policy.replaceAll('&#39;', "'")).toBe(
      `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`,
    );
    expect(style).toContain('--paper');
    expect(html.replace(style, '')).not.toMatch(/<script|<link|<img|\ssrc=|\sstyle=|https?:|@import/);
    expect(style).not.toMatch(/url\(|@import/);
  });

  test('shows what the journal says, whatever that is', async () => {
    const html = await pageOf(plainOf(BEFORE), plainOf(AFTER));
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt; &quot;x&#39; &amp; ⟦U+202E⟧back');
    expect(html).toContain('Quern &amp; &lt;b&gt;Hollow&lt;/b&gt;');
    expect(html).not.toContain('<b>Hollow');
    expect(html).toContain('<del>− 10:00 transfer T1 100 L to T2</del>');
    expect(html).toContain('<ins>+ 10:00 transfer T1 110 L to T2</ins>');
  });

  test('leads from lots and vessels to their changes, and has every place once', async () => {
    const html = await pageOf(plainOf(BEFORE), plainOf(AFTER));
    const ids = [...html.matchAll(/\sid="([^"]+)"/g)].map((match) => match[1]);
    expect(new Set(ids).size).toBe(ids.length);
    const targets = [...html.matchAll(/href="#([^"]+)"/g)].map((match) => match[1]);
    expect(targets.length).toBeGreaterThan(5);
    expect(targets.filter((target) => !ids.includes(target))).toEqual([]);
  });

  test('is the same twice, and says where both tell the same', async () => {
    const [before, after] = [plainOf(BEFORE), plainOf(AFTER)];
    expect(await pageOf(before, after)).toBe(await pageOf(before, after));
    const same = await pageOf(before, before);
    expect(same).toContain('<p class="lead">Both tell the same.</p>');
    expect(same).not.toContain('<h2');
  });

  test('that cannot be written is told of', async () => {
    const folder = plainOf(BEFORE);
    const { status, out, error } = await diffIn(folder, [folder, folder], {
      page: join(folder, 'a.cellar', 'page.html'),
    });
    expect([status, out]).toEqual([2, '']);
    expect(error).toMatch(/page\.html was not written: a part of its path is no folder\n/);
  });
});

describe('the commands', () => {
  const [before, after, wrong] = [plainOf(BEFORE), plainOf(BEFORE.replace('100 L', '110 L')), plainOf(AFTER)];

  test('end with 0, with 1 where the newer journal has errors, with 2 for wrong usage', () => {
    const ended = (...args: string[]): number | null => ullage(['diff', ...args]).status;
    expect(ended(before, after)).toBe(0);
    expect(ended(before, wrong)).toBe(1);
    expect(ended(wrong, before)).toBe(0);
    expect(ended(before, join(after, 'gone'))).toBe(2);
    expect(ended(before, after, after)).toBe(2);
    expect(ended(before, after, '--format', 'xml')).toBe(2);
    expect(ullage(['history']).status).toBe(2);
  });

  test('print the same from anywhere, without colour into a pipe', () => {
    const first = ullage(['diff', before, after]);
    expect(first.stdout).toContain('− 10:00 transfer T1 100 L to T2');
    expect(first.stdout).not.toContain('\u001b');
    expect(ullage(['diff', before, after], { cwd: before, env: { TZ: 'Pacific/Apia', LANG: 'tr_TR.UTF-8' } })).toEqual(
      first,
    );
  });

  test.skipIf(!HAS_GIT)('take no word for an option of git, in the repository they are run in', () => {
    const made = new TestRepository();
    made.commit({ 'a.cellar': BEFORE }, 'First', ANA, 'v1');
    made.write({ 'a.cellar': BEFORE.replace('100 L', '110 L') });
    const run = (...args: string[]) => ullage(args, { cwd: made.folder });
    expect(run('diff').stdout).toContain('+ 10:00 transfer T1 110 L to T2');
    expect(run('diff', 'v1').stdout).toContain('not committed yet');
    expect(run('history', 'GR').stdout).toContain('not committed yet');
    for (const args of [
      ['diff', '--output=x'],
      ['diff', '--', '--output=x'],
      ['diff', '--', '--output=x', 'v1'],
      ['diff', '--', 'v1', '--output=x'],
      ['history', '--', '--output=x'],
    ]) {
      const { status, stdout, stderr } = run(...args);
      expect([args.join(' '), status, stdout]).toEqual([args.join(' '), 2, '']);
      expect(stderr).toContain('--output=x');
      expect(stderr).not.toMatch(/\n\s+at /);
    }
    expect(readdirSync(made.folder).sort()).toEqual(['.git', 'a.cellar']);
    expect(existsSync(join(made.folder, 'x'))).toBe(false);
  });
});
