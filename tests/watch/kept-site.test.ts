/** A journal that is being written: after any edits the book and the pages are what they would be from scratch. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { WatchedBook } from '../../src/editor/watched-book.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { buildSite } from '../../src/site/build.ts';
import { KeptSite } from '../../src/site/kept-site.ts';
import { edits } from './edits.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const OPTIONS = { templates: join(ROOT, 'templates'), findingsPages: join(ROOT, 'grammar', 'findings') };

function filesIn(folder: string): SourceFile[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.cellar'))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()
    .map((path) => ({ path: path.slice(folder.length + 1), text: readFileSync(path, 'utf8') }));
}

const SEASON = filesIn(join(ROOT, 'templates', 'new', 'season'));

/** Lines that fit the season, and some that do not. */
const LINES = [
  '',
  '2026-09-25 Fri',
  '2026-12-20 Sun -- quiet',
  '2027-07-01 Thu',
  '2025-13-40',
  '    | Rain on the roof. **Fan on.**',
  '09:00 readings brix, temp C',
  '      B4     3.1   21.0',
  '10:00 reading T2 brix 4.0, pH 3.4',
  '10:00 transfer FB-01 20 L to FB-04',
  '10:00 transfer T1 900 L to T3 as odd',
  '10:10 top FB-01..FB-03 from K1 2 L by ada',
  '11:00 add kms 30 mg/L SO2 to SY-free by cleo',
  '11:00 add bent 20 g/hL to T1',
  '12:00 dip K1 40 L',
  '12:00 note T1 -- smells of quince',
  '23:30..+00:30 pump-over B4 60 min',
  '+00:40 reading B4 temp 30.5 C',
  'vessel T9 tank 500 L steel',
  'vessel T1 tank 700 L',
  'block hill Grenache region "Middle Ebble"',
  '14:00 receive GR from hill, net 900 kg',
  'rename SY-free as SY-best',
  'hand dov',
  'tolerance dip 5 %',
  'ein Satz',
];

const go = async (): Promise<'go on'> => 'go on';

/** Pages from scratch, by path. */
async function fromScratch(files: readonly SourceFile[]): Promise<Map<string, string>> {
  const site = await buildSite(makeBook(files, undefined, checkJournal), OPTIONS);
  return new Map(site.map(({ path, text }) => [path, text]));
}

test('the book after any edits', () => {
  fc.assert(
    fc.property(fc.array(edits(LINES), { minLength: 1, maxLength: 8 }), (list) => {
      // pauses as close as in a journal of many years
      const watched = new WatchedBook(undefined, 10);
      let files: readonly SourceFile[] = SEASON;
      watched.of(files);
      for (const edit of list) {
        files = edit.of(files);
        expect(watched.of(files), edit.what).toEqual(makeBook(files, undefined, checkJournal));
      }
    }),
    { numRuns: 60 },
  );
});

test('the book as of a day', () => {
  const day = Date.UTC(2026, 9, 6) / 86_400_000;
  const watched = new WatchedBook(day, 10);
  watched.of(SEASON);
  const files = SEASON.map((file) => ({
    ...file,
    text: file.text.replace('drain SY to T3 800 L', 'drain SY to T3 790 L'),
  }));
  expect(watched.of(files)).toEqual(makeBook(files, day, checkJournal));
});

test('the pages after any edits, some of them given up half-way', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(fc.tuple(edits(LINES), fc.boolean()), { minLength: 1, maxLength: 4 }), async (list) => {
      const watched = new WatchedBook(undefined, 10);
      const site = new KeptSite(OPTIONS);
      const disk = new Map<string, string>();
      const take = async (files: readonly SourceFile[]): Promise<void> => {
        const change = await site.update(watched.of(files), go);
        for (const { path, text } of change?.changed ?? []) {
          expect(disk.get(path), `${path} is written again as it was`).not.toBe(text);
          disk.set(path, text);
        }
        for (const path of change?.removed ?? []) disk.delete(path);
        expect([...disk.keys()].sort()).toEqual([...(change?.paths ?? [])].sort());
      };
      let files: readonly SourceFile[] = SEASON;
      await take(files);
      for (const [edit, givenUp] of list) {
        files = edit.of(files);
        if (givenUp) {
          let pages = 0;
          expect(await site.update(watched.of(files), async () => (pages++ < 60 ? 'go on' : 'stop'))).toBe(undefined);
        } else await take(files);
      }
      await take(files);
      const scratch = await fromScratch(files);
      expect([...disk.keys()].sort()).toEqual([...scratch.keys()].sort());
      for (const [path, text] of scratch) expect(disk.get(path), path).toBe(text);
    }),
    { numRuns: 12 },
  );
});
