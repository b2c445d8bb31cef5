/** Fruit: received, sorted, crushed, pressed. */

import { findUnit } from '../../../grammar/units.ts';
import { STYLES, type Style } from '../../../grammar/words.ts';
import type { Cut, LotId, Share } from '../events.ts';
import { type Line, sayPart, textOf } from '../line.ts';
import { amountOf, ends, named } from './parts.ts';
import type { VerbReader } from './reader.ts';

/** The style a `for` names, if it names one. */
export function styleOf(line: Line): { style?: Style } {
  const word = line.words('for')?.toLowerCase();
  const style = STYLES.find((known) => known === word || (known === 'rosé' && word === 'rose'));
  return style === undefined ? {} : { style };
}

const yearOf = (minute: number): number => new Date(minute * 60_000).getUTCFullYear();

export const receive: VerbReader = (line, below) => {
  const head = line.entry.head[0];
  if (head === undefined) return [];
  const from = line.items('from')[0]?.parts[0];
  const name = textOf(from);
  const block = line.register.place(name);
  if (from !== undefined && block === undefined) line.unknown({ ...from, text: name }, ['block']);
  else if (from !== undefined && block !== undefined && block.kind !== 'block')
    line.wrongKind({ ...from, text: name }, block.kind, 'a block');
  const gross = line.mass('gross');
  const tare = line.mass('tare');
  const said = amountOf(head);
  let net = line.mass('net') ?? (said === undefined ? undefined : line.base(said));
  if (net === undefined && gross !== undefined) net = gross - (tare ?? 0);
  if (net === undefined || net <= 0) {
    const swapped = net === undefined ? undefined : line.phrase('gross');
    const { start, end } = swapped ?? head;
    line.fail(
      swapped === undefined
        ? {
            start,
            end,
            code: 'amount-missing',
            message: 'the weight of the fruit is missing',
            help: 'write `gross 1840 kg, tare 300 kg`, or `net 1540 kg`',
          }
        : {
            start,
            end,
            code: 'amount-out-of-range',
            message: 'the gross weight is not above the tare',
            help: 'the full bins are `gross`, the empty ones `tare`; mend one of the two',
          },
    );
    return [];
  }
  if (
    gross !== undefined &&
    tare !== undefined &&
    (line.has('net') || said !== undefined) &&
    Math.abs(gross - tare - net) > net / 200
  ) {
    const at = line.phrase('gross') ?? head;
    line.remark({
      start: at.start,
      end: at.end,
      code: 'weight-disagrees',
      message: `gross less tare is ${(gross - tare) / 1e9} kg, and ${net / 1e9} kg net is written`,
      help: 'mend one of the three',
    });
  }
  const lot = line.lot(head.parts[0]);
  if (lot === undefined || block?.kind !== 'block') return [];
  const facts = line.register.blocks[block.id];
  const { style } = styleOf(line);
  if (style !== undefined) line.register.lot(lot).style = style;
  const tag = line.words('tag');
  const bins = line.whole('in');
  return [
    {
      ...line.eventBase(below.note),
      kind: 'receive',
      lot,
      origin: line.register.origin({
        variety: facts?.variety ?? '',
        colour: facts?.colour,
        vintage: line.year('vintage') ?? yearOf(line.minute),
        estate: facts?.estate === true,
        ...(facts === undefined ? {} : { block: facts.name }),
        ...(facts?.region === undefined ? {} : { region: facts.region }),
        ...(facts?.grower === undefined ? {} : { grower: facts.grower }),
      }),
      net,
      ...(gross === undefined ? {} : { gross }),
      ...(tare === undefined ? {} : { tare }),
      ...(tag === undefined ? {} : { tag }),
      ...(bins === undefined ? {} : { bins }),
      ...(style === undefined ? {} : { style }),
    },
  ];
};

export const sort: VerbReader = (line, below) => {
  const lot = line.knownLot(line.entry.head[0]?.parts[0]);
  const out = line.mass('out');
  return lot === undefined || out === undefined ? [] : [{ ...line.eventBase(below.note), kind: 'sort', lot, out }];
};

/** Fails where a vessel that something went to has no volume. */
function needVolumes(line: Line, parts: readonly Share[], what: string, help: string): void {
  const open = parts.findIndex((part) => part.volume === undefined);
  if (open === -1) return;
  const item = line.items('to')[open];
  line.fail({
    start: item?.start ?? 0,
    end: item?.end ?? 0,
    code: 'amount-missing',
    message: `how much ${what}went to \`${textOf(item?.parts[0])}\` is missing`,
    help,
  });
}

export const crush: VerbReader = (line, below) => {
  const head = line.entry.head[0];
  const lot = line.knownLot(head?.parts[0]);
  const said = head === undefined ? undefined : amountOf(head);
  const parts = line.shares(line.items('to'), 'to');
  if (lot === undefined || line.failure !== undefined) return [];
  needVolumes(
    line,
    parts,
    'must ',
    'write the volume, with `~` before it if it is an estimate: `to B1..B4 ~335 L each`',
  );
  const details: string[] = [];
  if (line.has('destemmed')) details.push('destemmed');
  for (const word of ['crushed', 'whole-cluster'] as const) {
    const amount = line.amount(word);
    if (amount !== undefined) details.push(`${word} ${sayPart(amount)}`);
  }
  const stems = line.mass('stems');
  return [
    {
      ...line.eventBase(below.note),
      kind: 'crush',
      lot,
      parts,
      details: details.join(', '),
      ...(said === undefined ? {} : { fruit: line.base(said) }),
      ...(stems === undefined ? {} : { stems }),
      ...named(line, false),
    },
  ];
};

/** The parts of one fraction, each with its volume. */
function fraction(line: Line): Share[] {
  const parts = line.shares(line.items('to'), 'to');
  needVolumes(line, parts, '', 'write the volume: `cut 1.0 bar to T5 150 L as LS-p1`');
  return parts;
}

export const press: VerbReader = (line, below) => {
  const head = line.entry.head[0];
  const weight =
    head === undefined
      ? undefined
      : head.parts.find(
          (part) => part.type === 'amount' && part.unit !== undefined && findUnit(part.unit)?.dimension === 'mass',
        );
  const fruit = weight?.type === 'amount' ? line.base(weight) : undefined;
  const sources =
    fruit === undefined
      ? line.shares(line.entry.head, 'from')
      : line.entry.head.map((item) => ({ targets: line.targets(item.parts[0]) ?? [] }));
  const cuts: Cut[] = [];
  if (line.has('to')) {
    const parts = fraction(line);
    const at = line.words('at');
    if (line.failure === undefined)
      cuts.push({ parts, place: line.place, ...named(line, false), ...(at === undefined ? {} : { pressure: at }) });
  }
  for (const child of below.children) {
    const cut = below.child(child);
    const parts = fraction(cut);
    const pressure = cut.entry.head[0]?.parts.map(sayPart).join(' ');
    let as: LotId | undefined;
    if (cut.failure === undefined) as = named(cut, false).as;
    if (cut.failure === undefined)
      cuts.push({
        parts,
        place: cut.place,
        ...(as === undefined ? {} : { as }),
        ...(pressure === undefined ? {} : { pressure }),
      });
    below.settle(cut);
  }
  if (cuts.length === 0 && below.children.length === 0 && below.spoiled === undefined) {
    line.fail({
      ...line.entry.verbSpan,
      code: 'phrase-missing',
      message: 'where the pressing went is missing',
      help: 'write `to T5 150 L as LS-p1`, or a `cut` line below for each fraction',
    });
  }
  const pomace = line.mass('pomace');
  return [
    {
      ...line.eventBase(below.note),
      kind: 'press',
      sources,
      cuts,
      ...(fruit === undefined ? {} : { fruit }),
      ...(pomace === undefined ? {} : { pomace }),
      ...ends(line),
    },
  ];
};
