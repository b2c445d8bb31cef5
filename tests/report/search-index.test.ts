/** What can be found: every sort of thing, in a fixed order, as a script that no text can break out of. */
import { runInNewContext } from 'node:vm';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CODES } from '../../grammar/codes.ts';
import { contextOf } from '../../src/report/context.ts';
import { type SearchIndex, searchIndex, searchModel, searchScript } from '../../src/report/search-index.ts';
import { fixtureBook } from './fixture.ts';

interface Read {
  readonly pages: readonly string[];
  readonly kinds: readonly (readonly [
    one: string,
    many: string,
    rows: readonly (readonly [title: string, detail: string, page: number, anchor?: string])[],
  ])[];
}

/** The script, run as a page would run it. */
function run(script: string): Read {
  const scope: { ullageIndex?: Read } = {};
  runInNewContext(script, scope);
  // What comes from another context has other prototypes; as JSON it has none.
  return JSON.parse(JSON.stringify(scope.ullageIndex)) as Read;
}

const index = searchIndex(contextOf(fixtureBook()));
const of = (many: string): SearchIndex[number]['entries'] => index.find((kind) => kind.many === many)?.entries ?? [];

describe('the index', () => {
  test('has every sort of thing, each with its place', () => {
    expect(index.map(({ many }) => many)).toEqual([
      'lots',
      'bottlings',
      'vessels',
      'blocks',
      'trials',
      'materials',
      'people',
      'findings',
      'days',
      'notes',
    ]);
    expect(of('lots').map(({ title, href }) => [title, href])).toEqual([
      ['LS', 'lots/ls.html'],
      ['LS-free', 'lots/ls-free.html'],
    ]);
    expect(of('bottlings').map(({ title }) => title)).toEqual(['26SY-01']);
    expect(of('vessels').find(({ title }) => title === 'FB-01')).toMatchObject({
      detail: expect.stringMatching(/^barrel of 225\sL, french oak, cooper first, toast medium, /u),
      href: 'vessels/fb-01.html',
    });
    expect(of('blocks')).toEqual([
      { title: 'ledge-2', detail: 'Syrah, Lower Teal, 1.1\u00A0ha', href: 'journal/2026-09-harvest.html#L4' },
    ]);
    expect(of('people')).toEqual([
      { title: 'ana', detail: 'in 1 entry, the last on 14 Sep 2026', href: 'journal/2026-09-harvest.html#L12' },
    ]);
    expect(of('findings')[0]).toEqual({
      title: CODES['verb-unknown'].title,
      detail: 'error, T4 is dipped at 760 L; the book says 780 L., 09-harvest.cellar:14',
      href: 'findings.html#f1',
    });
    expect(of('days')[0]).toMatchObject({
      title: 'Mon 14 Sep 2026',
      detail: expect.stringMatching(/^2026-09-14, .*: LS$/u),
    });
    expect(of('notes').map(({ detail }) => detail)).toContain('Clear, 9 C at dawn. *Eleven* pickers.');
  });

  test('is the same for the same book', () => {
    expect(searchScript(searchIndex(contextOf(fixtureBook())))).toBe(searchScript(index));
  });

  test('a long note is cut between characters', () => {
    const note = of('notes').length;
    const long = searchIndex(contextOf(fixtureBook({ names: { note: '🍇'.repeat(700), remark: 'x' } })));
    const cut = long.find(({ many }) => many === 'notes')?.entries.find(({ detail }) => detail.includes('🍇'));
    expect(note).toBeGreaterThan(0);
    expect(cut?.detail).toMatch(/^(?:🍇)+…$/u);
    expect(cut?.detail.length).toBeLessThan(610);
  });

  test('what would reorder its neighbours is shown by its number', () => {
    const turned = searchIndex(contextOf(fixtureBook({ names: { lots: ['a\u202Eb', 'c', 'd'] } })));
    expect(turned[0]?.entries[0]?.title).toBe('a⟦U+202E⟧b');
  });
});

describe('the script', () => {
  test('gives back what went in', () => {
    const { pages, kinds } = run(searchScript(index));
    const back = kinds.map(([one, many, rows]) => ({
      one,
      many,
      entries: rows.map(([title, detail, page, anchor]) => ({
        title,
        detail,
        href: anchor === undefined ? pages[page] : `${pages[page]}#${anchor}`,
      })),
    }));
    expect(back).toEqual(index);
  });

  const NASTY = [
    '</script><script>globalThis.broken = 1</script>',
    '<!-- <script>',
    '--> ',
    ']]>',
    '__proto__',
    'constructor',
    'toString',
    '"; globalThis.broken = 1; "',
    '\\"; globalThis.broken = 1; //',
    '\u2028globalThis.broken = 1\u2029',
    '\ud800',
    '\u0000',
    // biome-ignore lint/suspicious/noTemplateCurlyInString: it is what a template might take for its own.
    '${globalThis.broken = 1}',
  ];

  test.each(NASTY)('%j is text and nothing else', (text) => {
    const script = searchScript([
      { one: text, many: text, entries: [{ title: text, detail: text, href: `${text}#${text}` }] },
    ]);
    expect(script).not.toMatch(/[<>\u2028\u2029]/u);
    const scope: Record<string, unknown> = {};
    runInNewContext(script, scope);
    expect(Object.keys(scope)).toEqual(['ullageIndex']);
    const [[one, many, rows] = []] = run(script).kinds;
    expect([one, many, rows?.[0]?.[0], rows?.[0]?.[1]]).toEqual([text, text, text, text]);
    expect({}).not.toHaveProperty('title');
  });

  test('no text breaks out of it', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const script = searchScript([
          { one: 'lot', many: 'lots', entries: [{ title: text, detail: text, href: 'a.html' }] },
        ]);
        expect(script).not.toMatch(/<|\u2028|\u2029/u);
        expect(run(script).kinds[0]?.[2][0]?.slice(0, 2)).toEqual([text, text]);
      }),
    );
  });
});

test('the page lists what has a name, and no more than it can bear', () => {
  const many: SearchIndex = [
    {
      one: 'lot',
      many: 'lots',
      entries: Array.from({ length: 300 }, (_, at) => ({ title: `L${at}`, detail: '', href: 'a.html' })),
    },
    { one: 'day', many: 'days', entries: [{ title: 'Mon 14 Sep 2026', detail: '', href: 'b.html' }] },
  ];
  const model = searchModel(many);
  expect(model.count).toBe('301 entries');
  expect(model.groups.map(({ title, links, further }) => [title, links.length, links.at(-1)?.text, further])).toEqual([
    ['Lots', 250, 'L299', 50],
  ]);
});
