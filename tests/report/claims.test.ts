/** The trail of a small wine, worked out by hand, and the page of its label. */
import { describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { claimedLots, claimsModel } from '../../src/report/claims.ts';
import { claimsJson } from '../../src/report/claims-json.ts';
import { contextOf } from '../../src/report/context.ts';
import { trailOf } from '../../src/report/trail.ts';

const JOURNAL = `law us
vessel T1..T4 tank 400 L steel
vessel FB-1 barrel 300 L wood french
block ledge-2 Roussanne region "Lower Teal" 1.1 ha, estate
block far-1 Chardonnay region "Far Ridge" 0.6 ha, grower "contract 7"

2026-09-14
08:00 receive RO from ledge-2, net 260 kg, tag 4711
09:00 receive CH from far-1, net 90 kg
10:00 press RO
      cut 0.5 bar to T1 150 L
11:00 press CH
      cut 0.5 bar to T2 50 L
12:00 found T4 90 L as OLD of far-1, vintage 2024
2026-10-01
10:00 blend T1 150 L, T2 50 L to FB-1 as BL
2026-10-16
10:00 transfer FB-1 100 L to T3 as BL
2026-10-31
10:00 bottle FB-1, T3 to 266 x 750 mL as "26BL", loss 0.5 L
11:00 label "26BL" variety Roussanne, vintage 2026, region "Lower Teal" area
`;

const book = makeBook([{ path: 'a.cellar', text: JOURNAL }], undefined, checkJournal);
const bottling = book.lots.find(({ facts }) => facts.name === '26BL');
if (bottling === undefined) throw new Error('the journal has no bottling');
const trail = trailOf(book, bottling);
const lineOf = (text: string): number => JOURNAL.split('\n').findIndex((line) => line.includes(text)) + 1;

describe('the trail', () => {
  test('has every source with its exact volume: three parts to one of 199.5 L', () => {
    expect(trail.whole).toBe(199_500_000);
    expect(trail.sources.map(({ origin, volume }) => [origin.block, volume])).toEqual([
      ['ledge-2', 149_625_000],
      ['far-1', 49_875_000],
    ]);
  });

  test('leads from the weigh tag to the bottle, with what each line carried', () => {
    expect(trail.tags.map(({ tag, sources }) => [tag, sources])).toEqual([
      ['4711', [0]],
      [undefined, [1]],
    ]);
    expect(trail.steps.map(({ happening, sources }) => [happening.event.place.line, sources])).toEqual([
      [lineOf('press RO'), [0]],
      [lineOf('press CH'), [1]],
      [lineOf('blend T1'), [0, 1]],
      [lineOf('transfer FB-1'), [0, 1]],
      [lineOf('bottle FB-1'), [0, 1]],
    ]);
  });

  test('leaves out what never came to it', () => {
    expect(trail.steps.some(({ happening }) => happening.event.place.line === lineOf('found T4'))).toBe(false);
  });

  test('names what is missing', () => {
    expect(trail.missing.map(({ text, happening }) => [text, happening?.event.place.line])).toEqual([
      ['fruit was weighed in without a tag', lineOf('receive CH')],
    ]);
  });

  test('tells the time in wood by volume: half of it 30 days, half of it 15', () => {
    expect(trail.wood.map(({ wood, minutes }) => [wood.split(',')[0], Math.round(minutes)])).toEqual([
      ['barrel', 22.5 * 1440],
    ]);
  });
});

test('wine brought in has no weigh tag, and what its line leaves out is named', () => {
  const text =
    'vessel T1 tank 400 L\n2026-10-01\n10:00 bring 200 L to T1 as CAME, vintage 2025\n11:00 label CAME vintage 2025\n';
  const other = makeBook([{ path: 'a.cellar', text }], undefined, checkJournal);
  const [lot] = claimedLots({ book: other });
  expect(lot === undefined ? [] : trailOf(other, lot).missing.map((one) => one.text)).toEqual([
    'of 2025 the record does not tell the variety, the region, the block, the grower',
    'it came in as wine, and from whom is not told: the record has no weigh tag of it',
  ]);
});

test('the page has the claims, each with its rule', () => {
  const model = claimsModel(contextOf(book), bottling);
  expect(model?.path).toBe('labels/26bl.html');
  expect(
    model?.answers?.rows.slice(0, 3).map(({ cells }) => cells.slice(0, 2).map((one) => one.figures[0]?.text)),
  ).toEqual([
    ['variety Roussanne', 'reached'],
    ['vintage 2026', 'reached'],
    ['region Lower Teal', 'not reached'],
  ]);
  const rules = model?.sections.find(({ id }) => id === 'rules');
  const linked = model?.answers?.rows.map(({ cells }) => cells[3]?.figures[0]?.href);
  expect(linked?.every((href) => rules?.sheet?.rows.some(({ id }) => href === `#${id}`))).toBe(true);
});

test('as data it loses nothing: shares are whole microlitres that add up', () => {
  const [of] = claimsJson(book, [bottling]).wines;
  expect(of?.sources.reduce((sum, { microlitres }) => sum + microlitres, 0)).toBe(of?.microlitres);
  expect(of?.claims.find(({ kind }) => kind === 'region')).toMatchObject({
    verdict: 'not reached',
    share: { microlitres: 149_625_000, of: 199_500_000 },
    rule: { id: 'us-area' },
  });
});

describe('each claim with its way', () => {
  const bottled = (text: string) => {
    const told = makeBook([{ path: 'a.cellar', text }], undefined, checkJournal);
    const lot = told.lots.find(({ facts }) => facts.name === '26BL');
    if (lot === undefined) throw new Error('the journal has no bottling');
    const page = claimsModel(contextOf(told), lot);
    const ways = page?.sections.find(({ id }) => id === 'ways')?.sheet;
    return (ways?.rows ?? []).map(({ cells }) =>
      cells.map(({ figures, quiet }) =>
        [figures.map(({ text: words }) => words).join(', '), quiet ?? ''].join(' ').trim(),
      ),
    );
  };

  test('the sources that bear it, their tags, the lines between, what is missing on its own way', () => {
    const missing = bottled(`${JOURNAL}2026-11-30\n09:00 dispatch "26BL" 12 x 750 mL for sale\n`);
    expect(missing.map(([claim, by, tags]) => [claim, by, tags])).toEqual([
      ['variety Roussanne', 'A', '1'],
      ['vintage 2026', 'A B', '2'],
      ['region Lower Teal', 'A', '1'],
    ]);
    expect(missing.map((row) => row[4])).toEqual(['31 Oct 2026', '31 Oct 2026', '31 Oct 2026']);
    expect(missing[0]?.[5]).toBe('1 line 30 Nov');
    expect(missing[0]?.[6]).toBe('nothing');
    expect(missing[1]?.[6]).toBe('fruit was weighed in without a tag');
  });

  test('alcohol is borne by what was read', () => {
    const label = ', region "Lower Teal" area';
    const read = bottled(
      JOURNAL.replace(label, `${label}, alcohol 13.5 %`).replace(
        '2026-10-31\n',
        '2026-10-31\n09:00 reading FB-1 alcohol 13.4 %\n',
      ),
    );
    expect(read.at(-1)).toEqual([
      'alcohol 13.5 %',
      'read 13.4 % 31 Oct 2026',
      '',
      '',
      '31 Oct 2026',
      'nothing yet',
      'nothing',
    ]);
    expect(
      bottled(JOURNAL.replace(label, `${label}, alcohol 13.5 %`))
        .at(-1)
        ?.at(-1),
    ).toBe('no alcohol was read of it');
  });

  test('a claim that no source bears has no way', () => {
    const rows = bottled(JOURNAL.replace('variety Roussanne, vintage', 'variety Syrah, vintage'));
    expect(rows[0]?.slice(0, 3)).toEqual(['variety Syrah', 'no source', '']);
  });
});
