import { beforeAll, describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SiteFile } from '../../src/site/pages.ts';
import { siteOf } from './build.ts';

const siteFrom = (text: string): Promise<SiteFile[]> =>
  siteOf(makeBook([{ path: 'a.cellar', text }], undefined, checkJournal));

const textOf = (files: readonly SiteFile[], path: string): string => {
  const found = files.find((file) => file.path === path);
  if (found === undefined) throw new Error(`no page ${path}`);
  return found.text;
};

describe('with nothing in the journal', () => {
  let files: SiteFile[];
  beforeAll(async () => {
    files = await siteFrom('# nothing yet\n');
  });

  test.each([
    ['vessels.html', 'vessel T1..T6 tank'],
    ['barrels.html', 'vessel FB-01..FB-12 barrel'],
    ['fruit.html', 'receive LS from'],
    ['materials.html', 'material kms is'],
    ['bottled.html', 'bottle T4 to'],
    ['months.html', 'crush'],
    ['vintages.html', 'vintage 2025'],
  ])('%s says what is not there and which line would put it there', (path, line) => {
    expect(textOf(files, path)).toMatch(new RegExp(`<main[^>]*>.*<code>[^<]*${line}`, 'su'));
  });

  test('how figures are worked out stands there all the same', () => {
    expect(textOf(files, 'method.html')).toContain('id="wine-yield"');
  });
});

describe('with decades of records', () => {
  let files: SiteFile[];
  beforeAll(async () => {
    const years = Array.from({ length: 25 }, (_, i) => 2001 + i);
    const season = (year: number): string => {
      const loads = Array.from(
        { length: 40 },
        (_, i) => `08:00 receive R${year} from b${(i % 9) + 1}, net 900 kg, tag ${year}${i}`,
      );
      const tops = Array.from(
        { length: 60 },
        (_, i) => `09:00 top A-${String((i % 60) + 1).padStart(2, '0')} from T9 0.2 L`,
      );
      const losses = Array.from({ length: 80 }, () => '10:00 loss T8 0.1 L for spill');
      return [
        `${year}-09-10`,
        ...loads,
        `07:00 buy kms 5 kg batch K${year} from "dry goods"`,
        `07:30 found T9 900 L as TOP${year} of b1, vintage ${year - 1}`,
        `07:40 found T8 900 L as SPILL${year} of b1, vintage ${year - 1}`,
        `07:50 found A-01..A-60 225 L each as BAR${year} of b2, vintage ${year - 1}`,
        ...tops,
        ...losses,
        `11:00 add kms 10 g to T8 batch K${year}`,
        `12:00 bottle T8 to 1000 x 750 mL as "${year}S", loss 1 L, leaving 40 L`,
        `13:00 dispatch "${year}S" 500 x 750 mL for sale to "house ${year % 7}"`,
        `14:00 dispatch T9 for bond`,
        ...Array.from(
          { length: 6 },
          (_, i) =>
            `15:00 dispatch A-${String(i * 10 + 1).padStart(2, '0')}..A-${String(i * 10 + 10).padStart(2, '0')} 225 L each for bond`,
        ),
        `16:00 dispatch T8 for bond`,
      ].join('\n');
    };
    files = await siteFrom(
      [
        'vessel T8..T9 tank 1000 L steel',
        'vessel A-01..A-60 barrel 225 L wood french, first used 2001',
        ...Array.from({ length: 9 }, (_, i) => `block b${i + 1} Syrah region "R" 2 ha, grower "g${i % 4}"`),
        'material kms is potassium metabisulfite',
        ...years.map(season),
      ].join('\n'),
    );
  });

  test('no page of these is heavier than a phone likes', () => {
    const heavy = files
      .filter(({ path }) =>
        /^(?:months|vintages|fruit|materials|batches|bottled|barrels|vessels|method|findings)(?:\/|\.html)/u.test(path),
      )
      .filter(({ text }) => Buffer.byteLength(text) >= 150_000)
      .map(({ path, text }) => `${path} ${Buffer.byteLength(text)}`);
    expect(heavy).toEqual([]);
  });

  test('each vintage, batch and bottling has its page, and each month a place', () => {
    for (const year of [2001, 2013, 2025]) {
      expect(textOf(files, `vintages/${year}.html`)).toContain(`The vintage ${year}`);
      expect(textOf(files, `batches/kms-k${year}.html`)).toContain('Wines that had it');
      expect(textOf(files, `bottled/${year}s.html`)).toContain('500 × 750 mL');
      expect(textOf(files, `months/${year}-09.html`)).toContain(`September ${year}`);
    }
    expect(textOf(files, 'months/2001.html')).toContain('months/2001-09.html'.replace('months/', ''));
  });
});
