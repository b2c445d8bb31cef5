/** What is told of work that a plan asks for and the record does not have, and what answers it. */
import { describe, expect, test } from 'vitest';
import { CELLAR, foundIn, MUST, WINE } from './journal.ts';

const without = (told: readonly string[]): string[] => told.map((one) => one.replace(/^\d+ work-missed /, ''));
const missed = (plan: string, record: string): string[] => without(foundIn(`${CELLAR}\n${plan}${record}`));

const PUNCH = 'plan red-ferment for must in bin\n  due punch-down 2 a day\n';

describe('counts', () => {
  test('the first day, the last day and the day the wine leaves are not judged', () => {
    expect(missed(PUNCH, `${MUST}\n2026-09-15 Tue\n07:00 note LS\n`)).toEqual([]);
    const gone = `${MUST}\n2026-09-15 Tue\n07:00 press LS to T1 1000 L as LS-w, pomace 290 kg\n\n2026-09-20 Sun\n08:00 note LS-w\n`;
    expect(missed(PUNCH, gone)).toEqual([]);
  });

  test('one finding for a line and a lot, at the first day, with the vessels that lack most', () => {
    const record = `${MUST}
2026-09-15 Tue
07:00 punch-down B1

2026-09-16 Wed
07:00 punch-down LS

2026-09-17 Thu
07:00, 18:00 punch-down LS

2026-09-18 Fri
07:00 note LS
`;
    expect(missed(PUNCH, record)).toEqual([
      '`punch-down 2 a day`: LS in B2 has none on 15 September, and too few in 1 more day',
    ]);
  });

  test('it stands at the work that was too little, else at the last before it', () => {
    const text = `${CELLAR}\n${PUNCH}${MUST}
2026-09-15 Tue
07:00, 18:00 punch-down LS

2026-09-16 Wed
07:00 punch-down LS

2026-09-17 Thu
08:00 note LS
`;
    const line = text.split('\n').lastIndexOf('07:00 punch-down LS') + 1;
    expect(foundIn(text)).toEqual([
      `${line} work-missed \`punch-down 2 a day\`: LS in B1 and B2 has 1 of 2 on 16 September`,
    ]);
  });

  test('a week is judged on Monday', () => {
    const plan = 'plan lees-work for wine in barrel\n  due stir 2 a week\n';
    const record = (last: string): string => `${WINE}\n2026-11-10 Tue\n10:00 stir GR\n\n${last}\n10:00 note GR\n`;
    expect(missed(plan, record('2026-11-15 Sun'))).toEqual([]);
    expect(missed(plan, record('2026-11-16 Mon'))).toEqual([
      '`stir 2 a week`: GR in FB-01 and FB-02 has 1 of 2 in the week to 15 November',
    ]);
  });
});

describe('intervals', () => {
  const TOP = 'plan barrel-age for wine in barrel\n  due top every 21 days\n';
  const topped = (day: string): string => `${WINE}\n${day}\n10:00 top FB-01..FB-02 from T1 3 L\n`;

  test('may run over by a seventh: three days of twenty-one', () => {
    // due on the 23rd
    expect(missed(TOP, topped('2026-11-26 Thu'))).toEqual([]);
    expect(missed(TOP, topped('2026-11-27 Fri'))).toEqual([
      '`top every 21 days`: due for GR in FB-01 and FB-02 on 23 November, done 4 days late',
    ]);
  });

  test('are judged at the end of the record and at the end of the wine', () => {
    expect(missed(TOP, `${WINE}\n2026-11-27 Fri\n10:00 note GR\n`)).toEqual([]);
    expect(missed(TOP, `${WINE}\n2026-11-28 Sat\n10:00 note GR\n`)).toEqual([
      '`top every 21 days`: due for GR in FB-01 and FB-02 on 23 November, not in the record',
    ]);
    const racked = `${WINE}\n2026-12-10 Thu\n10:00 rack FB-01..FB-02 to T2\n\n2027-02-01 Mon\n10:00 note GR\n`;
    expect(missed(TOP, racked)).toEqual([
      '`top every 21 days`: due for GR in FB-01 and FB-02 on 23 November, not in the record',
    ]);
  });

  test('of hours are judged by the hour', () => {
    const plan = 'plan red-ferment for must\n  due reading temp every 12 h\n';
    // due at 21:00; a seventh of 12 h is an hour and 43 minutes
    const record = (time: string): string =>
      `${MUST}${time} reading LS temp 18 C\n\n2026-09-15 Tue\n07:00 reading LS temp 19 C\n19:00 reading LS temp 20 C\n`;
    expect(missed(plan, record('22:40'))).toEqual([]);
    expect(missed(plan, record('22:50'))).toEqual([
      '`reading temp every 12 h`: due for LS in B1 and B2 on 14 September, done 0 days late',
    ]);
  });
});

describe('once', () => {
  const FEED = 'plan red-ferment for must\n  due add nutri-a once when a third gone\n';
  const record = (rest: string): string => `${MUST}
2026-09-15 Tue
07:00 reading LS brix 24

2026-09-17 Thu
07:00 reading LS brix 15

${rest}`;

  test('the day after is in time, two days after is late', () => {
    expect(missed(FEED, record('2026-09-18 Fri\n18:00 add nutri-a 10 g/hL to LS\n'))).toEqual([]);
    expect(missed(FEED, record('2026-09-19 Sat\n07:00 add nutri-a 10 g/hL to LS\n'))).toEqual([
      '`add nutri-a once when a third gone`: due for LS in B1 and B2 on 17 September, done 2 days late',
    ]);
  });

  test('never done is told at the reading that asked for it', () => {
    const text = `${CELLAR}\n${FEED}${record('2026-09-20 Sun\n07:00 note LS\n')}`;
    const line = text.split('\n').indexOf('07:00 reading LS brix 15') + 1;
    expect(foundIn(text)).toEqual([
      `${line} work-missed \`add nutri-a once when a third gone\`: due for LS in B1 and B2 on 17 September, not in the record`,
    ]);
  });

  test('wine that goes on under another name or in another vessel is told of once', () => {
    const moved = record(
      '2026-09-18 Fri\n09:00 set-apart B1 as LS-b\n\n2026-09-21 Mon\n07:00 add nutri-a 10 g/hL to LS-b\n',
    );
    expect(missed(FEED, moved)).toEqual(
      [
        '`add nutri-a once when a third gone`: due for LS-b in B1 on 17 September, done 4 days late',
        '`add nutri-a once when a third gone`: due for LS in B2 on 17 September, not in the record',
      ].sort((a, b) => (a.includes('LS-b') ? 1 : 0) - (b.includes('LS-b') ? 1 : 0)),
    );
  });
});

describe('answers', () => {
  const gap = (between: string): string => `${MUST}
2026-09-15 Tue
07:00, 18:00 punch-down LS by bo

2026-09-16 Wed
${between}
2026-09-18 Fri
07:00, 18:00 punch-down LS by bo

2026-09-19 Sat
07:00 note LS
`;
  const byBo = PUNCH.replace('a day', 'a day by bo');

  test('`away` of anybody answers work that is nobody’s in particular, for its days', () => {
    expect(missed(PUNCH, gap('07:00 note LS\n'))).toEqual([
      '`punch-down 2 a day`: LS in B1 and B2 has none on 16 September, and too few in 1 more day',
    ]);
    expect(missed(PUNCH, gap('07:00 away ana\n'))).toEqual([
      '`punch-down 2 a day`: LS in B1 and B2 has none on 17 September',
    ]);
    expect(missed(PUNCH, gap('07:00 away ana until 2026-09-17\n'))).toEqual([]);
  });

  test('work that is somebody’s is answered by that hand alone', () => {
    expect(missed(byBo, gap('07:00 away ana until 2026-09-17\n'))).toHaveLength(1);
    expect(missed(byBo, gap('07:00 away bo until 2026-09-17\n'))).toEqual([]);
    const either = byBo.replace('by bo', 'by bo, ana');
    expect(missed(either, gap('07:00 away bo until 2026-09-17\n'))).toHaveLength(1);
    expect(missed(either, gap('07:00 away bo, ana until 2026-09-17\n'))).toEqual([]);
  });

  test('days away do not count as days late', () => {
    const plan = 'plan barrel-age for wine in barrel\n  due top every 21 days\n';
    const record = `${WINE}\n2026-11-20 Fri\n08:00 away bo until 2026-11-27\n\n2026-11-30 Mon\n10:00 top FB-01..FB-02 from T1 3 L\n`;
    // due on the 23rd, away to the 27th: the 28th, 29th and 30th are three
    expect(missed(plan, record)).toEqual([]);
    expect(missed(plan, record.replace('until 2026-11-27', 'until 2026-11-26'))).toHaveLength(1);
  });

  test('`sic` answers the line it stands at, and of a plan the whole line', () => {
    const one = gap('07:00 punch-down LS by bo\n').replace(
      '2026-09-18 Fri',
      '2026-09-17 Thu\n07:00, 18:00 punch-down LS\n\n2026-09-18 Fri',
    );
    expect(missed(PUNCH, one)).toHaveLength(1);
    expect(missed(PUNCH, one.replace('07:00 punch-down LS by bo', '07:00 punch-down LS by bo, sic'))).toEqual([]);
    expect(missed(PUNCH.replace('a day', 'a day sic'), one)).toEqual([]);
  });

  test('a late doing with `sic` leaves the next one to be judged', () => {
    const plan = 'plan barrel-age for wine in barrel\n  due top every 7 days\n';
    const record = (sic: string): string => `${WINE}
2026-11-16 Mon
10:00 top FB-01..FB-02 from T1 3 L${sic}

2026-11-30 Mon
10:00 top FB-01..FB-02 from T1 3 L
`;
    expect(missed(plan, record(''))).toEqual([
      '`top every 7 days`: due for GR in FB-01 and FB-02 on 9 November, done 7 days late, and 1 more time',
    ]);
    expect(missed(plan, record(', sic'))).toEqual([
      '`top every 7 days`: due for GR in FB-01 and FB-02 on 23 November, done 7 days late',
    ]);
  });
});

describe('what cannot be read is no second finding', () => {
  const all = (text: string): string[] => without(foundIn(text));
  const good = `${CELLAR}\n${PUNCH}${MUST}
2026-09-15 Tue
07:00, 18:00 punch-down LS

2026-09-16 Wed
07:00 away bo

2026-09-17 Thu
07:00, 18:00 punch-down LS

2026-09-18 Fri
07:00 note LS
`;

  test('of the record', () => {
    expect(all(good)).toEqual([]);
    expect(
      all(good.replace('2026-09-15 Tue\n07:00, 18:00 punch-down LS', '2026-09-15 Tue\n07:00, 18:00 punch-down LS LS')),
    ).toEqual([]);
    expect(all(good.replace('away bo', 'away bo bo'))).toEqual([]);
    expect(all(good.replace('away bo', 'awy bo'))).toEqual([]);
  });

  test('of the plan: a line that is missing leaves the others in doubt', () => {
    const less = good
      .replace('  due punch-down 2 a day\n', '  due punch-down 2 a day\n  due punch-down 1 a day when a third gne\n')
      .replace('07:00, 18:00', '07:00');
    expect(all(less)).toEqual([]);
    expect(all(less.replace('  due punch-down 1 a day when a third gne\n', ''))).toHaveLength(1);
  });
});
