/** Whatever a file holds, checking it ends, throws nothing and tells of places that are there. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ANALYTE_WORDS } from '../../grammar/analytes.ts';
import { CODES } from '../../grammar/codes.ts';
import { FRAMES } from '../../grammar/frames.ts';
import { UNITS } from '../../grammar/units.ts';
import { CLAUSES, LINKS, QUANTS, VERBS } from '../../grammar/words.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SourceFile } from '../../src/journal/files.ts';
import { cases } from '../corpus/cases.ts';

const SEED = 20261103;

/** Folds, and holds what comes out to what any journal must come to. */
function survives(files: readonly SourceFile[]): void {
  const book = makeBook(files, undefined, checkJournal);
  const lines = files.map(({ text }) => text.split('\n').length);
  for (const finding of book.findings) {
    const { where } = finding;
    expect(Object.hasOwn(CODES, finding.code)).toBe(true);
    // the tool never tells of a fault of its own
    expect(finding.code).not.toBe('lot-unbalanced');
    expect(where.line).toBeLessThanOrEqual(lines[where.file] ?? 0);
    expect(where.column).toBeGreaterThanOrEqual(1);
    expect(where.endColumn).toBeGreaterThan(where.column);
    expect(finding.message).not.toMatch(/undefined|NaN|\[object/);
    expect(finding.help ?? '').not.toMatch(/undefined|NaN|\[object/);
  }
  for (const vessel of book.vessels) {
    expect(Number.isSafeInteger(vessel.content.volume)).toBe(true);
    expect(vessel.content.volume).toBeGreaterThanOrEqual(0);
    expect(vessel.content.volumes.reduce((sum, volume) => sum + volume, 0)).toBe(vessel.content.volume);
  }
}

const one = (text: string): SourceFile[] => [{ path: 'a.cellar', text }];

/** A cellar for random lines to act on. */
const PRELUDE = `vessel B1..B4 bin 1000 L
vessel T1..T4 tank 1200 L, gauge 11.3 L/cm
vessel FB-01..FB-06 barrel 225 L
vessel K1..K4 keg 50 L
block ledge-2 Syrah
block lower-3 Riesling
hand ana, bo
material kms is potassium metabisulfite
material ey-7 yeast

2026-09-14 Mon
found T1 800 L as GR of ledge-2, vintage 2025
found FB-01..FB-03 225 L each as UT of lower-3, vintage 2025
receive LS from ledge-2, net 1540 kg
`;

const NAMES = [
  'B1..B2',
  'T1',
  'T2',
  'T1..T3',
  'FB-01..FB-03',
  'FB-04',
  'K1',
  'GR',
  'UT',
  'LS',
  'ledge-2',
  'kms',
  'ey-7',
];
const FIGURES = [
  '0',
  '1',
  '12',
  '100',
  '800.5',
  '-3',
  '~50',
  '<0.1',
  '1,840',
  '24,6',
  '1e9',
  '9007199254740993',
  '0.000001',
];
const OTHERS = [
  'each',
  'rest',
  'all',
  'now',
  '..',
  ',',
  '--',
  '-',
  '?',
  '(',
  ')',
  '"',
  'x',
  '10:00',
  '+00:40',
  '2026-09-15',
  '|',
  '#',
  'as X',
];

const token = fc.oneof(
  fc.constantFrom(...VERBS),
  fc.constantFrom(...LINKS, ...CLAUSES, ...QUANTS),
  fc.constantFrom(...NAMES),
  fc.constantFrom(...NAMES),
  fc.constantFrom(...FIGURES),
  fc.constantFrom(...UNITS.map((unit) => unit.symbol)),
  fc.constantFrom(...ANALYTE_WORDS),
  fc.constantFrom(...OTHERS),
);
const EXAMPLES = VERBS.flatMap((verb) => [...FRAMES[verb].examples]);

/** Lines that are nearly right: examples of the reference with names of the cellar in them. */
const nearLine = fc
  .tuple(fc.constantFrom(...EXAMPLES), fc.constantFrom(...NAMES), fc.constantFrom(...NAMES))
  .map(([example, from, to]) => example.replace(/\b(T\d|B\d|FB-\d\d|K\d|LS|GB)\b/, from).replace(/\b(T\d|K\d)\b/, to));

const tokenLine = fc.array(token, { minLength: 1, maxLength: 12 }).map((tokens) => tokens.join(' '));

describe('text without sense', () => {
  test('any characters', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 400 }), (text) => survives(one(text))),
      { seed: SEED, numRuns: 400 },
    );
  });

  test('any bytes read as UTF-8', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => survives(one(Buffer.from(bytes).toString('utf8')))),
      { seed: SEED, numRuns: 300 },
    );
  });

  test('words of the language in any order', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(tokenLine, nearLine), { maxLength: 12 }), (lines) =>
        survives(one(PRELUDE + lines.join('\n'))),
      ),
      { seed: SEED, numRuns: 1500 },
    );
  });

  test('examples of the reference on a cellar they were not written for', () => {
    fc.assert(
      fc.property(fc.array(nearLine, { minLength: 1, maxLength: 25 }), (lines) =>
        survives(one(PRELUDE + lines.join('\n'))),
      ),
      { seed: SEED, numRuns: 800 },
    );
  });
});

describe('journals gone wrong', () => {
  const texts = [...cases('good'), ...cases('bad')].flatMap(({ files }) => files.map((file) => file.text));

  test('cut off anywhere', () => {
    for (const text of texts) {
      const step = Math.max(7, Math.floor(text.length / 12));
      for (let end = 0; end < text.length; end += step) survives(one(text.slice(0, end)));
    }
  });

  test('with characters lost, doubled, swapped or put in', () => {
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
        survives(one(text));
      }),
      { seed: SEED, numRuns: 1500 },
    );
  });

  test('with lines in another order', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...texts).chain((text) => fc.shuffledSubarray(text.split('\n'), { minLength: 0 })),
        (lines) => survives(one(lines.join('\n'))),
      ),
      { seed: SEED, numRuns: 600 },
    );
  });

  test('two journals in one folder', () => {
    fc.assert(
      fc.property(fc.constantFrom(...texts), fc.constantFrom(...texts), (a, b) =>
        survives([
          { path: 'a.cellar', text: a },
          { path: 'b.cellar', text: b },
        ]),
      ),
      { seed: SEED, numRuns: 400 },
    );
  });
});

describe('time stays in proportion', () => {
  const seconds = (text: string): number => {
    const started = performance.now();
    survives(one(text));
    return (performance.now() - started) / 1000;
  };

  test.each([
    ['a line of a megabyte', `${PRELUDE}10:00 taste T1 ${'T1, '.repeat(250_000)}`],
    ['a megabyte of one word', 'x'.repeat(1_000_000)],
    ['a megabyte of quotes', '"'.repeat(1_000_000)],
    ['a megabyte of blanks and dashes', ' -'.repeat(500_000)],
    ['a megabyte of digits', '1'.repeat(1_000_000)],
    ['a megabyte of digits and commas', '1,'.repeat(500_000)],
    ['lines that all go on', `${PRELUDE}${'10:00 taste T1,\nT1,\n'.repeat(20_000)}`],
    ['ten thousand lines that cannot be read', `${PRELUDE}${'10:00 trasnfer T1 100 L to T4\n'.repeat(10_000)}`],
    [
      'ten thousand names that are not there',
      `${PRELUDE}${Array.from({ length: 10_000 }, (_, i) => `10:00 taste Q${i}\n`).join('')}`,
    ],
    [
      'ten thousand days',
      Array.from(
        { length: 10_000 },
        (_, i) => `${1950 + (i % 200)}-01-${String(1 + (i % 28)).padStart(2, '0')}\n`,
      ).join(''),
    ],
    ['ranges of a thousand', `vessel X1..X1000 barrel 225 L\n2026-01-12\n${'stir X1..X1000\n'.repeat(500)}`],
    ['a note of a megabyte', `${PRELUDE}${'| all was well\n'.repeat(70_000)}`],
  ])('%s', (_, text) => {
    // generous, as machines differ; a square of the length would take minutes
    expect(seconds(text)).toBeLessThan(20);
  });
});
