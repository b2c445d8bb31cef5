/** Every published check, row by row, and the page that lists them with their margins. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { isRefused } from '../../src/trade/worked.ts';
import type { PublishedCheck, Row } from './check.ts';
import { pageOfChecks } from './page-of-checks.ts';

const FOLDER = import.meta.dirname;

/** Every file `*.checks.ts` beside this one gives its checks by the name `CHECKS`. */
async function allChecks(): Promise<PublishedCheck[]> {
  const files = readdirSync(FOLDER)
    .filter((name) => name.endsWith('.checks.ts'))
    .sort();
  const modules: { CHECKS: readonly PublishedCheck[] }[] = await Promise.all(
    files.map((name) => import(join(FOLDER, name))),
  );
  return modules.flatMap((module) => module.CHECKS);
}

const checks = await allChecks();

const figureOf = (row: Row): number => {
  const got = row.got();
  if (isRefused(got)) throw new Error(`refused: ${got.refused}`);
  return got ?? Number.NaN;
};

for (const check of checks) {
  describe(`${check.title} (${check.source})`, () => {
    for (const row of check.rows) {
      test(`${row.at} gives ${row.expected} ${check.unit}`, () => {
        // A hair more than the tolerance, for a sum of decimals that binary numbers can't hold.
        expect(Math.abs(figureOf(row) - row.expected)).toBeLessThanOrEqual(row.tolerance * (1 + 1e-9) + 1e-12);
      });
    }
  });
}

describe('the checks together', () => {
  const rowsOf = (list: readonly PublishedCheck[]) => list.reduce((sum, check) => sum + check.rows.length, 0);
  const sound = checks.filter((check) => check.standing === 'read' || check.standing === 'computed');

  test('hold at least a thousand rows that are not from memory, from at least twenty-five sources', () => {
    expect(rowsOf(sound)).toBeGreaterThanOrEqual(1000);
    expect(new Set(sound.map((check) => check.source)).size).toBeGreaterThanOrEqual(25);
  });

  test('have no empty check, and none twice', () => {
    expect(checks.filter((check) => check.rows.length === 0)).toEqual([]);
    const titles = checks.map((check) => `${check.title} (${check.source})`);
    expect(titles.filter((title, index) => titles.indexOf(title) !== index)).toEqual([]);
  });

  test('are listed on their page, with their margins', async () => {
    await expect(pageOfChecks(checks, figureOf)).toMatchFileSnapshot('checks.md');
  });
});
