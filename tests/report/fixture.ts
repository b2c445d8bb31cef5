/** A small cellar made by hand: a red ferment in bins, its free run in barrels, a bottling, and findings of each sort. */
import type {
  Book,
  Content,
  Happening,
  LotAccount,
  LotRecord,
  LotStage,
  Movement,
  VesselRecord,
} from '../../src/cellar/book.ts';
import type { Event, Measure, Place } from '../../src/journal/events.ts';
import type { Finding } from '../../src/journal/findings.ts';
import type { VesselFacts } from '../../src/journal/register.ts';

export const LITRE = 1_000_000;
export const KILOGRAM = 1_000_000_000;
const DAY = 1440;
/** 2026-09-14, a Monday. */
export const FIRST_DAY = 20_710;

export interface FixtureNames {
  readonly cellar: string;
  readonly lots: readonly [string, string, string];
  readonly vessel: string;
  readonly file: string;
  readonly block: string;
  readonly variety: string;
  readonly material: string;
  readonly note: string;
  readonly remark: string;
  readonly hand: string;
  readonly message: string;
}

const PLAIN: FixtureNames = {
  cellar: 'Quern Hollow',
  lots: ['LS', 'LS-free', '26SY-01'],
  vessel: 'T4',
  file: '2026/09-harvest.cellar',
  block: 'ledge-2',
  variety: 'Syrah',
  material: 'kms',
  note: 'Clear, 9 C at dawn. *Eleven* pickers.',
  remark: 'float broke',
  hand: 'ana',
  message: 'T4 is dipped at 760 L; the book says 780 L.',
};

export interface FixtureOptions {
  readonly names?: Partial<FixtureNames>;
  /** Bins of the ferment. */
  readonly bins?: number;
  readonly volume?: 'L' | 'hL' | 'gal';
  readonly temperature?: 'C' | 'F';
}

const NO_ACCOUNT: LotAccount = {
  made: 0,
  bought: 0,
  found: 0,
  blendedIn: 0,
  liquids: 0,
  dipGains: 0,
  settled: 0,
  blendedOut: 0,
  setApart: 0,
  bottled: 0,
  dispatched: 0,
  samples: 0,
  lees: 0,
  pomace: 0,
  losses: 0,
  evaporation: 0,
  dipLosses: 0,
};

export function fixtureBook(options: FixtureOptions = {}): Book {
  const names = { ...PLAIN, ...options.names };
  const bins = options.bins ?? 4;
  const place = (line: number): Place => ({ file: 0, line });
  const at = (day: number, hour: number): number => (FIRST_DAY + day) * DAY + hour * 60;
  const happenings: Happening[] = [];

  const vessels: VesselFacts[] = [];
  const declare = (
    name: string,
    kind: VesselFacts['kind'],
    litres: number,
    more: Partial<VesselFacts> = {},
  ): number => {
    const id = vessels.length;
    vessels.push({ id, name, kind, capacity: litres * LITRE, details: [], place: place(3), ...more });
    return id;
  };
  const binIds = Array.from({ length: bins }, (_, index) =>
    declare(`B${index + 1}`, 'bin', 1000, { details: ['plastic'], at: 'crush pad' }),
  );
  const tank = declare(names.vessel, 'tank', 1200, { details: ['steel'], gauge: 1130 * LITRE, at: 'tank room' });
  const barrels = ['FB-01', 'FB-02', 'FB-03', 'FB-04'].map((name) =>
    declare(name, 'barrel', 225, { details: ['french oak', 'cooper first', 'toast medium'], firstUsed: 2026 }),
  );

  const happen = (
    event: DistributiveOmit<Event, 'hands' | 'sic'> & { hands?: readonly string[] },
    sentence: string,
    more: Partial<Happening> = {},
  ): number => {
    const index = happenings.length;
    happenings.push({
      index,
      event: { hands: [], sic: false, ...event } as Event,
      sentence,
      vessels: [],
      lots: [],
      movements: [],
      added: [],
      dipped: [],
      ...more,
    });
    return index;
  };

  happen({ kind: 'day', verb: 'note', minute: at(0, 0), place: place(10), note: names.note }, names.note, {
    lots: [0],
  });
  happen(
    {
      kind: 'receive',
      verb: 'receive',
      minute: at(0, 6) + 50,
      place: place(12),
      lot: 0,
      origin: 0,
      net: 1540 * KILOGRAM,
      gross: 1840 * KILOGRAM,
      tare: 300 * KILOGRAM,
      tag: '10451',
      bins: 4,
      hands: [names.hand],
    },
    `Received 1540 kg of ${names.variety} from ${names.block}.`,
    { lots: [0] },
  );
  const each = 335 * LITRE;
  const made = each * bins;
  happen(
    {
      kind: 'crush',
      verb: 'crush',
      minute: at(0, 8),
      place: place(14),
      lot: 0,
      parts: [],
      stems: 56 * KILOGRAM,
      details: 'destemmed',
    },
    `Crushed ${names.lots[0]} to B1..B${bins}.`,
    {
      lots: [0],
      vessels: binIds,
      movements: binIds.map((vessel): Movement => ({ kind: 'in', vessel, lot: 0, volume: each, how: 'made' })),
    },
  );
  happen(
    {
      kind: 'add',
      verb: 'add',
      minute: at(0, 8) + 40,
      place: place(15),
      targets: [{ kind: 'lot', lot: 0 }],
      except: [],
      additions: [],
    },
    `Added ${names.material} at 40 mg/L SO2 to B1..B${bins}.`,
    {
      lots: [0],
      vessels: binIds,
      added: binIds.map((vessel) => ({
        vessel,
        lot: 0,
        material: 0,
        micrograms: 23_260_000,
        into: each,
        brings: [{ analyte: 'SO2', nanogramsPerLitre: 40_000_000 }],
      })),
    },
  );
  const inoculate = (): number =>
    happen(
      {
        kind: 'add',
        verb: 'inoculate',
        minute: at(2, 9),
        place: place(20),
        targets: [{ kind: 'lot', lot: 0 }],
        except: [],
        additions: [],
      },
      `Inoculated ${names.lots[0]} with ey-7.`,
      {
        lots: [0],
        vessels: binIds,
        added: binIds.map((vessel) => ({
          vessel,
          lot: 0,
          material: 1,
          micrograms: 83_750_000,
          into: each,
          brings: [],
        })),
      },
    );
  for (let day = 1; day < 11; day += 1) {
    if (day === 2) inoculate();
    for (const hour of [7, 13, 18]) {
      happen(
        {
          kind: 'cap',
          verb: 'punch-down',
          minute: at(day, hour) + 30,
          place: place(100 + day),
          targets: [{ kind: 'lot', lot: 0 }],
          except: [],
          times: 1,
          aerated: false,
        },
        `Punched down ${names.lots[0]}.`,
        { lots: [0], vessels: binIds },
      );
    }
    for (const [index, vessel] of binIds.entries()) {
      const brix = Math.max(-1, 24.4 - 2.6 * Math.max(0, day - 2) * (1 + 0.02 * (index % 5)));
      const temp = 16 + 9 * Math.exp(-(((day - 5 - (index % 3) * 0.3) / 2.4) ** 2)) + (index % 4) * 0.4;
      const measures: Measure[] = [
        { analyte: 'brix', value: Number(brix.toFixed(1)), mark: '', said: brix.toFixed(1) },
        { analyte: 'temp', value: Number(temp.toFixed(1)), mark: '', said: `${temp.toFixed(1)} C` },
      ];
      happen(
        {
          kind: 'reading',
          verb: 'readings',
          minute: at(day, 7),
          place: place(200 + day * 20 + index),
          targets: [{ kind: 'vessel', vessel }],
          measures,
          ...(day === 3 && index === 2 ? { remark: names.remark } : {}),
        },
        `Read B${index + 1}: brix ${brix.toFixed(1)}, ${temp.toFixed(1)} °C.`,
        { lots: [0], vessels: [vessel] },
      );
    }
  }
  const drained = 600 * LITRE;
  happen(
    {
      kind: 'move',
      verb: 'drain',
      minute: at(11, 14),
      place: place(500),
      sources: [],
      parts: [],
      empties: false,
      note: 'Raked from *outside*.\n\n- pump one\n- pump two',
    },
    `Drained 600 L of ${names.lots[0]} to ${names.vessel} as ${names.lots[1]}.`,
    {
      lots: [0, 1],
      vessels: [...binIds, tank],
      movements: [{ kind: 'across', from: binIds[0] ?? 0, fromLot: 0, to: tank, toLot: 1, volume: drained }],
    },
  );
  happen(
    {
      kind: 'reading',
      verb: 'reading',
      minute: at(13, 9),
      place: place(510),
      targets: [{ kind: 'lot', lot: 1 }],
      measures: [
        { analyte: 'pH', value: 3.61, mark: '', said: '3.61' },
        { analyte: 'malic', value: 0.1, mark: '<', said: '<0.1 g/L' },
        { analyte: 'temp', value: 18, mark: '', said: '18 C' },
      ],
      using: 'paper',
      written: FIRST_DAY + 14,
    },
    `Read ${names.lots[1]}: pH 3.61, malic below 0.1 g/L.`,
    { lots: [1], vessels: [tank, ...barrels] },
  );
  const eachBarrel = 120 * LITRE;
  happen(
    { kind: 'move', verb: 'rack', minute: at(14, 10), place: place(520), sources: [], parts: [], empties: false },
    `Racked ${names.vessel} to FB-01..FB-03: 360 L.`,
    {
      lots: [1],
      vessels: [tank, ...barrels.slice(0, 3)],
      movements: barrels
        .slice(0, 3)
        .map((to): Movement => ({ kind: 'across', from: tank, fromLot: 1, to, toLot: 1, volume: eachBarrel })),
    },
  );
  happen(
    {
      kind: 'bottle',
      verb: 'bottle',
      minute: at(15, 10),
      place: place(530),
      sources: [],
      bottles: [{ count: 80, size: 750_000 }],
      as: 2,
      loss: 2 * LITRE,
    },
    `Bottled ${names.vessel} as ${names.lots[2]}: 80 × 750 mL.`,
    {
      lots: [1, 2],
      vessels: [tank],
      movements: [
        { kind: 'out', vessel: tank, lot: 1, volume: 60 * LITRE, how: 'bottled' },
        { kind: 'out', vessel: tank, lot: 1, volume: 2 * LITRE, how: 'handling' },
      ],
    },
  );

  const on = FIRST_DAY + 16;
  const content = (volume: number, slack = 0): Content => ({
    volume,
    slack,
    origins: volume === 0 ? [] : [0],
    volumes: volume === 0 ? [] : [volume],
    materials: [],
    amounts: [],
  });
  const inBin = Math.round((made - drained) / bins);
  const vesselRecord = (
    facts: VesselFacts,
    lot: number | undefined,
    volume: number,
    more: Partial<VesselRecord> = {},
  ): VesselRecord => ({
    facts,
    retired: false,
    lot,
    content: content(volume),
    estimated: false,
    doubtful: false,
    since: lot === undefined ? undefined : at(0, 8),
    fills: lot === undefined ? [] : [{ lot, from: at(0, 8), until: undefined }],
    happenings: happenings.flatMap((happening, index) => (happening.vessels.includes(facts.id) ? [index] : [])),
    ...more,
  });
  const left = drained - 3 * eachBarrel - 62 * LITRE;
  const vesselRecords = vessels.map((facts) => {
    if (binIds.includes(facts.id))
      return vesselRecord(facts, 0, inBin, { estimated: true, content: content(inBin, 30 * LITRE) });
    if (facts.id === tank) return vesselRecord(facts, 1, left, { since: at(11, 14) });
    if (facts.name === 'FB-04') return vesselRecord(facts, undefined, 0);
    return vesselRecord(facts, 1, eachBarrel, { since: at(14, 10) });
  });

  const lotRecord = (
    id: number,
    stage: LotStage,
    account: Partial<LotAccount>,
    onHand: number,
    more: Partial<LotRecord> = {},
  ): LotRecord => ({
    facts: {
      id,
      name: names.lots[id] ?? '',
      formerly: [],
      place: place(12 + id),
      since: at(id * 5, 7),
      bottling: id === 2,
    },
    stage,
    stages: [{ minute: at(id * 5, 7), stage, happening: 1 }],
    colour: 'red',
    account: { ...NO_ACCOUNT, ...account },
    losses: {},
    onHand,
    estimated: id === 0,
    vessels: vesselRecords.filter(({ lot }) => lot === id).map(({ facts }) => facts.id),
    bottles: [],
    bottlesFilled: [],
    fruit: { received: 0, sorted: 0, stems: 0, used: 0, waiting: 0, pomace: 0 },
    composition: [{ origin: 0, volume: Math.max(onHand, 1) }],
    additions: [],
    parents: [],
    children: [],
    happenings: happenings.flatMap((happening, index) => (happening.lots.includes(id) ? [index] : [])),
    steps: [],
    ...more,
  });
  const lots = [
    lotRecord(0, 'fermenting', { made, blendedOut: drained }, made - drained, {
      fruit: {
        received: 1540 * KILOGRAM,
        sorted: 24 * KILOGRAM,
        stems: 56 * KILOGRAM,
        used: 1516 * KILOGRAM,
        waiting: 0,
        pomace: 0,
      },
      additions: [
        { material: 0, direct: 23_260_000 * bins, carriedIn: 0, unit: 'µg' },
        { material: 1, direct: 83_750_000 * bins, carriedIn: 0, unit: 'µg' },
      ],
      children: [{ lot: 1, volume: drained }],
      steps: [
        { minute: at(0, 8), volume: made, estimated: true, happening: 2 },
        { minute: at(11, 14), volume: made - drained, estimated: true, happening: happenings.length - 4 },
      ],
    }),
    lotRecord(1, 'wine', { blendedIn: drained, bottled: 60 * LITRE, losses: 2 * LITRE }, drained - 62 * LITRE, {
      losses: { handling: 2 * LITRE },
      composition: [
        { origin: 0, volume: 400 * LITRE },
        { origin: 1, volume: 138 * LITRE },
      ],
      parents: [{ lot: 0, volume: drained }],
      children: [{ lot: 2, volume: 60 * LITRE }],
      steps: [
        { minute: at(11, 14), volume: drained, estimated: false, happening: happenings.length - 4 },
        { minute: at(15, 10), volume: drained - 62 * LITRE, estimated: false, happening: happenings.length - 1 },
      ],
    }),
    lotRecord(2, 'bottled', { blendedIn: 60 * LITRE }, 60 * LITRE, {
      bottles: [{ count: 80, size: 750_000 }],
      bottlesFilled: [{ count: 80, size: 750_000 }],
      parents: [{ lot: 1, volume: 60 * LITRE }],
    }),
  ];

  const finding = (code: Finding['code'], severity: Finding['severity'], line: number): Finding => ({
    code,
    severity,
    where: { file: 0, line, column: 7, endColumn: 14 },
    message: names.message,
    help: 'Write `loss` for what was lost, or `sic` where it is as it should be.',
    related: [{ where: { file: 0, line: 12, column: 1, endColumn: 4 }, message: 'it came in here' }],
  });

  return {
    settings: {
      name: names.cellar,
      region: 'Lower Teal',
      volume: options.volume ?? 'L',
      temperature: options.temperature ?? 'C',
      mass: 'kg',
      law: 'none',
      methods: new Map(),
      tolerances: {
        dip: 10_000,
        volume: 5000,
        estimate: 100_000,
        topping: 50_000,
        capacity: 5000,
        pressing: 50_000,
      },
    },
    files: [{ path: names.file, text: journalText(names) }],
    on,
    firstDay: FIRST_DAY,
    vessels: vesselRecords,
    lots,
    blocks: [
      {
        name: names.block,
        variety: names.variety,
        colour: 'red',
        region: 'Lower Teal',
        estate: false,
        hectares: 1.1,
        details: [],
        place: place(4),
      },
    ],
    origins: [
      {
        id: 0,
        block: names.block,
        variety: names.variety,
        colour: 'red',
        vintage: 2026,
        region: 'Lower Teal',
        estate: false,
        run: 'free',
      },
      {
        id: 1,
        block: 'ledge-5',
        variety: 'Grenache',
        colour: 'red',
        vintage: 2026,
        region: 'Lower Teal',
        grower: 'contract 7',
        estate: false,
        run: 'press',
      },
    ],
    materials: [
      { id: 0, name: names.material, kind: 'sulfite', brings: [], liquid: false, allergen: 'sulfites' },
      { id: 1, name: 'ey-7', kind: 'yeast', brings: [], liquid: false },
    ],
    hands: [names.hand],
    plans: [],
    happenings,
    struck: [],
    findings: [
      finding('dip-differs', 'warning', 12),
      finding('verb-unknown', 'error', 14),
      finding('odd-character', 'note', 10),
    ],
  };
}

type DistributiveOmit<T, K extends keyof T> = T extends unknown ? Omit<T, K> : never;

/** Long enough for every line that the fixture's events name. */
function journalText(names: FixtureNames): string {
  const lines = Array.from({ length: 560 }, (_, index) => `# line ${index + 1}`);
  lines[8] = '2026-09-14 Mon';
  lines[9] = `    | ${names.note.split('\n')[0]}`;
  lines[11] = `06:50 receive ${names.lots[0]} from ${names.block}, gross 1840 kg, tare 300 kg, tag 10451 -- ${names.remark}`;
  lines[13] = `08:30 crsh ${names.lots[0]} to B1..B4`;
  return lines.join('\n');
}
