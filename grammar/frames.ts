/** A frame a verb: what stands after it, which links and clauses it takes, what it needs, and two examples of it. */
import type { Dimension } from './units.ts';
import {
  type ClauseWord,
  DECLARED,
  type LinkWord,
  LOSS_CAUSES,
  type QuantWord,
  REMOVALS,
  STOCKTAKE,
  STYLES,
  type VerbWord,
} from './words.ts';

/** What a name in a slot must be. `new` is a name given here; `place` is a vessel, a lot or a sample. */
export type NameKind = 'place' | 'lot' | 'new' | 'material' | 'hand' | 'block' | 'plan' | 'any';

/** What may stand in one place of a line. */
export interface Slot {
  /** For people: `the vessels or the lot`. */
  readonly say: string;
  readonly names?: NameKind;
  /** Dimensions the amounts may have; `[]` and absent: no amount. */
  readonly amounts?: readonly Dimension[];
  /** A number without a unit may stand. */
  readonly bare?: true;
  /** `x` between numbers: bottles and cases. */
  readonly times?: true;
  readonly quants?: readonly QuantWord[];
  /** `?` may stand for the amount, which is then worked out. */
  readonly asks?: true;
  /** Plain words may stand: any (`true`), or only these. */
  readonly words?: true | readonly string[];
  readonly strings?: true;
  readonly code?: true;
  readonly date?: true;
  /** More than one item, separated by commas. */
  readonly many?: true;
  /** Nothing has to follow. */
  readonly empty?: true;
  /** An analyte's words may stand, before (`reading`) or after (`rate`) an amount. */
  readonly analytes?: 'reading' | 'columns' | 'rate';
  /** Not looked into here: kept as written, or read by the verb's own reader. */
  readonly free?: true;
  /** How it is written, in plain words, where its reader knows more than the kinds above can say. */
  readonly written?: string;
  /** An amount must stand in every item. */
  readonly amountNeeded?: true;
}

export interface Frame {
  /** One sentence on what it is for. */
  readonly say: string;
  readonly head?: Slot;
  readonly phrases: Readonly<Partial<Record<LinkWord | ClauseWord, Slot>>>;
  /** What must stand; a list inside means one of them. `head` is the part before any phrase. */
  readonly needs: readonly (Need | readonly Need[])[];
  /** Phrases that may stand more than once: each belongs to what stands before it. */
  readonly again?: readonly (LinkWord | ClauseWord)[];
  /** The verb this one belongs under: `cut` under `press`. */
  readonly under?: VerbWord;
  /** It has plain rows under it. */
  readonly rows?: true;
  /** A standing fact: may stand before any day, and holds from the day it stands under. */
  readonly standing?: true;
  /** What becomes of it, in words: its event. */
  readonly event: string;
  readonly examples: readonly [string, string];
}

export type Need = 'head' | LinkWord | ClauseWord;

const V: readonly Dimension[] = ['volume'];
const M: readonly Dimension[] = ['mass'];
const RATE: readonly Dimension[] = ['mass per volume', 'mass per mass', 'volume per volume', 'volume per mass'];
const ADDED: readonly Dimension[] = ['mass', 'volume', 'count', ...RATE];

const flag: Slot = { say: 'nothing more', empty: true };
const newName: Slot = { say: 'a name', names: 'new' };
const places: Slot = { say: 'vessels or a lot', names: 'place', many: true };
const sources: Slot = {
  say: 'the vessels or the lot it is drawn from',
  names: 'place',
  amounts: V,
  quants: ['all', 'each'],
  many: true,
};
const parts: Slot = {
  say: 'the vessels it goes to, each with its volume',
  names: 'place',
  amounts: V,
  quants: ['each', 'rest', 'all'],
  many: true,
};
const volume: Slot = { say: 'a volume', amounts: V, amountNeeded: true };
const mass: Slot = { say: 'a weight', amounts: M, amountNeeded: true };
const words: Slot = { say: 'words, or text in quotes', words: true, strings: true };
const text: Slot = { say: 'words, or text in quotes', words: true, strings: true, bare: true, many: true };
const code: Slot = { say: 'a number or code, kept as written', code: true, strings: true };
const percent: Slot = { say: 'a share in %', amounts: ['percent'], amountNeeded: true };
const year: Slot = { say: 'a year', bare: true, amountNeeded: true };
const free: Slot = { say: 'what later work reads', free: true, empty: true, many: true };
/** What the verb's own reader looks into. */
const read = (say: string, written: string): Slot => ({ say, written, free: true, many: true });
const condition = read(
  'a condition on the record',
  'a measurement with `above`, `under` or a range, `a third gone`, or `must`, `juice`, `wine`, `fermenting`',
);
const bound = read('a figure', 'the figure of the measurement before it, with its unit');
const conditions = {
  above: bound,
  under: bound,
  over: read('a figure', 'as `above`'),
  while: condition,
  when: condition,
  until: { ...condition, written: `${condition.written}, or a day` },
  after: read('how long it waits', 'a length of time (`3 days`), or a day'),
} as const;
const stocktake: Slot = { say: '`stocktake`, where it is part of one', words: [STOCKTAKE] };
const origin: Slot = { say: 'blocks, each with its share in %', names: 'block', amounts: ['percent'], many: true };

/** Phrases every verb takes. */
export const COMMON: Readonly<Partial<Record<LinkWord | ClauseWord, Slot>>> = {
  by: { say: 'the hands who did it', names: 'hand', many: true },
  written: { say: 'the day it was written down, if later', date: true },
  sic: { say: 'nothing more: a mild finding of this line is answered', empty: true },
};

const movement = {
  to: parts,
  as: newName,
  lees: volume,
  loss: volume,
  leaving: volume,
  using: words,
  for: text,
} as const;

export const FRAMES: Readonly<Record<VerbWord, Frame>> = {
  // standing facts
  cellar: {
    say: 'Names the cellar and the region it stands in.',
    head: { say: 'the name of the cellar', strings: true, words: true },
    phrases: { region: words, code },
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['cellar "Quern Hollow" region "Lower Teal"', 'cellar "Stillwater Barn" code BW-104'],
  },
  report: {
    say: 'Says which units reports show. Entries keep the units they were written in.',
    head: {
      say: 'units of volume, temperature and weight',
      words: ['litres', 'hectolitres', 'gallons', 'celsius', 'fahrenheit', 'kilograms', 'pounds'],
      many: true,
    },
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['report litres, celsius, kilograms', 'report gallons, fahrenheit, pounds'],
  },
  law: {
    say: 'Chooses the rules that figures are compared with.',
    head: { say: 'us, eu or none', words: ['us', 'eu', 'none'] },
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['law us', 'law none'],
  },
  method: {
    say: 'Says how the house measures something unless a line says otherwise with `using`.',
    head: { say: 'what is measured and how', free: true, many: true },
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['method brix hydrometer, malic enzymatic', 'method pH meter'],
  },
  tolerance: {
    say: 'Sets how far the record may be off before a finding says so.',
    head: {
      say: 'dip, volume, estimate, topping, capacity or pressing, each with a share in %',
      words: ['dip', 'volume', 'estimate', 'topping', 'capacity', 'pressing'],
      amounts: ['percent'],
      amountNeeded: true,
      many: true,
    },
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['tolerance dip 1 %', 'tolerance volume 0.5 %, estimate 10 %, topping 5 %'],
  },
  vessel: {
    say: 'Declares vessels: kind, capacity, and what is known of them.',
    head: {
      say: 'names or a range of names, a kind and a capacity',
      names: 'new',
      amounts: V,
      words: true,
      many: true,
    },
    phrases: {
      gauge: { say: 'the volume of a unit of height', amounts: ['volume per length'], amountNeeded: true },
      wood: words,
      cooper: words,
      toast: words,
      first: { say: '`used` and a year', words: ['used'], bare: true },
      at: { say: 'the place where it stands', words: true, strings: true },
      code,
    },
    needs: ['head'],
    standing: true,
    event: 'a vessel that holds nothing yet',
    examples: [
      'vessel T1..T6 tank 1200 L steel, gauge 11.3 L/cm, at "tank room"',
      'vessel FB-01..FB-12 barrel 225 L wood french, cooper "first", toast medium, first used 2026',
    ],
  },
  variety: {
    say: 'Gives the colour of a grape the tool does not know.',
    head: { say: 'a grape and its colour', strings: true, words: true },
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['variety "Ledge Seedling" white', 'variety Hollowberry red'],
  },
  block: {
    say: 'Declares a block of vines: its grape, region, area and grower.',
    head: { say: 'a name and a grape', names: 'new', words: true, strings: true, amounts: ['area'] },
    phrases: {
      region: { say: 'the region it lies in', strings: true, words: true, amounts: ['area'] },
      grower: { ...words, amounts: ['area'] },
      planted: year,
      clone: { ...text, many: true },
      estate: flag,
      code,
    },
    needs: ['head'],
    standing: true,
    event: 'a source that fruit can come from',
    examples: [
      'block ledge-2 Syrah region "Lower Teal" 1.1 ha',
      'block ledge-5 Grenache region "Lower Teal" 0.6 ha, grower "contract 7"',
    ],
  },
  hand: {
    say: 'Names the people who work, as `by` calls them.',
    head: { say: 'short names', names: 'new', strings: true, many: true },
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['hand ana, bo, cy', 'hand dee'],
  },
  material: {
    say: 'Declares something the store keeps: what it is and what it brings to the wine.',
    head: {
      say: 'a name and what kind of thing it is',
      names: 'new',
      words: true,
      amounts: ['mass', 'volume'],
      quants: ['each'],
      analytes: 'rate',
    },
    phrases: {
      is: { say: 'a substance the tool knows', words: true, strings: true },
      nitrogen: percent,
      allergen: words,
      brings: {
        say: 'how much of what',
        amounts: ['percent', 'mass per volume', 'mass'],
        analytes: 'rate',
        words: true,
        amountNeeded: true,
      },
    },
    needs: ['head'],
    standing: true,
    event: 'a material on the shelf',
    examples: ['material kms is potassium metabisulfite', 'material nutri-a nutrient, nitrogen 10 %'],
  },
  walk: {
    say: 'Says in which order the cellar is walked: rounds and sheets for the crew list vessels so.',
    head: {
      ...read('vessels and places', 'vessels, ranges of them, or the place where some stand, in quotes'),
      names: 'place',
    },
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: ['walk T1..T9, B1..B20', 'walk K1..K6, FB-12, FB-01..FB-11'],
  },
  columns: {
    say: 'Says what the columns of a table from a laboratory or a logger mean, by their headings.',
    head: read(
      'headings and what each means',
      'a heading in quotes; behind it `vessel`, `day` and its order, `time`, `remark`, or a measurement and its unit',
    ),
    phrases: {},
    needs: ['head'],
    standing: true,
    event: 'a standing fact',
    examples: [
      'columns "Tank" vessel, "Sampled" day month/day/year, "Brix" brix',
      'columns "Free SO2 (ppm)" free SO2 mg/L, "Temp F" temp F',
    ],
  },
  plan: {
    say: 'Opens a plan of work: what wine it covers, and below it what is due, what to keep and what to warn of.',
    head: { say: 'the name of the plan', names: 'new' },
    phrases: {
      for: read('what it covers', '`must`, `juice` or `wine`, vessels or lots; several, with commas between'),
      in: read('where', 'kinds of vessel, or vessels; several, with commas between'),
    },
    needs: ['head'],
    rows: true,
    standing: true,
    event: 'a plan; work is due by it from that day on',
    examples: ['plan red-ferment for must', 'plan barrel-age for wine in barrel'],
  },
  due: {
    say: 'Under a plan: a work and its rhythm.',
    head: read(
      'a work and how often',
      'a verb, `add` and a material, or `reading` and measurements; then `3 a day`, `every 21 days` or `once`',
    ),
    phrases: { with: read('a material', 'a material or a kind of material, where the verb takes one'), ...conditions },
    needs: ['head'],
    again: ['above', 'under', 'over'],
    under: 'plan',
    standing: true,
    event: 'a line of its plan',
    examples: ['due punch-down 3 a day while brix above 5', 'due top every 21 days'],
  },
  keep: {
    say: 'Under a plan: bounds that a reading should stay within.',
    head: read('a measurement and its bounds', 'a measurement; with it a range of figures, or `above` and `under`'),
    phrases: conditions,
    needs: ['head'],
    again: ['above', 'under', 'over'],
    under: 'plan',
    standing: true,
    event: 'a line of its plan',
    examples: ['keep temp 22..30 C', 'keep molecular SO2 above 0.6 mg/L'],
  },
  warn: {
    say: 'Under a plan: what should raise a warning.',
    head: read('a measurement', 'a measurement; with it `falling` or `rising` where its pace is meant'),
    phrases: conditions,
    needs: ['head'],
    again: ['above', 'under', 'over'],
    under: 'plan',
    standing: true,
    event: 'a line of its plan',
    examples: ['warn brix falling under 0.5 a day', 'warn temp above 32 C'],
  },

  // fruit
  receive: {
    say: 'Takes in fruit under a lot, with its weigh tag.',
    head: { say: 'the lot it becomes', names: 'new', amounts: M },
    phrases: {
      from: { say: 'the block it grew in', names: 'block' },
      gross: mass,
      tare: mass,
      net: mass,
      tag: code,
      in: { say: 'a number of bins', bare: true, words: true },
      at: { say: 'its temperature', amounts: ['temperature'] },
      for: { say: 'the wine it is meant for', words: STYLES },
      vintage: year,
    },
    needs: ['head', 'from'],
    event: 'fruit of the lot, by weight',
    examples: [
      'receive LS from ledge-2, gross 1840 kg, tare 300 kg, tag 10451, in 4 bins',
      'receive RO 620 kg from ledge-5 for rosé',
    ],
  },
  sort: {
    say: 'Takes out fruit that is not used.',
    head: { say: 'the lot', names: 'lot' },
    phrases: { out: mass },
    needs: ['head', 'out'],
    event: 'fruit sorted out, by weight',
    examples: ['sort LS, out 24 kg', 'sort GR, out 60 lb by bo'],
  },
  crush: {
    say: 'Turns the waiting fruit of a lot into must.',
    head: { say: 'the lot, with a weight if not all of it', names: 'lot', amounts: M },
    phrases: {
      to: parts,
      as: newName,
      destemmed: flag,
      crushed: percent,
      'whole-cluster': percent,
      stems: mass,
      using: words,
    },
    needs: ['head', 'to'],
    event: 'must in vessels; fruit and stems by weight',
    examples: [
      'crush LS to B1..B4 ~335 L each, destemmed, crushed 30 %, stems 56 kg by ana, bo',
      'crush GR 800 kg to B5 720 L, whole-cluster 10 %, stems 20 kg',
    ],
  },
  press: {
    say: 'Presses fruit while the lot has fruit waiting, else its must. Cuts may stand in rows below.',
    head: { ...sources, amounts: ['volume', 'mass'] },
    phrases: { ...movement, pomace: mass, at: { say: 'a pressure', amounts: ['pressure'] } },
    needs: ['head'],
    event: 'wine or juice in vessels; pomace by weight',
    examples: ['press LS, pomace 290 kg', 'press GB to T2 640 L as GB-juice, pomace 210 kg'],
  },
  cut: {
    say: 'Under a press: one fraction, kept apart.',
    head: { say: 'the pressure', amounts: ['pressure'] },
    phrases: { to: parts, as: newName },
    needs: ['to'],
    under: 'press',
    event: 'a part of its pressing',
    examples: ['cut 1.0 bar to T5 150 L as LS-p1', 'cut to K1 40 L as LS-p2'],
  },

  // must
  bleed: {
    say: 'Draws juice off the skins, usually for rosé.',
    head: sources,
    phrases: { to: parts, as: newName, for: { say: 'the wine it is meant for', words: STYLES } },
    needs: ['head', 'to'],
    event: 'juice moved from must to a lot of its own',
    examples: ['bleed B1..B4 30 L each to T5 as RO', 'bleed LS to T5 120 L as RO for rosé'],
  },
  chill: {
    say: 'Cools vessels.',
    head: places,
    phrases: { to: { say: 'a temperature', amounts: ['temperature'] }, using: words, for: text, until: text },
    needs: ['head'],
    event: 'a work on the vessels',
    examples: ['chill B1..B4 to 8 C', 'chill T2 to 54 F using jacket'],
  },
  warm: {
    say: 'Warms vessels.',
    head: places,
    phrases: { to: { say: 'a temperature', amounts: ['temperature'] }, using: words, for: text, until: text },
    needs: ['head'],
    event: 'a work on the vessels',
    examples: ['warm B3 to 20 C', 'warm LS to 22 C using pads'],
  },
  inoculate: {
    say: 'Adds yeast, or bacteria for malolactic.',
    head: places,
    phrases: {
      with: {
        say: 'a yeast or bacteria, with its rate or amount',
        names: 'material',
        amounts: ADDED,
        asks: true,
        quants: ['each'],
        many: true,
        analytes: 'rate',
      },
      except: places,
      batch: code,
      for: text,
      in: { say: 'the water it was wetted in', amounts: V },
    },
    needs: ['head', 'with'],
    event: 'an addition; the ferment or malolactic begins',
    examples: ['inoculate LS with ey-7 25 g/hL by cy', 'inoculate LS-free with mlb-1 1 g/hL for malolactic'],
  },
  add: {
    say: 'Adds a material: an amount, a rate, or a rate of what it brings.',
    head: {
      say: 'a material with its amount or rate',
      names: 'material',
      amounts: ADDED,
      asks: true,
      quants: ['each'],
      many: true,
      analytes: 'rate',
    },
    phrases: {
      to: places,
      except: places,
      batch: code,
      for: { ...text, amounts: ['mass per volume', 'percent'] },
      in: { say: 'the water it was dissolved in', amounts: V },
      using: words,
    },
    needs: ['head', 'to'],
    event: 'an addition to what the vessels hold',
    examples: ['add kms 40 mg/L SO2 to B1..B4', 'add kms 57 g (40 mg/L SO2) to T4 batch A-113 for racking'],
  },
  'punch-down': {
    say: 'Pushes the cap down by hand or by machine.',
    head: { ...places, amounts: ['count', 'duration'] },
    phrases: { except: places, using: words, for: text },
    needs: ['head'],
    event: 'cap work on the vessels',
    examples: ['07:40, 13:00, 18:30 punch-down LS except B3 by cy', 'punch-down B1..B4 3 times'],
  },
  'pump-over': {
    say: 'Pumps liquid over the cap.',
    head: { ...places, amounts: ['duration', 'volume', 'count'] },
    phrases: { except: places, aerated: flag, using: words, for: text },
    needs: ['head'],
    event: 'cap work on the vessels',
    examples: ['pump-over B4 60 min, aerated', '23:30..+00:30 pump-over T3 600 L'],
  },
  'rack-and-return': {
    say: 'Draws the liquid off the cap and floods it back.',
    head: { ...places, amounts: ['duration', 'volume'] },
    phrases: { except: places, aerated: flag, using: words, for: text },
    needs: ['head'],
    event: 'cap work on the vessels',
    examples: ['rack-and-return B4, aerated', 'rack-and-return T3 700 L'],
  },
  aerate: {
    say: 'Gives air.',
    head: { ...places, amounts: ['duration'] },
    phrases: { except: places, using: words, for: text },
    needs: ['head'],
    event: 'a work on the vessels',
    examples: ['aerate B4 10 min', 'aerate T2 using "splash plate"'],
  },
  drain: {
    say: 'Draws free run off the skins: only what is named.',
    head: sources,
    phrases: movement,
    needs: ['head', 'to'],
    event: 'wine moved from must to vessels',
    examples: ['drain LS to T4 800 L as LS-free', 'drain B1 200 L to T4 as LS-free'],
  },

  // wine
  transfer: {
    say: 'Moves only what is named.',
    head: sources,
    phrases: movement,
    needs: ['head', 'to'],
    event: 'wine moved between vessels',
    examples: ['transfer T4 100 L to K1 50 L, K2 50 L', 'transfer T4 to K1 50 L'],
  },
  rack: {
    say: 'Moves wine off its lees; a source without an amount is emptied.',
    head: sources,
    phrases: { ...movement, aerated: flag },
    needs: ['head', 'to'],
    event: 'wine moved between vessels; lees and losses by kind',
    examples: ['rack T4 to FB-01..FB-03 225 L each, K5 50 L, T6 55 L, lees 20 L', 'rack FB-01..FB-03 to T4, lees 6 L'],
  },
  top: {
    say: 'Fills vessels; what goes in beyond the headspace is what had evaporated.',
    head: { ...sources, quants: ['each'] },
    phrases: { from: sources, to: parts, using: words },
    needs: ['head', ['from', 'to']],
    event: 'wine moved; evaporation worked out; the vessels are full',
    examples: ['top FB-01..FB-03 from K5 4.5 L', 'top K5 4.5 L to FB-01..FB-03'],
  },
  stir: {
    say: 'Stirs the lees.',
    head: places,
    phrases: { except: places, using: words, for: text },
    needs: ['head'],
    event: 'a work on the vessels',
    examples: ['stir FB-01..FB-12', 'stir GR-free except FB-09 by ana'],
  },
  blend: {
    say: 'Brings wines together under a new name; a source without an amount is emptied.',
    head: sources,
    phrases: movement,
    needs: ['head', 'to', 'as'],
    event: 'wine of several lots moved into one',
    examples: ['blend T4 600 L, T5 80 L to T1 as LS-blend', 'blend T4, FB-01..FB-03 to T2 as house-red'],
  },
  fine: {
    say: 'Fines a wine.',
    head: places,
    phrases: {
      with: {
        say: 'a fining agent with its rate or amount',
        names: 'material',
        amounts: ADDED,
        asks: true,
        quants: ['each'],
        many: true,
        analytes: 'rate',
      },
      except: places,
      batch: code,
      for: text,
      in: { say: 'the water it was prepared in', amounts: V },
    },
    needs: ['head', 'with'],
    event: 'an addition to what the vessels hold',
    examples: ['fine T1 with egg 4 g/hL', 'fine GB with bent 50 g/hL in 12 L batch 22-B'],
  },
  filter: {
    say: 'Moves wine through a filter; a source without an amount is emptied.',
    head: sources,
    phrases: movement,
    needs: ['head', 'to'],
    event: 'wine moved between vessels; losses by kind',
    examples: ['filter T1 to T2 664 L, loss 16 L using "pads 1 micron"', 'filter T1 to T2, loss 8 L'],
  },
  bottle: {
    say: 'Fills bottles; a source without an amount is emptied.',
    head: sources,
    phrases: {
      to: { say: 'bottles by size', amounts: V, times: true, many: true, amountNeeded: true },
      as: newName,
      lees: volume,
      loss: volume,
      leaving: volume,
      closure: words,
      code,
      using: words,
    },
    needs: ['head', 'to', 'as'],
    event: 'wine into bottles',
    examples: [
      'bottle T2 to 820 x 750 mL, 30 x 1.5 L as "26SY-01", loss 4 L, closure cork',
      'bottle T2 to 40 x 12 x 750 mL as "26SY-02", leaving 30 L',
    ],
  },

  // any time
  reading: {
    say: 'Writes down what was measured.',
    head: {
      say: 'vessels, a lot or a sample, then what was measured',
      names: 'place',
      analytes: 'reading',
      many: true,
      free: true,
    },
    phrases: {
      using: words,
      at: { say: 'where in the vessel', words: true, strings: true },
      after: text,
      except: places,
    },
    needs: ['head'],
    event: 'a reading of the vessels, lot or sample',
    examples: [
      'reading LS brix 24.6, pH 3.58, TA 6.1 g/L using refractometer',
      'reading LS-free malic <0.1 g/L mixed using paper',
    ],
  },
  readings: {
    say: 'Opens a table of readings: a vessel a row, an analyte a column.',
    head: { say: 'the columns: what is measured, with its unit', analytes: 'columns', many: true, free: true },
    phrases: { using: words, at: { say: 'where in the vessel', words: true, strings: true } },
    needs: ['head'],
    rows: true,
    event: 'a reading of each row',
    examples: ['readings brix, temp C', 'readings free SO2 mg/L, pH using aspiration by ana'],
  },
  dip: {
    say: 'Writes down what a vessel holds, by measure; the book takes it over.',
    head: {
      say: 'vessels, each with a volume or a height',
      names: 'place',
      amounts: ['volume', 'length'],
      quants: ['each'],
      many: true,
      amountNeeded: true,
    },
    phrases: { using: words, for: stocktake },
    needs: ['head'],
    event: 'the volume measured; the difference is a gain or a loss of that day',
    examples: ['dip K5 49 L, T6 ~57 L', 'dip T4 41 cm for stocktake'],
  },
  count: {
    say: 'Writes down what is there of bottles or of a material.',
    head: {
      say: 'a bottling or a material, with what was counted',
      names: 'any',
      amounts: ['volume', 'mass', 'count'],
      times: true,
      bare: true,
      many: true,
      amountNeeded: true,
    },
    phrases: { for: stocktake },
    needs: ['head'],
    event: 'a count; the difference is a gain or a loss of that day',
    examples: ['count "26SY-01" 698 x 750 mL', 'count kms 2.4 kg'],
  },
  loss: {
    say: 'Writes off what was lost.',
    head: { ...sources, times: true, amountNeeded: true },
    phrases: { for: { say: 'the cause', words: LOSS_CAUSES } },
    needs: ['head'],
    event: 'a loss by kind',
    examples: ['loss T4 12 L for spill', 'loss FB-04 225 L for leak'],
  },
  taste: {
    say: 'Writes down how something tastes.',
    head: places,
    phrases: { for: text },
    needs: ['head'],
    event: 'a remark on the vessels or lot',
    examples: ['taste T4, FB-01 -- closed, good length', 'taste LS-free by ana -- green edge gone'],
  },
  note: {
    say: 'Writes down anything; the note itself stands in the lines below that begin with a stroke.',
    head: { ...places, empty: true },
    phrases: { for: text },
    needs: [],
    event: 'a note on the vessels, the lot or the day',
    examples: ['note LS -- foam over the rim at noon, skimmed', 'note T4'],
  },
  sample: {
    say: 'Draws a sample and names it, so that a later reading counts from the day of sampling.',
    head: { ...sources, many: true },
    phrases: { as: newName, for: text, to: { say: 'the laboratory', words: true, strings: true } },
    needs: ['head', 'as'],
    event: 'a sample; what was drawn is a removal',
    examples: ['sample T9 0.75 L as S-41', 'sample LS-free as S-42 for malic'],
  },
  bring: {
    say: 'Takes in wine or must that was bought.',
    head: { say: 'a volume', amounts: V, bare: true },
    phrases: {
      to: parts,
      as: newName,
      from: { say: 'the seller', words: true, strings: true },
      variety: words,
      vintage: year,
      region: words,
      block: { say: 'the block it grew in', words: true, strings: true },
      for: { say: 'the wine it is meant for', words: STYLES },
      of: origin,
      alcohol: percent,
    },
    needs: ['to', 'as'],
    event: 'bought wine in vessels',
    examples: [
      'bring 600 L to T3 as UT-b, variety Grenache, vintage 2026, region "Upper Teal", from "grower 9"',
      'bring to T3 600 L as UT-b of ledge-5, vintage 2026',
    ],
  },
  found: {
    say: 'Writes down what was there on the first day.',
    head: {
      say: 'vessels or bottles, with what they hold',
      names: 'place',
      amounts: V,
      quants: ['each'],
      times: true,
      many: true,
      amountNeeded: true,
    },
    phrases: {
      as: newName,
      of: origin,
      from: origin,
      variety: words,
      vintage: year,
      region: words,
      block: { say: 'the block it grew in', words: true, strings: true },
      alcohol: percent,
    },
    needs: ['head', 'as'],
    event: 'wine that was there',
    examples: [
      'found T6 812 L as GR25 of ledge-5, vintage 2025',
      'found 340 x 750 mL as "25GR-01" of ledge-5 60 %, ledge-2 40 %, vintage 2025',
    ],
  },
  dispatch: {
    say: 'Lets wine leave the cellar.',
    head: {
      say: 'a bottling or vessels, with how much',
      names: 'place',
      amounts: V,
      times: true,
      quants: ['all', 'each'],
      many: true,
    },
    phrases: { for: { say: 'what for', words: REMOVALS }, to: { say: 'to whom', words: true, strings: true }, code },
    needs: ['head', 'for'],
    event: 'a removal by kind',
    examples: ['dispatch "26SY-01" 120 x 750 mL for sale to "shop on the quay"', 'dispatch T4 200 L for vinegar'],
  },

  // bench
  trial: {
    say: 'Opens a bench trial; its rows are the treatments or blends tried, and what each taster made of them.',
    head: places,
    phrases: { as: newName, for: text, with: free, of: free, using: words },
    needs: ['head', 'as'],
    rows: true,
    event: 'a trial, kept for the choice',
    examples: ['trial T1 as E-3', 'trial LS-free, LS-p1 as E-4 for blend'],
  },
  choose: {
    say: 'Under a trial: the row that was chosen.',
    head: free,
    phrases: { for: text },
    needs: ['head'],
    under: 'trial',
    event: 'the choice of its trial',
    examples: ['choose B', 'choose A by ana'],
  },
  prepare: {
    say: 'Makes a starter, slurry or solution that is added later by volume.',
    head: newName,
    phrases: {
      of: { say: 'materials with their amounts', names: 'material', amounts: ['mass', 'volume', 'count'], many: true },
      from: sources,
      batch: code,
    },
    needs: ['head', 'of'],
    event: 'a material made in the house',
    examples: ['prepare starter-1 of ey-7 250 g, water 5 L', 'prepare slurry-2 of bent 2 kg, water 40 L by bo'],
  },

  // store
  buy: {
    say: 'Takes a material into the store.',
    head: {
      say: 'materials with what came',
      names: 'material',
      amounts: ['mass', 'volume', 'count'],
      bare: true,
      times: true,
      many: true,
    },
    phrases: {
      batch: code,
      from: { say: 'the supplier', words: true, strings: true },
      until: { say: 'the day it keeps to', date: true },
    },
    needs: ['head'],
    event: 'a material on the shelf',
    examples: ['buy kms 5 kg batch A-113 from "supplier"', 'buy ey-7 500 g, until 2027-06-30'],
  },
  clean: {
    say: 'Cleans vessels or gear.',
    head: { say: 'vessels', names: 'any', many: true },
    phrases: {
      with: {
        say: 'materials',
        names: 'any',
        amounts: ['mass', 'volume', 'percent', 'mass per volume'],
        many: true,
        strings: true,
        words: true,
      },
      using: words,
      for: text,
    },
    needs: ['head'],
    event: 'a work on the vessels',
    examples: ['clean T4 with soda 1 kg', 'clean B1..B20 using "hot water"'],
  },
  gas: {
    say: 'Blankets vessels with gas, or burns sulfur in them.',
    head: places,
    phrases: {
      with: { say: 'a gas', words: true, strings: true, amounts: ['mass', 'duration'] },
      except: places,
      for: text,
    },
    needs: ['head', 'with'],
    event: 'a work on the vessels',
    examples: ['gas T4 with argon', 'gas FB-03 with sulfur 5 g'],
  },
  retire: {
    say: 'Takes an empty vessel out of use.',
    head: places,
    phrases: { for: text },
    needs: ['head'],
    event: 'the vessel is no longer used',
    examples: ['retire FB-02', 'retire K3 for leak'],
  },
  rename: {
    say: 'Changes a name, and nothing else.',
    head: { say: 'the name so far', names: 'any' },
    phrases: { to: newName },
    needs: ['head', 'to'],
    event: 'the name changes',
    examples: ['rename T6 to T6b', 'rename LS-free to syrah-free'],
  },
  'set-apart': {
    say: 'Makes part of a lot another lot, where it lies.',
    head: places,
    phrases: { as: newName, for: text },
    needs: ['head', 'as'],
    event: 'wine of the vessels under another name',
    examples: ['set-apart FB-01..FB-03 as LS-reserve', 'set-apart T6 as GR-b for topping'],
  },
  label: {
    say: 'Writes down what a bottling declares, or what a wine in vessels is to declare.',
    head: { say: 'a bottling, or a lot', names: 'lot' },
    phrases: {
      variety: { ...text, say: 'grapes, each with its share in % where several stand', amounts: ['percent'] },
      vintage: year,
      region: {
        say: 'where it was grown, with its kind: area, county, state, country, protected or indication',
        words: true,
        strings: true,
        amounts: ['percent'],
        many: true,
      },
      alcohol: percent,
      block: text,
      estate: flag,
      with: { say: 'what it declares to hold', words: DECLARED, many: true },
      code,
      as: words,
    },
    needs: ['head'],
    event: 'a label; its claims are compared with the chosen law',
    examples: [
      'label "26SY-01" variety Syrah, vintage 2026, region "Lower Teal", alcohol 13.5 %',
      'label "26SY-02" estate, vintage 2026, region "Lower Teal" area, with sulfites',
    ],
  },
  away: {
    say: 'Says that hands were away, which answers missed work.',
    head: { say: 'hands', names: 'hand', many: true },
    phrases: { until: { say: 'the last day', date: true }, for: text },
    needs: ['head'],
    event: 'a note on the day',
    examples: ['away bo', 'away ana until 2026-10-12'],
  },
  put: {
    say: 'Puts a lot, or what lies in vessels, under a plan from here on.',
    head: { say: 'lots or vessels', names: 'place', many: true },
    phrases: { under: { say: 'the plan', names: 'plan' }, for: text },
    needs: ['head', 'under'],
    event: 'a note on the lot; work is due by the plan from here on',
    examples: ['put LS under slow-ferment', 'put B3, B4 under slow-ferment by ana'],
  },
  take: {
    say: 'Takes a lot, or what lies in vessels, from under a plan.',
    head: { say: 'lots or vessels', names: 'place', many: true },
    phrases: { from: { say: 'the plan', names: 'plan' }, for: text },
    needs: ['head', 'from'],
    event: 'a note on the lot; nothing is due by the plan any more',
    examples: ['take LS from red-ferment', 'take B3 from red-ferment -- stuck, see the note'],
  },
};
