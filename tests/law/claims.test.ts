/**
 * Both sides of every figure a claim is compared with. United States: 27 CFR parts 4 and 24, annual edition of 2015, and
 * 26 U.S.C. 5041(b); 4.39(m) from memory. European Union: Delegated Regulations 2019/33 and 2019/934 and Regulations
 * 1308/2013 and 1169/2011, from memory but for annex I of 2019/934. The rule sets say of each rule how it is known.
 */
import { describe, expect, test } from 'vitest';
import type { LabelSaid } from '../../src/journal/events.ts';
import type { ClaimKind, Verdict } from '../../src/law/claims.ts';
import { EU } from '../../src/law/eu.ts';
import { NONE } from '../../src/law/none.ts';
import { RULE_SETS } from '../../src/law/rule-sets.ts';
import type { RuleSet } from '../../src/law/rules.ts';
import { BOOK_CUT } from '../../src/law/share.ts';
import { US } from '../../src/law/us.ts';
import { answer, answers, figure, label, type Part, wine } from './wines.ts';

const WHOLE = 1000_000_000;
const area = [{ name: 'Lower Teal', kind: 'area' }] as const;
const county = [{ name: 'Lower Teal', kind: 'county' }] as const;

interface ShareCase {
  readonly set: RuleSet;
  readonly id: string;
  readonly least: number;
  readonly kind: ClaimKind;
  readonly said: Partial<LabelSaid>;
  /** What the other wine is. */
  readonly other: Omit<Part, 'volume'>;
}

const grenache = { variety: 'Grenache', block: 'lower-3' };
const elsewhere = { region: 'Far Ridge', block: 'far-1', estate: false };
const older = { vintage: 2024 };

const CASES: readonly ShareCase[] = [
  {
    set: US,
    id: 'us-variety',
    least: 75,
    kind: 'variety',
    said: { varieties: [{ name: 'Syrah' }], regions: area },
    other: grenache,
  },
  {
    set: US,
    id: 'us-variety',
    least: 75,
    kind: 'variety',
    said: { varieties: [{ name: 'Syrah' }], regions: area },
    other: elsewhere,
  },
  { set: US, id: 'us-area', least: 85, kind: 'region', said: { regions: area }, other: elsewhere },
  { set: US, id: 'us-area', least: 85, kind: 'region', said: { regions: [{ name: 'Lower Teal' }] }, other: elsewhere },
  { set: US, id: 'us-place', least: 75, kind: 'region', said: { regions: county }, other: elsewhere },
  {
    set: US,
    id: 'us-place',
    least: 75,
    kind: 'region',
    said: { regions: [{ name: 'Lower Teal', kind: 'state' }] },
    other: elsewhere,
  },
  {
    set: US,
    id: 'us-place',
    least: 75,
    kind: 'region',
    said: { regions: [{ name: 'Lower Teal', kind: 'country' }] },
    other: elsewhere,
  },
  { set: US, id: 'us-vintage-area', least: 95, kind: 'vintage', said: { vintage: 2025, regions: area }, other: older },
  {
    set: US,
    id: 'us-vintage-other',
    least: 85,
    kind: 'vintage',
    said: { vintage: 2025, regions: county },
    other: older,
  },
  { set: US, id: 'us-vineyard', least: 95, kind: 'block', said: { blocks: ['ledge-2'] }, other: grenache },
  { set: US, id: 'us-estate', least: 100, kind: 'estate', said: { estate: true, regions: area }, other: elsewhere },
  { set: EU, id: 'eu-variety', least: 85, kind: 'variety', said: { varieties: [{ name: 'Syrah' }] }, other: grenache },
  { set: EU, id: 'eu-vintage', least: 85, kind: 'vintage', said: { vintage: 2025 }, other: older },
  {
    set: EU,
    id: 'eu-protected-origin',
    least: 100,
    kind: 'region',
    said: { regions: [{ name: 'Lower Teal', kind: 'protected' }] },
    other: elsewhere,
  },
  {
    set: EU,
    id: 'eu-protected-origin',
    least: 100,
    kind: 'region',
    said: { regions: [{ name: 'Lower Teal' }] },
    other: elsewhere,
  },
  {
    set: EU,
    id: 'eu-protected-indication',
    least: 85,
    kind: 'region',
    said: { regions: [{ name: 'Lower Teal', kind: 'indication' }] },
    other: elsewhere,
  },
];

describe.each(CASES)('$id, at least $least % ($kind)', ({ set, id, least, kind, said, other }) => {
  const at = (part: number) => answer(set, kind, said, wine([{ volume: part }, { volume: WHOLE - part, ...other }]));
  const needed = (WHOLE / 100) * least;

  test('a tenth of a point on either side, and on it', () => {
    expect(at(needed - WHOLE / 1000).verdict).toBe('not reached');
    expect(at(needed).verdict).toBe('reached');
    expect(at(Math.min(WHOLE, needed + WHOLE / 1000)).verdict).toBe('reached');
  });

  test('a microlitre on either side, the cuts of the book aside', () => {
    const cut = least === 100 ? 0 : BOOK_CUT;
    expect(at(needed - cut).verdict).toBe('reached');
    expect(at(needed - cut - 1).verdict).toBe('not reached');
  });

  test('says its rule, its figure and its margin', () => {
    const { rule, text } = at(needed - WHOLE / 1000);
    expect(rule?.id).toBe(id);
    expect(text).toContain(`${least - 1}.9 %, needs ${least} %: 0.1 points short`);
    expect(at(needed).text).toContain(`${least} %, needs ${least} %: nothing to spare`);
  });
});

const SEVERAL: readonly Omit<ShareCase, 'least'>[] = [
  {
    set: US,
    id: 'us-varieties',
    kind: 'variety',
    said: {
      varieties: [
        { name: 'Syrah', share: 600_000 },
        { name: 'Grenache', share: 400_000 },
      ],
      regions: county,
    },
    other: { variety: 'Roussanne' },
  },
  {
    set: US,
    id: 'us-counties',
    kind: 'region',
    said: {
      regions: [
        { name: 'Lower Teal', kind: 'county', share: 600_000 },
        { name: 'Far Ridge', kind: 'county', share: 400_000 },
      ],
    },
    other: { region: 'Elsewhere' },
  },
  {
    set: US,
    id: 'us-states',
    kind: 'region',
    said: {
      regions: [
        { name: 'Lower Teal', kind: 'state', share: 600_000 },
        { name: 'Far Ridge', kind: 'state', share: 400_000 },
      ],
    },
    other: { region: 'Elsewhere' },
  },
  {
    set: EU,
    id: 'eu-varieties',
    kind: 'variety',
    said: { varieties: [{ name: 'Syrah' }, { name: 'Grenache' }] },
    other: { variety: 'Roussanne' },
  },
];

describe.each(SEVERAL)('$id, several named', ({ set, id, kind, said, other }) => {
  const second = kind === 'region' ? { region: 'Far Ridge' } : { variety: 'Grenache' };
  const of = (others: number) =>
    answers(
      set,
      kind,
      said,
      wine([{ volume: 600_000_000 }, { volume: 400_000_000 - others, ...second }, { volume: others, ...other }]),
    );

  test('all of the wine is of those named', () => {
    expect(of(0).map(({ verdict }) => verdict)).not.toContain('not reached');
    const [all] = of(1);
    expect(all?.rule?.id).toBe(id);
    expect(all?.verdict).toBe('not reached');
  });
});

test('a share that is shown may be off by two points, 27 CFR 4.23(d)', () => {
  const of = (percent: number): Verdict[] =>
    answers(
      US,
      'variety',
      {
        varieties: [
          { name: 'Syrah', share: 600_000 },
          { name: 'Grenache', share: 420_000 },
        ],
        regions: area,
      },
      wine([{ volume: percent * 10_000_000 }, { volume: (100 - percent) * 10_000_000, ...grenache }]),
    ).map(({ verdict }) => verdict);
  expect(of(58)).toEqual(['reached', 'reached', 'reached']);
  expect(of(57.9)).toEqual(['reached', 'not reached', 'reached']);
  expect(of(62)).toEqual(['reached', 'reached', 'not reached']);
});

test('several grapes without their shares on the label, 27 CFR 4.23(d)', () => {
  const found = answers(
    US,
    'variety',
    { varieties: [{ name: 'Syrah' }, { name: 'Grenache' }], regions: area },
    wine([{ volume: 6 }, { volume: 4, ...grenache }]),
  );
  expect(found.map(({ verdict }) => verdict)).toEqual(['reached', 'not reached', 'not reached']);
});

test('the Union wants the larger share first', () => {
  const of = (part: number) =>
    answers(
      EU,
      'variety',
      { varieties: [{ name: 'Syrah' }, { name: 'Grenache' }] },
      wine([{ volume: part }, { volume: WHOLE - part, ...grenache }]),
    ).at(-1)?.verdict;
  expect(of(WHOLE / 2)).toBe('reached');
  expect(of(WHOLE / 2 - 1)).toBe('not reached');
});

test('grape and place are asked for together: 80 % of the grape, of which 10 are from elsewhere', () => {
  const mixed = wine([{ volume: 70 }, { volume: 10, ...elsewhere }, { volume: 20, ...grenache }]);
  expect(answer(US, 'variety', { varieties: [{ name: 'Syrah' }], regions: area }, mixed).share).toEqual({
    part: 70,
    whole: 100,
  });
  expect(answer(EU, 'variety', { varieties: [{ name: 'Syrah' }], regions: area }, mixed).share).toEqual({
    part: 80,
    whole: 100,
  });
});

test('a grape under another of its names is the same grape', () => {
  expect(answer(EU, 'variety', { varieties: [{ name: 'Shiraz' }] }, wine([{ volume: 10 }])).verdict).toBe('reached');
});

test('grape and year ask for a region in the United States, 27 CFR 4.23(a) and 4.27', () => {
  const of = wine([{ volume: 10 }]);
  expect(answers(US, 'variety', { varieties: [{ name: 'Syrah' }] }, of)[0]?.rule?.id).toBe('us-variety-region');
  expect(answers(US, 'vintage', { vintage: 2025 }, of)[0]?.rule?.id).toBe('us-vintage-region');
  expect(answers(EU, 'vintage', { vintage: 2025 }, of)).toHaveLength(1);
});

test('a region whose kind is not told is taken for the narrowest, and that is said', () => {
  expect(answer(US, 'region', { regions: [{ name: 'Lower Teal' }] }, wine([{ volume: 1 }])).text).toContain(
    'Lower Teal is taken for a viticultural area, since its line does not say',
  );
});

describe('estate, 27 CFR 4.26', () => {
  test('asks for an area on the label', () => {
    expect(answer(US, 'estate', { estate: true }, wine([{ volume: 1 }])).verdict).toBe('not reached');
  });
  test('cannot be told once wine in its family was brought in', () => {
    const came = wine([{ volume: 1 }], { broughtIn: ['OUT'] });
    expect(answer(US, 'estate', { estate: true, regions: area }, came).verdict).toBe('cannot tell');
  });
});

describe('alcohol', () => {
  const of = (set: RuleSet, said: number, has: number) =>
    answers(
      set,
      'alcohol',
      { alcohol: Math.round(said * 10_000) },
      wine([{ volume: 1 }], { figures: { alcohol: figure(has) } }),
    )
      .filter(({ verdict }) => verdict === 'not reached')
      .map(({ rule }) => rule?.id);

  // 27 CFR 4.36(b): 1.5 points up to 14 %, 1 above; 24.257(a)(3): 0.75 under 7 %
  test.each([
    [12, 13.5, []],
    [12, 13.6, ['us-alcohol-table']],
    [13.5, 12, []],
    [13.6, 12, ['us-alcohol-table']],
    [14.1, 15.1, []],
    [14.1, 15.2, ['us-alcohol-dessert']],
    [7.5, 6.8, []],
    [6, 6.7, []],
    [6, 6.8, ['us-alcohol-low']],
    [8.5, 7, []],
  ])('United States: label %d, wine %d', (said, has, wrong) => {
    expect(of(US, said, has)).toEqual(wrong);
  });

  // 27 CFR 4.36(c); what has exactly the boundary is below it
  test.each([
    [13.9, 14, []],
    [13.9, 14.1, ['us-alcohol-class']],
    [14, 14.1, ['us-alcohol-class']],
    [14.1, 14, ['us-alcohol-class']],
    [15.9, 16, []],
    [16, 16.1, ['us-alcohol-tax-16']],
    [20.9, 21, []],
    [21, 21.1, ['us-alcohol-tax-21']],
    [23.9, 24, []],
    [24, 24.1, ['us-alcohol-tax-24']],
  ])('on one side of a boundary: label %d, wine %d', (said, has, wrong) => {
    expect(of(US, said, has)).toEqual(wrong);
  });

  // Delegated Regulation (EU) 2019/33, article 44, from memory
  test.each([
    [13, 13.5, []],
    [13, 13.6, ['eu-alcohol']],
    [13.5, 13, []],
    [13.5, 12.9, ['eu-alcohol']],
    [13.2, 13.2, ['eu-alcohol-step']],
  ])('European Union: label %d, wine %d', (said, has, wrong) => {
    expect(of(EU, said, has)).toEqual(wrong);
  });

  test('cannot be told without a reading', () => {
    expect(answer(US, 'alcohol', { alcohol: 130_000 }, wine([{ volume: 1 }])).verdict).toBe('cannot tell');
  });
});

describe('sulfites', () => {
  const of = (set: RuleSet, milligrams: number, holds: LabelSaid['holds'] = []) =>
    answer(set, 'sulfites', { holds }, wine([{ volume: 1 }], { figures: { 'total SO2': figure(milligrams) } })).verdict;

  test('United States: declared from 10 mg/L on, 27 CFR 4.32(e)', () => {
    expect([9.9, 10, 10.1].map((has) => of(US, has))).toEqual(['reached', 'to look at', 'to look at']);
    expect(of(US, 100, ['sulfites'])).toBe('reached');
  });
  test('European Union: above 10 mg/L', () => {
    expect([9.9, 10, 10.1].map((has) => of(EU, has))).toEqual(['reached', 'reached', 'to look at']);
  });
});

describe('allergens', () => {
  const of = (set: RuleSet, used: readonly string[], holds: LabelSaid['holds']) =>
    answers(set, 'allergens', { holds }, wine([{ volume: 1 }], { allergens: used })).map(({ verdict }) => verdict);

  test('United States: whoever declares one declares all, 27 CFR 4.32a', () => {
    expect(of(US, ['egg', 'fish'], ['egg'])).toEqual(['not reached']);
    expect(of(US, ['egg', 'fish'], ['egg', 'fish'])).toEqual(['reached']);
    expect(of(US, ['egg'], [])).toEqual(['to look at']);
    expect(of(US, ['sulfites'], [])).toEqual([]);
  });
  test('European Union: egg and milk, where they can be found', () => {
    expect(of(EU, ['egg', 'fish'], [])).toEqual(['to look at']);
    expect(of(EU, ['fish'], [])).toEqual([]);
  });
});

describe('limits, as last read', () => {
  const so2 = (set: RuleSet, milligrams: number, colour: 'red' | 'white', sugar = 0) =>
    answer(
      set,
      'total SO2',
      {},
      wine([{ volume: 1 }], { colour, figures: { 'total SO2': figure(milligrams), 'residual sugar': figure(sugar) } }),
    ).verdict;

  test.each([
    [US, 'red', 0, 350],
    [US, 'white', 0, 350],
    [EU, 'red', 0, 150],
    [EU, 'white', 0, 200],
    [EU, 'red', 5, 200],
    [EU, 'white', 5, 250],
  ] as const)('total SO2: %o %s with %d g/L of sugar, %d mg/L', (set, colour, sugar, most) => {
    expect([most - 0.1, most, most + 0.1].map((has) => so2(set, has, colour, sugar))).toEqual([
      'reached',
      'reached',
      'to look at',
    ]);
  });

  const va = (set: RuleSet, grams: number, colour: 'red' | 'white') =>
    answer(set, 'volatile acidity', {}, wine([{ volume: 1 }], { colour, figures: { VA: figure(grams) } })).verdict;

  // 20 and 18 meq/L of acetic acid are 1.2010 and 1.0809 g/L, at 60.05 g/mol
  test.each([
    [US, 'red', 1.4, 1.41],
    [US, 'white', 1.2, 1.21],
    [EU, 'red', 1.201, 1.202],
    [EU, 'white', 1.08, 1.082],
  ] as const)('volatile acidity: %o %s, %d and %d g/L', (set, colour, within, over) => {
    expect(va(set, within, colour)).toBe('reached');
    expect(va(set, over, colour)).toBe('to look at');
  });
});

test('without rules shares are shown and nothing is said of them', () => {
  const said = label({
    varieties: [{ name: 'Syrah' }],
    regions: area,
    vintage: 2025,
    blocks: ['ledge-2'],
    estate: true,
    alcohol: 130_000,
  });
  const of = wine([{ volume: 1 }, { volume: 2, ...grenache }], { figures: { alcohol: figure(13) } });
  const kinds = ['variety', 'vintage', 'region', 'block', 'estate', 'alcohol'] as const;
  expect(kinds.flatMap((kind) => answers(NONE, kind, said, of)).map(({ verdict, rule }) => [verdict, rule])).toEqual(
    kinds.map(() => ['share only', undefined]),
  );
});

test('what the record does not tell is counted against the claim, and named', () => {
  const dark = wine([{ volume: 60 }, { volume: 40, variety: 'not said' }]);
  const found = answer(EU, 'variety', { varieties: [{ name: 'Syrah' }] }, dark);
  expect(found.verdict).toBe('not reached');
  expect(found.text).toContain('of 40 % the record does not tell');
});

test('nothing is judged of a wine that is not there', () => {
  expect(answer(US, 'region', { regions: area }, wine([])).verdict).toBe('cannot tell');
});

describe.each(Object.values(RULE_SETS))('the rule set $version', ({ rules, claims, caution }) => {
  test('says of every rule where it stands, of when it is, and how it is known', () => {
    for (const rule of rules) {
      expect(rule.id).toMatch(/^(us|eu)-[a-z0-9-]+$/u);
      for (const words of [rule.title, rule.section, rule.figure, rule.dated, rule.read]) expect(words).not.toBe('');
      if (rule.least !== undefined && rule.least < 1_000_000)
        expect(rule.figure).toContain(String(rule.least / 10_000));
    }
    expect(new Set(rules.map(({ id }) => id)).size).toBe(rules.length);
  });

  test('defers to the authority, and says nothing is allowed', () => {
    expect(caution).toMatch(/authority/u);
    expect(JSON.stringify(rules) + caution).not.toMatch(/compliant|complies/u);
  });

  test('has every rule of shares held on both sides here', () => {
    const tested = new Set([...CASES, ...SEVERAL].map(({ id }) => id));
    const ofShares = rules.filter(({ least }) => least !== undefined).map(({ id }) => id);
    expect(ofShares.filter((id) => !tested.has(id))).toEqual([]);
  });

  test('lists every rule that claims are compared with', () => {
    if (claims === undefined) {
      expect(rules).toEqual([]);
      return;
    }
    const { variety, regions, alcohol, sulfites, allergens } = claims;
    const used = [
      variety.one,
      variety.several,
      ...regions.flatMap(({ one, several, vintage }) => [one, vintage, ...(several === undefined ? [] : [several])]),
      ...alcohol.tolerances.map(({ rule }) => rule),
      ...alcohol.boundaries.map(({ rule }) => rule),
      sulfites.rule,
      allergens.rule,
      claims.totalSulfurDioxide('red', 0).rule,
      claims.volatileAcidity('white').rule,
    ];
    for (const rule of used) expect(rules).toContain(rule);
  });
});
