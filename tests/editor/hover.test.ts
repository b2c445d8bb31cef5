/** What is told of the word under the pointer. */
import { describe, expect, test } from 'vitest';
import type { Code } from '../../grammar/codes.ts';
import { hoverAt } from '../../src/editor/hover.ts';
import { Study } from '../../src/editor/study.ts';
import { CELLAR, DEMO } from './journals.ts';
import { atEnd, type Marked, marked } from './marked.ts';

const explain = (code: Code): string => `# ${code}\n\nThe page of ${code}.\n\n## Wrong\n`;

function told({ study, offset, text }: Marked): { word: string; markdown: string } {
  const { findings } = study.outcome();
  const hover = hoverAt(study, 0, offset, { findings, explain });
  return { word: text.slice(hover?.start, hover?.end), markdown: hover?.markdown ?? '' };
}

const here = (words: string): { word: string; markdown: string } =>
  told(marked(CELLAR.replace(words.replace('¦', ''), words)));

describe('names', () => {
  test('a vessel before its line and after it', () => {
    const { word, markdown } = here('to T¦1 860 L');
    expect(word).toBe('T1');
    expect(markdown).toContain('tank, 1200 L, steel, gauge 11.3 L/cm');
    expect(markdown).toContain('Before this line: empty');
    expect(markdown).toContain('After it: LS-free, 860 L, 71.6 % full (100 % Syrah 2026, ledge-2)');
  });

  test('as it was then, not as it is at the end', () => {
    expect(here('B¦1   24.4').markdown).toContain('At this line: LS, \\~680 L');
    expect(told(atEnd('10:00 stir B¦1')).markdown).toContain('At this line: empty');
  });

  test('one of a range, each end by itself', () => {
    expect(here('vessel T1..T¦4 tank').word).toBe('T4');
    expect(here('vessel T1..T¦4 tank').markdown).toContain('At the end of the record: empty');
  });

  test('a lot, with its story so far and what was last read of it', () => {
    const { markdown } = here('press L¦S, pomace');
    expect(markdown).toContain('**LS**: a lot');
    expect(markdown).toContain('- 2026-09-14 07:00 Received 1540 kg of Syrah from ledge-2 as LS.');
    expect(markdown).toContain('- 2026-09-24 08:30 Pressed LS');
    expect(markdown).not.toContain('Kms');
    expect(markdown).toContain('Last read: brix −1.4');
    expect(here('receive L¦S from').markdown).not.toContain('Drained');
  });

  test('a material with its chemistry and its caution', () => {
    const { markdown } = here('add k¦ms 40');
    expect(markdown).toContain('potassium metabisulfite (K2S2O5');
    expect(markdown).toMatch(/Brings SO2 57\.6\d* % by weight/);
    expect(markdown).toContain('⚠');
    expect(markdown).toContain('label and safety data sheet come first');
    expect(here('with ey¦-7').markdown).toContain('yeast');
  });

  test('a block, a sample, a plan', () => {
    expect(here('from led¦ge-2').markdown).toContain('a block of Syrah (red), region Lower Teal, 1.1 ha');
    expect(here('plan barrel-a¦ge').markdown).toContain('due top every 21 days');
    expect(told(atEnd('10:00 sample T1 0.75 L as S-4¦1')).markdown).toContain('drawn on');
  });

  test('text of the journal is no markup', () => {
    const name = '<b>*x*</b>';
    const { markdown } = told(marked(`vessel "¦${name}" tank 900 L\n`));
    expect(markdown).toContain('\\<b\\>\\*x\\*\\</b\\>');
  });
});

describe('words of the language', () => {
  test('a verb with what it takes and its examples', () => {
    const { word, markdown } = here('08:00 dra¦in');
    expect(word).toBe('drain');
    expect(markdown).toContain('Draws free run off the skins');
    expect(markdown).toContain('- `to`: the vessels it goes to');
    expect(markdown).toContain('drain LS to T4 800 L as LS-free');
  });

  test('a link after its verb, a thing measured, a unit, a day', () => {
    expect(here('drain LS t¦o T1').markdown).toContain('`to` after `drain`: the vessels it goes to');
    expect(here('readings br¦ix').markdown).toContain('a number alone; it means °Bx');
    expect(here('860 ¦L as').markdown).toContain('1 L = 0.2641720524 gal');
    expect(here('2026-0¦9-24').markdown).toBe('Thu 24 Sep 2026');
  });

  test('a figure in the unit of the reports, or in the other custom', () => {
    expect(here('net 15¦40 kg').markdown).toBe('1540 kg = 3395.118838 lb');
    expect(told(atEnd('10:00 transfer T1 1¦0 gal to T3')).markdown).toBe('10 gal = 37.854118 L');
    expect(told(atEnd('10:00 chill T1 to 5¦0 F')).markdown).toBe('50 F = 10 C');
    const gallons = CELLAR.replace('report litres', 'report gallons');
    expect(told(marked(gallons.replace('T1 860 L', 'T1 8¦60 L'))).markdown).toBe('860 L = 227.187965 gal');
  });
});

describe('findings', () => {
  test('their page stands below what is told of the word', () => {
    const { markdown } = told(atEnd('10:00 add k¦ms 4000 mg/L SO2 to T1'));
    expect(markdown).toContain('potassium metabisulfite');
    expect(markdown).toContain('**dose-implausible**');
    expect(markdown).toContain('The page of dose-implausible.');
    expect(markdown).not.toContain('## Wrong');
  });

  test('alone where the word means nothing', () => {
    const { word, markdown } = told(atEnd('10:00 trnas¦fer T1 20 L to T3'));
    expect(word).toBe('trnasfer');
    expect(markdown).toContain('**verb-unknown**');
  });
});

test('something is told, and nothing fails, at every place of the demo journal', () => {
  const study = new Study(DEMO, undefined, 200);
  const { findings } = study.outcome();
  let hovers = 0;
  for (const [file, { text }] of DEMO.entries()) {
    for (let offset = 0; offset <= text.length; offset += 61) {
      const hover = hoverAt(study, file, offset, { findings, explain });
      if (hover === undefined) continue;
      hovers++;
      expect(hover.start).toBeLessThan(hover.end);
      expect(hover.markdown).not.toMatch(/undefined|NaN|\[object/);
    }
  }
  expect(hovers).toBeGreaterThan(300);
});
