/** What version control saw of a journal's past: which commits changed days that were over, and where there is nothing to ask. */

import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import { pastOf } from '../../src/cli/past.ts';
import schema from '../../src/report/corrections.schema.json' with { type: 'json' };
import { correctionsJson } from '../../src/report/corrections-json.ts';
import { BO, clearAway, HAS_GIT, scratch, TestRepository } from './repository.ts';

const FACTS = 'vessel T1..T4 tank 1200 L\nblock ledge-2 Syrah\n';
const FIRST = '\n2026-01-12 Mon\n09:00 found T1 800 L as GR of ledge-2, vintage 2025\n';
const SECOND = '\n2026-01-14 Wed\n10:00 transfer T1 100 L to T3\n';

afterAll(clearAway);

describe.skipIf(!HAS_GIT)('the past of a journal in git', () => {
  let made: TestRepository;
  let folder: string;

  beforeAll(() => {
    made = new TestRepository();
    made.commit({ 'season/a.cellar': FACTS + FIRST }, 'First day');
    made.commit({ 'season/b.cellar': SECOND }, 'Wednesday', BO);
    made.commit({ 'season/a.cellar': FACTS + FIRST.replace('800 L', '820 L') }, 'It was 820 litres', BO);
    made.write({ 'season/c.cellar': '\n2026-01-13 Tue\n09:00 taste T1\n' });
    folder = join(made.folder, 'season');
  });

  test('a changed past day with who and when; new work is none; what is not committed comes last', async () => {
    const past = await pastOf(folder);
    if (!past.read) throw new Error(past.why);
    expect(
      past.changes.map(({ commit, changes }) => [commit?.subject, commit?.author, changes.map((one) => one.class)]),
    ).toEqual([
      ['It was 820 litres', 'Bo', ['correction']],
      [undefined, undefined, ['late']],
    ]);
    expect(past.unseen).toEqual([]);
  });

  test('as JSON it is as its schema says', async () => {
    const book = makeBook(readFolder(folder).files, undefined, checkJournal);
    const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema);
    for (const past of [await pastOf(folder), await pastOf(scratch())]) {
      const plain: unknown = JSON.parse(JSON.stringify(correctionsJson(book, past)));
      expect(validate(plain), JSON.stringify(validate.errors)).toBe(true);
    }
    const json = correctionsJson(book, await pastOf(folder));
    expect(json.corrections.map(({ kind, made: on, by }) => [kind, on, by])).toEqual([
      ['past', '2026-01-15', ['Bo']],
      ['past', null, []],
    ]);
  });

  test('a shallow clone says what it cannot see', async () => {
    const clone = new TestRepository(scratch(), ['clone', '-q', '--depth', '1', `file://${made.folder}`, '.']);
    const past = await pastOf(join(clone.folder, 'season'));
    expect(past.read && past.unseen.join()).toContain('shallow');
  });
});

test('without a repository, or without a commit, it says so', async () => {
  const past = await pastOf(scratch());
  expect(past).toMatchObject({ read: false });
  expect(past.read ? '' : past.why).toContain('Version control was not read');
  if (!HAS_GIT) return;
  const empty = await pastOf(new TestRepository().folder);
  expect(empty.read ? '' : empty.why).toContain('no commit');
});
