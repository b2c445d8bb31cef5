/** The pages of wine by class: each figure leads somewhere, and what is not there is said. */
import { beforeAll, describe, expect, test } from 'vitest';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import type { SiteFile } from '../../src/site/pages.ts';
import { hrefsOf, idsOf, siteOf } from './build.ts';

const siteFrom = (text: string): Promise<SiteFile[]> =>
  siteOf(makeBook([{ path: 'a.cellar', text }], undefined, checkJournal));

const textOf = (files: readonly SiteFile[], path: string): string => {
  const found = files.find((file) => file.path === path);
  if (found === undefined) throw new Error(`no page ${path}`);
  return found.text;
};

const JOURNAL = `law us
vessel T1..T4 tank 1200 L
block ledge-2 Roussanne region "Lower Teal"
2026-09-14 Mon
07:00 receive RO from ledge-2, net 800 kg
09:00 press RO, pomace 200 kg
      cut 1.0 bar to T1 500 L as JU
10:00 reading T1 brix 22
2026-09-20 Sun
10:00 reading T1 brix 12
2026-10-02 Fri
10:00 reading T1 brix -1.4
10:30 found T3 300 L as FORT of ledge-2, vintage 2025
10:40 reading T3 alcohol 18 %
2026-11-02 Mon
09:00 rack T1 to T2 480 L, lees 20 L
10:00 transfer T3 50 L to T2 as MIX
2026-12-01 Tue
09:00 bottle T2 to 700 x 750 mL as "26W", loss 5 L
2027-01-12 Tue
09:00 count "26W" 699 x 750 mL
`;

describe('with wine of two classes', () => {
  let files: SiteFile[];
  const pages = () => files.filter(({ path }) => path.startsWith('volumes'));
  beforeAll(async () => {
    files = await siteFrom(JOURNAL);
  });

  test('there is a page for every month, quarter and year, for the losses of a year, and one that lists them', () => {
    expect(pages().map(({ path }) => path)).toEqual([
      'volumes.html',
      'volumes/2026-09.html',
      'volumes/2026-10.html',
      'volumes/2026-11.html',
      'volumes/2026-12.html',
      'volumes/2027-01.html',
      'volumes/2026-q3.html',
      'volumes/2026-q4.html',
      'volumes/2027-q1.html',
      'volumes/2026.html',
      'volumes/2027.html',
      'volumes/2026-losses.html',
      'volumes/2027-losses.html',
    ]);
  });

  test('every link of theirs leads to a page and a place on it', () => {
    const ids = new Map(files.map(({ path, text }) => [path, new Set(idsOf(text))]));
    for (const { path, text } of pages()) {
      for (const href of hrefsOf(text)) {
        if (/\.(?:css|js|svg|ics)$/u.test(href)) continue;
        const url = new URL(href, `https://site.example/${path}`);
        const page = ids.get(decodeURIComponent(url.pathname.slice(1)));
        expect(page, `${href} on ${path}`).toBeDefined();
        if (url.hash !== '') expect([...(page ?? [])], `${href} on ${path}`).toContain(url.hash.slice(1));
      }
    }
  });

  test('must stands apart, a blend across classes in both, and each line has what it is asked for as', () => {
    const september = textOf(files, 'volumes/2026-09.html');
    expect(september).toContain('Not yet wine at the end');
    const november = textOf(files, 'volumes/2026-11.html');
    expect(november).toContain('blended in from another class');
    expect(november).toContain('blended into another class');
    expect(november).toContain('A 20');
  });

  test('a month leads to its journal lines, a year to its months', () => {
    expect(hrefsOf(textOf(files, 'volumes/2026-11.html'))).toContain('../journal/a.html#L16');
    expect(hrefsOf(textOf(files, 'volumes/2026.html')).some((href) => href.includes('volumes/2026-11.html#'))).toBe(
      true,
    );
  });

  test('the month with must and all leads to it', () => {
    expect(hrefsOf(textOf(files, 'months/2026-11.html'))).toContain('../volumes/2026-11.html');
  });

  test('bottles that are missing are told apart, and the rule with the date of its text', () => {
    const losses = textOf(files, 'volumes/2027-losses.html');
    expect(losses).toContain('missing on 12 Jan 2027');
    expect(losses).toContain('27 CFR 24.266');
    expect(losses).toContain('the local authority decide');
    expect(losses).not.toMatch(/complian|compliant/iu);
  });
});

test('with nothing in the journal it says what is not there, and no law stands without one', async () => {
  const none = await siteFrom('# nothing yet\n');
  expect(textOf(none, 'volumes.html')).toMatch(/<main[^>]*>.*<code>crush<\/code>/su);
  const plain = await siteFrom(JOURNAL.replace('law us\n', ''));
  expect(textOf(plain, 'volumes/2026-11.html')).toContain('No law is chosen');
  expect(textOf(plain, 'volumes/2026-11.html')).not.toContain('CFR');
});
