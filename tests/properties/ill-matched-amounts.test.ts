/** Movements whose two sides do not agree, of every verb that moves wine: never an exception, and what is there stays the sum of its parts. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { onHandByAccount } from '../../src/cellar/accounts.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';

const VESSELS = ['T1', 'T2', 'T3', 'T4', 'K1', 'K2', 'B1', 'B2'] as const;
const SETTING = `vessel T1..T4 tank 500 L
vessel K1..K2 keg 50 L
vessel B1..B2 bin 900 L
block ledge-2 Syrah
block rise-1 Viognier
2026-08-01
found T1 300 L as GR of ledge-2, vintage 2025
found T2 120.001 L as HB of rise-1 40 %, ledge-2 60 %, vintage 2025
found K1 estimate 20 L as GR of ledge-2, vintage 2025
2026-09-01
receive LS 900 kg from ledge-2
crush LS to B1 450 L, B2 estimate 400 L
`;

const litres = fc.constantFrom(
  '0.001 L',
  '7 L',
  '20 L',
  '120 L',
  '150 L',
  '299.999 L',
  '300 L',
  '301 L',
  '900 L',
  'estimate 200 L',
  'now 100 L',
);
const vessel = fc.constantFrom(...VESSELS);
const place = fc.oneof(
  { weight: 5, arbitrary: vessel },
  { weight: 1, arbitrary: fc.constantFrom('GR', 'HB', 'LS', 'X1', 'T1..T4', 'B1..B2') },
);
const one = (amount: fc.Arbitrary<string>): fc.Arbitrary<string> =>
  fc
    .tuple(place, fc.oneof(fc.constant(''), amount, fc.constantFrom('all', '30 L each')))
    .map(([name, said]) => `${name} ${said}`.trim());
const some = (amount: fc.Arbitrary<string>): fc.Arbitrary<string> =>
  fc.array(one(amount), { minLength: 1, maxLength: 3 }).map((list) => list.join(', '));
const ends = fc
  .tuple(
    ...['lees', 'loss', 'leaving'].map((word) =>
      fc.option(
        fc.constantFrom('5 L', '150 L', '300 L', '900 L').map((v) => `, ${word} ${v}`),
        { nil: '', freq: 2 },
      ),
    ),
  )
  .map((list) => list.join(''));
const as = fc.constantFrom('', '', ' as GR', ' as X1', ' as HB');
const moved = fc
  .tuple(
    fc.constantFrom('rack', 'transfer', 'blend', 'filter', 'drain', 'bleed', 'press'),
    some(litres),
    some(litres),
    as,
    ends,
    fc.constantFrom('', '', ', pomace 90 kg', ', pomace 2000 kg'),
  )
  .map(
    ([verb, from, to, name, rest, pomace]) => `${verb} ${from} to ${to}${name}${rest}${verb === 'press' ? pomace : ''}`,
  );
const filled = fc
  .tuple(some(litres), fc.constantFrom('40 x 750 mL', '400 x 750 mL', '2000 x 750 mL', '1 x 1.5 L'), ends)
  .map(([from, to, rest]) => `bottle ${from} to ${to} as "26B-01"${rest}`);
const topped = fc.oneof(
  fc.tuple(some(litres), some(litres)).map(([to, from]) => `top ${to} from ${from}`),
  fc.tuple(some(litres), some(litres)).map(([from, to]) => `top ${from} to ${to}`),
);
const left = fc.oneof(
  some(litres).map((from) => `lose ${from} for spill`),
  some(litres).map((from) => `dispatch ${from} for vinegar`),
  fc.tuple(vessel, litres).map(([at, volume]) => `dip ${at} ${volume}`),
);
const line = fc.oneof(
  { weight: 6, arbitrary: moved },
  { weight: 1, arbitrary: filled },
  { weight: 2, arbitrary: topped },
  { weight: 2, arbitrary: left },
);

const sum = (volumes: readonly number[]): number => volumes.reduce((all, volume) => all + volume, 0);

test('movements that do not agree give findings, never an exception, and no microlitre comes or goes unsaid', () => {
  let said = 0;
  fc.assert(
    fc.property(fc.array(line, { minLength: 1, maxLength: 6 }), (lines) => {
      const days = lines.map((text, i) => `2026-09-${String(i + 2).padStart(2, '0')}\n${text}`).join('\n');
      const book = makeBook([{ path: 'a.cellar', text: `${SETTING}${days}\n` }], undefined, checkJournal);
      said += book.findings.length;
      for (const { content } of book.vessels) {
        expect(content.volume).toBeGreaterThanOrEqual(0);
        expect(content.slack).toBeGreaterThanOrEqual(0);
        expect(Math.min(0, ...content.volumes)).toBe(0);
        expect(sum(content.volumes)).toBe(content.volume);
      }
      for (const lot of book.lots) {
        expect(onHandByAccount(lot.account)).toBe(lot.onHand);
        if (!lot.facts.bottling)
          expect(lot.onHand).toBe(sum(lot.vessels.map((id) => book.vessels[id]?.content.volume ?? 0)));
      }
    }),
    { numRuns: 1500 },
  );
  // the lines are ill enough to be told of
  expect(said).toBeGreaterThan(1500);
});
