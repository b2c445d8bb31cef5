/** The house: what a page model keeps for a book goes through one door, so that whoever keeps pages knows of it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');
/** It holds what was worked out; what is compared and never shown on a kept page keeps its own. */
const MAY = ['src/report/known.ts', 'src/site/reads.ts', /^src\/report\/compare\//];

it('page models keep nothing by book or context but in a look-up', () => {
  const wrong = ['src/report', 'src/charts', 'src/site'].flatMap((folder) =>
    readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
      .map((entry) => join(entry.parentPath, entry.name).slice(ROOT.length + 1))
      .filter((path) => !MAY.some((may) => (typeof may === 'string' ? may === path : may.test(path))))
      .filter((path) => /new (?:WeakMap|WeakSet|WeakRef)\b/.test(readFileSync(join(ROOT, path), 'utf8'))),
  );
  expect(wrong).toEqual([]);
});
