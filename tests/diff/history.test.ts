/** A lot through the commits of its journal: which lines touched it, what it became, and what it was called. */
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import schema from '../../src/report/compare/history.schema.json' with { type: 'json' };
import { historyIn } from './printed.ts';
import { BO, clearAway, HAS_GIT, scratch, TestRepository } from './repository.ts';

const FACTS = 'vessel T1..T4 tank 1200 L\nblock ledge-2 Syrah\n';
const FIRST = `
2026-01-12 Mon
09:00 found T1 800 L as GR of ledge-2, vintage 2025
09:00 found T2 300 L as SY of ledge-2, vintage 2025
`;
const MENDED = FIRST.replace('T1 800 L', 'T1 820 L');
const SECOND = '\n2026-01-14 Wed\n10:00 transfer T1 100 L to T3\n10:30 dip T3 100 L\n11:00 taste T2\n';
const THIRD = '\n2026-01-15 Thu\n10:00 loss T1 50 L for spill\n';

interface Step {
  readonly commit: { readonly subject: string } | null;
  readonly unseen: boolean;
  readonly before: { readonly name: string; readonly litres: number; readonly on: string } | null;
  readonly after: Step['before'];
  readonly changes: readonly { readonly class: string; readonly kind: string; readonly day: string | null }[];
  readonly days: readonly {
    readonly day: string;
    readonly before: { readonly litres: number };
    readonly after: { readonly litres: number };
  }[];
}

const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema);

async function steps(folder: string, lot: string): Promise<readonly Step[]> {
  const { status, out } = await historyIn(folder, lot, 'json');
  expect(status).toBe(0);
  const plain: unknown = JSON.parse(out);
  expect(validate(plain), JSON.stringify(validate.errors?.slice(0, 3))).toBe(true);
  return (plain as { steps: Step[] }).steps;
}

const say = ({ commit, before, after, changes }: Step): string =>
  [
    `${commit?.subject ?? 'not committed'}:`,
    changes.map(({ class: kind, kind: what, day }) => `${kind} ${what} ${day?.slice(8) ?? 'standing'}`).join(', '),
    `${before?.litres ?? 'none'} → ${after?.litres ?? 'none'}`,
  ].join(' ');

describe.skipIf(!HAS_GIT)('the history of a lot', () => {
  let made: TestRepository;
  let folder: string;

  beforeAll(() => {
    made = new TestRepository();
    made.commit({ 'season/a.cellar': FACTS + FIRST }, 'First day');
    made.commit({ 'season/b.cellar': SECOND }, 'Wednesday', BO);
    made.commit({ 'readme.txt': 'nothing of the journal' }, 'A readme');
    made.commit({ 'season/a.cellar': FACTS + MENDED }, 'It was 820 litres');
    made.commit({ 'season/c.cellar': THIRD }, 'Thursday', BO);
    made.write({ 'season/d.cellar': '\n2026-01-16 Fri\n10:00 loss T1 5 L for leak\n' });
    folder = join(made.folder, 'season');
  });
  afterAll(clearAway);

  test('is told commit by commit, the oldest first, and what is not committed last', async () => {
    expect((await steps(folder, 'GR')).map(say)).toEqual([
      'First day: new added 12 none → 800',
      // the transfer, and the dip of the vessel it went to
      'Wednesday: new added 14, new added 14 800 → 800',
      'It was 820 litres: correction changed 12 800 → 820',
      'Thursday: new added 15 820 → 770',
      'not committed: new added 16 770 → 765',
    ]);
  });

  test('of another lot leaves out what did not touch it', async () => {
    expect((await steps(folder, 'sy')).map(say)).toEqual([
      'First day: new added 12 none → 300',
      'Wednesday: new added 14 300 → 300',
    ]);
  });

  test('with the days on which it came to something else', async () => {
    const mended = (await steps(folder, 'GR'))[2];
    // nothing moves in or out of the lot on the fourteenth
    expect(mended?.days.map(({ day, before, after }) => [day, before.litres, after.litres])).toEqual([
      ['2026-01-12', 800, 820],
    ]);
    expect(mended?.before?.on).toBe('2026-01-14');
  });

  test('in words', async () => {
    const { out } = await historyIn(folder, 'GR');
    expect(out).toContain(`2026-01-14 18:00 +0200, Ana: It was 820 litres
  Mon 12 Jan 2026, a correction of the past
  changed  a.cellar:5
    − 09:00 found T1 800 L as GR of ledge-2, vintage 2025
    + 09:00 found T1 820 L as GR of ledge-2, vintage 2025
  its volume differs from Mon 12 Jan 2026 on: 800 L → 820 L at the end of that day
  800 L, wine, told to Wed 14 Jan 2026 → 820 L, wine, told to Wed 14 Jan 2026
`);
    expect(out.indexOf('First day')).toBeLessThan(out.indexOf('Wednesday'));
    expect(out).toMatch(/not committed yet\n {2}Fri 16 Jan 2026\n/);
  });

  test('with lines that do not count, by the names in them', async () => {
    const other = new TestRepository();
    other.commit({ 'a.cellar': FACTS + FIRST, 'b.cellar': SECOND }, 'First');
    other.commit({ 'b.cellar': SECOND.replace('10:00 transfer', '10:00 struck transfer') }, 'Strike');
    other.commit({ 'b.cellar': SECOND.replace('10:00 transfer', '10:00 trasnfer') }, 'Spoil');
    expect((await steps(other.folder, 'GR')).slice(1).map(say)).toEqual([
      'Strike: new changed 14 800 → 800',
      'Spoil: new changed 14 800 → 800',
    ]);
  });

  test('through a volume that changed though no line of its own did', async () => {
    const other = new TestRepository();
    const blend = '\n2026-01-20 Tue\n10:00 rack T1 to T4 as CUVEE, lees 5 L\n';
    other.commit({ 'a.cellar': FACTS + FIRST, 'b.cellar': blend }, 'First');
    other.commit({ 'a.cellar': FACTS + MENDED }, 'Mend');
    expect((await steps(other.folder, 'CUVEE')).map(say)).toEqual([
      'First: new added 20 none → 795',
      'Mend:  795 → 815',
    ]);
    expect((await historyIn(other.folder, 'CUVEE')).out).toContain('no line of its own was changed');
  });

  test('through another name, that was a slip or was given up', async () => {
    const other = new TestRepository();
    other.commit({ 'a.cellar': FACTS + FIRST.replace('as GR', 'as GRN') }, 'A slip');
    other.commit({ 'a.cellar': FACTS + FIRST, 'b.cellar': SECOND }, 'It is called GR');
    other.commit({ 'c.cellar': '\n2026-01-20 Tue\n10:00 rename GR to GREN\n' }, 'Rename', BO);
    const all = await steps(other.folder, 'GREN');
    expect(all.map(({ commit, before, after }) => [commit?.subject, before?.name, after?.name])).toEqual([
      ['A slip', undefined, 'GRN'],
      ['It is called GR', 'GRN', 'GR'],
      ['Rename', 'GR', 'GREN'],
    ]);
    expect((await historyIn(other.folder, 'GREN')).out).toContain('  GRN is GR from here on\n');
  });

  test('until it is taken out', async () => {
    const other = new TestRepository();
    other.commit({ 'a.cellar': FACTS + FIRST }, 'First');
    other.commit({ 'a.cellar': FACTS + FIRST.replace(/.*as SY.*\n/, '') }, 'There was no SY');
    expect((await steps(other.folder, 'SY')).map(say)).toEqual([
      'First: new added 12 none → 300',
      'There was no SY: new removed 12 300 → none',
    ]);
  });

  test('in a bare clone, and in a shallow one that says what it lacks', async () => {
    const bare = join(scratch(), 'bare.git');
    made.git(['clone', '-q', '--bare', made.folder, bare]);
    expect(await steps(join(bare, 'season'), 'GR')).toHaveLength(4);
    const shallow = join(scratch(), 'shallow');
    made.git(['clone', '-q', '--depth', '2', `file://${made.folder}`, shallow]);
    const all = await steps(join(shallow, 'season'), 'GR');
    expect(all.map(({ commit, unseen }) => [commit?.subject, unseen])).toEqual([
      ['It was 820 litres', true],
      ['Thursday', false],
    ]);
    const { out } = await historyIn(join(shallow, 'season'), 'GR');
    expect(out).toContain('not seen: this clone is shallow');
    expect(out).toContain('what it changed cannot be told');
  });

  test.each([
    ['gx', /no commit of this journal has a lot gx; did you mean GR\?/],
    ['--output=x', /no commit of this journal has a lot --output=x\n/],
  ])('of %s is refused in words', async (lot, message) => {
    const { status, out, error } = await historyIn(folder, lot);
    expect([status, out]).toEqual([2, '']);
    expect(error).toMatch(message);
  });

  test('outside a repository is refused; before a first commit it is what lies in the work tree', async () => {
    expect((await historyIn(scratch(), 'GR')).error).toMatch(/no git repository here/);
    const fresh = new TestRepository();
    fresh.write({ 'a.cellar': FACTS + FIRST });
    const { status, out } = await historyIn(fresh.folder, 'GR');
    expect(status).toBe(0);
    expect(out).toContain('not seen: there is no commit yet\n\nnot committed yet\n');
  });
});
