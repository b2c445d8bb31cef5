/** The page that says what each line of an account is to those who ask for it, against the rule sets themselves. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { RULE_SETS } from '../../src/law/rule-sets.ts';
import type { AskedKey, LineKey } from '../../src/law/volume-rules.ts';
import { lineName } from '../../src/report/volume-lines.ts';

const page = readFileSync(fileURLToPath(new URL('../../grammar/reference/volumes.md', import.meta.url)), 'utf8');

const ACCOUNTS: Readonly<Record<string, string>> = {
  must: 'must and juice',
  bulk: 'wine in vessels',
  bottled: 'wine in bottle',
};

/** The line of a key, as the page has it. */
function lineOf(key: AskedKey): string {
  const [, way = '', ...line] = key.split(' ');
  if (way === 'start' || way === 'end') return `at the ${way}`;
  const name = lineName(way === 'in' ? 'in' : 'out', line.join(' ') as LineKey);
  return `${way === 'in' ? '+' : '−'} ${name}`;
}

const us = RULE_SETS.us.volumes.asked?.lines ?? {};
const eu = RULE_SETS.eu.volumes.asked?.lines ?? {};
const keys = [...new Set([...Object.keys(us), ...Object.keys(eu)])] as AskedKey[];

/** The rows of the page's table, cells trimmed. */
const rows = page
  .split('\n')
  .filter((line) => /^\| (?:must|wine) /u.test(line))
  .map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );

test('the page has every line that is asked for, under what it is asked for, and no other', () => {
  const wanted = keys.map((key) => [ACCOUNTS[key.split(' ')[0] ?? ''], lineOf(key), us[key] ?? '', eu[key] ?? '']);
  const sorted = (list: readonly (readonly (string | undefined)[])[]) => list.map((row) => row.join(' | ')).sort();
  expect(sorted(rows)).toEqual(sorted(wanted));
  expect(rows.length).toBeGreaterThan(60);
});

test('it names every line of an account once', () => {
  const names = rows.map(([account, line]) => `${account} ${line}`);
  expect(new Set(names).size).toBe(names.length);
});
