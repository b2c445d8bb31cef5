/** Whatever stands in a file: tidy is stable, says the same, and changes nothing but what it says it does. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ANALYTE_WORDS } from '../../grammar/analytes.ts';
import { fileLines } from '../../grammar/file-lines.ts';
import { FRAMES } from '../../grammar/frames.ts';
import { firstDifference } from '../../grammar/same-reading.ts';
import { tidy } from '../../grammar/tidy.ts';
import { UNITS } from '../../grammar/units.ts';
import { CLAUSES, LINKS, QUANTS, SPELLINGS, VERBS } from '../../grammar/words.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { firstOtherEvent } from '../../src/journal/same-events.ts';
import { spellingOf } from '../../src/journal/spelling.ts';
import { cases } from '../corpus/cases.ts';

const SEED = 20261125;
const DEMO = resolve(import.meta.dirname, '../../demo-journal');

const demo: SourceFile[] = readdirSync(DEMO, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.name.endsWith('.cellar'))
  .map((entry) => relative(DEMO, join(entry.parentPath, entry.name)))
  .sort()
  .map((path) => ({ path, text: readFileSync(join(DEMO, path), 'utf8') }));

const ends = (text: string): string[] => text.match(/\r?\n/g) ?? [];
const comments = (text: string): string[] => text.split(/\r?\n/).filter((line) => /^[ \t]*#/.test(line));
const notes = (text: string): string[] =>
  [...fileLines(text)].flatMap((line) => (line.kind === 'note' ? [line.text.trimStart()] : []));
const unread = (text: string): string[] =>
  [...fileLines(text)].flatMap((line) => ('read' in line && line.read.line.type === 'broken' ? [line.text] : []));

/** Tidies a journal, and holds each of its files to what must stay. */
function tidied(files: readonly SourceFile[]): SourceFile[] {
  const spelling = spellingOf(files);
  const after = files.map(({ path, text }) => ({ path, text: tidy(text, spelling).text }));
  for (const [i, { text }] of after.entries()) {
    const before = files[i]?.text ?? '';
    expect(tidy(text, spelling).text).toBe(text);
    expect(firstDifference(before, text), before).toBeUndefined();
    expect(ends(text)).toEqual(ends(before));
    expect(text.startsWith('\ufeff')).toBe(before.startsWith('\ufeff'));
    expect(comments(text)).toEqual(comments(before));
    expect(notes(text)).toEqual(notes(before));
    expect(unread(text)).toEqual(unread(before));
  }
  expect(firstOtherEvent(files, after)).toBeUndefined();
  expect(spellingOf(after)).toEqual(spelling);
  return after;
}

/** What is left of a text without what tidy may change: blanks, capitals, dashes and quotes. */
const letters = (text: string): string => text.toLowerCase().replace(/[\s"“”„‟＂—-]/gu, '');

describe.each([{ name: 'the demo journal', files: demo }, ...cases('good'), ...cases('bad')])('$name', ({ files }) => {
  test('says the same, tidied, and is then tidy', () => {
    tidied(files);
  });

  test('with carriage returns, a byte order mark and no last line break', () => {
    const windows = (text: string): string =>
      `\ufeff${text
        .replace(/^\ufeff/, '')
        .replace(/\r?\n/g, '\r\n')
        .replace(/(?:\r\n)+$/, '')}`;
    tidied(files.map((file) => ({ ...file, text: windows(file.text) })));
  });
});

test('the demo journal keeps every letter', () => {
  for (const [i, { text }] of tidied(demo).entries()) expect(letters(text)).toBe(letters(demo[i]?.text ?? ''));
});

const PRELUDE = `vessel B1..B4 bin 1000 L
vessel T1..T4 tank 1200 L, gauge 11.3 L/cm
vessel FB-01..FB-06 barrel 225 L
block ledge-2 Syrah
hand ana, bo
material kms is potassium metabisulfite
material ey-7 yeast

2026-09-14 Mon
found T1 800 L as GR of ledge-2, vintage 2025
found FB-01..FB-03 225 L each as UT of ledge-2, vintage 2024
receive LS from ledge-2, net 1540 kg
`;

const OTHERS =
  '.. ... , -- — - ? ( ) " “ ” x × ~ < > now struck 10:00 7:40 +0:40 2026-09-15 | # % \u00a0 \t 1,840 24,6 -3 ~50 <0.1 0.000001 ５'
    .split(' ')
    .concat('', '  ', '\t');
const NAMES = ['B1..B2', 'b1', 'T1', 't2', 'FB-01..fb-03', 'GR', 'gr', 'LS', 'ledge-2', 'KMS', 'Ana', '"T1"', '"26 x"'];

const token = fc.oneof(
  fc.constantFrom(...VERBS, ...Object.keys(SPELLINGS)),
  fc.constantFrom(...LINKS, ...CLAUSES, ...QUANTS),
  fc.constantFrom(...NAMES),
  fc.constantFrom('0', '1', '12', '100', '800.5'),
  fc.constantFrom(...UNITS.flatMap((unit) => unit.words)),
  fc.constantFrom(...ANALYTE_WORDS),
  fc.constantFrom(...OTHERS),
);
const capitals = fc.func(fc.boolean()).map((big) => (word: string) => (big(word) ? word.toUpperCase() : word));
const tokenLine = fc
  .tuple(fc.array(token, { minLength: 1, maxLength: 12 }), fc.constantFrom(' ', '  ', '', ' , '), capitals)
  .map(([tokens, gap, big]) => tokens.map(big).join(gap));

/** Lines that are right, with blanks, capitals and units a hurried hand would write. */
const hurriedLine = fc
  .tuple(
    fc.constantFrom(...VERBS.flatMap((verb) => [...FRAMES[verb].examples])),
    fc.constantFrom(' ', '  ', '\t', '\u00a0'),
    fc.constantFrom('', '10:00 ', '7:40, 13:00 ', '  ', '\u00a0'),
    fc.constantFrom('', ' -- “done”', ' — done', ' # done', ',', ', by bo', ' sic'),
    fc.boolean(),
  )
  .map(([example, blank, before, behind, glued]) => {
    const line = example.replaceAll(' ', blank);
    return before + (glued ? line.replace(/(\d)\s(?=[a-z%])/gi, '$1') : line) + behind;
  });

describe('lines of the language in any order', () => {
  test('words put together anyhow', () => {
    fc.assert(
      fc.property(fc.array(tokenLine, { maxLength: 10 }), (lines) => {
        tidied([{ path: 'a.cellar', text: PRELUDE + lines.join('\n') }]);
      }),
      { seed: SEED, numRuns: 500 },
    );
  });

  test('examples of the reference in a hurried hand', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(hurriedLine, tokenLine), { maxLength: 15 }), fc.boolean(), (lines, list) => {
        tidied([{ path: 'a.cellar', text: (list ? '' : PRELUDE) + lines.join('\n') }]);
      }),
      { seed: SEED, numRuns: 500 },
    );
  });

  test('journals of the corpus with characters lost, doubled or put in', () => {
    const texts = [...cases('good'), ...cases('bad')].flatMap(({ files }) => files.map((file) => file.text));
    const change = fc.record({
      text: fc.constantFrom(...texts),
      at: fc.double({ min: 0, max: 0.9999, noNaN: true }),
      length: fc.integer({ min: 0, max: 6 }),
      put: fc.oneof(fc.string({ unit: 'binary', maxLength: 3 }), token),
    });
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 3 }), (changes) => {
        let text = changes[0]?.text ?? '';
        for (const { at, length, put } of changes) {
          const start = Math.floor(at * text.length);
          text = text.slice(0, start) + put + text.slice(start + length);
        }
        tidied([{ path: 'a.cellar', text }]);
      }),
      { seed: SEED, numRuns: 500 },
    );
  });
});

describe('text without sense', () => {
  test('any characters', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 400 }), (text) => {
        tidied([{ path: 'a.cellar', text }]);
      }),
      { seed: SEED, numRuns: 300 },
    );
  });

  test('any bytes read as UTF-8', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        tidied([{ path: 'a.cellar', text: Buffer.from(bytes).toString('utf8') }]);
      }),
      { seed: SEED, numRuns: 200 },
    );
  });
});
