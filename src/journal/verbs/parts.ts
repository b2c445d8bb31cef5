/** What several verbs read alike: additions, origins, bottles, the ends of a movement. */
import type { Amount, Item, Part, Phrase } from '../../../grammar/entries.ts';
import { findUnit } from '../../../grammar/units.ts';
import { splitByShares } from '../../trade/decimal.ts';
import type {
  Addition,
  Bottles,
  Dose,
  LotId,
  MaterialId,
  MaterialSaid,
  Microlitres,
  OriginShare,
  Share,
  StoreAmount,
} from '../events.ts';
import { type Line, sayPart, textOf } from '../line.ts';
import { analyteName, colourOf } from './standing.ts';

/** How much an amount says; `of` is what it brings, where the amount is a rate of that. */
export function doseSaid(line: Line, amount: Amount, each: boolean, of: string | undefined): Dose {
  if (amount.ask === true)
    return { kind: 'asked', text: sayPart(amount), ...(amount.unit === undefined ? {} : { unit: amount.unit }) };
  const unit = amount.unit === undefined ? undefined : findUnit(amount.unit);
  switch (unit?.dimension) {
    case 'mass':
      return { kind: 'mass', micrograms: line.base(amount), each };
    case 'volume':
      return { kind: 'volume', microlitres: line.base(amount), each };
    case undefined:
    case 'count':
      return { kind: 'count', count: Math.round(amount.value), each };
    default:
      return { kind: 'rate', text: amount.text, unit: amount.unit ?? '', ...(of === undefined ? {} : { of }) };
  }
}

/** Materials with their amounts or rates: `kms 57 g (40 mg/L SO2)`, `so2-tab 2 each`. */
export function additions(line: Line, items: readonly Item[]): Addition[] {
  const found: Addition[] = [];
  for (const item of items) {
    const material = line.material(item.parts[0]);
    if (material === undefined) return found;
    const amounts = item.parts.filter((part): part is Amount => part.type === 'amount');
    const each = amounts.some((amount) => amount.quant === 'each');
    const amount = amounts.find((one) => one.quant === undefined);
    if (amount === undefined) {
      line.fail({
        start: item.start,
        end: item.end,
        code: 'amount-missing',
        message: `how much \`${textOf(item.parts[0])}\` is missing`,
        help: 'write an amount (`57 g`), a rate (`30 g/hL`), a rate of what it brings (`40 mg/L SO2`), or ask with `?`',
      });
      return found;
    }
    const pieces = line.register.materials[material]?.brings.some((brought) => brought.per === 'piece') === true;
    if (amount.unit === undefined && amount.ask !== true && !pieces) {
      line.fail({
        start: amount.start,
        end: amount.end,
        code: 'unit-missing',
        message: `${amount.text} has no unit`,
        help: `write the unit: \`${textOf(item.parts[0])} ${amount.text} g\``,
      });
      return found;
    }
    const behind = item.parts[item.parts.indexOf(amount) + 1];
    const of = behind?.type === 'word' ? analyteName(behind.text) : undefined;
    const facts = line.register.materials[material];
    if (of !== undefined && facts !== undefined && !facts.brings.some((brought) => brought.analyte === of)) {
      line.fail({
        start: behind?.start ?? item.start,
        end: behind?.end ?? item.end,
        code: 'substance-unknown',
        message: `what \`${facts.name}\` brings of ${of} is not known`,
        help: `say so where it is declared: \`material ${facts.name} ..., brings 50 g/L ${of}\`, or give the amount of the material itself`,
      });
      return found;
    }
    const check =
      amount.check === undefined
        ? undefined
        : doseSaid(
            line,
            amount.check,
            false,
            amount.checkWord === undefined ? undefined : analyteName(amount.checkWord),
          );
    found.push({
      material,
      dose: doseSaid(line, amount, each, of),
      said: item.parts.slice(1).map(sayPart).join(' '),
      ...(check === undefined ? {} : { check }),
    });
  }
  return found;
}

/** `820 x 750 mL`, `98 x 12 x 750 mL`; undefined where the amount is no number of bottles. */
export function bottles(line: Line, amount: Amount): Bottles | undefined {
  if (amount.times === undefined) return undefined;
  const factors = [amount.text, ...amount.times.slice(0, -1)];
  const count = factors.reduce((product, factor) => product * Number(factor), 1);
  const size = line.base({ ...amount, text: amount.times[amount.times.length - 1] ?? '' });
  if (!Number.isInteger(count) || count < 0 || !Number.isSafeInteger(count * size)) {
    line.fail({
      start: amount.start,
      end: amount.end,
      code: 'amount-out-of-range',
      message: `\`${sayPart(amount)}\` is no whole number of bottles`,
      help: 'write how many and what size: `820 x 750 mL`',
    });
    return undefined;
  }
  return { count, size };
}

export const amountOf = (item: Item): Amount | undefined =>
  item.parts.find((part): part is Amount => part.type === 'amount' && part.quant === undefined);

/** How much of a material stands there: `5 kg`, `10 x 500 g`, `3` pieces; undefined where that is no such amount. */
function storeAmount(line: Line, amount: Amount): StoreAmount | undefined {
  const sizes = amount.times ?? [];
  const one = sizes[sizes.length - 1];
  const whole = one === undefined ? 1 : [amount.text, ...sizes.slice(0, -1)].reduce((n, text) => n * Number(text), 1);
  // pieces have no unit, and so no base
  if (amount.unit === undefined)
    return { unit: 'pieces', amount: whole * (one === undefined ? amount.value : Number(one)) };
  const base = one === undefined ? line.base(amount) : line.base({ ...amount, text: one });
  switch (findUnit(amount.unit)?.dimension) {
    case 'mass':
      return { unit: 'µg', amount: Math.round(whole * base) };
    case 'volume':
      return { unit: 'µL', amount: Math.round(whole * base) };
    case 'count':
      return { unit: 'pieces', amount: whole * (one === undefined ? amount.value : Number(one)) };
    default:
      return undefined;
  }
}

/** A material as a line of the store gives it. */
export function materialSaid(line: Line, material: MaterialId, item: Item): MaterialSaid {
  const amount = amountOf(item);
  if (amount === undefined) return { material, said: '' };
  const much = storeAmount(line, amount);
  return { material, said: sayPart(amount), ...(much === undefined ? {} : { amount: much }) };
}

/** All bottles of a list, one item a size. */
export function bottleList(line: Line, items: readonly Item[]): Bottles[] {
  const all: Bottles[] = [];
  for (const item of items) {
    for (const part of item.parts) {
      if (part.type !== 'amount' || part.quant !== undefined) continue;
      const one = bottles(line, part);
      if (one !== undefined) all.push(one);
      else
        line.fail({
          start: part.start,
          end: part.end,
          code: 'amount-missing',
          message: `\`${sayPart(part)}\` says no number of bottles`,
          help: 'write how many and what size: `820 x 750 mL`',
        });
    }
  }
  return all;
}

/** Lees, loss and what is left behind, where a movement says so. */
export function ends(line: Line): { lees?: Microlitres; loss?: Microlitres; leaving?: Microlitres } {
  const lees = line.given('lees');
  const loss = line.given('loss');
  const leaving = line.given('leaving');
  return {
    ...(lees === undefined ? {} : { lees }),
    ...(loss === undefined ? {} : { loss }),
    ...(leaving === undefined ? {} : { leaving }),
  };
}

/** A vessel that stands by itself on both sides of a movement is a slip. */
export function apart(line: Line, sources: readonly Share[], parts: readonly Share[], items: readonly Item[]): void {
  const from = new Set(
    sources.flatMap((share) =>
      share.targets.length === 1 ? share.targets.map((target) => (target.kind === 'vessel' ? target.vessel : -1)) : [],
    ),
  );
  for (const [i, share] of parts.entries()) {
    const [only, more] = share.targets;
    const item = items[i];
    if (only?.kind !== 'vessel' || more !== undefined || item === undefined || !from.has(only.vessel)) continue;
    line.fail({
      start: item.start,
      end: item.end,
      code: 'line-malformed',
      message: `${line.register.vessel(only.vessel).name} stands on both sides`,
      help: 'name the vessel it went to, or the one it came from',
    });
  }
}

/** The lot named after `as`. */
export function named(line: Line, bottling: boolean): { as?: LotId } {
  const as = line.lot(line.items('as')[0]?.parts[0], { bottling });
  return as === undefined ? {} : { as };
}

const MILLION = 1_000_000;

/** Weights as whole parts per million that add up to the whole. */
function proportion(weights: readonly number[]): number[] {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return splitByShares(
    MILLION,
    weights.map((weight) => (total >= MILLION ? weight : weight * Math.ceil(MILLION / total))),
  );
}

/** Where wine that is found or bought comes from: blocks with shares, or the grape, region and vintage said. */
export function origins(line: Line): OriginShare[] {
  const vintage = line.year('vintage');
  const region = line.words('region');
  const blocks: { block: number; share: number }[] = [];
  const fromBlocks = line.entry.verb === 'found' ? line.phrase('from') : undefined;
  for (const phrase of [line.phrase('of'), fromBlocks] as (Phrase | undefined)[]) {
    for (const item of phrase?.items ?? []) {
      const part: Part = item.parts[0];
      const name = textOf(part);
      const known = line.register.place(name);
      if (known === undefined) line.unknown({ ...part, text: name }, ['block']);
      else if (known.kind !== 'block') line.wrongKind({ ...part, text: name }, known.kind, 'a block');
      else {
        const amount = amountOf(item);
        blocks.push({ block: known.id, share: amount === undefined ? -1 : line.base(amount) });
      }
    }
  }
  if (blocks.length > 0) {
    const said = blocks.reduce((sum, one) => sum + Math.max(0, one.share), 0);
    const unsaid = blocks.filter((one) => one.share < 0).length;
    if ((unsaid === 0 && Math.abs(said - MILLION) > MILLION / 100) || said > MILLION + 1) {
      const span = line.phrase('of') ?? line.entry.verbSpan;
      line.remark({
        start: span.start,
        end: span.end,
        code: 'weight-disagrees',
        message: `the shares make ${said / 10_000} %; they are taken in proportion`,
        help: 'mend them so that they make 100 %',
      });
    }
    const rest = unsaid === 0 ? 0 : Math.max(0, MILLION - said) / unsaid;
    // shares that do not add up to the whole are taken in proportion
    const shares = proportion(blocks.map((one) => Math.max(1, Math.round(one.share < 0 ? rest : one.share))));
    return blocks.map((one, i) => {
      const facts = line.register.blocks[one.block];
      return {
        origin: line.register.origin({
          variety: facts?.variety ?? '',
          colour: facts?.colour,
          vintage,
          estate: facts?.estate === true,
          ...(facts === undefined ? {} : { block: facts.name }),
          ...(facts?.region === undefined ? {} : { region: facts.region }),
          ...(facts?.grower === undefined ? {} : { grower: facts.grower }),
        }),
        share: shares[i] ?? 0,
      };
    });
  }
  const variety = line.words('variety');
  const block = line.words('block');
  const seller = line.entry.verb === 'bring' ? line.words('from') : undefined;
  return [
    {
      origin: line.register.origin({
        variety: variety ?? 'not said',
        colour: variety === undefined ? undefined : colourOf(line.register, variety),
        vintage,
        estate: false,
        ...(block === undefined ? {} : { block }),
        ...(region === undefined ? {} : { region }),
        ...(seller === undefined ? {} : { grower: seller }),
      }),
      share: MILLION,
    },
  ];
}
