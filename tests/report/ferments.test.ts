/** The ferments side by side: how each goes, when it will be dry, and what was done to its cap. */
import { describe, expect, test } from 'vitest';
import { activeFerments, wantsLooking } from '../../src/report/active-ferments.ts';
import { contextOf } from '../../src/report/context.ts';
import { fermentsModel } from '../../src/report/ferments.ts';
import { fixtureBook } from './fixture.ts';
import { contextFor, fermentingText, finishedText } from './small-cellar.ts';

describe('three bins of one must', () => {
  const context = contextFor(fermentingText());
  const model = fermentsModel(context);
  const row = (name: string) => model.rows.find(({ vessel }) => vessel.text === name);

  test('stand with the one that stands still first, and the one that is dry last before the one that is dry first', () => {
    expect(model.rows.map(({ vessel, state }) => [vessel.text, state])).toEqual([
      ['B3', 'stuck'],
      ['B2', 'moving'],
      ['B1', 'moving'],
    ]);
    expect(model.chart?.panels.map(({ name }) => name)).toEqual(['B3 LS', 'B2 LS', 'B1 LS']);
    expect(model.chart?.unit).toBe('°Bx');
  });

  test('have their newest figures, each with its line', () => {
    expect(row('B2')?.sugar).toEqual({ text: '11.6\u00A0°Bx', href: 'journal/2026.html#L83' });
    expect(row('B2')?.sugarAt).toBe('24 Sep 07:00');
    expect(row('B2')?.warmth.text).toBe('28.5\u00A0°C');
    // 4.4, 4.1, 3.5, 2.7 and 1.9 °Bx a day lately: the rate now is that of the last day or a little less.
    expect(row('B1')?.rate.replaceAll('\u00A0', ' ')).toMatch(/^1\.[5-9] ± 0\.\d °Bx a day$/u);
  });

  test('are foretold a day where they fall, and none where they stand still', () => {
    expect(row('B1')?.dry).toMatch(/^25 Sep \(.+\)$/u);
    expect(row('B2')?.dry).toMatch(/ \(.+ to .+\)$/u);
    expect(row('B3')?.dry).toBe('stands still');
    expect(model.chart?.panels[0]).not.toHaveProperty('forecast');
    expect(model.chart?.panels[0]?.dry).toBe('stuck');
    expect(model.chart?.panels[2]?.forecast?.length).toBeGreaterThan(2);
  });

  test('have their cap work counted from the entries', () => {
    // Of the 23rd: twice the lot, once B1 alone, and once over in B2.
    expect(model.rows.map(({ vessel, yesterday, today }) => [vessel.text, yesterday, today])).toEqual([
      ['B3', '2 punch-downs', '2 punch-downs'],
      ['B2', '2 punch-downs, 1 pump-over (20 min)', '2 punch-downs'],
      ['B1', '3 punch-downs', '2 punch-downs'],
    ]);
    expect(row('B1')?.last.text).toBe('punch-down Thu 13:00');
  });

  test('bring the caution about gas', () => {
    expect(model.cautions.map(({ title }) => title)).toEqual(['Carbon dioxide', 'Bins and tanks']);
  });
});

test('a slow ferment whose line answers for it still stands first, and calls nobody', () => {
  const text = fermentingText().replace(/readings brix, temp C by ana(?![\s\S]*readings brix)/u, '$&, sic');
  const [first] = activeFerments(contextFor(text));
  expect([first?.vessel.facts.name, first?.pace?.state, first?.answered]).toEqual(['B3', 'stuck', true]);
  expect(activeFerments(contextFor(text)).filter(wantsLooking)).toEqual([]);
});

test('readings on another scale are converted to the one most are on', () => {
  // 20.0 °Bx is SG 1.0830 (NBS Circular C440, 20/20 °C).
  const text = fermentingText().replace(
    '07:30, 13:00 punch-down LS by cy',
    '07:10 reading B1 SG 1.0830\n07:30 punch-down LS',
  );
  const context = contextFor(text);
  const b1 = activeFerments(context).find(({ vessel }) => vessel.facts.name === 'B1');
  expect(b1?.converted).toBe(true);
  expect(b1?.sugar.some(({ value }) => Math.abs(value - 20) < 0.05 && value !== 20)).toBe(true);
  expect(fermentsModel(context).method).toContain('Readings of B1 on another scale are converted');
});

test('must nobody has read says so, and how it is written', () => {
  const text = fermentingText().replace(/ {6}B2 .*\n/gu, '');
  const b2 = fermentsModel(contextFor(text)).rows.find(({ vessel }) => vessel.text === 'B2');
  expect([b2?.state, b2?.sugar.text, b2?.dry]).toEqual(['not read', '', '']);
  expect(b2?.remarks[0]?.map((span) => span.text).join('')).toContain('reading B2 brix 22.4');
});

describe('a ferment goes on', () => {
  const rows = (more: string) => fermentsModel(contextFor(`${fermentingText()}\n${more}`)).rows;

  test('under the name its wine is given where it lies', () => {
    const row = rows('2026-09-25\n08:00 set-apart B3 as LS-slow\n09:00 reading B3 brix 12.0\n').find(
      ({ vessel }) => vessel.text === 'B3',
    );
    expect([row?.lot.text, row?.state]).toEqual(['LS-slow', 'stuck']);
  });

  test('in the vessel it is moved to, and so does its forecast', () => {
    const row = rows('2026-09-24\n20:00 transfer B2 430 L to T1\n2026-09-25\n07:00 reading T1 brix 9.9\n').find(
      ({ vessel }) => vessel.text === 'T1',
    );
    expect([row?.state, row?.sugar.text]).toEqual(['moving', '9.9\u00A0°Bx']);
    expect(row?.dry).toMatch(/^\d+ Oct \(/u);
  });

  test('but not where two came together', () => {
    const row = rows(
      '2026-09-24\n20:00 transfer B1 430 L, B2 430 L to T1\n2026-09-25\n07:00 reading T1 brix 5.6\n',
    ).find(({ vessel }) => vessel.text === 'T1');
    expect([row?.state, row?.dry]).toEqual(['read once', 'no day named']);
  });
});

test('white juice has no cap, and none is missed', () => {
  const context = contextFor(`vessel T1 tank 1200 L
block barn-4 Roussanne
variety Roussanne white

2026-09-14
07:00 receive RO from barn-4, net 1500 kg
08:00 press RO to T1 900 L, pomace 400 kg
09:00 reading T1 brix 21.5

2026-09-15
09:00 reading T1 brix 21.4
`);
  expect(fermentsModel(context).rows.map(({ state, yesterday, today }) => [state, yesterday, today])).toEqual([
    ['not yet moving', '', ''],
  ]);
});

test('a lot whose ferment ended of late is told with its days, its highest sugar and its warmest', () => {
  const model = fermentsModel(contextFor(finishedText(), '2026-10-01'));
  expect(model.rows).toEqual([]);
  expect(model.finished[0]).toMatchObject({
    lot: { text: 'LS', href: 'lots/ls.html' },
    where: 'B1, B2',
    from: { text: '14 Sep 2026' },
    until: { text: '24 Sep 2026' },
    days: 10,
    highest: { text: '24\u00A0°Bx on 15 Sep' },
    last: { text: '−1.4\u00A0°Bx on 24 Sep' },
    capWork: '1 round of punch-down',
  });
  expect(fermentsModel(contextFor(finishedText(), '2027-06-01')).finished).toEqual([]);
});

test('a cellar with hundreds of bins has the table of those to look at first, and counts the rest', () => {
  const model = fermentsModel(contextOf(fixtureBook({ bins: 250 })));
  expect([model.rows.length, model.further.count]).toEqual([60, 190]);
  expect(model.further.lots).toEqual([{ text: 'LS', href: 'lots/ls.html' }]);
  expect([model.chart?.panels.length, model.undrawn]).toEqual([16, 234]);
});
