/** Revisions compared, in repositories of their own: bare, shallow, merged, and with whatever a repository may hold. */
import { existsSync, mkdirSync, readdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import { diffIn, jsonIn, sayJson } from './printed.ts';
import { ANA, BO, clearAway, HAS_GIT, scratch, TestRepository } from './repository.ts';

const FACTS = 'vessel T1..T3 tank 1200 L\nblock ledge-2 Syrah\n';
const FIRST = '\n2026-01-12 Mon\n09:00 found T1 800 L as GR of ledge-2, vintage 2025\n10:00 transfer T1 100 L to T2\n';
const MENDED = FIRST.replace('100 L', '110 L');
const SECOND = '\n2026-01-14 Wed\n10:00 transfer T1 50 L to T3\n';
const OPEN = '\n2026-01-15 Thu\n10:00 transfer T1 1 L to T3\n';

/** Two days, a correction of the first, and a line that is not committed yet. */
function season(folder = scratch(), start?: readonly string[]): TestRepository {
  const repository = new TestRepository(folder, start);
  repository.commit({ 'season/a.cellar': FACTS + FIRST }, 'First day', ANA, 'v1');
  repository.commit({ 'season/b.cellar': SECOND }, 'Wednesday', BO);
  repository.commit({ 'season/a.cellar': FACTS + MENDED }, 'It was 110 litres', ANA, 'v2');
  repository.write({ 'season/c.cellar': OPEN });
  return repository;
}

const CORRECTED = 'changed: 10:00 transfer T1 100 L to T2 → 10:00 transfer T1 110 L to T2';
const WEDNESDAY = 'new added: → 10:00 transfer T1 50 L to T3';

describe.skipIf(!HAS_GIT)('git', () => {
  let repository: TestRepository;
  let journal: string;

  beforeAll(() => {
    repository = season();
    journal = join(repository.folder, 'season');
  });
  afterEach(() => {
    vi.unstubAllEnvs();
  });
  afterAll(clearAway);

  describe('revisions', () => {
    test.each([
      [['v1..v2']],
      [['v1', 'v2']],
      [['v1..']],
      [['v1...v2']],
      [['HEAD~2', 'HEAD']],
      [['v1:season', 'v2:season']],
    ])('%j', async (words) => {
      const { status, json } = await jsonIn(journal, words);
      expect(status).toBe(0);
      expect(json.changes.map(sayJson)).toEqual([`new ${CORRECTED}`, WEDNESDAY]);
      expect([json.before.newestDay, json.after.newestDay]).toEqual(['2026-01-12', '2026-01-14']);
    });

    test('with what each commit did to the past of its time, by whom and when as git has it', async () => {
      const { json } = await jsonIn(journal, ['v1..v2']);
      expect(
        json.commits?.map(({ commit, corrections, late, new: more }) => [
          commit?.author,
          commit?.date,
          commit?.subject,
          corrections.map(sayJson),
          late.length,
          more,
        ]),
      ).toEqual([
        ['Bo', '2026-01-15 07:30 -0500', 'Wednesday', [], 0, 1],
        ['Ana', '2026-01-14 18:00 +0200', 'It was 110 litres', [`correction ${CORRECTED}`], 0, 0],
      ]);
      expect(json.changes.map(({ commits }) => commits)).toEqual([[1], [0]]);
      expect(json.commits?.map(({ commit }) => commit?.id)).toEqual([
        repository.git(['rev-parse', 'HEAD~1']),
        repository.git(['rev-parse', 'HEAD']),
      ]);
    });

    test('against the work tree, with what is not committed yet', async () => {
      const { json } = await jsonIn(journal, ['HEAD~1']);
      expect(json.changes.map(sayJson)).toEqual([
        `correction ${CORRECTED}`,
        'new added: → 10:00 transfer T1 1 L to T3',
      ]);
      expect(json.commits?.map(({ commit }) => commit?.subject ?? null)).toEqual(['It was 110 litres', null]);
      expect(json.after.kind).toBe('work tree');
      // without a word: the last commit and the work tree
      expect((await jsonIn(journal, [])).json.changes.map(sayJson)).toEqual([
        'new added: → 10:00 transfer T1 1 L to T3',
      ]);
    });

    test('the other way round commits are taken back', async () => {
      const { json } = await jsonIn(journal, ['v2', 'v1']);
      expect(json.changes.map(sayJson)).toEqual([
        'correction changed: 10:00 transfer T1 110 L to T2 → 10:00 transfer T1 100 L to T2',
        'new removed: 10:00 transfer T1 50 L to T3 →',
      ]);
      expect(json.commits?.map(({ commit, takenBack }) => [commit?.subject, takenBack])).toEqual([
        ['It was 110 litres', true],
        ['Wednesday', true],
      ]);
      expect(json.changes.map(({ commits }) => commits)).toEqual([[0], [1]]);
    });

    test('a revision and a folder, and two folders without any', async () => {
      const copy = join(scratch(), 'copy');
      mkdirSync(copy);
      new TestRepository(copy, []).write({ 'a.cellar': FACTS + FIRST });
      expect((await jsonIn(journal, ['v1', copy])).json).toMatchObject({ changes: [], commits: null });
      expect((await jsonIn(copy, [copy, journal])).json.changes).toHaveLength(3);
    });

    test('in words', async () => {
      const { out, error } = await diffIn(journal, ['HEAD~1', 'HEAD']);
      expect(error).toBe('');
      expect(out).toContain('1 correction of the past.\n\nCorrections of the past (1)\nMon 12 Jan 2026\n');
      expect(out).toContain(
        '    − 10:00 transfer T1 100 L to T2\n    + 10:00 transfer T1 110 L to T2\n      touches GR; T1, T2\n',
      );
      expect(out).toContain('Ana: It was 110 litres\n');
      expect(out).toContain('  T1: 1 change; its volume differs from 12 Jan 2026 on\n');
      expect(out).toMatch(/ {2}T1 +volume +650 L +640 L\n {2}T2 +volume +100 L +110 L\n/);
    });
  });

  describe('names that are not what they seem', () => {
    test.each([
      ['--output=x'],
      ['-h'],
      ['--all'],
      ['^HEAD'],
      ['$(touch x)'],
      ['; touch x'],
      ['HEAD; touch x'],
      [' '],
      [''],
      ['a\nb'],
      ['@{0'],
      ['HEAD:season/a.cellar'],
      ['v1....v2'],
      ['nope'],
      ['nope..v2'],
      ['./nope'],
      ['../nope'],
    ])('%j is refused in words, and does nothing', async (word) => {
      const before = readdirSync(repository.folder);
      const { status, out, error } = await diffIn(journal, [word, 'v2']);
      expect([status, out]).toEqual([2, '']);
      expect(error).not.toBe('');
      expect(error).not.toMatch(/\n\s+at |fatal/);
      expect(readdirSync(repository.folder)).toEqual(before);
      expect(existsSync('x') || existsSync(join(journal, 'x'))).toBe(false);
    });

    test('a branch may be called like an option', async () => {
      const other = season();
      other.git(['update-ref', 'refs/heads/--output=x', 'v1']);
      const { json, status } = await jsonIn(join(other.folder, 'season'), ['--output=x', 'v2']);
      expect([status, json.changes.length]).toEqual([0, 2]);
      expect(readdirSync(other.folder).sort()).toEqual(['.git', 'season']);
    });

    test('a folder may be called like an option, or like a pattern', async () => {
      const other = new TestRepository();
      const names = ['--output=x', ':(exclude)*', '*', "it's $(touch x)", 'ヴィン täg'];
      for (const name of names) other.commit({ [`${name}/a.cellar`]: FACTS + FIRST }, `In ${name}`);
      other.git(['tag', 'before']);
      other.commit({ '*/a.cellar': FACTS + MENDED }, 'Mend', ANA, 'after');
      for (const name of names) {
        const { json } = await jsonIn(join(other.folder, name), ['before..after']);
        expect([name, json.changes.length, json.commits?.length]).toEqual([
          name,
          name === '*' ? 1 : 0,
          name === '*' ? 1 : 0,
        ]);
      }
    });

    test('what is a folder and a revision is asked about', async () => {
      const other = season();
      const here = process.cwd();
      other.write({ 'v1/a.cellar': FACTS });
      process.chdir(other.folder);
      try {
        const { status, error } = await diffIn('season', ['v1', 'v2']);
        expect([status, error]).toEqual([
          2,
          'v1 is a folder, and a revision too: write ./v1 for the one, v1^0 for the other\n',
        ]);
        expect((await diffIn('season', ['./v1', 'v2'])).status).toBe(0);
        expect((await jsonIn('season', ['v1^0', 'v2'])).json.changes).toHaveLength(2);
      } finally {
        process.chdir(here);
      }
    });

    test('a folder alone lacks another one', async () => {
      expect((await diffIn(journal, [journal])).error).toMatch(/is a folder: name another one/);
    });
  });

  describe('clones', () => {
    test('a bare one has its revisions, and no work tree', async () => {
      const bare = join(scratch(), 'bare.git');
      repository.git(['clone', '-q', '--bare', repository.folder, bare]);
      const { json } = await jsonIn(join(bare, 'season'), ['v1..v2']);
      expect(json.changes.map(sayJson)).toEqual([`new ${CORRECTED}`, WEDNESDAY]);
      expect(json.commits).toHaveLength(2);
      expect(await diffIn(join(bare, 'season'), ['v1'])).toEqual({
        status: 2,
        out: '',
        error: 'this repository is bare and has no work tree: name two revisions, as v1 v2 or v1..v2\n',
      });
      expect((await diffIn(join(bare, 'seasons'), ['v1', 'v2'])).error).toMatch(/neither end has a \*\.cellar file/);
      // folders of the repository itself may be called as those of the tree
      expect((await diffIn(join(bare, 'objects'), ['v1', 'v2'])).status).toBe(2);
    });

    test('a shallow one says what it cannot see', async () => {
      const folder = join(scratch(), 'shallow');
      repository.git(['clone', '-q', '--depth', '2', `file://${repository.folder}`, folder]);
      const shallow = join(folder, 'season');
      const { json } = await jsonIn(shallow, ['HEAD~1', 'HEAD']);
      expect(json.changes.map(sayJson)).toEqual([`correction ${CORRECTED}`]);
      expect(json.unseen).toEqual([
        'this clone is shallow: commits before its first ones are not here, nor what they changed',
      ]);
      expect((await diffIn(shallow, ['HEAD~2', 'HEAD'])).status).toBe(2);
      // by its number it can be named, and is not there
      const gone = repository.git(['rev-parse', 'v1']);
      expect((await diffIn(shallow, [gone, 'HEAD'])).error).toMatch(/it is not in this clone/);
    });

    test('one that would have to fetch what it lacks does not', async () => {
      const folder = join(scratch(), 'partial');
      repository.git(['config', 'uploadpack.allowFilter', 'true']);
      repository.git(['clone', '-q', '--no-checkout', '--filter=blob:none', `file://${repository.folder}`, folder]);
      const { status, out, error } = await diffIn(join(folder, 'season'), ['v1', 'v2']);
      expect(status).toBe(2);
      expect(out).toBe('');
      expect(error).not.toBe('');
      expect(new TestRepository(folder, []).git(['rev-list', '--all', '--objects', '--missing=print'])).toContain(
        '\n?',
      );
    });

    test('objects of the longer kind are read as well', async () => {
      const other = season(scratch(), ['init', '-q', '-b', 'main', '--object-format=sha256']);
      const { json } = await jsonIn(join(other.folder, 'season'), ['v1..v2']);
      expect(json.changes).toHaveLength(2);
      expect(json.commits?.[0]?.commit?.id).toHaveLength(64);
    });
  });

  describe('what a revision may hold', () => {
    const tree = (
      files: Readonly<Record<string, string | Uint8Array | null>>,
      more: (made: TestRepository) => void = () => {},
    ) => {
      const made = new TestRepository();
      made.commit({ 'season/a.cellar': FACTS + FIRST }, 'First', ANA, 'v1');
      made.write(files);
      more(made);
      made.commit({}, 'Then', BO, 'v2');
      return join(made.folder, 'season');
    };

    test('a file that was renamed, or moved to another folder below', async () => {
      const { json } = await jsonIn(tree({ 'season/a.cellar': null, 'season/2026/z.cellar': FACTS + FIRST }), [
        'v1..v2',
      ]);
      expect(json.changes).toEqual([]);
      expect(json.commits).toEqual([]);
    });

    test('a file that is no UTF-8', async () => {
      const { json, status } = await jsonIn(tree({ 'season/b.cellar': Uint8Array.from([0x66, 0xfc, 0x72, 0x0a]) }), [
        'v1',
        'v2',
      ]);
      expect(json.findings.found.map(({ code }) => code)).toEqual(['file-not-utf8']);
      expect([json.changes, status]).toEqual([[], 1]);
    });

    test('a folder that is not there any more, or not yet', async () => {
      const folder = tree({ season: null, 'other/note.txt': 'moved away' });
      const { json } = await jsonIn(folder, ['v1', 'v2']);
      expect(json.unseen).toEqual(['v2 has no folder season: its journal is taken as empty there']);
      expect(json.changes.map(({ kind }) => kind)).toEqual(['removed', 'removed', 'removed', 'removed']);
      expect((await jsonIn(folder, ['v2', 'v1'])).json.changes).toHaveLength(4);
      expect((await jsonIn(folder, ['v1'])).json.unseen[0]).toMatch(/season is not in the work tree/);
    });

    test('a submodule, in the journal or in its place', async () => {
      const inner = season();
      const folder = tree({}, (made) => {
        made.git(['-c', 'protocol.file.allow=always', 'submodule', '--quiet', 'add', inner.folder, 'season/inner']);
      });
      const { json } = await jsonIn(folder, ['v1', 'v2']);
      expect(json.changes).toEqual([]);
      expect(json.unseen).toEqual([
        'v2: inner is a submodule: its files are kept in another repository, and nothing of it is read',
      ]);
      const replaced = tree({ season: null }, (made) => {
        made.git(['add', '-A']);
        made.git(['-c', 'protocol.file.allow=always', 'submodule', '--quiet', 'add', inner.folder, 'season']);
      });
      // from within it is a repository of its own
      expect((await jsonIn(join(replaced, 'season'), ['v1', 'v2'])).json.changes).toHaveLength(2);
    });

    test('a symbolic link to a file', async () => {
      const folder = tree({}, (made) => symlinkSync('a.cellar', join(made.folder, 'season/l.cellar')));
      expect((await jsonIn(folder, ['v1', 'v2'])).json).toMatchObject({
        changes: [],
        unseen: ['v2: l.cellar is a symbolic link: in a revision it is not followed'],
      });
    });

    test('hidden folders and other files are passed over, as on the disk', async () => {
      const folder = tree({
        'season/.old/a.cellar': SECOND,
        'season/node_modules/a.cellar': SECOND,
        'season/a.txt': SECOND,
      });
      expect((await jsonIn(folder, ['v1', 'v2'])).json.changes).toEqual([]);
      expect((await jsonIn(folder, ['v1', folder])).json.changes).toEqual([]);
    });

    test('many files and large ones', async () => {
      const day = (i: number): string => `\n2026-02-${String((i % 28) + 1).padStart(2, '0')}\n`;
      const files = Object.fromEntries(
        Array.from({ length: 120 }, (_, i) => [
          `season/${i}.cellar`,
          `${day(i)}10:00 note T1 -- ${i}\n# ${'x'.repeat((i * 7919) % 90_000)}\n`,
        ]),
      );
      expect((await jsonIn(tree(files), ['v1', 'v2'])).json.after.entries).toBe(124);
    });

    test('names and words of people as they wrote them', async () => {
      const made = new TestRepository();
      made.commit({ 'a.cellar': FACTS + FIRST }, 'First', ANA, 'v1');
      made.write({ 'a.cellar': FACTS + MENDED });
      made.git(['add', '-A']);
      made.git(['-c', 'i18n.commitEncoding=ISO-8859-1', 'commit', '-q', '-m', 'Two\nlines\n\nand more'], {
        by: 'Zoë \u001b[31mRouge',
        on: '2026-01-14T18:00:00+0530',
      });
      const { json } = await jsonIn(made.folder, ['v1', 'HEAD']);
      expect(json.commits?.[0]?.commit).toMatchObject({ subject: 'Two lines', date: '2026-01-14 18:00 +0530' });
      expect(json.commits?.[0]?.commit?.author).toMatch(/Rouge$/);
      // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
      expect((await diffIn(made.folder, ['v1', 'HEAD'])).out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
    });
  });

  describe('merges', () => {
    test('tell what each side did, and what the merge did itself', async () => {
      const made = new TestRepository();
      made.commit({ 'a.cellar': FACTS + FIRST, 'b.cellar': SECOND }, 'First', ANA, 'v1');
      made.git(['checkout', '-q', '-b', 'side']);
      made.commit({ 'a.cellar': FACTS + MENDED }, 'Mend on the side', BO);
      made.git(['checkout', '-q', 'main']);
      made.commit({ 'c.cellar': OPEN }, 'Thursday', ANA);
      made.git(['merge', '-q', '--no-edit', '-m', 'Both', 'side'], ANA);
      made.git(['tag', 'v2']);
      made.git(['checkout', '-q', '-b', 'other', 'v1']);
      made.commit({ 'a.cellar': `${FACTS}${FIRST.replace('100 L', '120 L')}` }, 'Mend otherwise', BO);
      made.git(['checkout', '-q', 'main']);
      made.git(['merge', '-q', '-s', 'ours', '-m', 'Not theirs', 'other'], ANA);
      const { json } = await jsonIn(made.folder, ['v1', 'HEAD']);
      expect(json.changes.map(sayJson)).toEqual([
        `correction ${CORRECTED}`,
        'new added: → 10:00 transfer T1 1 L to T3',
      ]);
      const told = new Map(json.commits?.map(({ commit, corrections }) => [commit?.subject, corrections.map(sayJson)]));
      expect(told.get('Mend on the side')).toEqual([`correction ${CORRECTED}`]);
      expect(told.has('Both')).toBe(false);
      expect(told.get('Mend otherwise')).toHaveLength(1);
      // it let go of what the other side had mended
      expect(told.get('Not theirs')).toEqual(['correction removed: 10:00 transfer T1 120 L to T2 →']);
      expect(json.changes[0]?.commits?.map((at) => json.commits?.[at]?.commit?.subject)).toContain('Mend on the side');
    });
  });

  describe('what is around git', () => {
    test('without git only folders can be compared, and that is said', async () => {
      vi.stubEnv('PATH', scratch());
      expect(await diffIn(journal, ['v1', 'v2'])).toEqual({
        status: 2,
        out: '',
        error: 'git was not found on this machine: without it only folders can be compared\n',
      });
      expect((await diffIn(journal, [journal, `${journal}/../season`])).status).toBe(0);
    });

    test('where there is no repository that is said, and in a folder of git itself', async () => {
      const folder = scratch();
      new TestRepository(folder, []).write({ 'a.cellar': FACTS });
      vi.stubEnv('GIT_CEILING_DIRECTORIES', '');
      expect((await diffIn(folder, ['v1', 'v2'])).error).toBe(
        'there is no git repository here: only folders can be compared\n',
      );
      expect((await diffIn(join(repository.folder, '.git'), ['v1', 'v2'])).error).toMatch(/a folder of git itself/);
    });

    test('its environment changes nothing', async () => {
      const elsewhere = new TestRepository();
      const trap = join(scratch(), 'trap');
      const plain = await diffIn(journal, ['v1', 'v2'], { format: 'json' });
      for (const [name, value] of Object.entries({
        GIT_DIR: join(elsewhere.folder, '.git'),
        GIT_WORK_TREE: elsewhere.folder,
        GIT_OBJECT_DIRECTORY: elsewhere.folder,
        GIT_EXTERNAL_DIFF: `touch ${trap}`,
        GIT_PAGER: `touch ${trap}`,
        PAGER: `touch ${trap}`,
        GIT_TRACE: trap,
        GIT_CONFIG_COUNT: '1',
        GIT_CONFIG_KEY_0: 'core.bare',
        GIT_CONFIG_VALUE_0: 'true',
        GIT_ICASE_PATHSPECS: '1',
      }))
        vi.stubEnv(name, value);
      expect(await diffIn(journal, ['v1', 'v2'], { format: 'json' })).toEqual(plain);
      expect(existsSync(trap)).toBe(false);
    });

    test('its settings run nothing, and replaced commits are told as they are', async () => {
      const made = season();
      const trap = join(scratch(), 'trap');
      made.write({ '.gitattributes': '*.cellar diff=trap filter=trap\n' });
      for (const name of [
        'core.fsmonitor',
        'core.pager',
        'diff.external',
        'diff.trap.textconv',
        'filter.trap.smudge',
        'core.alternateRefsCommand',
      ])
        made.git(['config', name, `touch ${trap}`]);
      const folder = join(made.folder, 'season');
      const plain = await jsonIn(folder, ['v1..v2']);
      expect(plain.json.changes).toHaveLength(2);
      expect(existsSync(trap)).toBe(false);
      made.git(['replace', made.git(['rev-parse', 'v2']), made.git(['rev-parse', 'v1'])]);
      expect((await jsonIn(folder, ['v1..v2'])).json).toEqual(plain.json);
    });

    test('the repository is left as it was', async () => {
      const made = season();
      const all = (): string[] => readdirSync(made.folder, { recursive: true, encoding: 'utf8' }).sort();
      const before = all();
      await diffIn(join(made.folder, 'season'), ['v1']);
      await diffIn(join(made.folder, 'season'), ['v1..v2'], { format: 'json' });
      expect(all()).toEqual(before);
    });
  });
});
