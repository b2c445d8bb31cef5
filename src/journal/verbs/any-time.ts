/** At any time: readings, dips, counts, losses, remarks, samples, and wine that comes or goes. */
import type { Amount, Item } from '../../../grammar/entries.ts';
import { findUnit } from '../../../grammar/units.ts';
import { volumeAtHeight } from '../../trade/convert.ts';
import type {
  Bottles,
  Dip,
  Event,
  Found,
  Leave,
  MaterialSaid,
  Measure,
  Minute,
  Mutable,
  Reading,
  Share,
  Target,
  VolumeSaid,
  Work,
} from '../events.ts';
import type { PlacedRow } from '../files.ts';
import { type Line, sayPart, textOf } from '../line.ts';
import { type Column, readCells, readColumns, readMeasures } from '../measures.ts';
import { styleOf } from './fruit.ts';
import { amountOf, bottles, materialSaid, named, origins } from './parts.ts';
import type { Below, VerbReader } from './reader.ts';

/** Where a reading counts: vessels and lots, or those a sample was drawn from on its day. */
function measured(line: Line, items: readonly Item[]): { targets: Target[]; sample?: string; sampled?: Minute } {
  const head = items[0]?.parts[0];
  if (items.length === 1 && head !== undefined && head.type !== 'amount' && head.to === undefined) {
    const known = line.register.place(head.text);
    if (known?.kind === 'sample') {
      const sample = line.register.samples[known.id];
      if (sample !== undefined) return { targets: [...sample.targets], sample: sample.name, sampled: sample.minute };
    }
  }
  return { targets: line.allTargets(items, true) };
}

export const reading: VerbReader = (line, below) => {
  const read = readMeasures(line, line.entry.head);
  if (read === undefined) return [];
  const place = measured(line, read.placeItems);
  const excluded = line.has('except') ? line.allTargets(line.items('except')) : [];
  const event: Mutable<Reading> = line.event<Reading>(below.note, {
    kind: 'reading',
    targets:
      excluded.length === 0
        ? place.targets
        : place.targets.filter((target) => !excluded.some((other) => sameTarget(target, other))),
    measures: read.measures,
  });
  if (place.sample !== undefined) event.sample = place.sample;
  if (place.sampled !== undefined) event.sampled = place.sampled;
  // words behind a value say how it was sampled
  if (read.how !== '') event.remark = event.remark === undefined ? read.how : `${event.remark}; ${read.how}`;
  return [event];
};

const sameTarget = (a: Target, b: Target): boolean =>
  (a.kind === 'vessel' && b.kind === 'vessel' && a.vessel === b.vessel) ||
  (a.kind === 'lot' && b.kind === 'lot' && a.lot === b.lot) ||
  (a.kind === 'block' && b.kind === 'block' && a.block === b.block);

export const readings: VerbReader = (line, below) => {
  const columns: Column[] | undefined = readColumns(line, line.entry.head);
  const events: Event[] = [];
  if (columns === undefined) return events;
  const base = line.eventBase(below.note);
  if (below.rows.length === 0) {
    line.fail({
      ...line.entry.verbSpan,
      code: 'line-unfinished',
      message: 'no row stands below the table',
      help: 'write a row a vessel: `B1  24.4  16.0`',
    });
    return events;
  }
  const { file } = line.place;
  const { verb, minute, hands, sic, note, until, written, using, purpose } = base;
  for (const row of below.rows) {
    const read = plainRow(line, row, columns) ?? unusualRow(below, row, columns);
    if (read === undefined || read.measures.length === 0) continue;
    // built up, not spread: most lines of a journal are rows
    const event: Mutable<Reading> = {
      kind: 'reading',
      verb,
      minute,
      place: { file, line: row.line },
      hands,
      sic,
      targets: read.targets,
      measures: read.measures,
    };
    if (until !== undefined) event.until = until;
    if (written !== undefined) event.written = written;
    if (using !== undefined) event.using = using;
    if (purpose !== undefined) event.purpose = purpose;
    if (read.sample !== undefined) event.sample = read.sample;
    if (read.sampled !== undefined) event.sampled = read.sampled;
    if (row.row.remark !== undefined) event.remark = row.row.remark;
    if (note !== undefined && events.length === 0) event.note = note;
    events.push(event);
  }
  return events;
};

interface RowRead {
  readonly targets: readonly Target[];
  readonly measures: readonly Measure[];
  readonly sample?: string;
  readonly sampled?: Minute;
}

/** A row of a known vessel or lot with bare figures, the common case; undefined where there is more to it. */
function plainRow(line: Line, { row }: PlacedRow, columns: readonly Column[]): RowRead | undefined {
  if (row.name.to !== undefined || row.cells.length > columns.length) return undefined;
  const named = line.register.place(row.name.text);
  if (named === undefined || (named.kind !== 'vessel' && named.kind !== 'lot')) return undefined;
  const measures: Measure[] = [];
  for (let i = 0; i < row.cells.length; i++) {
    const cell = row.cells[i];
    const column = columns[i];
    if (cell === undefined || column === undefined) return undefined;
    if (cell.type === 'dash') continue;
    if (cell.type !== 'amount' || cell.unit !== undefined || cell.high !== undefined) return undefined;
    if (!column.plain || Number.isNaN(cell.value)) return undefined;
    measures.push({
      analyte: column.analyte.key,
      value: cell.value,
      mark: cell.mark,
      said: column.unit === undefined ? cell.mark + cell.text : `${cell.mark}${cell.text} ${column.unit}`,
    });
  }
  const target: Target =
    named.kind === 'vessel' ? { kind: 'vessel', vessel: named.id } : { kind: 'lot', lot: named.id };
  return { targets: [target], measures };
}

/** Any other row, as a line of its own; what fails in it costs only the row. */
function unusualRow(below: Below, row: PlacedRow, columns: readonly Column[]): RowRead | undefined {
  const own = below.rowLine(row);
  const target = rowTarget(own);
  const measures = target === undefined ? undefined : readCells(own, row.row.cells, columns);
  below.settle(own);
  return target === undefined || measures === undefined ? undefined : { ...target, measures };
}

/** The vessel, lot or sample a row begins with; else a line that begins with neither verb nor name. */
function rowTarget(line: Line): { targets: readonly Target[]; sample?: string; sampled?: Minute } | undefined {
  const head = line.entry.head[0];
  const name = head?.parts[0];
  if (head === undefined || name === undefined || name.type === 'amount') return undefined;
  if (name.to === undefined && line.register.place(name.text) === undefined) {
    line.unknownRow(name);
    return undefined;
  }
  const place = measured(line, [head]);
  return line.failure === undefined ? place : undefined;
}

export const dip: VerbReader = (line, below) => {
  const dips: { vessel: number; volume: VolumeSaid; said: string }[] = [];
  for (const item of line.entry.head) {
    const amount = amountOf(item);
    if (amount === undefined) continue;
    const targets = line.targets(item.parts[0]) ?? [];
    for (const target of targets) {
      if (target.kind !== 'vessel') {
        const part = item.parts[0];
        line.wrongKind({ ...part, text: textOf(part) }, 'lot', 'a vessel');
        continue;
      }
      const volume = dipped(line, amount, target.vessel);
      if (volume !== undefined) dips.push({ vessel: target.vessel, volume, said: sayPart(amount) });
    }
  }
  const event: Dip = { ...line.eventBase(below.note), kind: 'dip', dips };
  return [event];
};

/** The volume a dip means: as written, or by the vessel's gauge. */
function dipped(line: Line, amount: Amount, vessel: number): VolumeSaid | undefined {
  if (amount.unit !== undefined && findUnit(amount.unit)?.dimension === 'length') {
    const facts = line.register.vessel(vessel);
    const volume = facts.gauge === undefined ? undefined : volumeAtHeight(facts.gauge, line.base(amount));
    if (volume === undefined) {
      return line.fail({
        start: amount.start,
        end: amount.end,
        code: 'unit-wrong-kind',
        message: `\`${facts.name}\` has no gauge, so ${sayPart(amount)} says no volume`,
        help: `declare it (\`vessel ${facts.name} ..., gauge 11.3 L/cm\`), or write the volume`,
      });
    }
    return { microlitres: volume, estimate: amount.mark === '~', each: true, now: false };
  }
  return line.volume(amount, true);
}

/** A bottling with a number of bottles, or wine in vessels with volumes. */
function taken(line: Line): { sources: Share[]; bottles: { lot: number; bottles: Bottles }[] } {
  const wine: Item[] = [];
  const counted: { lot: number; bottles: Bottles }[] = [];
  let lot: number | undefined;
  for (const item of line.entry.head) {
    const amount = amountOf(item);
    const one = amount === undefined ? undefined : bottles(line, amount);
    if (one === undefined) {
      wine.push(item);
      continue;
    }
    // a size without a name is of the bottling before it
    if (item.parts[0].type !== 'amount') lot = line.knownLot(item.parts[0]);
    if (lot !== undefined) counted.push({ lot, bottles: one });
  }
  return { sources: line.shares(wine, 'from'), bottles: counted };
}

const leave =
  (how: Leave['how'], why: (line: Line) => string): VerbReader =>
  (line, below) => {
    const { sources, bottles: counted } = taken(line);
    const event: Mutable<Leave> = line.event<Leave>(below.note, {
      kind: 'leave',
      how,
      sources,
      bottles: counted,
      why: why(line),
    });
    const to = line.words('to');
    if (to !== undefined) event.to = to;
    return [event];
  };

export const loss = leave('loss', (line) => line.words('for')?.toLowerCase() ?? 'other');
export const dispatch = leave('dispatch', (line) => line.words('for')?.toLowerCase() ?? 'sale');

export const sample: VerbReader = (line, below) => {
  const name = line.items('as')[0]?.parts[0];
  const sources = line.shares(line.entry.head, 'from');
  if (name === undefined || name.type === 'amount' || line.failure !== undefined) return [];
  const known = line.register.place(name.text);
  if (known !== undefined) {
    line.fail({
      start: name.start,
      end: name.end,
      code: 'name-taken',
      message: `\`${name.text}\` is a name already`,
      help: 'give every sample a name of its own',
      ...line.relatedTo(known),
    });
    return [];
  }
  const targets = sources.flatMap((share) => share.targets);
  line.register.addSample({ name: name.text, minute: line.minute, targets, place: line.place });
  const to = line.words('to');
  return [
    {
      ...line.eventBase(below.note),
      kind: 'leave',
      how: 'sample',
      sources,
      bottles: [],
      why: 'sample',
      sample: name.text,
      ...(to === undefined ? {} : { to }),
    },
  ];
};

export const count: VerbReader = (line, below) => {
  const counted: { lot: number; bottles: Bottles }[] = [];
  const materials: MaterialSaid[] = [];
  let lot: number | undefined;
  for (const item of line.entry.head) {
    const amount = amountOf(item);
    const one = amount === undefined ? undefined : bottles(line, amount);
    if (one !== undefined) {
      // a size without a name is of the bottling before it
      if (item.parts[0].type !== 'amount') lot = line.knownLot(item.parts[0]);
      if (lot !== undefined) counted.push({ lot, bottles: one });
    } else {
      const material = line.material(item.parts[0]);
      if (material !== undefined) materials.push(materialSaid(line, material, item));
    }
  }
  return [{ ...line.eventBase(below.note), kind: 'count', bottles: counted, materials }];
};

/** Remarks on vessels, lots or the day. */
export const remark: VerbReader = (line, below) => [
  line.event<Work>(below.note, {
    kind: 'work',
    targets: line.allTargets(line.entry.head, true),
    except: [],
    details: '',
  }),
];

/** The alcohol that a line tells of wine that comes in, as a reading of what it came into. */
function alcoholTold(line: Line, targets: readonly Target[]): Reading[] {
  const partsPerMillion = line.given('alcohol');
  if (partsPerMillion === undefined) return [];
  const value = partsPerMillion / 10_000;
  const { verb: _, ...base } = line.eventBase(undefined);
  return [
    {
      ...base,
      verb: 'reading',
      kind: 'reading',
      targets,
      measures: [{ analyte: 'alcohol', value, mark: '', said: `${value} %` }],
    },
  ];
}

export const found: VerbReader = (line, below) => {
  const filled: Bottles[] = [];
  const wine: Item[] = [];
  for (const item of line.entry.head) {
    const amount = amountOf(item);
    const one = amount === undefined ? undefined : bottles(line, amount);
    if (one === undefined) wine.push(item);
    else filled.push(one);
  }
  const parts = line.shares(wine, 'to');
  const from = origins(line);
  const { as } = named(line, filled.length > 0 && wine.length === 0);
  if (as === undefined) return [];
  const event: Found = { ...line.eventBase(below.note), kind: 'found', parts, bottles: filled, as, origins: from };
  const into = parts.flatMap(({ targets }) => targets);
  return [event, ...alcoholTold(line, into.length > 0 ? into : [{ kind: 'lot', lot: as }])];
};

export const bring: VerbReader = (line, below) => {
  const said = line.entry.head[0] === undefined ? undefined : amountOf(line.entry.head[0]);
  let parts = line.shares(line.items('to'), 'to');
  const open = parts.filter((part) => part.volume === undefined);
  const only = parts[0];
  if (open.length > 0) {
    if (said !== undefined && parts.length === 1 && only !== undefined && only.targets.length === 1) {
      parts = [{ ...only, volume: line.volume(said, false) }];
    } else {
      const at = line.phrase('to') ?? line.entry.verbSpan;
      line.fail({
        start: at.start,
        end: at.end,
        code: 'amount-missing',
        message: 'how much went into each vessel is missing',
        help: 'write `bring to T3 600 L, K1 50 L as UT-b`',
      });
    }
  }
  const from = origins(line);
  const { style } = styleOf(line);
  const { as } = named(line, false);
  if (as === undefined) return [];
  if (style !== undefined) line.register.lot(as).style = style;
  const seller = line.words('from');
  return [
    {
      ...line.eventBase(below.note),
      kind: 'bring',
      parts,
      as,
      origins: from,
      ...(seller === undefined ? {} : { seller }),
      ...(style === undefined ? {} : { style }),
    },
    ...alcoholTold(
      line,
      parts.flatMap(({ targets }) => targets),
    ),
  ];
};
