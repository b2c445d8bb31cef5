/** What may be written next: the words of the language and the names of the journal, where they fit. */
import { describe, expect, test } from 'vitest';
import { readLine } from '../../grammar/read.ts';
import { ClauseToken, canonical, cut, LinkToken, QuantToken, UnitToken, VerbToken } from '../../grammar/tokens.ts';
import { findUnit } from '../../grammar/units.ts';
import { fold, VERBS } from '../../grammar/words.ts';
import { completeAt } from '../../src/editor/complete.ts';
import { mentionsOf, placesOf } from '../../src/editor/mentions.ts';
import { OwnerAbove } from '../../src/editor/names.ts';
import { snippetOf } from '../../src/editor/snippets.ts';
import { spotsOf } from '../../src/editor/spots.ts';
import { Study } from '../../src/editor/study.ts';
import { cases } from '../corpus/cases.ts';
import { CELLAR } from './journals.ts';
import { atEnd, marked } from './marked.ts';

const offered = (lines: string): string[] => {
  const { study, offset } = atEnd(lines);
  return (completeAt(study, 0, offset)?.candidates ?? []).map(({ insert }) => insert);
};

/** The words and names of a line that completion has to know, by where they stand. */
function* wanted(text: string, above: ReturnType<typeof mentionsOf>): Generator<{ at: number; label: string }> {
  for (const { tokenType, image, startOffset: at } of cut(text).tokens) {
    if ([VerbToken, LinkToken, ClauseToken, QuantToken].includes(tokenType)) yield { at, label: canonical(image) };
    else if (tokenType === UnitToken) yield { at, label: findUnit(image)?.symbol ?? image };
  }
  for (const mention of above)
    if (!mention.gives && !mention.maybe)
      for (const { start, name } of placesOf(mention)) yield { at: start, label: name };
}

describe('every word of a line is offered where it stands', () => {
  test.each(cases('good'))('$name', ({ files }) => {
    const study = new Study(files);
    study.outcome();
    const missing: string[] = [];
    for (const file of files.keys()) {
      const owner = new OwnerAbove();
      for (const spot of spotsOf(study, file)) {
        const above = owner.verb;
        owner.see(spot);
        // a name that is changed by the line is another at the end of the day
        if (spot.kind !== 'said' || / rename /.test(spot.text)) continue;
        for (const { at, label } of wanted(spot.text, mentionsOf(readLine(spot.text).line, above))) {
          const found = completeAt(study, file, spot.start + at)?.candidates ?? [];
          if (!found.some((candidate) => fold(candidate.label) === fold(label)))
            missing.push(`${label} in ${spot.text}`);
        }
      }
    }
    expect(missing).toEqual([]);
  });
});

describe('what fits stands first', () => {
  test('vessels that hold something to draw from, empty ones to fill', () => {
    expect(offered('10:00 rack ¦').slice(0, 3)).toEqual(['T1', 'T2', 'K1']);
    expect(offered('10:00 rack T1 to ¦').slice(0, 6)).toEqual(['B1', 'B2', 'B3', 'B4', 'T3', 'T4']);
    expect(offered('10:00 top FB-01 from ¦')[0]).toBe('T1');
  });

  test('standing facts above the first day, work under a day', () => {
    expect(offered('¦')[0]).toBe('receive');
    const { study, offset } = marked(`¦\n${CELLAR}`);
    expect(completeAt(study, 0, offset)?.candidates[0]?.insert).toBe('cellar');
  });

  test('what the verb needs before what it may have', () => {
    expect(offered('10:00 rack T1 ¦').slice(0, 2)).toEqual(['all', 'to']);
    expect(
      offered('10:00 blend T1, T2 ¦')
        .filter((word) => word !== 'all')
        .slice(0, 2),
    ).toEqual(['to', 'as']);
    expect(offered('10:00 rack T1 to T3 ¦')).not.toContain('to');
  });

  test('units of the kind the place takes', () => {
    expect(
      offered('10:00 rack T1 to T3 20 ¦').every((unit) => findUnit(unit)?.dimension === 'volume' || unit === 'each'),
    ).toBe(true);
    expect(offered('10:00 chill T1 to 8 ¦')).toEqual(['C', 'F']);
    expect(offered('10:00 reading T1 TA 6 ¦')).toContain('g/L');
    expect(offered('10:00 reading T1 TA 6 ¦')).not.toContain('L');
    expect(offered('10:00 reading T1 brix 6 ¦')).not.toContain('g/L');
  });

  test('lines that belong below another only there', () => {
    expect(offered('10:00 press T1\n      ¦')).toContain('cut');
    expect(offered('10:00 rack T1\n      ¦')).not.toContain('cut');
    expect(offered('10:00 readings brix\n      ¦').slice(0, 2)).toEqual(['T1', 'T2']);
  });
});

describe('what is written', () => {
  test('names in quotes where they need them', () => {
    const named = '10:00 bottle T2 to 200 x 750 mL as "26SY-01", leaving 30 L\n';
    expect(offered(`${named}11:00 label ¦`)).toContain('"26SY-01"');
    const { study, text, offset } = atEnd(`${named}11:00 label "26¦`);
    const found = completeAt(study, 0, offset);
    expect(found?.candidates.map(({ insert }) => insert)).toEqual(['"26SY-01"']);
    expect(text.slice(found?.replaces.start, found?.replaces.end)).toBe('"26');
  });

  test('over the part that was typed, letters in their order', () => {
    const { study, text, offset } = atEnd('10:00 pd¦');
    const found = completeAt(study, 0, offset);
    expect(text.slice(found?.replaces.start, found?.replaces.end)).toBe('pd');
    expect(found?.candidates.map(({ label }) => label)).toContain('punch-down');
    expect(found?.candidates.map(({ label }) => label)).not.toContain('rack');
  });

  test('the day after, and its weekday', () => {
    expect(offered('¦')).toContain('2026-09-25 Fri');
    expect(offered('2026-09-30 ¦')).toEqual(['Wed']);
    expect(offered('10:00 rack T1 to T3 written ¦')).toEqual(expect.arrayContaining(['2026-09-24', '2026-09-25']));
  });

  test('nothing in notes, remarks, comments and conflicts', () => {
    for (const lines of ['    | the ¦', '10:00 stir T1 -- re¦', '10:00 stir T1 # re¦', '# re¦', '<<<<<<< ¦'])
      expect(offered(lines), lines).toEqual([]);
  });
});

describe('snippets', () => {
  test('are the examples with places to type at, and say the same as they stand', () => {
    const made = VERBS.flatMap((verb) => snippetOf(verb) ?? []);
    expect(made.length).toBeGreaterThan(50);
    for (const { text, snippet } of made) {
      expect(snippet.replace(/\$\{\d+:((?:\\.|[^}\\])*)\}/g, '$1').replace(/\\(.)/g, '$1')).toBe(text);
      expect(readLine(text).problems).toEqual([]);
    }
    expect(snippetOf('rack')?.snippet.match(/\{\d+:[^}]*\}/g)).toEqual([
      '{1:T4}',
      '{2:FB-01..FB-03}',
      '{3:225}',
      '{4:K5}',
      '{5:50}',
      '{6:T6}',
      '{7:55}',
      '{8:20}',
    ]);
  });
});
