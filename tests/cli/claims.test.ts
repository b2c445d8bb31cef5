/** `ullage claims`, as a user meets it. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { folderOf, ullage } from './run.ts';

const JOURNAL = `law us
vessel T1 tank 1200 L
block ledge-2 Syrah region "Lower Teal"
2026-11-02
09:00 found T1 800 L as SY of ledge-2, vintage 2025
10:00 label SY variety Syrah, vintage 2024, region "Lower Teal" area
`;
const folder = folderOf({ 'a.cellar': JOURNAL });
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

test('tells each claim with its section and figure, and who decides', () => {
  const { status, stdout } = ullage(['claims', folder]);
  expect(status).toBe(0);
  expect(stdout).toContain('reached: variety Syrah: 100 %, needs 75 %');
  expect(stdout).toContain('not reached: vintage 2024: 0 %, needs 95 %');
  expect(stdout).toContain('27 CFR 4.27(a)(1)');
  expect(stdout).toContain('authority');
});

test('for programs, of one wine', () => {
  const { status, stdout } = ullage(['claims', folder, 'sy', '--format', 'json']);
  expect(status).toBe(0);
  expect(JSON.parse(stdout)).toMatchObject({ format: 'ullage-claims', law: 'us', wines: [{ wine: 'SY' }] });
});

test('a wine that is not there, and a folder that is not there, end with 2', () => {
  expect(ullage(['claims', folder, 'nothing']).status).toBe(2);
  expect(ullage(['claims', join(folder, 'gone')]).status).toBe(2);
});
