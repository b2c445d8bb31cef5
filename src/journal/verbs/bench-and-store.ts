/** The bench and the store: preparations, purchases, names, labels, and what is kept as written. */
import { findUnit } from '../../../grammar/units.ts';
import type { Buy, Kept, MaterialSaid, Mutable, Target } from '../events.ts';
import { type Line, textOf } from '../line.ts';
import { labelSaid } from './label.ts';
import { amountOf, materialSaid, named } from './parts.ts';
import type { Below, VerbReader } from './reader.ts';

/** An event that is kept as written. */
export function kept(line: Line, below: Below, targets: readonly Target[]): [Kept] {
  return [
    {
      ...line.eventBase(below.note),
      kind: 'kept',
      targets,
      details: line.text().slice(line.entry.verbSpan.start).trim().replace(/\s+/g, ' '),
      rows: [
        ...below.rows.map((row) => below.rowText(row)),
        ...below.children.map((child) => below.child(child).text().trim().replace(/\s+/g, ' ')),
      ],
    },
  ];
}

export const prepare: VerbReader = (line, below) => {
  const head = line.entry.head[0]?.parts[0];
  if (head === undefined || head.type === 'amount') return [];
  if (line.register.material(head.text) !== undefined) {
    line.fail({
      start: head.start,
      end: head.end,
      code: 'name-taken',
      message: `the material \`${head.text}\` is declared already`,
      help: 'take another name',
    });
    return [];
  }
  // what it brings, per litre, from what went into it
  let volume = 0;
  const carried = new Map<string, number>();
  const used: MaterialSaid[] = [];
  for (const item of line.items('of')) {
    const id = line.material(item.parts[0]);
    const amount = amountOf(item);
    if (id === undefined || amount === undefined) continue;
    used.push(materialSaid(line, id, item));
    if (amount.unit === undefined) continue;
    const dimension = findUnit(amount.unit)?.dimension;
    const base = line.base(amount);
    if (dimension === 'volume') volume += base;
    const facts = line.register.materials[id];
    for (const brought of facts?.brings ?? []) {
      const micrograms =
        brought.per === 'mass' && dimension === 'mass'
          ? (base * brought.amount) / 1e6
          : brought.per === 'volume' && dimension === 'volume'
            ? (base / 1e6) * (brought.amount / 1000)
            : 0;
      if (micrograms > 0) carried.set(brought.analyte, (carried.get(brought.analyte) ?? 0) + micrograms);
    }
  }
  const kinds = line
    .items('of')
    .map((item) => line.register.materials[line.register.material(textOf(item.parts[0])) ?? -1]?.kind);
  if (line.failure !== undefined) return [];
  const yeast = kinds.find((kind) => kind === 'yeast' || kind === 'bacteria');
  const material = line.register.addMaterial({
    name: head.text,
    kind: yeast ?? 'solution',
    brings:
      volume === 0
        ? []
        : [...carried].map(([analyte, micrograms]) => ({
            analyte,
            per: 'volume' as const,
            amount: Math.round((micrograms * 1000) / (volume / 1e6)),
          })),
    liquid: true,
    place: line.place,
  });
  const batch = line.words('batch');
  const [event] = kept(line, below, []);
  return [{ ...event, used, prepared: { material, ...(batch === undefined ? {} : { batch }) } }];
};

export const buy: VerbReader = (line, below) => {
  const materials: MaterialSaid[] = [];
  for (const item of line.entry.head) {
    const material = line.material(item.parts[0]);
    if (material !== undefined) materials.push(materialSaid(line, material, item));
  }
  const event: Mutable<Buy> = line.event<Buy>(below.note, { kind: 'buy', materials });
  const supplier = line.words('from');
  const batch = line.words('batch');
  const keeps = line.date('until');
  if (supplier !== undefined) event.supplier = supplier;
  if (batch !== undefined) event.batch = batch;
  if (keeps !== undefined) event.keeps = keeps;
  return [event];
};

export const clean: VerbReader = (line, below) => {
  const targets: Target[] = [];
  for (const item of line.entry.head) {
    const part = item.parts[0];
    // gear that is no vessel is kept as a word
    if (part.type !== 'amount' && part.to === undefined && line.register.place(part.text) === undefined) continue;
    targets.push(...(line.targets(part) ?? []));
  }
  // hot water and the like is no material of the store
  const used = line.items('with').flatMap((item) => {
    const [part] = item.parts;
    const material = part.type === 'amount' ? undefined : line.register.material(part.text);
    return material === undefined ? [] : [materialSaid(line, material, item)];
  });
  const [event] = kept(line, below, targets);
  return [used.length === 0 ? event : { ...event, used }];
};

export const label: VerbReader = (line, below) => {
  const lot = line.knownLot(line.entry.head[0]?.parts[0]);
  if (lot === undefined) return [];
  const said = labelSaid(line, lot);
  return kept(line, below, [{ kind: 'lot', lot }]).map((event) => ({ ...event, label: said }));
};

export const away: VerbReader = (line, below) => {
  const hands: string[] = [];
  for (const item of line.entry.head) {
    const part = item.parts[0];
    const name = textOf(part);
    const hand = line.register.hand(name);
    if (hand !== undefined) hands.push(hand);
    else
      line.fail({
        start: part.start,
        end: part.end,
        code: 'name-unknown',
        message: `there is no hand \`${name}\``,
        help: `declare the hand: \`hand ${name}\``,
        name,
      });
  }
  const today = Math.floor(line.minute / 1440);
  const until = line.date('until') ?? today;
  const [event] = kept(line, below, []);
  return [{ ...event, away: { hands, until: Math.max(today, until) } }];
};

export const retire: VerbReader = (line, below) => [
  {
    ...line.eventBase(below.note),
    kind: 'naming',
    how: 'retire',
    targets: line.allTargets(line.entry.head),
    details: '',
  },
];

export const setApart: VerbReader = (line, below) => {
  const targets = line.allTargets(line.entry.head);
  return [
    { ...line.eventBase(below.note), kind: 'naming', how: 'set-apart', targets, details: '', ...named(line, false) },
  ];
};

export const rename: VerbReader = (line, below) => {
  const part = line.entry.head[0]?.parts[0];
  const to = line.items('to')[0]?.parts[0];
  if (part === undefined || part.type === 'amount' || to === undefined || to.type === 'amount') return [];
  const known = line.register.place(part.text);
  if (known === undefined) line.unknown(part, ['vessel', 'lot']);
  else if (known.kind !== 'vessel' && known.kind !== 'lot') line.wrongKind(part, known.kind, 'a vessel or a lot');
  else {
    const other = line.register.place(to.text);
    if (other !== undefined)
      line.fail({
        start: to.start,
        end: to.end,
        code: 'name-taken',
        message: `\`${to.text}\` is a name already`,
        help: 'take another name',
        ...line.relatedTo(other),
      });
    line.checkName(to);
    if (line.failure === undefined) {
      const target: Target =
        known.kind === 'vessel' ? { kind: 'vessel', vessel: known.id } : { kind: 'lot', lot: known.id };
      line.register.rename(known, to.text.normalize('NFC'));
      return [
        {
          ...line.eventBase(below.note),
          kind: 'naming',
          how: 'rename',
          targets: [target],
          details: `${part.text} to ${to.text}`,
        },
      ];
    }
  }
  return [];
};
