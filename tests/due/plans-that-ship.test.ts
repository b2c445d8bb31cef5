/**
 * The plans of the reference that are there to be copied: every line has its source in the page and here, and does what
 * its source asks. A record that keeps to the figure is silent, one that is past it is told of.
 */
import { describe, expect, test } from 'vitest';
import { grammarFile } from '../reference/fences.ts';
import { dueOn, foundIn } from './journal.ts';

const NO_SOURCE = 'common practice, no source';
/** Published sources as the page names them, each with what it says. */
const SOURCES: Readonly<Record<string, string>> = {
  'Virginia research exchange, Merlot trial, 2016':
    'four punch-downs a day raised tannin and volatile acid against two',
  'a maker’s handbook chapter on stuck ferments':
    'density and temperature once or twice a day; yeast dies above about 34 °C held some hours',
  'a maker’s reference on stuck ferments': 'sluggish below 1 °Bx a day above 1 °Bx, below 0.5 near the end',
  'a supplier’s advice on restarting ferments': 'volatile acid above 0.8 g/L changes the plan for a stuck ferment',
  'an oenology encyclopaedia of a supplier': 'malolactic is done below 0.3 to 0.4 g/L of malic; watch acetic acid',
  'column of the Australian Wine Research Institute on malolactic fermentation':
    '18 to 22 °C, never below 15; free below 5 to 10 mg/L',
  'Grapevine Magazine, 2019': 'free SO2 and pH monthly; every barrel seen once a month; a cellar of 50 °F',
  'Australian Wine Research Institute': 'turbidity 5, 8 and 10 NTU; dissolved oxygen at most 0.5 mg/L before filling',
  'a trainer’s study cards': 'carbon dioxide of 1.2 g/L and more pushes corks',
  'Practical Winery, January/February 2009': 'molecular sulfur dioxide of 0.8 mg/L in white wine',
};

const page = (grammarFile('reference/prose/plans.md').split('\n## Plans to start from\n')[1] ?? '').replaceAll(
  "'",
  '’',
);

interface Shipped {
  readonly title: string;
  /** What stands above the plan: vessels and materials. */
  readonly facts: string;
  /** The line that opens the plan. */
  readonly head: string;
  readonly lines: readonly string[];
  /** Lines of the table, with where their numbers come from. */
  readonly told: ReadonlyMap<string, string>;
}

const shipped: Shipped[] = page
  .split('\n### ')
  .slice(1)
  .map((section) => {
    const text = /```cellar\n([\s\S]*?)\n```/.exec(section)?.[1] ?? '';
    const rows = text.split('\n').map((row) => row.trim().replace(/\s+/g, ' '));
    const at = rows.findIndex((row) => row.startsWith('plan '));
    return {
      title: section.split('\n')[0] ?? '',
      facts: rows.slice(0, at).join('\n'),
      head: rows[at] ?? '',
      lines: rows.slice(at + 1),
      told: new Map(
        [...section.matchAll(/^\| `(.+?)` +\| (.+?) +\|$/gm)].map(([, line = '', source = '']) => [line, source]),
      ),
    };
  });

test('five plans ship', () => {
  expect(shipped.map(({ title }) => title)).toEqual([
    'A red ferment',
    'A white ferment',
    'Malolactic',
    'Ageing in barrel',
    'Before bottling',
  ]);
});

describe.each(shipped)('$title', ({ lines, told }) => {
  test('every line has its place in the table, and the table has no other', () => {
    expect([...told.keys()]).toEqual(lines);
  });

  test.each([...told])('%s: a source this test knows, or none', (_, source) => {
    const named = Object.keys(SOURCES).filter((name) => source.includes(name));
    expect(named.length > 0 || source.includes('common practice') || source.includes('trade articles'), source).toBe(
      true,
    );
  });
});

interface Exercise {
  readonly plan: string;
  readonly line: string;
  /** As the page has it, or the mark of a practice without one. */
  readonly source: string;
  /** A record that keeps to the line, and one that does not. */
  readonly keeps: string;
  readonly leaves: string;
}

const MUST = `
2026-09-14 Mon
07:00 receive LS from ledge-2, net 770 kg
09:00 crush LS to B1 ~680 L, destemmed, stems 30 kg
`;
const JUICE = `
2026-09-14 Mon
07:00 receive GB from ledge-7, net 900 kg
09:00 press GB to T1 620 L as GB-j, pomace 210 kg
10:00 inoculate T1 with ey-7 20 g/hL
`;
const tank = (plan: string): string => `
2026-11-02 Mon
08:00 found T1 800 L as GR of ledge-2, vintage 2026
09:00 put GR under ${plan}
`;
const BARRELS = `
2026-11-02 Mon
08:00 found FB-01 225 L as GR of ledge-2, vintage 2026
08:10 found T9 100 L as GR
`;

const on = (day: string, ...lines: string[]): string => `\n${day}\n${lines.join('\n')}\n`;
/** Days of September 2026 from the 15th on, one line each. */
const daily = (...lines: string[]): string =>
  lines.map((line, i) => on(`2026-09-${15 + i}`, ...line.split(' + '))).join('');
const later = (day: string): string => on(day, '23:00 note T9');

const EXERCISES: readonly Exercise[] = [
  {
    plan: 'A red ferment',
    line: 'due punch-down 2 a day while brix above 5',
    source: 'Virginia research exchange, Merlot trial, 2016',
    keeps: MUST + daily('07:00 reading LS brix 24', '07:00, 18:00 punch-down LS', '07:00 note LS'),
    leaves: MUST + daily('07:00 reading LS brix 24', '07:00 punch-down LS', '07:00 note LS'),
  },
  {
    plan: 'A red ferment',
    line: 'due punch-down 1 a day while fermenting',
    source: NO_SOURCE,
    keeps: MUST + daily('07:00 reading LS brix 24', '07:00 reading LS brix 22', '07:00 punch-down LS', '07:00 note LS'),
    leaves: MUST + daily('07:00 reading LS brix 24', '07:00 reading LS brix 22', '07:00 note LS', '07:00 note LS'),
  },
  {
    plan: 'A red ferment',
    line: 'due reading brix, temp 2 a day while brix above 1',
    source: 'a maker’s handbook chapter on stuck ferments',
    keeps: MUST + daily('07:00 reading LS brix 24', '07:00, 17:00 reading LS brix 23, temp 20 C', '07:00 note LS'),
    leaves: MUST + daily('07:00 reading LS brix 24', '07:00 reading LS brix 23, temp 20 C', '07:00 note LS'),
  },
  {
    plan: 'A red ferment',
    line: 'due reading brix, temp 1 a day',
    source: 'a maker’s handbook chapter on stuck ferments',
    keeps: MUST + daily('07:00 reading LS brix 24, temp 18 C', '07:00 note LS'),
    leaves: MUST + daily('07:00 reading LS brix 24', '07:00 note LS'),
  },
  {
    plan: 'A red ferment',
    line: 'due add nutri-a once when a third gone',
    source: NO_SOURCE,
    keeps: MUST + daily('07:00 reading LS brix 24', '07:00 reading LS brix 16', '07:00 add nutri-a 10 g/hL to LS'),
    leaves:
      MUST +
      daily('07:00 reading LS brix 24', '07:00 reading LS brix 16', '07:00 note LS', '07:00 note LS', '07:00 note LS'),
  },
  {
    plan: 'A red ferment',
    line: 'keep temp 22..30 C while brix 5..20',
    source: NO_SOURCE,
    keeps: MUST + daily('07:00 reading LS brix 24, temp 18 C', '07:00 reading LS brix 12, temp 30 C'),
    leaves: MUST + daily('07:00 reading LS brix 24, temp 18 C', '07:00 reading LS brix 12, temp 30.5 C'),
  },
  {
    plan: 'A red ferment',
    line: 'warn temp above 32 C',
    source: 'a maker’s handbook chapter on stuck ferments',
    keeps: MUST + daily('07:00 reading LS temp 32 C'),
    leaves: MUST + daily('07:00 reading LS temp 32.5 C'),
  },
  {
    plan: 'A red ferment',
    line: 'warn brix falling under 1 a day while brix above 1',
    source: 'a maker’s reference on stuck ferments',
    keeps: MUST + daily('07:00 reading LS brix 24', '07:00 reading LS brix 20', '07:00 reading LS brix 19'),
    leaves: MUST + daily('07:00 reading LS brix 24', '07:00 reading LS brix 20', '07:00 reading LS brix 19.1'),
  },
  {
    plan: 'A red ferment',
    line: 'warn VA above 0.8 g/L',
    source: 'a supplier’s advice on restarting ferments',
    keeps: MUST + daily('07:00 reading LS VA 0.8 g/L'),
    leaves: MUST + daily('07:00 reading LS VA 0.85 g/L'),
  },
  {
    plan: 'A white ferment',
    line: 'due reading brix, temp 1 a day while fermenting',
    source: 'a maker’s handbook chapter on stuck ferments',
    keeps: JUICE + daily('07:00 reading T1 brix 20, temp 15 C', '07:00 note T1'),
    leaves: JUICE + daily('07:00 note T1', '07:00 note T1'),
  },
  {
    plan: 'A white ferment',
    line: 'due add nutri-a once when a third gone',
    source: NO_SOURCE,
    keeps: JUICE + daily('07:00 reading T1 brix 21', '07:00 reading T1 brix 14 + 08:00 add nutri-a 10 g/hL to T1'),
    leaves:
      JUICE +
      daily('07:00 reading T1 brix 21', '07:00 reading T1 brix 14', '07:00 note T1', '07:00 note T1', '07:00 note T1'),
  },
  {
    plan: 'A white ferment',
    line: 'keep temp 12..18 C while fermenting',
    source: NO_SOURCE,
    keeps: JUICE + daily('07:00 reading T1 temp 18 C', '07:00 reading T1 temp 12 C'),
    leaves: JUICE + daily('07:00 reading T1 temp 11.5 C'),
  },
  {
    plan: 'A white ferment',
    line: 'warn brix falling under 0.5 a day while brix above 1',
    source: 'a maker’s reference on stuck ferments',
    keeps: JUICE + daily('07:00 reading T1 brix 21', '07:00 reading T1 brix 19.5', '07:00 reading T1 brix 19'),
    leaves: JUICE + daily('07:00 reading T1 brix 21', '07:00 reading T1 brix 19.5', '07:00 reading T1 brix 19.1'),
  },
  {
    plan: 'Malolactic',
    line: 'due reading malic every 14 days until malic under 0.3 g/L',
    source: 'an oenology encyclopaedia of a supplier',
    keeps: tank('malolactic') + on('2026-11-16', '09:00 reading GR malic 0.29 g/L') + later('2027-02-01'),
    leaves: tank('malolactic') + on('2026-11-16', '09:00 reading GR malic 0.31 g/L') + later('2027-02-01'),
  },
  {
    plan: 'Malolactic',
    line: 'due reading VA every 30 days until malic under 0.3 g/L',
    source: 'an oenology encyclopaedia of a supplier',
    keeps: tank('malolactic') + on('2026-12-02', '09:00 reading GR VA 0.4 g/L') + later('2026-12-30'),
    leaves: tank('malolactic') + later('2026-12-30'),
  },
  {
    plan: 'Malolactic',
    line: 'due add kms once when malic under 0.3 g/L',
    source: 'an oenology encyclopaedia of a supplier',
    keeps:
      tank('malolactic') +
      on('2026-11-16', '09:00 reading GR malic 0.2 g/L', '10:00 add kms 50 mg/L SO2 to GR') +
      later('2026-12-30'),
    leaves: tank('malolactic') + on('2026-11-16', '09:00 reading GR malic 0.2 g/L') + later('2026-12-30'),
  },
  {
    plan: 'Malolactic',
    line: 'keep temp 18..22 C until malic under 0.3 g/L',
    source: 'column of the Australian Wine Research Institute on malolactic fermentation',
    keeps:
      tank('malolactic') +
      on('2026-11-03', '09:00 reading GR temp 18 C', '10:00 reading GR malic 0.2 g/L', '11:00 reading GR temp 12 C'),
    leaves: tank('malolactic') + on('2026-11-03', '09:00 reading GR temp 17.5 C'),
  },
  {
    plan: 'Malolactic',
    line: 'keep free SO2 under 10 mg/L until malic under 0.3 g/L',
    source: 'column of the Australian Wine Research Institute on malolactic fermentation',
    keeps: tank('malolactic') + on('2026-11-03', '09:00 reading GR free SO2 10 mg/L'),
    leaves: tank('malolactic') + on('2026-11-03', '09:00 reading GR free SO2 11 mg/L'),
  },
  {
    plan: 'Malolactic',
    line: 'warn temp under 15 C until malic under 0.3 g/L',
    source: 'column of the Australian Wine Research Institute on malolactic fermentation',
    keeps: tank('malolactic') + on('2026-11-03', '09:00 reading GR temp 15 C'),
    leaves: tank('malolactic') + on('2026-11-03', '09:00 reading GR temp 14.5 C'),
  },
  {
    plan: 'Ageing in barrel',
    line: 'due top every 7 days',
    source: NO_SOURCE,
    keeps: BARRELS + on('2026-11-09', '09:00 top FB-01 from T9 1 L') + on('2026-11-16', '09:00 top FB-01 from T9 1 L'),
    leaves: BARRELS + on('2026-11-09', '09:00 top FB-01 from T9 1 L') + on('2026-11-18', '09:00 top FB-01 from T9 1 L'),
  },
  {
    plan: 'Ageing in barrel',
    line: 'due top every 21 days after 60 days',
    source: NO_SOURCE,
    // the 2nd of November and 60 days are the 1st of January
    keeps: BARRELS + on('2027-01-22', '09:00 top FB-01 from T9 1 L') + later('2027-02-01'),
    leaves: BARRELS + on('2027-01-26', '09:00 top FB-01 from T9 1 L') + later('2027-02-01'),
  },
  {
    plan: 'Ageing in barrel',
    line: 'due reading free SO2, pH every 30 days when malic under 0.3 g/L',
    source: 'Grapevine Magazine, 2019',
    keeps:
      BARRELS +
      on('2026-11-03', '09:00 reading GR malic 0.2 g/L') +
      on('2026-12-03', '09:00 reading GR free SO2 30 mg/L, pH 3.5'),
    leaves:
      BARRELS +
      on('2026-11-03', '09:00 reading GR malic 0.2 g/L') +
      on('2026-12-08', '09:00 reading GR free SO2 30 mg/L, pH 3.5'),
  },
  {
    plan: 'Ageing in barrel',
    line: 'keep molecular SO2 above 0.5 mg/L',
    source: NO_SOURCE,
    // at pH 3.5 the molecular share is 2.00 %: 25 mg/L of free hold 0.50
    keeps: BARRELS + on('2026-11-03', '09:00 reading GR free SO2 26 mg/L, pH 3.5'),
    leaves: BARRELS + on('2026-11-03', '09:00 reading GR free SO2 24 mg/L, pH 3.5'),
  },
  {
    plan: 'Ageing in barrel',
    line: 'keep temp 10..15 C',
    source: 'Grapevine Magazine, 2019',
    keeps: BARRELS + on('2026-11-03', '09:00 reading GR temp 50 F'),
    leaves: BARRELS + on('2026-11-03', '09:00 reading GR temp 49 F'),
  },
  ...(
    [
      ['due reading free SO2, total SO2, pH once', 'free SO2 30 mg/L, total SO2 80 mg/L, pH 3.3'],
      [
        'due reading alcohol, residual sugar, VA, malic once',
        'alcohol 13 %, residual sugar 1 g/L, VA 0.4 g/L, malic 0.1 g/L',
      ],
      ['due reading turbidity, dissolved oxygen, CO2 once', 'turbidity 1 NTU, dissolved oxygen 0.3 mg/L, CO2 0.8 g/L'],
    ] as const
  ).map(([line, figures]) => ({
    plan: 'Before bottling',
    line,
    source: NO_SOURCE,
    keeps: tank('before-bottling') + on('2026-11-03', `09:00 reading GR ${figures}`) + later('2026-11-10'),
    leaves:
      tank('before-bottling') + on('2026-11-03', `09:00 reading GR ${figures.split(',')[0]}`) + later('2026-11-10'),
  })),
  ...(
    [
      ['keep turbidity under 8 NTU', 'Australian Wine Research Institute', 'turbidity 8 NTU', 'turbidity 8.5 NTU'],
      [
        'keep dissolved oxygen under 0.5 mg/L',
        'Australian Wine Research Institute',
        'dissolved oxygen 0.5 mg/L',
        'dissolved oxygen 0.6 mg/L',
      ],
      ['keep CO2 under 1.2 g/L', 'a trainer’s study cards', 'CO2 1.2 g/L', 'CO2 1.3 g/L'],
      [
        'keep molecular SO2 0.5..0.8 mg/L',
        'Practical Winery, January/February 2009',
        'molecular SO2 0.8 mg/L',
        'molecular SO2 0.85 mg/L',
      ],
    ] as const
  ).map(([line, source, keeps, leaves]) => ({
    plan: 'Before bottling',
    line,
    source,
    keeps: tank('before-bottling') + on('2026-11-03', `09:00 reading GR ${keeps}`),
    leaves: tank('before-bottling') + on('2026-11-03', `09:00 reading GR ${leaves}`),
  })),
];

test('every line that ships is exercised, and its source is the one of the page', () => {
  const all = shipped.flatMap(({ title, told }) => [...told].map(([line]) => `${title}: ${line}`));
  expect(EXERCISES.map(({ plan, line }) => `${plan}: ${line}`)).toEqual(all);
  for (const { plan, line, source } of EXERCISES)
    expect(shipped.find(({ title }) => title === plan)?.told.get(line), line).toContain(source);
});

test.each(EXERCISES)('$plan: $line ($source)', ({ plan, line, keeps, leaves }) => {
  const of = shipped.find(({ title }) => title === plan);
  const facts = [
    of?.facts ?? '',
    ...(plan === 'A red ferment' ? [] : ['vessel T7..T9 tank 500 L']),
    'block ledge-2 Syrah',
    'block ledge-7 "Pinot blanc"',
    'material ey-7 yeast',
    ...(plan === 'A red ferment' ? ['vessel T9 tank 500 L'] : []),
  ];
  const journal = (record: string): string => `${facts.join('\n')}\n${of?.head ?? ''}\n  ${line}\n${record}`;
  expect(foundIn(journal(keeps))).toEqual([]);
  const found = foundIn(journal(leaves));
  expect(found).toHaveLength(1);
  expect(found[0]).toContain(`\`${line.replace(/^\w+ /, '')}\``);
});

test('before bottling everything that is not read yet is due at once', () => {
  const of = shipped.find(({ title }) => title === 'Before bottling');
  const text = `${of?.facts}\nblock ledge-2 Syrah\n${[of?.head, ...(of?.lines ?? [])].join('\n')}\n${tank('before-bottling')}10:00 reading GR pH 3.3, VA 0.4 g/L\n`;
  expect(dueOn(text, '2026-11-02', 0)).toEqual([
    'now T1 GR reading free SO2, total SO2',
    'now T1 GR reading alcohol, residual sugar, malic',
    'now T1 GR reading turbidity, dissolved oxygen, CO2',
  ]);
});
