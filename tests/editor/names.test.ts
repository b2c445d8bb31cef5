/** Where names come from, where they stand, and what becomes of them when they are changed. */
import { describe, expect, test } from 'vitest';
import { checkTexts } from '../../src/checks/check-journal.ts';
import { declarationOf, meantAt, Names, usesOf } from '../../src/editor/names.ts';
import { rename, withEdits } from '../../src/editor/rename.ts';
import { spotAt } from '../../src/editor/spots.ts';
import { Study } from '../../src/editor/study.ts';
import { CELLAR, DEMO } from './journals.ts';
import { atEnd, type Marked, marked } from './marked.ts';

function meant({ study, offset }: Marked) {
  study.outcome();
  const known = study.known();
  const spot = spotAt(study, 0, offset);
  if (known === undefined || spot === undefined) throw new Error('nothing is known');
  const names = new Names(study, known);
  return { names, found: meantAt(spot, names) };
}

/** Every place that names what is marked, as `line: word`. */
function uses(one: Marked): string[] {
  const { names, found } = meant(one);
  if (found === undefined) return [];
  return usesOf(one.study, names, found.thing).map(
    ({ start, end }) => `${one.text.slice(0, start).split('\n').length}: ${one.text.slice(start, end)}`,
  );
}

function declaration(one: Marked): string | undefined {
  const { names, found } = meant(one);
  const range = found === undefined ? undefined : declarationOf(one.study, names, found.thing);
  return range === undefined
    ? undefined
    : `${one.text.slice(0, range.start).split('\n').length}: ${one.text.slice(range.start, range.end)}`;
}

function renamed(one: Marked, to: string): { text: string } | { refused: string } {
  const { names, found } = meant(one);
  if (found === undefined) throw new Error('nothing is named there');
  const result = rename(one.study, names, found, to);
  if ('refused' in result) return result;
  return { text: withEdits(one.study.files, result.edits)[0]?.text ?? '' };
}

const inCellar = (words: string): Marked => marked(CELLAR.replace(words.replace('¦', ''), words));

describe('uses and declarations', () => {
  test('a vessel, in a range and by itself', () => {
    expect(uses(inCellar('drain LS to T¦1'))).toEqual(['4: T1', '26: T1', '30: T1']);
    expect(declaration(inCellar('drain LS to T¦1'))).toBe('4: T1..T4');
    expect(uses(atEnd('10:00 stir FB-0¦2'))).toEqual(['5: FB-01..FB-03', '31: FB-02']);
  });

  test('a vessel that a walk passes', () => {
    expect(uses(atEnd('walk K1, T1..T¦4')).slice(-1)).toEqual(['31: T4']);
    const walked = marked('vessel K1 keg 50 L\nvessel T1 tank 900 L, at "far end"\nwalk "far end", K¦1\n');
    expect(renamed(walked, 'K-1')).toEqual({
      text: 'vessel K-1 keg 50 L\nvessel T1 tank 900 L, at "far end"\nwalk "far end", K-1\n',
    });
  });

  test('a lot from where it was received', () => {
    expect(uses(inCellar('sort L¦S'))).toHaveLength(7);
    expect(declaration(inCellar('press L¦S,'))).toBe('16: LS');
    expect(declaration(inCellar('as LS-p¦1'))).toBe('28: LS-p1');
  });

  test('materials, hands, blocks and plans', () => {
    expect(uses(inCellar('add k¦ms'))).toEqual(['9: kms', '30: kms']);
    expect(uses(inCellar('by a¦na'))).toEqual(['8: ana', '16: ana']);
    expect(declaration(inCellar('by b¦o'))).toBe('8: bo');
    expect(uses(inCellar('from ledge-¦2'))).toEqual(['7: ledge-2', '16: ledge-2']);
    expect(declaration(atEnd('10:00 put T1 under barrel-a¦ge'))).toBe('12: barrel-age');
  });

  test('a thing measured is no name, nor a word of a text', () => {
    expect(uses(inCellar('readings br¦ix'))).toEqual([]);
    expect(uses(atEnd('10:00 stir T1 for kms¦'))).toEqual([]);
  });

  test('what was renamed is the same under both names, and a name given again is another', () => {
    const text = 'rename K1 to K1-old\nvessel K1 keg 30 L\n\n2026-09-26 Sat\n10:00 stir K1\n10:00 stir K1-old';
    expect(uses(atEnd(text.replace('stir K1-old', 'stir K1-o¦ld')))).toEqual([
      '6: K1',
      '29: K1',
      '31: K1',
      '31: K1-old',
      '36: K1-old',
    ]);
    expect(uses(atEnd(text.replace('stir K1\n', 'stir K¦1\n')))).toEqual(['32: K1', '35: K1']);
  });
});

describe('rename', () => {
  const clean = (text: string): void => expect(checkTexts([{ path: 'a.cellar', text }]).findings).toEqual([]);

  test('everywhere, in quotes where the name needs them', () => {
    const lot = renamed(inCellar('sort L¦S'), '26 SY');
    if ('refused' in lot) throw new Error(lot.refused);
    expect(lot.text).toContain('receive "26 SY" from');
    expect(lot.text).toContain('drain "26 SY" to T1 860 L as LS-free');
    clean(lot.text);
    const material = renamed(inCellar('add k¦ms'), 'so2');
    expect('text' in material && material.text).toContain('add so2 40 mg/L SO2');
  });

  test('a word that means something else stands in quotes', () => {
    for (const name of ['rack', 'L', 'brix', 'all']) {
      const one = renamed(inCellar('as LS-p¦1'), name);
      if ('refused' in one) throw new Error(one.refused);
      expect(one.text).toContain(`as "${name}"`);
      clean(one.text);
    }
  });

  test('only the spelling, ranges included', () => {
    const one = renamed(inCellar('to T¦1 860'), 't1');
    expect('text' in one && one.text).toContain('vessel t1..T4');
    expect('text' in one && one.text).toContain('to t1 860 L');
  });

  test.each([
    ['as LS-p¦1', 'LS-p2', '`LS-p2` is a lot already, given at a.cellar:29'],
    ['as LS-p¦1', 'ledge-2', '`ledge-2` is a block already, given at a.cellar:7'],
    ['as LS-p¦1', 'lees', '`lees` is a reserved word and cannot be a name'],
    ['as LS-p¦1', '', 'a name has at least one letter'],
    ['as LS-p¦1', 'a"b', 'a name has no quotes and no line breaks'],
    ['to T¦1 860', 'big', '`T1` is named by a range at a.cellar:4'],
    ['by a¦na', 'bo', '`bo` is a hand already'],
  ])('of %s to %s is refused', (words, to, why) => {
    const one = renamed(inCellar(words), to);
    expect('refused' in one && one.refused).toContain(why);
  });

  test('a name within a range is left to its range', () => {
    const one = renamed(atEnd('10:00 stir FB-0¦2'), 'old-oak');
    expect('refused' in one && one.refused).toContain('`FB-02` is named by a range (`FB-01..FB-03`) at a.cellar:5');
  });

  test('of any name of the demo journal keeps what it says, or is refused', () => {
    const study = new Study(DEMO);
    const before = study.outcome();
    const known = study.known();
    if (known === undefined) throw new Error('nothing is known');
    const names = new Names(study, known);
    let made = 0;
    const kinds = new Map<string, number>();
    for (const [file, { text }] of DEMO.entries()) {
      for (const [i, line] of text.split('\n').entries()) {
        if (i % 23 !== 0) continue;
        const start = text.split('\n').slice(0, i).join('\n').length + 1;
        for (let at = 8; at < line.length; at += 9) {
          const spot = spotAt(study, file, start + at);
          const found = spot === undefined ? undefined : meantAt(spot, names);
          if (found === undefined || (kinds.get(found.thing.kind) ?? 0) >= 4) continue;
          const result = rename(study, names, found, 'zz-9');
          if ('refused' in result) {
            expect(result.refused).toMatch(/range/);
            continue;
          }
          kinds.set(found.thing.kind, (kinds.get(found.thing.kind) ?? 0) + 1);
          const after = checkTexts(withEdits(DEMO, result.edits)).findings;
          expect(after.map(({ code, where }) => [code, where.file, where.line])).toEqual(
            before.findings.map(({ code, where }) => [code, where.file, where.line]),
          );
          made++;
        }
      }
    }
    expect(made).toBeGreaterThan(8);
  });
});
