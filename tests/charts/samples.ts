/** Data to draw: an invented cellar's, and what is odd about names, counts and amounts. */
import type {
  BarrelStrip,
  CurvePoint,
  Falling,
  FermentCurve,
  Ferments,
  Forecast,
  Lineage,
  LineageFlow,
  LineageLoss,
  LineageNode,
  Ripening,
  SeasonCalendar,
  SulfurDioxide,
} from '../../src/report/charted.ts';

export const DAY = 1440;
/** 2026-09-14 */
export const FIRST_DAY = 20_710;
/** Its midnight. */
export const START = FIRST_DAY * DAY;
export const at = (days: number): number => START + Math.round(days * DAY);

export const WIDE = { id: 'w', width: 720 };
export const NARROW = { id: 'n', width: 328 };
export const FRAMES = [WIDE, NARROW];

export const LONG = 'The unusually long name a crew once gave with <b> & "quotes", for fun';
/** Read from the right, with figures at its end. */
export const HEBREW = 'כרם ישן של הגליל 1340';
export const HAN = '葡萄酒桶一二三四五六七八九';
/** With a character that turns the writing round. */
export const TURNED = 'tank \u202E 7';
export const ODD_NAMES = [LONG, HEBREW, HAN, TURNED, '', 'x'];

const upTo = (count: number): number[] => Array.from({ length: count }, (_, index) => index);
const round = (value: number, places: number): number => Number(value.toFixed(places));

/** Sugar that falls from `high` along a bend with its middle on a day. */
const sugarAt = (day: number, high: number, middle: number): number =>
  -1.8 + (high + 1.8) / (1 + Math.exp((day - middle) / 1.5));

/** Ferments read for `days`, each with a forecast beyond. */
export function fermentWithForecast(count: number, days = 5): FermentCurve {
  const vessels = upTo(count).map((index) => ({
    name: `B${index + 1}`,
    high: 23.4 + (index % 5) * 0.3,
    middle: 6 + (index % 7) * 0.5,
  }));
  return {
    title: 'The ferment of SYR',
    unit: '°Bx',
    sugar: vessels.map(({ name, high, middle }) => ({
      name,
      points: upTo(days).map((day) => ({ minute: at(day + 0.3), value: round(sugarAt(day + 0.3, high, middle), 1) })),
    })),
    forecast: vessels.map(({ name, high, middle }) => forecastOf(name, high, middle, days)),
    temperatureUnit: '°C',
    temperature: [],
    strips: [{ name: 'Inoculations', shape: 'triangle', marks: [{ minute: at(1.4), label: 'ey-7' }] }],
  };
}

function forecastOf(name: string, high: number, middle: number, days: number): Forecast {
  const dry = middle + 3.7;
  return {
    name,
    points: upTo(25).map((step) => {
      const day = 0.3 + step * 0.5;
      const value = sugarAt(day, high, middle);
      const off = 0.3 + Math.max(0, day - days) * 0.3;
      return { minute: at(day), value, low: value - off, high: value + off };
    }),
    dry: { minute: at(dry), low: at(dry - 1), high: at(dry + 1.6) },
  };
}

/** Rounds of readings a month apart, three vessels read at each third. */
export function sulfur(count: number): SulfurDioxide {
  const rounds = upTo(count).flatMap((index) => {
    const below = index === 0;
    const free = below ? 4 : 32 - ((index * 9) % 17);
    return upTo(index % 3 === 0 ? 3 : 1).map((vessel) => ({
      minute: at(40 + index * 30),
      free: free + vessel * 2,
      total: 42 + index * 6 + vessel * 3,
      below,
    }));
  });
  const points = (value: (round: (typeof rounds)[number]) => number): CurvePoint[] =>
    rounds.map((one) => ({ minute: one.minute, value: value(one), ...(one.below ? { below: true } : {}) }));
  return {
    title: 'Sulfur dioxide of SYR-free',
    unit: 'mg/L',
    free: points(({ free }) => free),
    total: rounds.map(({ minute, total }) => ({ minute, value: total })),
    molecular: points(({ free }) => round(free * 0.021, 2)),
    method: 'OIV-MA-AS323-04C, mixed constant',
    target: { low: 0.5, high: 0.8, text: 'target 0.5–0.8' },
    strips: [
      {
        name: 'Sulfur dioxide added',
        shape: 'diamond',
        marks: [45, 110].map((day) => ({ minute: at(day), label: '30 mg/L' })),
      },
    ],
  };
}

export function malic(count: number): Falling {
  return {
    title: 'Malic acid of SYR',
    substance: 'malic acid',
    unit: 'g/L',
    finished: { value: 0.2, text: 'finished at 0.2 g/L' },
    series: upTo(count).map((index) => ({
      name: `BR-${101 + index}`,
      points: upTo(7).map((step) => {
        const value = round(2.4 / (1 + Math.exp((step - 3 - (index % 5) * 0.3) / 0.6)), 2);
        return { minute: at(20 + step * 9), value: Math.max(0.05, value), ...(value < 0.05 ? { below: true } : {}) };
      }),
    })),
    strips: [{ name: 'Inoculations', shape: 'triangle', marks: [{ minute: at(18), label: 'ml-2' }] }],
  };
}

export function manyFerments(count: number): Ferments {
  return {
    title: 'Ferments under way',
    unit: '°Bx',
    dryAt: 0,
    panels: upTo(count).map((index) => {
      const middle = 9 - (index % 5);
      const days = 4 + (index % 4);
      const points = upTo(days).map((day) => ({
        minute: at((index % 6) + day),
        value: round(sugarAt(day, 23.5 + (index % 3), middle), 1),
      }));
      return {
        name: `T${index + 1} SYR`,
        href: `lots/syr-${index + 1}.html`,
        start: at(index % 6),
        points,
        forecast: upTo(30).map((step) => {
          const value = sugarAt(step * 0.5, 23.5 + (index % 3), middle);
          return { minute: at((index % 6) + step * 0.5), value, low: value - 1, high: value + 1 };
        }),
        last: `${points.at(-1)?.value ?? ''} °Bx on ${18 + (index % 9)} Sep`,
        ...(index % 7 === 6 ? {} : { dry: `dry about ${1 + (index % 9)} Oct` }),
      };
    }),
  };
}

export function ripeningOf(count: number): Ripening {
  const weekly = (index: number, value: (step: number) => number): CurvePoint[] =>
    upTo(6).map((step) => ({ minute: at(step * 5 - 30) + index * 300, value: round(value(step), 2) }));
  return {
    title: 'How the blocks ripened',
    sugarUnit: '°Bx',
    acidUnit: 'g/L tartaric',
    blocks: upTo(count).map((index) => ({
      name: `ledge-${index + 1}`,
      sugar: weekly(index, (step) => 18.2 + step * 1.15 + (index % 4) * 0.5),
      pH: weekly(index, (step) => 3.05 + step * 0.08 + (index % 3) * 0.04),
      acid: weekly(index, (step) => 9.4 - step * 0.7 - (index % 4) * 0.2),
      ...(index % 3 === 2 ? {} : { harvest: at(1 + (index % 5)) }),
    })),
  };
}

/** Blocks to lots to bottlings, `depth` ranks of them, each with lees; all volumes are kept. */
export function lineageOf(blocks: number, lots: number, depth: number): Lineage {
  const nodes: LineageNode[] = [];
  const flows: LineageFlow[] = [];
  const losses: LineageLoss[] = [];
  let rank = upTo(blocks).map((index) => ({ id: `b${index}`, volume: 500 + ((index * 737) % 2300) }));
  for (const [index, { id, volume }] of rank.entries()) {
    nodes.push({
      id,
      kind: 'block',
      name: `ledge-${index + 1}`,
      text: `${round(volume / 650, 1)} t`,
      volume: 0,
      href: `fruit.html#${id}`,
    });
  }
  const each = Math.ceil(lots / depth);
  for (const step of upTo(depth)) {
    const got = new Map<string, number>();
    const give = (from: string, to: string, volume: number): void => {
      flows.push({ from, to, volume });
      got.set(to, (got.get(to) ?? 0) + volume);
    };
    for (const [index, { id, volume }] of rank.entries()) {
      const lees = step === 0 ? 0 : Math.round(volume * (0.01 + (index % 4) * 0.01));
      if (lees > 0) losses.push({ from: id, volume: lees, text: `lees ${lees} L` });
      const first = `l${step}-${(index * 3 + step) % each}`;
      const second = `l${step}-${(index * 5 + 1) % each}`;
      const part = first === second || index % 3 === 0 ? volume - lees : Math.round((volume - lees) * 0.7);
      give(id, first, part);
      if (part < volume - lees) give(id, second, volume - lees - part);
    }
    rank = [...got].map(([id, volume]) => ({ id, volume })).sort((a, b) => (a.id < b.id ? -1 : 1));
    for (const { id, volume } of rank) {
      const last = step === depth - 1;
      nodes.push({
        id,
        kind: last ? 'bottling' : 'lot',
        name: last ? `27-${id}` : `SYR-${id}`,
        text: last ? `${Math.floor(volume / 0.75)} bottles` : `${volume} L`,
        volume,
        href: `lots/${id}.html`,
      });
    }
  }
  return { title: 'From block to bottle', unit: 'L', nodes, flows, losses };
}

const WORK: readonly (readonly [name: string, from: number, until: number, every: number])[] = [
  ['fruit', 0, 40, 1],
  ['cap work', 3, 60, 1],
  ['readings', -20, 520, 6],
  ['additions', 2, 500, 17],
  ['pressing', 12, 70, 3],
  ['movements', 5, 520, 19],
  ['topping', 80, 520, 14],
  ['bottling', 340, 352, 2],
];

export function calendar(days: number): SeasonCalendar {
  const from = FIRST_DAY - 25;
  return {
    title: 'The work of the season',
    from,
    until: from + days - 1,
    rows: WORK.map(([name, start, end, every], index) => ({
      name,
      days: upTo(days)
        .filter((day) => day - 25 >= start && day - 25 <= end && (day - start) % every === 0)
        .map((day) => ({ day: from + day, count: 1 + ((day * (index + 3)) % (index === 1 ? 14 : 4)) })),
    })),
  };
}

export const barrel: BarrelStrip = {
  title: 'Barrel BR-114',
  from: START,
  until: at(1500),
  stays: [
    { name: 'SYR-free', href: 'lots/syr-free.html', from: at(20), until: at(400), tint: 'red' },
    { name: 'SYR-tail', from: at(400), until: at(430), tint: 'red' },
    { name: 'Rung reserve', from: at(430), until: at(760), tint: 'red' },
    { name: 'Roussanne of the lower terrace', from: at(800), until: at(1100), tint: 'white' },
    { name: 'PINK', from: at(1110), until: at(1290), tint: 'rosé' },
    { name: 'GREN', from: at(1300), until: at(1500), tint: 'red' },
  ],
  topped: upTo(70).map((index) => ({ minute: at(30 + index * 20), label: 'topped' })),
  sulfur: upTo(18).map((index) => ({ minute: at(50 + index * 80), label: '28 mg/L' })),
};
