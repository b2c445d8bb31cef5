/** A small journal around each example of a verb, in which the example makes sense. */
import { FRAMES } from '../../grammar/frames.ts';
import type { VerbWord } from '../../grammar/words.ts';

const CELLAR = [
  'vessel B1..B20 bin 1000 L plastic',
  'vessel T1..T9 tank 1200 L steel, gauge 11.3 L/cm',
  'vessel FB-01..FB-12 barrel 225 L wood french',
  'vessel K1..K6 keg 50 L',
  'block ledge-2 Syrah region "Lower Teal" 1.1 ha',
  'block ledge-5 Grenache region "Lower Teal" 0.6 ha',
  'block ledge-7 "Pinot blanc" region "Lower Teal" 0.5 ha',
  'hand ana, bo, cy',
  'material kms is potassium metabisulfite',
  'material ey-7 yeast',
  'material mlb-1 bacteria',
  'material nutri-a nutrient, nitrogen 10 %',
  'material egg fining agent, allergen egg',
  'material bent fining agent',
  'material soda cleaner',
];

const FRUIT = ['receive LS from ledge-2, net 1540 kg', 'sort LS, out 24 kg'];
const MUST = [...FRUIT, 'crush LS to B1..B4 ~335 L each, destemmed, stems 56 kg'];
const TANK_MUST = [...FRUIT, 'crush LS to T3 ~1000 L, B4 ~340 L, destemmed, stems 56 kg'];
const FERMENTED = [...MUST, 'inoculate LS with ey-7 25 g/hL'];
const DRAINED = [...FERMENTED, '2026-09-27 Sun', 'drain LS to T4 800 L as LS-free'];
const SLOW = ['plan slow-ferment', 'due reading brix 2 a day'];
const RED = ['plan red-ferment for must', 'due punch-down 2 a day'];
const wine = (where: string, lot = 'LS-free'): string => `found ${where} as ${lot} of ledge-2, vintage 2025`;

interface Scene {
  readonly before: readonly string[];
  /** Rows that belong to the example. */
  readonly after?: readonly string[];
}

const after = (before: readonly string[], ...rows: string[]): Scene => ({ before, after: rows });
const before = (...lines: string[]): Scene => ({ before: lines });
const NOTHING = before();

/** By verb, a scene for each of its two examples, in order. Verbs that need nothing around them are left out. */
const SCENES: Readonly<Partial<Record<VerbWord, readonly [Scene, Scene]>>> = {
  walk: [before(...CELLAR), before(...CELLAR)],
  due: [before('plan red-ferment for must'), before('plan barrel-age for wine in barrel')],
  keep: [before('plan red-ferment for must'), before('plan barrel-age for wine in barrel')],
  warn: [before('plan red-ferment for must'), before('plan red-ferment for must')],
  sort: [before(FRUIT[0] ?? ''), before('receive GR from ledge-5, net 800 kg')],
  crush: [before(...FRUIT), before('receive GR from ledge-5, net 1500 kg')],
  press: [
    after(DRAINED, 'cut 1.0 bar to T5 150 L as LS-p1', 'cut 1.8 bar to K1 40 L as LS-p2'),
    before('receive GB from ledge-7, net 900 kg'),
  ],
  cut: [
    after([...DRAINED, 'press LS, pomace 290 kg'], 'cut 1.8 bar to K1 40 L as LS-p2'),
    before(...DRAINED, 'press LS, pomace 290 kg', 'cut 1.0 bar to T5 150 L as LS-p1'),
  ],
  bleed: [before(...MUST), before(...MUST)],
  chill: [before(...MUST), before(wine('T2 800 L'))],
  warm: [before(...MUST), before(...MUST)],
  inoculate: [before(...MUST), before(wine('T2 800 L'))],
  add: [before(...MUST), before(wine('T4 820 L'))],
  'punch-down': [before(...FERMENTED), before(...FERMENTED)],
  'pump-over': [before(...FERMENTED), before(...TANK_MUST)],
  'rack-and-return': [before(...FERMENTED), before(...TANK_MUST)],
  aerate: [before(...FERMENTED), before(wine('T2 800 L'))],
  drain: [before(...FERMENTED), before(...FERMENTED)],
  transfer: [before(wine('T4 800 L')), before(wine('T4 800 L'))],
  rack: [before(wine('T4 800 L')), before(wine('FB-01..FB-03 225 L each'))],
  top: [before(wine('FB-01..FB-03 224 L each, K5 50 L')), before(wine('FB-01..FB-03 224 L each, K5 50 L'))],
  stir: [before(wine('FB-01..FB-12 225 L each')), before(wine('FB-07..FB-09 225 L each', 'GR-free'))],
  blend: [
    before(wine('T4 800 L'), wine('T5 150 L', 'LS-p1')),
    before(wine('T4 500 L'), wine('FB-01..FB-03 225 L each', 'GR25')),
  ],
  fine: [before(wine('T1 680 L')), before(wine('T1 680 L', 'GB'))],
  filter: [before(wine('T1 680 L')), before(wine('T1 680 L'))],
  bottle: [before(wine('T2 664 L')), before(wine('T2 390 L'))],
  reading: [before(...MUST), before(wine('T2 800 L'))],
  readings: [
    after(MUST, 'B1   24.4   16.0', 'B3   24.3   -     -- float broke'),
    after([wine('T1 600 L, T2 800 L')], 'T1   28   3.55', 'T2   31   3.61'),
  ],
  dip: [before(wine('K5 50 L, T6 57 L')), before(wine('T4 463 L'))],
  count: [before(wine('698 x 750 mL', '"26SY-01"')), before('buy kms 2.4 kg')],
  loss: [before(wine('T4 800 L')), before(wine('FB-04 225 L'))],
  taste: [before(wine('T4 800 L, FB-01 225 L')), before(wine('T4 800 L'))],
  note: [before(...MUST), before(wine('T4 800 L'))],
  sample: [before(wine('T9 800 L')), before(wine('T9 800 L'))],
  dispatch: [before(wine('698 x 750 mL', '"26SY-01"')), before(wine('T4 800 L'))],
  trial: [
    after([wine('T1 680 L')], 'A egg 2 g/hL -- flat', 'B egg 4 g/hL -- rounder'),
    after([wine('T1 680 L'), wine('T5 150 L', 'LS-p1')], 'A LS-p1 5 %', 'B LS-p1 10 %'),
  ],
  choose: [
    before(wine('T1 680 L'), 'trial T1 as E-3', 'A egg 2 g/hL', 'B egg 4 g/hL'),
    before(wine('T1 680 L'), 'trial T1 as E-3', 'A egg 2 g/hL', 'B egg 4 g/hL'),
  ],
  rename: [before(wine('T6 800 L')), before(wine('T6 800 L'))],
  'set-apart': [before(wine('FB-01..FB-06 225 L each')), before(wine('T5..T6 500 L each'))],
  put: [before(...MUST, ...SLOW), before(...MUST, ...SLOW)],
  take: [before(...RED, ...MUST), before(...RED, ...MUST)],
  label: [before(wine('698 x 750 mL', '"26SY-01"')), before(wine('698 x 750 mL', '"26SY-02"'))],
};

/** The journal around an example, and the number of the example's line in it. */
export function journalFor(verb: VerbWord, example: string): { text: string; line: number } {
  const frame = FRAMES[verb];
  const which = frame.examples[0] === example ? 0 : 1;
  const scene = SCENES[verb]?.[which] ?? NOTHING;
  const opening = frame.standing === true ? [] : [...CELLAR, '2026-09-14 Mon'];
  const lines = [...opening, ...scene.before, example, ...(scene.after ?? [])];
  return { text: `${lines.join('\n')}\n`, line: opening.length + scene.before.length + 1 };
}
