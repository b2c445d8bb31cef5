import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ageText, clock, dayOf, dayText, fullDayText, isoDay, timeText, weekday } from '../../src/report/dates.ts';
import { escapeText, tame } from '../../src/report/escape.ts';
import {
  bottlesText,
  exactVolumeText,
  massText,
  measureText,
  shareText,
  valueText,
  volumeText,
} from '../../src/report/figures.ts';
import { nameList, rangesOf } from '../../src/report/names.ts';
import { slugs } from '../../src/report/slugs.ts';
import { FIRST_DAY, fixtureBook, KILOGRAM, LITRE } from './fixture.ts';

const litres = fixtureBook().settings;
const gallons = fixtureBook({ volume: 'gal', temperature: 'F' }).settings;

describe('days', () => {
  test('are written as people write them', () => {
    expect(dayText(FIRST_DAY)).toBe('14 Sep 2026');
    expect(fullDayText(FIRST_DAY)).toBe('Mon 14 Sep 2026');
    expect(isoDay(FIRST_DAY)).toBe('2026-09-14');
    expect(weekday(0)).toBe('Thu');
    expect(isoDay(-1)).toBe('1969-12-31');
    expect(weekday(-1)).toBe('Wed');
  });

  test('an entry without a time shows none', () => {
    expect(timeText(FIRST_DAY * 1440)).toBe('');
    expect(timeText(FIRST_DAY * 1440 + 460)).toBe('07:40');
    expect(timeText(FIRST_DAY * 1440 + 1410, FIRST_DAY * 1440 + 1470)).toBe('23:30– 00:30');
    expect(clock(-1)).toBe('23:59');
    expect(dayOf(-1)).toBe(-1);
  });

  test('ages are told in the largest words that fit', () => {
    expect([0, 1, 12, 99, 100, 400, 800, 1100].map(ageText)).toEqual([
      'today',
      '1 day',
      '12 days',
      '99 days',
      '3 months',
      '13 months',
      '2 years 2 months',
      '3 years',
    ]);
  });
});

describe('figures', () => {
  test('volumes are rounded for people and exact where the account is told', () => {
    expect(volumeText(1340_240_000, litres)).toBe('1340.2 L');
    expect(volumeText(12_345_678_900, litres, true)).toBe('~12\u202F346 L');
    expect(exactVolumeText(1340_240_000, litres)).toBe('1340.24 L');
    // 3.785411784 L a gallon: NIST Handbook 44, appendix C.
    expect(volumeText(3_785_412, gallons)).toBe('1.0 gal');
  });

  test('nothing small is rounded to nothing', () => {
    expect(volumeText(4000, litres)).toBe('0.004 L');
    expect(volumeText(0, litres)).toBe('0 L');
  });

  test('masses and readings come in the report’s units', () => {
    expect(massText(1540 * KILOGRAM, litres)).toBe('1540 kg');
    const warm = { analyte: 'temp', value: 30, mark: '', said: '30 C' } as const;
    expect(measureText(warm, litres)).toBe('30');
    expect(measureText(warm, gallons)).toBe('86');
    expect(measureText({ analyte: 'malic', value: 0.1, mark: '<', said: '<0.1 g/L' }, litres)).toBe('<0.1');
    expect(measureText({ analyte: 'temp', value: 22, high: 30, mark: '', said: '22..30 C' }, litres)).toBe('22 to 30');
    expect(valueText('SG', 1.09, litres)).toBe('1.0900');
    expect(valueText('brix', -1.3, litres)).toBe('−1.3');
    expect(valueText('brix', -0.01, litres)).toBe('0');
  });

  test('a share is rounded down: none is made to look as if it reached a limit', () => {
    expect(shareText(84_999, 100_000)).toBe('84.9 %');
    expect(shareText(85, 100)).toBe('85 %');
    expect(shareText(1, 3000)).toBe('<0.1 %');
    expect(shareText(1, 0)).toBe('0 %');
  });

  test('bottles are told by size', () => {
    expect(
      bottlesText([
        { count: 820, size: 750_000 },
        { count: 30, size: 1_500_000 },
      ]),
    ).toBe('820 × 750 mL, 30 × 1.5 L (magnum)');
    expect(bottlesText([{ count: 0, size: 750_000 }])).toBe('none');
    expect(LITRE).toBe(1_000_000);
  });
});

describe('names', () => {
  test('neighbours join to ranges', () => {
    expect(rangesOf(['B1', 'B2', 'B3', 'T1'])).toEqual(['B1..B3', 'T1']);
    expect(rangesOf(['FB-08', 'FB-09', 'FB-10', 'FB-11'])).toEqual(['FB-08..FB-11']);
    expect(rangesOf(['B1', 'B2'])).toEqual(['B1', 'B2']);
    expect(rangesOf(['B1', 'B3', 'B2'])).toEqual(['B1', 'B3', 'B2']);
    expect(nameList(['a', 'b', 'c'], 2)).toBe('a, b and 1 more');
  });
});

describe('slugs', () => {
  test('are safe, and different even where a file system knows no case', () => {
    const names = [
      'LS',
      'ls',
      'Ls ',
      '../../x',
      '..',
      '/',
      'con',
      'x',
      'Großlage',
      'Σίβα',
      'حقل',
      '"26SY/01"',
      'index',
      'a'.repeat(400),
    ];
    const made = slugs(names);
    expect(new Set(made).size).toBe(names.length);
    for (const slug of made) expect(slug).toMatch(/^[a-z0-9]+(?:-[a-z0-9]+)*$/u);
    expect(made[0]).toBe('ls');
    expect(made[6]).not.toBe('con');
  });

  test('hold for any names, and are the same every time', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'binary', maxLength: 60 }), { maxLength: 30 }), (names) => {
        const made = slugs(names);
        expect(slugs(names)).toEqual(made);
        expect(new Set(made).size).toBe(names.length);
        for (const slug of made) {
          expect(slug).toMatch(/^[a-z0-9]+(?:-[a-z0-9]+)*$/u);
          expect(slug.length).toBeLessThan(80);
        }
      }),
    );
  });
});

describe('escaping', () => {
  test('leaves nothing that ends an attribute or opens an element', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(escapeText(text)).not.toMatch(/[<>"']|&(?!(?:amp|lt|gt|quot|#39);)/u);
      }),
    );
  });

  test('shows what would reorder or hide its neighbours', () => {
    expect(tame('a\u202Egnp.exe')).toBe('a⟦U+202E⟧gnp.exe');
    expect(tame('a\u0000b\ud800')).toBe('a⟦U+0000⟧b⟦U+D800⟧');
    expect(tame('שלום\tعنب')).toBe('שלום\tعنب');
  });
});
